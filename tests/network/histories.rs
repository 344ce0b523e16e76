//! How a fault came about, where the answer depends on it.
//! F: closed form or identity, C: consistency of two independent ways; no outside value.

use crate::cars::{car, hole, network, rpm};
use sim::control::Command;
use sim::network::{Network, Place, Reading};
use sim::scenario::{Event, History};
use sim::solve::implicit::Tolerance;
use sim::solve::stability::growth;
use sim::study::asking::branches::map;
use sim::study::running::simulate::{Comparison, Side};

fn gasket(diameter: f64) -> Network<f64> {
    let leaks = vec![hole(Place::ManifoldGasket, diameter)];
    network(&car("brindle-16"), leaks, Command::IDLE)
}

/// The car's leak opens after 5 s, all at once or over `ramp` seconds.
fn opening(ramp: f64) -> Event {
    Event {
        time: 5.0,
        leak: Some(0.0),
        fault: None,
        from: None,
        to: 1.0,
        ramp,
    }
}

fn of(side: &Side, reading: Reading) -> f64 {
    side.readings.get(reading).unwrap()
}

fn at(car: &Network<f64>, history: History, command: Command) -> Option<Side> {
    let cars = Comparison::having(car, history);
    cars.point("", command).faulty?.ok()
}

/// C: with a small hole there is one answer, and each history must come to it by its own way:
/// following, running on from the healthy engine, starting from rest.
#[test]
fn a_small_hole_is_the_same_whatever_its_history() {
    let car = gasket(1.5e-3);
    for command in [
        Command::IDLE,
        Command::full_load(rpm(4500.0)),
        Command::torque(250.0, 45.0),
    ] {
        let [grown, sudden, restarted] =
            [History::Grown, History::Sudden, History::Restarted].map(|h| at(&car, h, command));
        let grown = grown.unwrap();
        for other in [sudden.unwrap(), restarted.unwrap()] {
            for reading in [
                Reading::Lambda,
                Reading::FuelTrim,
                Reading::Boost,
                Reading::MeteredAir,
            ] {
                let (a, b) = (of(&grown, reading), of(&other, reading));
                assert!(
                    (a - b).abs() < 1e-6 * a.abs().max(1.0),
                    "{reading:?} {a} {b}"
                );
            }
        }
    }
}

/// C: what is followed does not hang on how far the search goes: a car compared on its way to a
/// larger hole is the car compared alone.
#[test]
fn a_size_is_the_same_on_the_way_to_any_other() {
    for command in [Command::IDLE, Command::full_load(rpm(4500.0))] {
        let sound = Comparison::new(&gasket(1e-3));
        for size in [4e-3, 9e-3, 12.5e-3, 14e-3] {
            let alone = at(&gasket(size), History::Grown, command);
            let beside = sound
                .instead(&gasket(size))
                .point("", command)
                .faulty
                .unwrap()
                .ok();
            assert_eq!(alone.is_some(), beside.is_some());
            if let (Some(a), Some(b)) = (alone, beside) {
                assert_eq!(
                    a.readings.values.map(f64::to_bits),
                    b.readings.values.map(f64::to_bits)
                );
            }
        }
    }
}

