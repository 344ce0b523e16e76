//! What the engine computer cannot know: how damp the air is, and what is in the tank. By hand, from
//! molar masses (iupac2021: air 28.96, water 18.015 g/mol), saturated vapour (7.384 kPa at 40 °C,
//! 2.339 kPa at 20 °C, steam tables, from memory) and air-fuel ratios (petrol 14.6, ethanol 9.0:
//! heywood1988 table D.4, from memory).

use crate::cars::{cars, network, rpm};
use sim::control::metering::STANDARD_WATER;
use sim::control::{Command, Metering, TrimCarried};
use sim::medium::FuelKind;
use sim::network::readings::Reading as R;
use sim::network::{Network, Vehicle};
use sim::scenario::Surroundings;
use sim::study::running::simulate::Comparison;

fn healthy(network: &Network<f64>, command: Command, reading: R) -> f64 {
    let side = Comparison::new(network).point("", command).healthy;
    side.unwrap().readings.get(reading).unwrap()
}

fn cruise() -> Command {
    Command::torque(rpm(2400.0), 45.0)
}

/// Mole and mass fraction of water in air of this saturation pressure, Pa, and humidity.
fn water(saturated: f64, humidity: f64) -> [f64; 2] {
    let x = humidity * saturated / 101_325.0;
    [x, x * 18.015 / (x * 18.015 + (1.0 - x) * 28.96)]
}

fn in_air(vehicle: &Vehicle, around: &Surroundings, assumed: f64) -> Network<f64> {
    let mut vehicle = vehicle.clone();
    vehicle.meter.assumed_water = assumed;
    Network::new(vehicle, vec![], around.ambient(), Command::IDLE)
}

/// A meter weighs the vapour with the air, so too much fuel is dosed by its mass fraction: 4.2 % at
/// 40 °C and 90 % for a computer that takes the air for dry. Manifold pressure counts molecules, so
/// there it is the mole fraction, 6.6 %.
#[test]
fn damp_air_makes_the_mixture_rich_by_the_vapour_that_is_counted() {
    let close = Surroundings {
        temperature: 313.15,
        humidity: 0.9,
        ..Surroundings::STANDARD
    };
    let (damp, usual) = (water(7384.0, 0.9), water(2339.0, 0.4));
    for vehicle in cars() {
        let counted = match vehicle.metering {
            Metering::AirFlowMeter => 1,
            Metering::SpeedDensity => 0,
        };
        // What a table of volumetric efficiency misses in any air is there before.
        let usually = in_air(&vehicle, &Surroundings::STANDARD, STANDARD_WATER);
        let before = 1.0 + 0.01 * healthy(&usually, cruise(), R::FuelTrim);
        for (assumed, taken) in [(0.0, 0.0), (STANDARD_WATER, usual[counted])] {
            let car = in_air(&vehicle, &close, assumed);
            let fuel = 1.0 + 0.01 * healthy(&car, cruise(), R::FuelTrim);
            let trim = 100.0 * (fuel / before - 1.0);
            let expected = 100.0 * ((1.0 - damp[counted]) / (1.0 - taken) - 1.0);
            assert!((trim - expected).abs() < 0.15, "{trim} {expected}");
        }
    }
    assert!((100.0 * damp[1] - 4.2).abs() < 0.05);
}

/// Where nothing is said of the air it is what the computer takes it for, and no trim moves.
#[test]
fn standard_air_moves_no_trim() {
    let standard = Surroundings::STANDARD.ambient().water_mole_fraction;
    assert!((standard - STANDARD_WATER).abs() < 1e-12, "{standard:?}");
    let metered = &cars()[0];
    let car = in_air(metered, &Surroundings::STANDARD, STANDARD_WATER);
    let trim = healthy(&car, cruise(), R::FuelTrim);
    // Blow-by brings a little fuel of its own.
    assert!(trim.abs() < 0.3, "{trim}");
}

/// A tenth of ethanol by volume, 10.6 % by mass, takes less air a kilogram: 4.2 % more fuel in closed
/// loop; at full load, where that trim is not carried, so much leaner.
#[test]
fn ethanol_in_the_tank_is_learnt_in_closed_loop_and_missed_without_its_trim() {
    let share = 0.1 * 794.0 / (0.1 * 794.0 + 0.9 * 745.0);
    let expected: f64 = 14.6 / (14.6 - share * (14.6 - 9.0)) - 1.0;
    assert!((expected - 0.042).abs() < 0.001);
    for vehicle in cars() {
        let of = |carried, tank: Option<FuelKind>, command, reading| {
            let vehicle = Vehicle {
                trim_carried: carried,
                ..vehicle.clone()
            };
            let car = network(&vehicle, vec![], Command::IDLE);
            let car = tank.map_or(car.clone(), |kind| car.filled(&kind.fuel()));
            healthy(&car, command, reading)
        };
        let e10 = Some(FuelKind::E10);
        let change = |carried, command, reading| {
            of(carried, e10, command, reading) - of(carried, None, command, reading)
        };
        let trim = change(TrimCarried::All, cruise(), R::FuelTrim);
        assert!((trim - 100.0 * expected).abs() < 0.1, "{trim}");
        let full = Command::full_load(rpm(3500.0));
        let lambda = change(TrimCarried::All, full, R::Lambda);
        assert!(lambda.abs() < 0.003, "{lambda}");
        let lambda = change(TrimCarried::None, full, R::Lambda);
        let leaner = vehicle.fuelling.full_load_lambda * expected;
        assert!((lambda - leaner).abs() < 0.005, "{lambda} {leaner}");
    }
}

/// The petrol that the file names is no other fuel.
#[test]
fn the_fuel_that_the_computer_is_made_for_changes_nothing() {
    for vehicle in cars() {
        let car = network(&vehicle, vec![], Command::IDLE);
        let filled = car.filled(&vehicle.fuel);
        for reading in [R::FuelTrim, R::Lambda, R::Torque] {
            let [a, b] = [&car, &filled].map(|car| healthy(car, cruise(), reading));
            assert_eq!(a, b);
        }
    }
}
