//! The engine computer: trims, boost control, watchdogs, overrun. Sources beside
//! each check; P: common practice, no source; F: closed form.

use crate::cars::{ailing, car, cars, hole, network, rpm, with_boost};
use sim::control::{BoostControl, Code, Command};
use sim::network::readings::Reading as R;
use sim::network::{Fault, FaultKind, Place, Vehicle};
use sim::study::running::simulate::{Comparison, PointResult, Side};

const MM: f64 = 1e-3;

fn is(side: &Side, reading: R) -> f64 {
    side.readings.get(reading).unwrap()
}

fn both(result: PointResult) -> (Side, Side) {
    (result.healthy.unwrap(), result.faulty.unwrap().unwrap())
}

fn cruise() -> Command {
    Command::torque(rpm(2500.0), 45.0)
}

/// Trim arithmetic (F), by the definition of the trim: fuel that follows the meter, times
/// 1 + trim, is what the air that the engine breathes needs.
#[test]
fn trims_are_the_arithmetic_of_the_models_own_flows() {
    let mut car = car("brindle-16");
    // Blow-by brings fuel of its own; without it the closed form is exact.
    car.cylinders.blow_by_area = 0.0;
    let trims = |place, diameter, command| {
        let network = network(&car, vec![hole(place, diameter)], Command::IDLE);
        let (_, faulty) = both(Comparison::new(&network).point("", command));
        let engine = faulty.ledger.engine;
        (is(&faulty, R::FuelTrim) / 100.0, engine, faulty.ledger)
    };
    for (diameter, command) in [(2.0, Command::IDLE), (4.0, cruise()), (6.0, cruise())] {
        let (trim, engine, ledger) = trims(Place::ManifoldGasket, diameter * MM, command);
        let expected = ledger.unmetered_in / (engine - ledger.unmetered_in);
        assert!(
            expected > 0.01 && (trim - expected).abs() < 1e-6,
            "{trim} {expected}"
        );
    }
    for diameter in [3.0, 8.0] {
        let (trim, engine, ledger) = trims(
            Place::ColdPipe,
            diameter * MM,
            Command::torque(rpm(3000.0), 90.0),
        );
        let expected = -ledger.lost / (engine + ledger.lost);
        assert!(
            expected < -0.01 && (trim - expected).abs() < 1e-6,
            "{trim} {expected}"
        );
    }
}

#[test]
fn long_term_trim_learns_what_short_term_asks_and_is_carried_into_open_loop() {
    let leak = || vec![hole(Place::ManifoldGasket, 1.2 * MM)];
    let learned = Comparison::new(&network(&car("brindle-16"), leak(), Command::IDLE));
    let fresh = Command {
        learning: false,
        ..Command::IDLE
    };
    let fresh = Comparison::new(&network(&car("brindle-16"), leak(), fresh));
    for command in [Command::IDLE, cruise()] {
        let (_, old) = both(learned.point("", command));
        let (_, new) = both(fresh.point("", command));
        assert!(is(&old, R::ShortTrim).abs() < 1e-6 && is(&old, R::LongTrim) > 1.0);
        assert!(is(&new, R::LongTrim).abs() < 1.0 && is(&new, R::ShortTrim) > 1.0);
        let gap = is(&old, R::FuelTrim) - is(&new, R::FuelTrim);
        assert!(gap.abs() < 1e-6, "the sum is what the mixture needs: {gap}");
    }
    let (_, cruising) = both(learned.point("", cruise()));
    let (_, pulling) = both(learned.point("", Command::full_load(rpm(3500.0))));
    assert!(is(&pulling, R::ShortTrim).abs() < 1e-9, "open loop");
    assert!(is(&pulling, R::LongTrim) > 0.3 * is(&cruising, R::LongTrim));
    assert!(
        is(&pulling, R::Lambda) < 0.9,
        "richer than without the long-term trim"
    );
}

#[test]
fn a_leak_beyond_the_trims_range_runs_both_to_their_stops() {
    let network = network(
        &car("brindle-16"),
        vec![hole(Place::ManifoldGasket, 3.0 * MM)],
        Command::IDLE,
    );
    let (_, idle) = both(Comparison::new(&network).point("", Command::IDLE));
    let v = &network.vehicle.fuelling;
    assert!((is(&idle, R::LongTrim) / 100.0 - v.learning_limit).abs() < 1e-6);
    assert!((is(&idle, R::ShortTrim) / 100.0 - v.trim_limit).abs() < 1e-6);
    assert!(is(&idle, R::LambdaSensor) > 1.02, "lean for good");
    assert!(idle.codes.contains(&Code::Lean) && idle.codes.contains(&Code::LeanAtIdle));
}

