//! Compressible flow through openings against published and independent values.
//!
//! Marks beside each source: S text seen, M reference from memory, C recomputed
//! with a general-purpose library, F closed form evaluated independently.

use sim::flow::duct::DuctLoss;
use sim::flow::fanno::friction_length;
use sim::flow::isentropic::{
    area_ratio, critical_pressure_ratio, flow_function, flow_function_slope, pressure_ratio,
    temperature_ratio,
};
use sim::flow::orifice::{Discharge, orifice};
use sim::flow::standards::{iso_5167_discharge, iso_6358_flow, two_in_series};
use sim::leak::{HoseOff, RoundHole};
use sim::medium::GasState;

/// The gas of the check values: R = 287.05 J/(kg K), gamma 1.4.
pub fn air(pressure: f64, temperature: f64) -> GasState<f64> {
    GasState {
        pressure,
        temperature,
        fuel_fraction: 0.0,
        gas_constant: 287.05,
        gamma: 1.4,
        enthalpy: 1005.0 * temperature,
    }
}

pub const AMBIENT: f64 = 101_325.0;
pub const COOL: f64 = 293.15;

#[track_caller]
pub fn near(what: &str, value: f64, expected: f64, tolerance: f64) {
    let error = value / expected - 1.0;
    assert!(
        error.abs() <= tolerance,
        "{what}: {value} for {expected}, off by {error:.2e}"
    );
}

/// Area of a round hole.
fn round(diameter: f64) -> f64 {
    std::f64::consts::PI / 4.0 * diameter * diameter
}

/// NACA Report 1135 (M), F.
#[test]
fn isentropic_relations() {
    near("p/p0", pressure_ratio(0.5, 1.4), 0.843019, 1e-6);
    near("T/T0", temperature_ratio(0.5, 1.4), 0.952381, 1e-6);
    near("A/A*", area_ratio(0.5, 1.4), 1.339844, 1e-6);
    // Supersonic, table II of the report: M 2 (M), F.
    near("p/p0 at M 2", pressure_ratio(2.0, 1.4), 0.127805, 1e-5);
    near("A/A* at M 2", area_ratio(2.0, 1.4), 1.6875, 1e-6);
}

/// NACA Report 1135 (M), C `fluids` 1.3; gamma 1.30: F.
#[test]
fn choking() {
    near(
        "critical ratio",
        critical_pressure_ratio(1.4),
        0.528282,
        1e-6,
    );
    near("psi*", flow_function(0.3, 1.4), 0.684731, 1e-6);
    near(
        "critical ratio, 1.30",
        critical_pressure_ratio(1.30),
        0.545728,
        1e-6,
    );
    near("psi*, 1.30", flow_function(0.0, 1.30), 0.667262, 1e-6);
    // Mass flow through the throat, ψ* = ψ(r) A/A* (F).
    let r = pressure_ratio(0.5, 1.4);
    near(
        "psi(M 0.5)",
        flow_function(r, 1.4) * area_ratio(0.5, 1.4),
        0.684731,
        1e-6,
    );
}

/// F.
#[test]
fn flow_function_below_choking() {
    for (r, psi) in [(0.99, 0.140662), (0.90, 0.422581), (0.70, 0.638317)] {
        near("psi", flow_function(r, 1.4), psi, 4e-6);
    }
}

/// The slope, by differences of the function itself (F); 0 when choked.
#[test]
fn flow_function_slopes() {
    for r in [0.6, 0.8, 0.95, 0.999] {
        let h = 1e-5 * (1.0 - r);
        let by_difference = (flow_function(r + h, 1.4) - flow_function(r - h, 1.4)) / (2.0 * h);
        near("slope", flow_function_slope(r, 1.4), by_difference, 1e-6);
    }
    assert_eq!(flow_function_slope(0.4, 1.4), 0.0);
}

/// F.
#[test]
fn choked_flux() {
    let up = air(200e3, COOL);
    let flow = orifice(1.0, Discharge::Constant(1.0), &up, &air(90e3, COOL));
    near("flux", flow.mass, 472.092, 1e-5);
    assert_eq!(flow.from_a, 1.0);
}

/// Sharp-edged discharge coefficient: polynomial of Perry 1949, Trans. ASME 71
/// (S polynomial, M paper).
#[test]
fn sharp_edged_discharge() {
    for (r, cd) in [(0.9, 0.614), (0.528, 0.737), (0.3, 0.815)] {
        near("Cd", Discharge::SharpEdged.coefficient(r), cd, 1e-3);
    }
}

