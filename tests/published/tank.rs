//! Tank discharge and filling. F: closed form evaluated independently; C: Cantera
//! (Reservoir, Valve, Reactor) within 2e-5. R = 287.05, gamma = 1.4, Cd = 1.

use sim::flow::Flow;
use sim::flow::isentropic::critical_pressure_ratio;
use sim::flow::orifice::{Discharge, orifice};
use sim::medium::{Fuel, GasState, Medium};
use sim::study::tank::{Tank, TankGas, Wall, decay_flow};

const AIR: TankGas = TankGas::Perfect { gas_constant: 287.05, gamma: 1.4 };
const AMBIENT: f64 = 101_325.0;
const T0: f64 = 293.15;

fn hole(diameter: f64, discharge: f64) -> impl Fn(&GasState<f64>, &GasState<f64>) -> Flow<f64> {
    let area = std::f64::consts::PI / 4.0 * diameter * diameter;
    move |a, b| orifice(area, Discharge::Constant(discharge), a, b)
}

fn close(found: f64, expected: f64, tolerance: f64) {
    assert!((found / expected - 1.0).abs() < tolerance, "found {found}, expected {expected}");
}

fn discharge(from: f64, to: f64, wall: Wall) -> (f64, GasState<f64>) {
    let tank = Tank { volume: 8e-3, gas: AIR, wall };
    let run = tank.run(from, T0, AIR.state(AMBIENT, T0), hole(3e-3, 1.0));
    run.time_to(to, 20.0).unwrap()
}

#[test]
fn eight_litres_through_three_millimetres() {
    // F, C within 2e-5
    close(discharge(200e3, 110e3, Wall::Isothermal).0, 3.89119, 1e-4);
    close(discharge(200e3, 110e3, Wall::Adiabatic).0, 2.91160, 1e-4);
    // F, choked throughout
    close(discharge(400e3, 200e3, Wall::Isothermal).0, 3.94947, 1e-5);
    close(discharge(400e3, 200e3, Wall::Adiabatic).0, 2.96545, 1e-5);
    // F: isentropic end temperature
    close(discharge(200e3, 110e3, Wall::Adiabatic).1.temperature, 247.120, 1e-5);
}

#[test]
fn against_the_atmosphere_a_vessel_is_choked_only_above_191_8_kpa() {
    close(AMBIENT / critical_pressure_ratio(1.4), 191.80e3, 1e-5);
}

#[test]
fn evacuated_insulated_vessel_filled_from_300_k() {
    // F: gamma T; real cp: C
    let filled = |gas: TankGas| {
        let outside = gas.state(AMBIENT, 300.0);
        let tank = Tank { volume: 8e-3, gas, wall: Wall::Adiabatic };
        tank.run(0.1, 300.0, outside, hole(3e-3, 1.0)).time_to(100e3, 20.0).unwrap().1.temperature
    };
    close(filled(AIR), 420.00, 1e-5);
    close(filled(TankGas::Real(Medium::new(&Fuel { hydrogen_per_carbon: 1.85, oxygen_per_carbon: 0.0, lower_heating_value: 43e6 }, 0.0))), 419.05, 3e-4);
}

#[test]
fn pressure_decay() {
    close(decay_flow(8e-3, 1e3, 60.0, 287.05, T0), 1.58450e-6, 1e-5); // F
    // The same by running it: a hole sized for 1 kPa a minute at 50 kPa gauge.
    let tank = Tank { volume: 8e-3, gas: AIR, wall: Wall::Isothermal };
    let run = tank.run(AMBIENT + 50e3, T0, AIR.state(AMBIENT, T0), hole(0.08e-3, 1.0));
    let end = run.trace(&[60.0]).unwrap()[0];
    let drop = AMBIENT + 50e3 - end.pressure;
    let mean = hole(0.08e-3, 1.0)(&AIR.state(AMBIENT, T0), &AIR.state(AMBIENT + 50e3 - drop / 2.0, T0)).mass;
    close(decay_flow(8e-3, drop, 60.0, 287.05, T0), -mean, 1e-3);
}