/// One outward leak, three ways to command boost, three stories.
#[test]
fn the_same_outward_leak_tells_three_stories() {
    use sim::study::running::explain::{explain, reasons};
    use sim::study::running::reasons::Reason;
    for car in cars() {
        let at = |control| {
            let car = with_boost(&car, control);
            let network = network(&car, vec![hole(Place::ColdPipe, 4.0 * MM)], Command::IDLE);
            let command = Command::full_load(rpm(3500.0));
            let (h, f) = both(Comparison::new(&network).point("", command));
            let story = explain(&h, &f, &car, &command);
            println!("{} {control}: {story}", car.name);
            let kept = |reason: &Reason| matches!(reason, Reason::BoostKept(_));
            assert_eq!(
                reasons(&h, &f, &car, &command).iter().any(kept),
                story.contains("the gauge hides it")
            );
            let change = |reading| is(&f, reading) - is(&h, reading);
            (
                change(R::Boost),
                change(R::WastegateDuty),
                change(R::AbsoluteLoad),
                story,
            )
        };
        let (boost, duty, _, story) = at(BoostControl::ClosedLoop);
        assert!(
            boost.abs() < 0.1 && duty > 0.5,
            "boost is held by more duty"
        );
        assert!(story.contains("the gauge hides it"));
        let (boost, duty, _, story) = at(BoostControl::FixedDuty);
        assert!(boost < -0.5 && duty.abs() < 1e-6, "boost falls");
        assert!(
            story.contains("Boost is ") && story.contains(" lower"),
            "{story}"
        );
        let (boost, duty, counted, story) = at(BoostControl::CountedCharge);
        assert!(counted.abs() < 0.2, "counted charge is held: {counted}");
        match car.metering {
            // The lost air was counted: the engine is under-filled and the duty goes down.
            sim::control::Metering::AirFlowMeter => {
                assert!(boost < -2.0 && duty < -0.5, "{boost} {duty}");
                assert!(
                    story.contains("Boost is ") && story.contains(" lower"),
                    "{story}"
                );
            }
            // Counted by manifold pressure, it is as if boost itself were held.
            sim::control::Metering::SpeedDensity => assert!(boost.abs() < 0.5 && duty > 0.5),
        }
    }
}

/// Spring only: nothing answers to the lost boost (force balance).
#[test]
fn with_the_spring_alone_an_outward_leak_costs_boost_and_no_duty_shows() {
    for car in cars() {
        let car = with_boost(&car, BoostControl::Spring);
        let network = network(&car, vec![hole(Place::ColdPipe, 6.0 * MM)], Command::IDLE);
        let command = Command::full_load(rpm(3500.0));
        let (h, f) = both(Comparison::new(&network).point("", command));
        assert!(is(&f, R::Boost) < is(&h, R::Boost) - 0.3);
        assert_eq!(is(&h, R::WastegateDuty), 0.0);
        assert_eq!(is(&f, R::WastegateDuty), 0.0);
    }
}

/// Injectors that cannot follow: fuel stands at their limit and the mixture goes lean
/// by the ratio (F).
#[test]
fn injectors_at_their_limit_leave_full_load_lean() {
    for mut car in cars() {
        let command = Command::full_load(rpm(4500.0));
        let free = Comparison::new(&network(&car, vec![], Command::IDLE)).point("", command);
        let free = free.healthy.unwrap();
        car.fuelling.injector_limit = 0.8 * is(&free, R::Fuel) * 1e-3;
        let held = Comparison::new(&network(&car, vec![], Command::IDLE)).point("", command);
        let held = held.healthy.unwrap();
        let fuel = is(&held, R::Fuel) * 1e-3 / car.fuelling.injector_limit;
        assert!((fuel - 1.0).abs() < 1e-4, "{fuel}");
        let expected = car.fuelling.full_load_lambda / 0.8;
        let lambda = is(&held, R::Lambda);
        assert!(
            (lambda / expected - 1.0).abs() < 0.02,
            "{lambda} {expected}"
        );
        assert!(held.codes.contains(&Code::LeanAtLoad), "{:?}", held.codes);
    }
}

/// Lean, over-boost, over-speed and exhaust heat under full load are each cautioned.
#[test]
fn what_endangers_the_engine_is_said() {
    use sim::study::running::dangers::Hazard;
    let car = car("brindle-16");
    let said = |car: &Vehicle, faults: Vec<(FaultKind, f64)>, hazard: Hazard, words: &str| {
        let faults = faults.into_iter();
        let faults = faults.map(|(kind, severity)| Fault { kind, severity });
        let network = network(car, vec![], Command::IDLE).ailing(faults.collect());
        let command = Command {
            reduced: false,
            ..Command::full_load(rpm(5000.0))
        };
        let side = Comparison::new(&network)
            .point("", command)
            .faulty
            .unwrap()
            .unwrap();
        assert!(
            (side.dangers.iter()).any(|d| d.hazard == hazard && d.words().contains(words)),
            "{words}: {:?}",
            side.dangers
        );
    };
    said(
        &car,
        vec![(FaultKind::FuelDelivery, 0.6)],
        Hazard::LeanUnderBoost,
        "Lean under boost: lambda",
    );
    // The computer cuts this one; what it cuts is said all the same.
    said(
        &car,
        vec![(FaultKind::WastegateStuckShut, 0.0)],
        Hazard::Overboost,
        "kPa is wanted and",
    );
    let mut frail = car.clone();
    frail.shaft.speed_limit = 12e3;
    said(
        &frail,
        vec![(FaultKind::RestrictedCooler, 1.5)],
        Hazard::TurboOverspeed,
        "over its speed limit",
    );
    let mut tender = car.clone();
    tender.shaft.temperature_limit = 1100.0;
    said(
        &tender,
        vec![(FaultKind::RestrictedCooler, 1.5)],
        Hazard::ExhaustHeat,
        "before the turbine",
    );
}