/// C: the map holds what each history comes to with the same learning, found by runs of the engine
/// from many starts that the curves know nothing of; where the fastest disturbance dies away the
/// state counts as one in which the engine stays.
#[test]
fn a_map_holds_what_many_starts_find() {
    let car = gasket(12e-3);
    let mut fresh = car.clone();
    fresh.command.learning = false;
    let cars = Comparison::new(&fresh);
    let command = Command::full_load(rpm(4500.0));
    let map = map(&cars, "", command).unwrap();
    let whole = fresh.with(cars.command(command, true));
    let mut found = Vec::new();
    for step in 0..24 {
        let mut x = sim::State::from(whole.start());
        // Deterministic starts over turbo speed, throttle, wastegate and boost memory.
        let part = |k: usize| (step * k % 7) as f64 / 6.0;
        use sim::network::layout::state;
        x[state::SHAFT] = 2000.0 + 14_000.0 * part(3);
        x[state::WASTEGATE] = part(2);
        x[state::DUTY] = 0.6 * part(5) - 0.3;
        x[state::TRIM] = 0.4 * part(4) - 0.2;
        let Ok(rest) = sim::steady(&whole, &x) else {
            continue;
        };
        if growth(&whole, &rest.state).is_some_and(|at| at.growth < 1e-5) {
            found.push(rest.state);
        }
    }
    assert!(!found.is_empty());
    let ends = map.curves.iter().flat_map(|curve| &curve.places);
    let ends: Vec<_> = ends.filter(|here| here.share > 1.0 - 1e-9).collect();
    for state in &found {
        let on_map = ends
            .iter()
            .any(|here| sim::study::running::history::apart(&here.side.state, state) < 1e-5);
        assert!(on_map, "a start found a state that the map has not");
    }
    let jumps = map.jumps.iter().map(|jump| jump.share);
    println!(
        "{} states, {} curves, jumps {:?}",
        found.len(),
        map.curves.len(),
        jumps.collect::<Vec<_>>()
    );
}

/// C: a drive that opens the hole slowly and one that opens it at once, on an engine held at full
/// load, end where the histories say.
#[test]
fn drives_end_where_the_histories_say() {
    for size in [6e-3, 11e-3] {
        let mut car = gasket(size);
        // Just happened: a held full load teaches the computer nothing.
        car.command.learning = false;
        let held = Command::full_load(rpm(4500.0));
        let plan = [("held".to_string(), vec![(500.0, held)])];
        for (ramp, history) in [(300.0, History::Grown), (0.0, History::Sudden)] {
            let cars = Comparison::having(&car, history);
            let event = opening(ramp);
            let course = (&plan[..], &[event][..]);
            let trace = cars
                .drive(true, course, (1.0, Tolerance::default()))
                .unwrap();
            assert_eq!(trace.failure, None);
            let wanted = cars.point("", held).faulty.unwrap().unwrap();
            let first = trace.samples.first().unwrap();
            let last = trace.samples.last().unwrap();
            for reading in [
                Reading::Torque,
                Reading::Lambda,
                Reading::Boost,
                Reading::MeteredAir,
            ] {
                let (end, want) = (last.readings.get(reading).unwrap(), of(&wanted, reading));
                assert!(
                    (end - want).abs() < 2e-4 * want.abs(),
                    "{size} {history} {reading:?} {end} {want}"
                );
            }
            // It began healthy.
            let healthy = cars.point("", held).healthy.unwrap();
            let begun = first.readings.get(Reading::Torque).unwrap();
            assert!(
                (begun - of(&healthy, Reading::Torque)).abs() < 1e-3,
                "{begun}"
            );
        }
    }
}

/// F: a hole that opens and closes again leaves the engine as it was.
#[test]
fn a_hole_that_closes_leaves_no_trace() {
    let mut car = gasket(5e-3);
    car.command.learning = false;
    let held = Command::full_load(rpm(3500.0));
    let plan = [("held".to_string(), vec![(120.0, held)])];
    let event = |time, to| Event {
        time,
        leak: Some(0.0),
        fault: None,
        from: None,
        to,
        ramp: 2.0,
    };
    let events = [event(5.0, 1.0), event(20.0, 0.0)];
    let cars = Comparison::new(&car);
    let pace = (1.0, Tolerance::default());
    let trace = cars.drive(true, (&plan[..], &events[..]), pace).unwrap();
    let torque = |i: usize| trace.samples[i].readings.get(Reading::Torque).unwrap();
    assert!((torque(15) - torque(0)).abs() > 1.0);
    assert!(
        (torque(120) - torque(0)).abs() < 0.02,
        "{} {}",
        torque(120),
        torque(0)
    );
}