/// Measured (digitised from a published experiment; MIT-licensed collection, source
/// paper not named there): vessel 0.200 m x 0.515 m, orifice 2.71 mm, air 7.9 bar.
const PRESSURE: [[f64; 2]; 12] = [
    [0.226, 7.6883], [4.14, 5.6748], [8.06, 4.2327], [12.0, 3.2582], [15.7, 2.6213], [19.6, 2.0884],
    [23.6, 1.7112], [27.6, 1.412], [31.5, 1.2037], [35.2, 1.0863], [39.2, 1.0209], [43.2, 1.0074],
];
const TEMPERATURE: [[f64; 2]; 12] = [
    [3.58, 285.9], [7.65, 275.3], [11.4, 265.8], [15.2, 261.1], [19.2, 257.8], [23.2, 256.4],
    [26.8, 256.7], [30.8, 257.8], [34.7, 260.4], [38.6, 264.2], [42.5, 268.6], [46.2, 272.6],
];

#[test]
fn measured_vessel_discharge() {
    // One Cd, 0.84: the upper end of Weisbach's short tubes with a square edge, and
    // what the check values fit with the measured temperature imposed. Wall heat by
    // natural convection from walls at ambient; nothing fitted here. Ambient 1.00 bar
    // and 293.15 K assumed (the record does not say).
    let gas = TankGas::Real(Medium::new(&Fuel { hydrogen_per_carbon: 1.85, oxygen_per_carbon: 0.0, lower_heating_value: 43e6 }, 0.0));
    let (diameter, length) = (0.200, 0.515);
    let end = std::f64::consts::PI / 4.0 * diameter * diameter;
    let area = std::f64::consts::PI * diameter * length + 2.0 * end;
    let outside = gas.state(1.00e5, T0);
    let tank = Tank { volume: end * length, gas, wall: Wall::Convection { area, temperature: T0 } };
    let run = tank.run(PRESSURE[0][1] * 1e5, T0, outside, hole(2.71e-3, 0.84));
    let after = |points: &[[f64; 2]]| -> Vec<f64> { points.iter().map(|p| p[0] - PRESSURE[0][0]).collect() };
    let report = |what: &str, errors: Vec<f64>, unit: &str| -> f64 {
        let worst = errors.iter().fold(0.0, |w: f64, e| w.max(e.abs()));
        let rms = (errors.iter().map(|e| e * e).sum::<f64>() / errors.len() as f64).sqrt();
        println!("{what}: rms {rms:.2} {unit}, worst {worst:.2} {unit}");
        worst
    };
    let pressures = run.trace(&after(&PRESSURE)).unwrap();
    let errors = pressures.iter().zip(PRESSURE).map(|(g, [_, bar])| 100.0 * (g.pressure / bar / 1e5 - 1.0));
    assert!(report("pressure", errors.collect(), "%") < 10.0);
    let temperatures = run.trace(&after(&TEMPERATURE)).unwrap();
    let errors = temperatures.iter().zip(TEMPERATURE).map(|(g, [_, kelvin])| g.temperature - kelvin);
    // Natural convection alone leaves the gas up to 20 K colder than measured (the jet
    // stirs the vessel and the probe lags); it must cool and recover at the right time.
    assert!(report("temperature", errors.collect(), "K") < 22.0);
    let coldest = |values: Vec<f64>| {
        let least = values.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1));
        TEMPERATURE[least.unwrap().0][0]
    };
    let model = coldest(temperatures.iter().map(|g| g.temperature).collect());
    let measured = coldest(TEMPERATURE.iter().map(|p| p[1]).collect());
    assert!((model - measured).abs() < 5.0, "coldest at {model} s, measured {measured} s");
}