/// A sensor that reads far too low stands at vacuum: an answer or a reason, never a NaN.
#[test]
fn a_sensor_below_vacuum_gives_an_answer_or_a_reason() {
    for car in cars() {
        for offset in [-10e3, -20e3, -30e3] {
            let cars = Comparison::new(&ailing(&car, FaultKind::ManifoldSensor, offset));
            for (_, command) in crate::cars::points() {
                if let Some(Ok(side)) = cars.point("", command).faulty {
                    assert!(is(&side, R::Manifold) >= 0.0);
                    assert!(is(&side, R::Fuel).is_finite() && is(&side, R::Torque).is_finite());
                }
            }
        }
    }
}

#[test]
fn unmetered_air_makes_control_by_counted_charge_overboost() {
    let car = with_boost(&car("brindle-16"), BoostControl::CountedCharge);
    let network = network(&car, vec![hole(Place::InletDuct, 14.0 * MM)], Command::IDLE);
    let (h, f) = both(Comparison::new(&network).point("", Command::full_load(rpm(3500.0))));
    let boost = is(&f, R::Boost) - is(&h, R::Boost);
    assert!(boost > 2.0, "over-boost: {boost} kPa");
    assert!(is(&f, R::ShaftSpeed) > is(&h, R::ShaftSpeed));
}

#[test]
fn a_sound_car_sets_no_code_and_keeps_clear_of_every_threshold() {
    for car in cars() {
        let cars = Comparison::new(&network(&car, vec![], Command::IDLE));
        for (name, command) in crate::cars::points() {
            let side = cars.point(&name, command).healthy.unwrap();
            assert!(side.codes.is_empty(), "{name}: {:?}", side.codes);
            let levels = side.levels.iter().flatten();
            let closest = levels.fold(0.0_f64, |a, b| a.max(*b));
            assert!(closest < 0.75, "{} {name}: {closest}", car.name);
        }
    }
}

/// Each look-alike and leak with the code that the trade expects of it (P; P0507 and
/// the trim codes by their names in SAE J2012).
#[test]
fn faults_set_the_codes_they_are_known_for() {
    use FaultKind as A;
    let metered = car("brindle-16");
    let pull = Command::full_load(rpm(3500.0));
    let cases = [
        (A::MeterReads, 0.70, pull, Code::LeanAtLoad),
        (A::MeterReads, 0.70, cruise(), Code::AirFlow),
        (A::MeterReads, 0.80, cruise(), Code::Lean),
        (A::MeterReads, 1.30, cruise(), Code::Rich),
        (A::FuelDelivery, 0.75, cruise(), Code::Lean),
        (A::FuelDelivery, 0.65, pull, Code::LeanAtLoad),
        (A::WastegateStuckOpen, 0.8, pull, Code::Underboost),
        (
            A::WastegateStuckShut,
            0.0,
            Command::full_load(rpm(5000.0)),
            Code::Overboost,
        ),
        (A::RecirculationStuckOpen, 0.6, pull, Code::Underboost),
        (A::BoostSensor, -25e3, pull, Code::ManifoldPressure),
        (
            A::WornTurbo,
            0.55,
            Command::full_load(rpm(2500.0)),
            Code::Underboost,
        ),
    ];
    for (kind, severity, command, code) in cases {
        let (_, f) = both(Comparison::new(&ailing(&metered, kind, severity)).point("", command));
        let levels = f.levels[code as usize];
        assert!(
            f.codes.contains(&code),
            "{} {severity}: {code} {levels:?}, set {:?}",
            kind.key(),
            f.codes
        );
    }
    // Counting by manifold pressure keeps the mixture right, so that the engine runs
    // away on the air; with a meter it goes lean first.
    let expected = [(Code::LeanAtIdle, 3.0), (Code::IdleHigh, 7.0)];
    for (car, (code, mm)) in cars().into_iter().zip(expected) {
        let leak = vec![hole(Place::VacuumLine, mm * MM)];
        let network = network(&car, leak, Command::IDLE);
        let (_, idle) = both(Comparison::new(&network).point("", Command::IDLE));
        assert!(idle.codes.contains(&code), "{:?}", idle.codes);
    }
}

#[test]
fn every_look_alike_at_its_sound_value_changes_nothing() {
    for car in cars() {
        let sound = Comparison::new(&network(&car, vec![], Command::IDLE));
        for &kind in FaultKind::ALL {
            let cars = Comparison::new(&ailing(&car, kind, kind.healthy()));
            for command in [Command::IDLE, Command::full_load(rpm(3000.0))] {
                let expected = sound.point("", command).healthy.unwrap();
                let (_, f) = both(cars.point("", command));
                let gap = is(&f, R::Torque) - is(&expected, R::Torque);
                assert!(gap.abs() < 1e-6, "{}: {gap}", kind.key());
            }
        }
    }
}