/// Speeds of an engine that is left alone at idle for two minutes, rpm; none if it stalls.
fn idles(cars: &Comparison, events: &[Event]) -> Option<(f64, f64)> {
    let plan = [("idle".to_string(), vec![(600.0, Command::IDLE)])];
    let pace = (1.0, Tolerance::default());
    let trace = cars.drive(true, (&plan[..], events), pace).unwrap();
    let speed = |i: usize| trace.samples[i].readings.get(Reading::EngineSpeed).unwrap();
    let ends = (481..=600).map(|i| {
        if i < trace.samples.len() {
            speed(i)
        } else {
            0.0
        }
    });
    let ends = ends.fold((f64::MAX, 0.0_f64), |ends, n| {
        (ends.0.min(n), ends.1.max(n))
    });
    trace.failure.is_none().then_some(ends)
}

/// C: where the map says that an engine swings away from a steady state, one that is left alone there
/// does, hunting or stalling; beside it one stays.
#[test]
fn an_engine_swings_where_the_map_says() {
    let cars = Comparison::new(&gasket(9e-3));
    let idle = map(&cars, "", Command::IDLE).unwrap();
    let ranges: Vec<_> = idle
        .curves
        .iter()
        .flat_map(|curve| curve.swings())
        .collect();
    let mm = |share: f64| 9.0 * share;
    let [(from, to)] = ranges[..] else {
        panic!("{ranges:?}")
    };
    println!("swings from {:.2} to {:.2} mm", mm(from), mm(to));
    for (size, stays) in [
        (from * 9e-3 - 0.2e-3, true),
        (0.5 * (from + to) * 9e-3, false),
        (to * 9e-3 + 1e-3, true),
    ] {
        let cars = Comparison::new(&gasket(size));
        // Pushed a little: the last of the hole opens.
        let push = Event {
            time: 5.0,
            leak: Some(0.0),
            fault: None,
            from: Some(0.999),
            to: 1.0,
            ramp: 0.0,
        };
        let speeds = idles(&cars, &[push]);
        let still = speeds.is_some_and(|(low, high)| high - low < 1.0);
        assert_eq!(still, stays, "{size} {speeds:?}");
    }
    // While the hole grows nothing of the engine is left behind by a jump.
    assert!(idle.jumps.is_empty());
}

/// C: the wastegate stands shut from 13.0 mm on, and the boost controller's memory runs to its stop
/// there, within days: no jump of the engine, on no way.
#[test]
fn a_memory_that_nothing_hangs_on_is_no_jump() {
    let cars = Comparison::new(&gasket(14e-3));
    let full = map(&cars, "", Command::full_load(rpm(4500.0))).unwrap();
    let jumps: Vec<f64> = full.jumps.iter().map(|jump| 14.0 * jump.share).collect();
    assert!(jumps.is_empty(), "{jumps:?}");
}

/// C: at idle, too, a hole that opens slowly and one that opens at once end where their histories
/// say: the one on a roughly running engine, the other, where that is so, on one that stalls.
#[test]
fn an_idle_ends_where_the_histories_say() {
    for size in [4e-3, 8e-3] {
        let mut car = gasket(size);
        car.command.learning = false;
        for (ramp, history) in [(450.0, History::Grown), (0.0, History::Sudden)] {
            let cars = Comparison::having(&car, history);
            let event = opening(ramp);
            let speeds = idles(&cars, &[event]);
            let wanted = cars.point("", Command::IDLE).faulty.unwrap();
            match (&wanted, speeds) {
                (Ok(side), Some((low, high))) => {
                    let speed = of(side, Reading::EngineSpeed);
                    let off = (low - speed).abs().max((high - speed).abs());
                    assert!(off < 0.5, "{size} {history}: {low} to {high}, {speed}");
                }
                (Ok(_), None) => panic!("{size} {history}: stalls, and should run"),
                (Err(_), Some((low, high))) => {
                    assert!(high - low > 20.0, "{size} {history}: {low} to {high}");
                }
                (Err(_), None) => {}
            }
            println!("{size} {history}: {:?} {speeds:?}", wanted.is_ok());
        }
    }
}
