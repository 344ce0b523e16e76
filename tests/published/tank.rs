//! Tank discharge and filling. F: closed form evaluated independently; C: Cantera
//! (Reservoir, Valve, Reactor) within 2e-5. R = 287.05, gamma = 1.4, Cd = 1.

use sim::flow::isentropic::critical_pressure_ratio;
use sim::flow::orifice::{Discharge, orifice, regime};
use sim::flow::{Flow, Regime};
use sim::medium::{Fuel, GasState, Medium};
use sim::solve::explicit::{Refused, advance, until};
use sim::study::running::tank::{Tank, TankGas, Wall, decay_flow};

const AIR: TankGas = TankGas::Perfect {
    gas_constant: 287.05,
    gamma: 1.4,
};
const AMBIENT: f64 = 101_325.0;
pub const T0: f64 = 293.15;

pub fn hole(diameter: f64, discharge: f64) -> impl Fn(&GasState<f64>, &GasState<f64>) -> Flow<f64> {
    let area = std::f64::consts::PI / 4.0 * diameter * diameter;
    move |a, b| orifice(area, Discharge::Constant(discharge), a, b)
}

fn close(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found / expected - 1.0).abs() < tolerance,
        "found {found}, expected {expected}"
    );
}

pub fn air() -> TankGas {
    let fuel = Fuel {
        hydrogen_per_carbon: 1.85,
        oxygen_per_carbon: 0.0,
        lower_heating_value: 44e6,
    };
    TankGas::Real(Box::new(Medium::new(&fuel, 0.0)))
}

fn discharge(from: f64, to: f64, wall: Wall) -> (f64, GasState<f64>) {
    let tank = Tank {
        volume: 8e-3,
        gas: AIR,
        wall,
    };
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
    close(
        discharge(200e3, 110e3, Wall::Adiabatic).1.temperature,
        247.120,
        1e-5,
    );
}

#[test]
fn against_the_atmosphere_a_vessel_is_choked_only_above_191_8_kpa() {
    close(AMBIENT / critical_pressure_ratio(1.4), 191.80e3, 1e-5); // F
    let at = |pressure| regime(&AIR.state(pressure, T0), &AIR.state(AMBIENT, T0));
    assert_eq!(at(191.9e3), Regime::Choked);
    assert_eq!(at(191.7e3), Regime::Turbulent);
}

#[test]
fn evacuated_insulated_vessel_filled_from_300_k() {
    // F: gamma T; real cp: C
    let filled = |gas: TankGas| {
        let outside = gas.state(AMBIENT, 300.0);
        let tank = Tank {
            volume: 8e-3,
            gas,
            wall: Wall::Adiabatic,
        };
        tank.run(0.1, 300.0, outside, hole(3e-3, 1.0))
            .time_to(100e3, 20.0)
            .unwrap()
            .1
            .temperature
    };
    close(filled(AIR), 420.00, 1e-5);
    close(filled(air()), 419.05, 3e-4);
}

#[test]
fn pressure_decay() {
    close(decay_flow(8e-3, 1e3, 60.0, 287.05, T0), 1.58450e-6, 1e-5); // F
    // The same by running it: a hole sized for 1 kPa a minute at 50 kPa gauge.
    let tank = Tank {
        volume: 8e-3,
        gas: AIR,
        wall: Wall::Isothermal,
    };
    let run = tank.run(
        AMBIENT + 50e3,
        T0,
        AIR.state(AMBIENT, T0),
        hole(0.08e-3, 1.0),
    );
    let end = run.trace(&[60.0]).unwrap()[0];
    let drop = AMBIENT + 50e3 - end.pressure;
    let mean = hole(0.08e-3, 1.0)(
        &AIR.state(AMBIENT, T0),
        &AIR.state(AMBIENT + 50e3 - drop / 2.0, T0),
    )
    .mass;
    close(decay_flow(8e-3, drop, 60.0, 287.05, T0), -mean, 1e-3);
}

/// F: what the gas takes from a light wall, the wall lacks; both end at one temperature.
#[test]
fn a_wall_with_heat_capacity_gives_up_its_heat() {
    let (volume, capacity) = (8e-3, 50.0);
    let tank = Tank {
        volume,
        gas: AIR,
        wall: Wall::Convection {
            area: 0.25,
            diameter: 0.2,
            temperature: 320.0,
            heat_capacity: capacity,
        },
    };
    let shut = |_: &GasState<f64>, _: &GasState<f64>| Flow::none();
    let run = tank.run(200e3, 280.0, AIR.state(AMBIENT, T0), shut);
    let end = run.trace(&[2000.0]).unwrap()[0];
    let gas = 200e3 * volume / 280.0 / 0.4; // m cv, J/K
    let mixed = (gas * 280.0 + capacity * 320.0) / (gas + capacity);
    // The last of the heat comes ever more slowly.
    close(end.temperature, mixed, 1e-4);
}

/// Why there is no answer, in so many words.
#[test]
fn a_run_that_cannot_answer_says_why() {
    let tank = Tank {
        volume: 8e-3,
        gas: AIR,
        wall: Wall::Adiabatic,
    };
    let outside = AIR.state(AMBIENT, T0);
    let run = tank.run(200e3, T0, outside, hole(3e-3, 1.0));
    let late = run.time_to(90e3, 6.0).unwrap_err();
    assert!(matches!(late, Refused::NoEvent { .. }), "{late}");
    let back = run.trace(&[2.0, 1.0]).unwrap_err();
    assert_eq!(back, Refused::WrongTime { time: 1.0 });
    let broken = |_: &GasState<f64>, _: &GasState<f64>| Flow {
        mass: f64::NAN,
        from_a: 1.0,
    };
    let refused = tank
        .run(200e3, T0, outside, broken)
        .trace(&[1.0])
        .unwrap_err();
    assert!(matches!(refused, Refused::NotFinite { .. }), "{refused}");
    // F: y' = -1e6 (y - 1), far past its transient, is stiff for any explicit method.
    let stiff = |y: &[f64; 1]| [-1e6 * (y[0] - 1.0)];
    let refused = advance(stiff, [0.5], 10.0).unwrap_err();
    assert!(matches!(refused, Refused::Stiff { .. }), "{refused}");
}

/// Closed forms (F): y' = -y to its end, where a dense output would have gone on
/// in a straight line, and the time at which it is a half.
#[test]
fn the_explicit_solver_ends_where_it_says() {
    let decay = |y: &[f64; 1]| [-y[0]];
    let start = [1.0];
    for duration in [0.1, 1.0, 7.3] {
        close(
            advance(decay, start, duration).unwrap()[0],
            (-duration).exp(),
            1e-9,
        );
    }
    let (time, state) = until(decay, start, 30.0, |y| y[0] - 0.5).unwrap();
    close(time, std::f64::consts::LN_2, 1e-9);
    close(state[0], 0.5, 1e-9);
}