/// Theory of Jobson 1955, Proc. I.Mech.E. 169 (M), evaluated independently (F):
/// within 0.9 % of Perry for r from 0.2.
#[test]
fn sharp_edged_discharge_follows_theory() {
    for i in 0..=15 {
        let r = 0.2 + 0.05 * f64::from(i);
        near("Cd", Discharge::SharpEdged.coefficient(r), jobson(r), 9e-3);
    }
}

/// Momentum balance on the wall around a hole, in units of the upstream pressure:
/// the pressure force and a defect `f ṁ²/ρ₀` make up momentum and pressure of the
/// jet's throat; f is that of the incompressible jet.
fn jobson(r: f64) -> f64 {
    let incompressible: f64 = Discharge::SharpEdged.coefficient(1.0);
    let defect = 1.0 / incompressible - 0.5 / incompressible.powi(2);
    let psi = flow_function(r, 1.4);
    let throat = r.max(critical_pressure_ratio(1.4));
    let speed = psi / throat.powf(1.0 / 1.4);
    // f ψ² C² - (ψ V + p_throat - r) C + (1 - r) = 0, the smaller root.
    let (a, b, c) = (defect * psi * psi, psi * speed + throat - r, 1.0 - r);
    2.0 * c / (b + (b * b - 4.0 * a * c).sqrt())
}

