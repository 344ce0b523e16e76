//! Faults that grow with flow. F: closed form; P: common practice, no source.

use crate::cars::{ailing, car, cars, rpm};
use sim::control::{Command, TrimCarried};
use sim::network::readings::Reading as R;
use sim::network::{FaultKind, Network, Vehicle};
use sim::study::running::simulate::{Comparison, Side};

fn at(network: &Network<f64>, command: Command) -> Side {
    Comparison::new(network)
        .point("", command)
        .faulty
        .unwrap()
        .unwrap()
}

fn is(side: &Side, reading: R) -> f64 {
    side.readings.get(reading).unwrap()
}

fn full(n: f64) -> Command {
    Command::full_load(rpm(n))
}

fn cruise() -> Command {
    Command::torque(250.0, 42.0)
}

/// Where no trim is carried, full load shows what is missing.
fn uncarried(vehicle: &Vehicle) -> Vehicle {
    Vehicle {
        trim_carried: TrimCarried::None,
        ..vehicle.clone()
    }
}

/// What a weak pump leaves out (F, Bernoulli: c/√(1 + k c²)) is little at idle and most at full load
/// and high speed, where no trim makes up for it.
#[test]
fn a_weak_pump_is_right_at_idle_and_lean_where_the_engine_drinks_most() {
    for vehicle in cars() {
        let share = 0.8;
        let weak = ailing(&uncarried(&vehicle), FaultKind::FuelSupply, share);
        let healthy = ailing(&uncarried(&vehicle), FaultKind::FuelSupply, 1.0);
        let leaner = |n| is(&at(&weak, full(n)), R::Lambda) / is(&at(&healthy, full(n)), R::Lambda);
        let [slow, fast] = [2000.0, 5000.0].map(leaner);
        let idle = is(&at(&weak, Command::IDLE), R::FuelTrim);
        let before = is(&at(&healthy, Command::IDLE), R::FuelTrim);
        let [_, most] = vehicle.largest_flows();
        // What is commanded is what arrives over what is left of it: solved for c.
        let lost = 1.0 / (share * share) - 1.0;
        let fuel = is(&at(&weak, full(5000.0)), R::Fuel) / 1e3;
        let left = (1.0 - lost * (fuel / most).powi(2)).sqrt();
        println!(
            "{} {slow} {fast} {} {idle} {before}",
            vehicle.name,
            1.0 / left
        );
        assert!((idle - before).abs() < 0.5, "{idle} {before}");
        assert!(fast > slow + 0.02 && fast > 1.08, "{slow} {fast}");
        assert!((fast * left - 1.0).abs() < 0.01, "{fast} {left}");
    }
}

/// A meter that is dull at high flow only counts idle right and full load short: with a trim learnt
/// at light cruise full load is lean, which one that reads low everywhere does not make.
#[test]
fn a_meter_that_is_dull_at_high_flow_leaves_full_load_lean() {
    let vehicle = car("brindle-16");
    let of = |kind, severity| ailing(&vehicle, kind, severity);
    let [dull, low] = [
        of(FaultKind::MeterAtHighFlow, 0.85),
        of(FaultKind::MeterReads, 0.85),
    ];
    let healthy = of(FaultKind::MeterReads, 1.0);
    let change = |car: &Network<f64>, command, reading| {
        is(&at(car, command), reading) - is(&at(&healthy, command), reading)
    };
    assert!(change(&dull, Command::IDLE, R::FuelTrim) < 0.6);
    let [cruising, pulling] = [cruise(), full(5000.0)];
    assert!((1.0..5.0).contains(&change(&dull, cruising, R::FuelTrim)));
    let [lean, right] = [&dull, &low].map(|car| change(car, pulling, R::Lambda));
    assert!(lean > 0.06 && right.abs() < 0.02, "{lean} {right}");
    // F: in proportion to the flow.
    let side = at(&dull, pulling);
    let [most, _] = vehicle.largest_flows();
    let true_air = side.ledger.metered_in / 1e3;
    let expected = true_air * (1.0 - 0.15 * true_air / most);
    let read = is(&side, R::MeteredAir) / 1e3;
    assert!((read / expected - 1.0).abs() < 1e-6, "{read} {expected}");
}

/// The largest flows are near what the model takes at full load, where that is most.
#[test]
fn the_largest_flows_are_those_of_full_load() {
    for vehicle in cars() {
        let healthy = ailing(&vehicle, FaultKind::MeterReads, 1.0);
        let flows = [4500.0, 5500.0, 6000.0].map(|n| {
            let side = at(&healthy, full(n));
            [is(&side, R::EngineAir), is(&side, R::Fuel)].map(|flow| flow / 1e3)
        });
        for (i, said) in vehicle.largest_flows().into_iter().enumerate() {
            let most = flows.iter().map(|flow| flow[i]).fold(0.0, f64::max);
            println!("{} {said} {most}", vehicle.name);
            assert!((said / most - 1.0).abs() < 0.2, "{said} {most}");
        }
    }
}
