//! Readings across speed and load, and the compressor map.

use crate::cars::{car, network};
use sim::control::Command;
use sim::medium::GasState;
use sim::network::layout::Node;
use sim::network::{Network, Reading};
use sim::study::asking::across::{Across, Load, REFERENCE};
use sim::study::judging::diagnose::garage::{Chance, another};
use sim::study::knowing::doubt::CarDoubt;
use sim::study::running::simulate::Comparison;

fn sound() -> Network<f64> {
    network(&car("brindle-16"), Vec::new(), Command::IDLE)
}

/// Similarity: a working point, corrected, lies on the map taken with reference air. What is left
/// is the humidity and warmth of the gas properties.
#[test]
fn working_points_lie_on_the_map() {
    let cars = Comparison::new(&sound());
    let across = Across::new(&cars);
    let moment = cars.network.evaluate(&cars.network.start());
    let air = GasState {
        temperature: REFERENCE.0,
        pressure: REFERENCE.1,
        ..*moment.gases.at(Node::Inlet)
    };
    for speed in [200.0, 300.0, 366.5, 500.0] {
        let spot = across.spot(Load::Full, speed);
        let at = spot.compressor[0].expect("runs");
        let stage = cars
            .network
            .vehicle
            .compressor
            .stage(&air, at.flow, at.speed);
        let mapped = stage.outlet_pressure / air.pressure;
        let apart = at.pressure_ratio / mapped - 1.0;
        assert!(apart.abs() < 2e-3, "{speed}: {apart:.2e}");
    }
    for line in across.map(14_000.0) {
        let last = line.points.last().unwrap();
        // No pressure, but for the 32 J/kg by which the law fades out where a wheel stands.
        assert!(
            (last.pressure_ratio - 1.0).abs() < 1e-3,
            "choke: {}",
            last.pressure_ratio
        );
        let falls = line
            .points
            .windows(2)
            .all(|p| p[1].pressure_ratio <= p[0].pressure_ratio);
        assert!(falls, "right of surge a speed line falls");
    }
}

/// The band is 95 % of drawn cars: of 200, 95 % ± 3 deviations of the count, and what a band
/// straight in the doubts misses.
#[test]
fn the_band_holds_cars_drawn_from_the_make() {
    let car = sound();
    let cars = Comparison::new(&car);
    let across = Across::new(&cars);
    let doubt = CarDoubt::usual(&car, 1.0);
    let spot = across.spot(Load::Full, 366.5);
    let (middle, spread) = (spot.sound.expect("runs"), spot.spread.expect("regular"));
    let mut chance = Chance::new(9);
    let read = [Reading::MeteredAir, Reading::Torque, Reading::ShaftSpeed];
    let mut inside = [0; 3];
    for _ in 0..200 {
        let drawn = Comparison::new(&another(&car, &doubt, &mut chance));
        let side = Across::new(&drawn)
            .spot(Load::Full, 366.5)
            .sound
            .expect("runs");
        for (count, reading) in inside.iter_mut().zip(read) {
            let apart =
                side.readings.values[reading as usize] - middle.readings.values[reading as usize];
            *count += i32::from(apart.abs() <= spread[reading as usize]);
        }
    }
    assert!(
        inside.iter().all(|count| (178..=199).contains(count)),
        "{inside:?}"
    );
}