/// Measured ranges: Weisbach, in Encyclopaedia Britannica 11th ed. "Hydraulics"
/// paragraph 63 (S): sharp round holes 0.563 to 0.788, short tubes 0.81 to 0.84,
/// outlet pressures from 1/1.05 to 1/2 of the inlet's. An open stub as a file gives it, by its
/// bore alone.
#[test]
fn discharge_in_measured_range() {
    for i in 0..=40 {
        let up = air(AMBIENT * (1.05 + 0.95 * f64::from(i) / 40.0), COOL);
        let out = air(AMBIENT, COOL);
        let ideal = orifice(round(0.01), Discharge::Constant(1.0), &up, &out).mass;
        let hole = RoundHole { diameter: 0.01 }.flow(&up, &out).mass / ideal;
        assert!((0.563..=0.788).contains(&hole), "sharp-edged hole {hole}");
        let stub: HoseOff = serde_json::from_str(r#"{ "bore": "10 mm" }"#).unwrap();
        let tube = stub.flow(&up, &out).mass / ideal;
        assert!((0.81..=0.84).contains(&tube), "short tube {tube}");
    }
}

/// ISO 6358-1 form (S): C 2e-8 m³/(s Pa), b 0.3, 700 to 600 kPa.
#[test]
fn pneumatic_part() {
    near(
        "flow",
        iso_6358_flow(2e-8, 0.3, 700e3, COOL, 600e3),
        10.0437e-3,
        1e-4,
    );
    // Choked (F): C p1 rho0.
    near(
        "choked",
        iso_6358_flow(2e-8, 0.3, 700e3, COOL, 200e3),
        2e-8 * 700e3 * 1.185,
        1e-12,
    );
}

/// ISO 6358 ellipse with b at the critical ratio: at most 0.304 % below the
/// isentropic flow, never above (F).
#[test]
fn ellipse_against_isentropic() {
    let b = critical_pressure_ratio(1.4);
    let choked = iso_6358_flow(1.0, b, 1e5, COOL, 0.0);
    let mut lowest: f64 = 1.0;
    for i in 0..1000 {
        let r = b + (0.9995 - b) * f64::from(i) / 1000.0;
        let ellipse = iso_6358_flow(1.0, b, 1e5, COOL, r * 1e5) / choked;
        let ratio = ellipse / (flow_function(r, 1.4) / flow_function(0.0, 1.4));
        assert!(ratio <= 1.0 + 1e-12, "above at {r}: {ratio}");
        lowest = lowest.min(ratio);
    }
    near("lowest", 1.0 - lowest, 0.00304, 5e-3);
}

/// ISO 5167-2 corner taps, from `fluids` 1.3 (C): pipe, bore (m), Re, C.
#[test]
fn orifice_plate() {
    for (pipe, bore, reynolds, c) in [
        (0.1, 0.05, 1e5, 0.606873),
        (0.1, 0.03, 2e4, 0.6029124),
        (0.2, 0.14, 1e6, 0.6022951),
        (0.0525, 0.0315, 3e4, 0.6177176),
        (0.3, 0.06, 5e6, 0.5972397),
    ] {
        near("C", iso_5167_discharge(pipe, bore, reynolds), c, 1e-6);
    }
}

/// F; the unequal pairs by an independent root finder (SciPy).
#[test]
fn openings_in_series() {
    let up = air(200e3, COOL);
    let alone = orifice(1e-4, Discharge::Constant(1.0), &up, &air(100e3, COOL)).mass;
    let both = two_in_series(1e-4, 1e-4, &up, 100e3);
    near("middle pressure", both.middle_pressure, 162.553e3, 1e-5);
    near("flow over one alone", both.mass_flow / alone, 0.79909, 1e-5);
    let both = two_in_series(2e-4, 1e-4, &up, 100e3);
    near("2 to 1", both.middle_pressure, 188_883.44, 1e-6);
    let hot = GasState {
        gamma: 1.33,
        ..air(300e3, COOL)
    };
    near(
        "1 to 3",
        two_in_series(1e-4, 3e-4, &hot, 90e3).middle_pressure,
        116_030.07,
        1e-6,
    );
}

/// Round hole of 3 mm, Cd 1 (F).
#[test]
fn three_millimetre_hole() {
    let area = round(3e-3);
    let ideal = Discharge::Constant(1.0);
    let out = orifice(area, ideal, &air(AMBIENT, COOL), &air(AMBIENT + 1e5, COOL));
    near("out at 1 bar gauge", -out.mass, 3.3591e-3, 2e-5);
    let inward = orifice(area, ideal, &air(AMBIENT, COOL), &air(35e3, COOL));
    near("in at 35 kPa", inward.mass, 1.6906e-3, 2e-5);
}

/// Leak arithmetic (F), at the coefficient stated.
#[test]
fn leaks_by_hand() {
    // Idle, manifold 35 kPa, 2 mm sharp-edged hole, Perry's Cd 0.804.
    let idle = RoundHole { diameter: 2e-3 }
        .flow(&air(AMBIENT, COOL), &air(35e3, COOL))
        .mass;
    near("idle", idle, 0.6039e-3, 1e-3);
    // Boost 50 kPa gauge and 325 K, 5 mm hole, Cd 0.679.
    let hot = air(AMBIENT + 50e3, 325.0);
    let boost = RoundHole { diameter: 5e-3 }
        .flow(&air(AMBIENT, COOL), &hot)
        .mass;
    near("boost", -boost, 4.318e-3, 1e-3);
    // Inlet duct, 3 kPa depression, 10 mm hole.
    let duct = air(AMBIENT - 3e3, COOL);
    let inlet = RoundHole { diameter: 10e-3 }
        .flow(&air(AMBIENT, COOL), &duct)
        .mass;
    near("inlet duct", inlet, 3.97e-3, 1e-2);
}

/// Cooler loss in proportion to flow² T/p (F): 5.0 kPa at 0.15 kg/s, a quarter at half.
#[test]
fn cooler_loss() {
    let cooler = DuctLoss {
        reference_loss: 5e3,
        reference_flow: 0.15,
        reference_pressure: 180e3,
        reference_temperature: 330.0,
        laminar_share: 0.0,
    };
    let flow = |loss: f64, pressure: f64, temperature: f64| {
        let side = |p| GasState {
            gas_constant: 287.05287,
            ..air(p, temperature)
        };
        cooler
            .flow(&side(pressure + loss / 2.0), &side(pressure - loss / 2.0))
            .mass
    };
    near("full", flow(5e3, 180e3, 330.0), 0.15, 1e-6);
    near("half", flow(1.25e3, 180e3, 330.0), 0.075, 1e-6);
    near(
        "thinner gas",
        flow(5e3 * 1.2 * 1.5, 120e3, 396.0),
        0.15,
        1e-6,
    );
    near("backwards", flow(-1.25e3, 180e3, 330.0), -0.075, 1e-6);
}

/// At the laminar share of the reference flow the two parts are equal (F).
#[test]
fn filter_loss() {
    let filter = DuctLoss {
        reference_loss: 2e3,
        reference_flow: 0.1,
        reference_pressure: 1e5,
        reference_temperature: 300.0,
        laminar_share: 0.4,
    };
    let flow = |loss: f64| {
        let side = |p| GasState {
            gas_constant: 287.05287,
            ..air(p, 300.0)
        };
        filter
            .flow(&side(1e5 + loss / 2.0), &side(1e5 - loss / 2.0))
            .mass
    };
    near("reference", flow(2e3), 0.1, 1e-6);
    near("share", flow(2.0 * 0.4 * 0.4 * 2e3 / 1.4), 0.04, 1e-6);
    // Far below, in proportion to the pressure.
    near("linear", flow(2e-3) / flow(1e-3), 2.0, 1e-5);
}

/// Fanno friction length (F), C `fluids`.
#[test]
fn fanno_friction_length() {
    near("M 0.2", friction_length(0.2, 1.4), 14.5333, 1e-5);
    near("M 0.5", friction_length(0.5, 1.4), 1.06906, 1e-5);
}
