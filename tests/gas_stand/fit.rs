//! The fit itself (F: the law a table is made from is the expected value).

use sim::machine::compressor::{Compressor, corrected_flow, corrected_speed};
use sim::machine::gas_stand::{
    Column, CompressorPoint, CompressorTable, TurbinePoint, TurbineTable, Unfit, Unseen,
};
use sim::machine::turbine::{Turbine, expansion_drop};
use sim::medium::{Fuel, GasState, Medium};

fn air(pressure: f64, temperature: f64) -> GasState<f64> {
    let fuel = Fuel {
        hydrogen_per_carbon: 1.85,
        oxygen_per_carbon: 0.0,
        lower_heating_value: 44e6,
    };
    Medium::new(&fuel, 0.0).state(pressure, temperature, 0.0)
}

#[track_caller]
fn near(what: &str, value: f64, expected: f64, tolerance: f64) {
    let error = value / expected - 1.0;
    assert!(
        error.abs() <= tolerance,
        "{what}: {value} for {expected}, off by {error:.2e}"
    );
}

/// Scatter between -1 and 1, the same on every run.
pub struct Scatter(pub u64);

impl Scatter {
    pub fn next(&mut self) -> f64 {
        // Knuth's 64-bit linear congruential generator.
        self.0 = (self.0.wrapping_mul(6_364_136_223_846_793_005))
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
}

pub const WHEEL: Compressor = Compressor {
    wheel_diameter: 0.049,
    peak_head: 1.15,
    peak_head_mach: 0.06,
    surge_dip: 0.25,
    surge_flow: 0.045,
    choke_flow: 0.21,
    choke_flow_mach: 0.015,
    arc_exponent: 2.7,
    work: 0.86,
    work_flow: 1.35,
    reverse_head: 60.0,
    duct_area_over_length: 4e-3,
};

/// Five speed lines of `WHEEL`, measured in other air than they are corrected to.
pub fn table(scatter: f64) -> CompressorTable {
    let (reference_temperature, reference_pressure) = (298.15, 100e3);
    let inlet = air(96e3, 305.0);
    let mut noise = Scatter(7);
    let mut points = Vec::new();
    for tip in [180.0, 250.0, 320.0, 390.0, 450.0] {
        let speed = tip / (0.5 * WHEEL.wheel_diameter);
        let line = WHEEL.stage(&inlet, 0.01, speed);
        for share in [0.05, 0.2, 0.35, 0.5, 0.62, 0.74, 0.85] {
            let phi =
                line.surge_coefficient + share * (line.choke_coefficient - line.surge_coefficient);
            let flow = 0.01 * phi / line.flow_coefficient;
            let stage = WHEEL.stage(&inlet, flow, speed);
            points.push(CompressorPoint {
                corrected_flow: corrected_flow(
                    flow,
                    305.0,
                    96e3,
                    reference_temperature,
                    reference_pressure,
                ) * (1.0 + scatter * noise.next()),
                pressure_ratio: stage.outlet_pressure / 96e3 * (1.0 + scatter * noise.next()),
                efficiency: stage.head / stage.work + scatter * noise.next(),
                corrected_speed: corrected_speed(speed, 305.0, reference_temperature),
            });
        }
    }
    CompressorTable {
        reference_temperature,
        reference_pressure,
        wheel_diameter: WHEEL.wheel_diameter,
        points,
    }
}

pub fn coefficients(machine: &Compressor) -> Vec<(String, f64)> {
    let mut all = Vec::new();
    machine.map(&mut |name, value| all.push((name.to_owned(), value)));
    all
}

#[test]
fn a_clean_table_gives_its_compressor_back() {
    let (found, quality) = table(0.0).fit(&Unseen::default()).unwrap();
    println!("{quality}");
    // 7 K between stand and reference change γ by 2e-4; all else is similarity.
    for ((name, value), (_, known)) in coefficients(&found).iter().zip(coefficients(&WHEEL)) {
        near(name, *value, known, 2e-3);
    }
    assert!(quality.deviations.iter().all(|d| d.rms < 1e-4));
    assert!(quality.outside.is_empty());
}

#[test]
fn a_scattered_table_gives_its_compressor_back_within_the_stated_doubt() {
    let scatter = 0.01;
    let (found, quality) = table(scatter).fit(&Unseen::default()).unwrap();
    println!("{quality}");
    let known = coefficients(&WHEEL);
    for c in &quality.coefficients {
        let (_, known) = known.iter().find(|(name, _)| name == c.name).unwrap();
        let off = (c.value - known).abs();
        assert!(c.doubt > 0.0 && off < 3.5 * c.doubt, "{c:?} for {known}");
    }
    // Evenly spread in ±1 %: 0.58 % rms in each; the flow's scatter adds to the rest.
    assert!(quality.deviations.iter().all(|d| d.rms < 2.0 * scatter));
    // What people read off: within half the scatter of the law at mid-line.
    let inlet = air(100e3, 298.15);
    for flow in [0.05, 0.07, 0.09] {
        let [a, b] = [&found, &WHEEL].map(|c| c.stage(&inlet, flow, 14_000.0));
        near(
            "pressure",
            a.outlet_pressure,
            b.outlet_pressure,
            0.5 * scatter,
        );
        near("efficiency", a.head / a.work, b.head / b.work, scatter);
    }
}

#[test]
fn the_same_table_at_another_reference_is_the_same_compressor() {
    let first = table(0.01);
    let (temperature, pressure) = (288.15, 101_325.0);
    let mut second = first.clone();
    (second.reference_temperature, second.reference_pressure) = (temperature, pressure);
    for p in &mut second.points {
        // A reading at the first reference, corrected to the second.
        let (t, at) = (first.reference_temperature, first.reference_pressure);
        p.corrected_flow = corrected_flow(p.corrected_flow, t, at, temperature, pressure);
        p.corrected_speed = corrected_speed(p.corrected_speed, t, temperature);
    }
    let fit = |table: &CompressorTable| table.fit(&Unseen::default()).unwrap().0;
    let (a, b) = (fit(&first), fit(&second));
    for ((name, a), (_, b)) in coefficients(&a).iter().zip(coefficients(&b)) {
        near(name, b, *a, 3e-3);
    }
    // Left uncorrected, the same numbers are another machine: φ goes with T/p,
    // 4.6 % lower here, less the 1.7 % of √T in the tip Mach number.
    let mut wrong = first.clone();
    (wrong.reference_temperature, wrong.reference_pressure) = (temperature, pressure);
    let c = fit(&wrong);
    assert!((c.choke_flow / a.choke_flow - 1.0).abs() > 0.03, "{c:?}");
}

/// A table of another form than the law's own: speed lines that are ellipses in
/// flow and pressure ratio (form of eriksson2014, numbers invented).
#[test]
fn a_table_of_elliptic_speed_lines_is_followed() {
    let mut points = Vec::new();
    for (speed, best, most, surge, choke) in [
        (8_000.0, 0.72, 1.22, 0.016, 0.052),
        (11_000.0, 0.75, 1.50, 0.026, 0.073),
        (14_000.0, 0.76, 1.92, 0.040, 0.093),
        (17_000.0, 0.72, 2.55, 0.058, 0.109),
    ] {
        for x in [0.0, 0.25, 0.5, 0.7, 0.85] {
            let flow = surge + x * (choke - surge);
            let s: f64 = x;
            points.push(CompressorPoint {
                corrected_flow: flow,
                pressure_ratio: 1.0 + (most - 1.0) * (1.0 - s.powf(2.5)).powf(0.7),
                efficiency: best - 0.28 * (s - 0.45_f64).powi(2) - 0.25 * s.powi(6),
                corrected_speed: speed,
            });
        }
    }
    let table = CompressorTable {
        reference_temperature: 298.15,
        reference_pressure: 100e3,
        wheel_diameter: 0.049,
        points,
    };
    let (_, quality) = table.fit(&Unseen::default()).unwrap();
    println!("{quality}");
    assert!(quality.deviations[0].rms < 0.03);
    assert!(quality.deviations[1].rms < 0.05);
}

pub const TURBINE: Turbine = Turbine {
    throat_area: 4.1e-4,
    wheel_diameter: 0.044,
    peak_efficiency: 0.68,
    best_speed_ratio: 0.64,
};

pub fn turbine_table(scatter: f64) -> TurbineTable {
    let (hot, stand) = (873.15, 150e3);
    let mut noise = Scatter(3);
    let inlet = air(stand, hot);
    let mut points = Vec::new();
    for expansion_ratio in [1.3, 1.6, 2.0, 2.5, 3.0] {
        for blade_speed_ratio in [0.45, 0.55, 0.65, 0.75] {
            let outlet = GasState {
                pressure: stand / expansion_ratio,
                ..inlet
            };
            let drop = expansion_drop(inlet.cp(), hot, 1.0 / expansion_ratio, inlet.gamma);
            let speed = blade_speed_ratio * (2.0 * drop).sqrt() / (0.5 * TURBINE.wheel_diameter);
            let at = TURBINE.expand(&inlet, &outlet, speed);
            points.push(TurbinePoint {
                corrected_flow: corrected_flow(at.flow.mass, hot, stand, 288.15, 101_325.0)
                    * (1.0 + scatter * noise.next()),
                expansion_ratio,
                efficiency: at.torque * speed / (at.flow.mass * drop) + scatter * noise.next(),
                blade_speed_ratio,
            });
        }
    }
    TurbineTable {
        reference_temperature: 288.15,
        reference_pressure: 101_325.0,
        stand_temperature: hot,
        wheel_diameter: TURBINE.wheel_diameter,
        points,
    }
}

#[test]
fn a_turbine_table_gives_its_turbine_back() {
    for (scatter, tolerance) in [(0.0, 1e-4), (0.02, 0.01)] {
        let (found, quality) = turbine_table(scatter).fit().unwrap();
        println!("{quality}");
        near("throat", found.throat_area, TURBINE.throat_area, tolerance);
        near(
            "efficiency",
            found.peak_efficiency,
            TURBINE.peak_efficiency,
            tolerance,
        );
        near(
            "speed ratio",
            found.best_speed_ratio,
            TURBINE.best_speed_ratio,
            2.0 * tolerance,
        );
        assert!(quality.deviations.iter().all(|d| d.rms < scatter.max(1e-4)));
    }
    // The closed form at the best blade-speed ratio (F): η = η*.
    let mut restated = turbine_table(0.0);
    restated.reference_temperature = 873.15;
    restated.reference_pressure = 100e3;
    for p in &mut restated.points {
        p.corrected_flow = corrected_flow(p.corrected_flow, 288.15, 101_325.0, 873.15, 100e3);
    }
    let (found, _) = restated.fit().unwrap();
    near("throat", found.throat_area, TURBINE.throat_area, 1e-4);
}

#[test]
fn a_table_that_cannot_tell_is_refused_with_the_reason() {
    let fit = |table: &CompressorTable| table.fit(&Unseen::default()).unwrap_err();
    let mut few = table(0.0);
    few.points.truncate(7);
    assert_eq!(
        fit(&few),
        Unfit::TooFewPoints {
            found: 7,
            needed: 8
        }
    );
    let mut one_line = table(0.0);
    for p in &mut one_line.points {
        p.corrected_speed = 14_000.0;
    }
    assert_eq!(
        fit(&one_line),
        Unfit::TooLittleSpread {
            column: Column::Speed
        }
    );
    let mut wrong = table(0.0);
    wrong.points[4].efficiency = 71.0;
    assert!(fit(&wrong).to_string().starts_with("point 5: efficiency"));
    let mut unstated = table(0.0);
    unstated.reference_pressure = 0.0;
    assert_eq!(fit(&unstated), Unfit::BadReference);
}
