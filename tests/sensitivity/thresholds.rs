//! Thresholds: just below the size found the symptom is absent, just above it is
//! there, by solving those cars anew; and symptoms in words.

use crate::differences::{car, hole, points};
use sim::control::{Code, Command};
use sim::leak::{BowedCover, RingGap, Shape};
use sim::network::{Defect, Fault, FaultKind, Leak, Network, Place, Reading};
use sim::study::asking::sensitivity::{Sensitivity, named, quantities};
use sim::study::asking::threshold::{HOLES, Outcome, Symptom, Watch, tolerance};
use sim::study::running::simulate::{Comparison, Side};

/// What a symptom looks at, for a check by hand.
type Look = fn(&Side, &Side) -> f64;

fn read(side: &Side, reading: Reading) -> f64 {
    let read = side.unreduced.as_ref().unwrap_or(&side.readings);
    read.get(reading).unwrap_or(f64::NAN)
}

/// The text, and the margin as anyone would write it: not negative when it shows.
const SYMPTOMS: [(&str, Look); 6] = [
    ("fuel_trim_pct > 10", |_, now| {
        read(now, Reading::FuelTrim) - 10.0
    }),
    ("lambda off 0.03", |was, now| {
        (read(now, Reading::Lambda) - read(was, Reading::Lambda)).abs() - 0.03
    }),
    ("boost_kpa down 5", |was, now| {
        read(was, Reading::Boost) - read(now, Reading::Boost) - 5.0
    }),
    ("torque_nm down 3 %", |was, now| {
        let (was, now) = (read(was, Reading::Torque), read(now, Reading::Torque));
        if was.abs() < 1e-3 {
            -1.0
        } else {
            0.97 * was - now
        }
    }),
    ("P0171", |_, now| {
        now.levels[Code::Lean as usize].unwrap_or(0.0) - 1.0
    }),
    ("P0234", |_, now| {
        now.levels[Code::Overboost as usize].unwrap_or(0.0) - 1.0
    }),
];

/// Places whose holes do different things.
const PLACES: [Place; 8] = [
    Place::InletDuct,
    Place::RecirculationSeat,
    Place::RecirculationCover,
    Place::HotPipe,
    Place::ManifoldGasket,
    Place::WastegateSignal,
    Place::VentilationValve,
    Place::ExhaustManifold,
];

fn symptoms() -> Vec<Symptom> {
    SYMPTOMS
        .iter()
        .map(|(text, _)| Symptom::read(text).unwrap())
        .collect()
}

/// Largest margin over all points of a car solved from rest.
fn margin(sound: &Comparison, faulty: &Network<f64>, look: Look) -> f64 {
    let cars = sound.instead(faulty);
    let all = Watch::usual_points(&sound.network).into_iter();
    let margins = all.map(|(name, command)| {
        let both = cars.point(&name, command);
        match (both.healthy, both.faulty) {
            (Ok(was), Some(Ok(now))) => look(&was, &now),
            _ => f64::NEG_INFINITY,
        }
    });
    margins.fold(f64::NEG_INFINITY, f64::max)
}

fn largest_hole(place: Place) -> Defect {
    Defect::Leak(hole(place, HOLES.1))
}

#[test]
fn a_symptom_is_absent_below_its_threshold_and_there_above() {
    let mut checked = 0;
    for name in ["brindle-16", "tamsel-20"] {
        let sound = car(name);
        let watch = Watch::new(&sound);
        let cars = Comparison::new(&sound);
        for place in PLACES {
            let worst = largest_hole(place);
            let found = watch.thresholds(worst, HOLES.0, &symptoms());
            for ((text, look), outcome) in SYMPTOMS.iter().zip(&found.outcomes) {
                // Beyond some size a hole that opens at once stalls an engine that a
                // growing one does not: only sizes that both run at compare.
                let Outcome::From { size, .. } = outcome else {
                    continue;
                };
                if *size > 8e-3 {
                    continue;
                }
                let at =
                    |share: f64| margin(&cars, &sound.only([worst.sized(size * share)]), *look);
                let (below, above) = (at(1.0 - 1e-4), at(1.0 + 1e-4));
                assert!(
                    below < 0.0 && above > 0.0,
                    "{name} {worst:?} {text}: {size} {below} {above}"
                );
                checked += 1;
            }
        }
    }
    println!("{checked} thresholds checked");
    assert!(checked >= 15);
}

#[test]
fn what_never_shows_is_said_so() {
    let sound = car("brindle-16");
    let watch = Watch::new(&sound);
    let found = watch.thresholds(largest_hole(Place::BeforeMeter), HOLES.0, &Symptom::usual());
    assert!(found.outcomes.iter().all(|o| *o == Outcome::Never));
    // The healthy car idles at 800 rpm: nothing has to grow for that to show.
    let idles = Symptom::read("engine_speed_rpm < 900").unwrap();
    let found = watch.thresholds(largest_hole(Place::HotPipe), HOLES.0, &[idles]);
    assert_eq!(found.outcomes, [Outcome::Sound("idle".into())]);
}

/// Idle speed with a hole in the manifold rises, is caught by the lean mixture, and
/// falls back to its target: a symptom that comes and goes.
#[test]
fn the_first_size_counts_where_a_symptom_comes_and_goes() {
    let sound = car("brindle-16");
    let watch = Watch::at(&sound, vec![("idle".into(), Command::IDLE)]);
    let fast = Symptom::read("engine_speed_rpm up 30").unwrap();
    let found = watch.thresholds(largest_hole(Place::ManifoldGasket), HOLES.0, &[fast]);
    let Outcome::From { size, .. } = found.outcomes[0] else {
        panic!("{found:?}");
    };
    let speed = |diameter: f64| {
        let leaking = sound.leaking(vec![hole(Place::ManifoldGasket, diameter)]);
        let cars = Comparison::new(&sound).instead(&leaking);
        let side = cars.point("idle", Command::IDLE).faulty.unwrap().unwrap();
        read(&side, Reading::EngineSpeed)
    };
    assert!((speed(size) - 830.0).abs() < 0.1, "{}", speed(size));
    assert!(speed(0.8 * size) < 830.0 && speed(4e-3) < 830.0);
}

#[test]
fn gaps_grow_to_a_tolerance() {
    let sound = car("brindle-16");
    let watch = Watch::new(&sound);
    let cars = Comparison::new(&sound);
    let cover = Shape::BowedCover(BowedCover {
        gap: 1e-3,
        span_length: 20e-3,
        spans: 4.0,
        depth: 3e-3,
        entrance_loss: 0.5,
    });
    let ring = Shape::RingGap(RingGap {
        pipe_diameter: 10e-3,
        bore_diameter: 13e-3,
        depth: 4e-3,
        eccentric: 0.0,
        entrance_loss: 0.5,
    });
    let torque = Symptom::read("torque_nm down 2 %").unwrap();
    let cases = [(Place::RecirculationCover, cover), (Place::ColdPipe, ring)];
    for (place, shape) in cases {
        let worst = tolerance(Leak { place, shape }).unwrap();
        let least = shape.measure().least;
        let found = watch.thresholds(worst, least, std::slice::from_ref(&torque));
        let Outcome::From { size, .. } = found.outcomes[0] else {
            panic!("{found:?}");
        };
        let look: Look = |was, now| {
            let (was, now) = (read(was, Reading::Torque), read(now, Reading::Torque));
            if was.abs() < 1e-3 {
                -1.0
            } else {
                0.98 * was - now
            }
        };
        let at = |share: f64| margin(&cars, &sound.only([worst.sized(size * share)]), look);
        let (below, above) = (at(0.9999), at(1.0001));
        assert!(
            below < 0.0 && above > 0.0,
            "{place:?} {size} {below} {above}"
        );
        println!("{place:?}: {:.1} um", size * 1e6);
    }
    let shut = hole(Place::HotPipe, 0.0);
    assert!(tolerance(shut).is_err(), "nothing to grow to");
}

#[test]
fn severities_grow_too() {
    let watch = Watch::new(&car("brindle-16"));
    let lean = [Symptom::read("fuel_trim_pct > 10").unwrap()];
    let meter = Fault {
        kind: FaultKind::MeterReads,
        severity: 0.5,
    };
    let found = watch.thresholds(Defect::Fault(meter), HOLES.0, &lean);
    let Outcome::From { size, .. } = found.outcomes[0] else {
        panic!("{found:?}");
    };
    // Counted air times (1 + trim) is what is breathed: the meter reads 1/1.1. Closed form.
    assert!((size - 1.0 / 1.1).abs() < 2e-4, "{size}");
}

/// Slopes of watchdog levels, which thresholds of codes are found with.
#[test]
fn levels_have_exact_slopes() {
    let network = car("brindle-16").leaking(vec![hole(Place::HotPipe, 4e-3)]);
    let key = ["leak.0.round_hole.diameter".to_string()];
    let cars = Comparison::new(&network);
    let by = named(&quantities(&network), &key).unwrap();
    let sensitivity = Sensitivity::new(&cars, by);
    for (name, command) in points() {
        let point = sensitivity.point(name, command).unwrap();
        let h = 2e-5;
        let ends = [h, -h].map(|h| {
            let moved = network.leaking(vec![hole(Place::HotPipe, 4e-3 + h)]);
            let cars = cars.instead(&moved);
            cars.faulty(command, Some(point.side.state)).unwrap().levels
        });
        for (i, (_, code, _)) in Code::WORDS.iter().enumerate() {
            if let (Some(up), Some(down)) = (ends[0][i], ends[1][i]) {
                let difference = (up - down) / (2.0 * h);
                let exact = point.slopes.levels[(i, 0)];
                let gap = (exact - difference).abs();
                assert!(
                    gap < 1e-3 * exact.abs() + 1e-2,
                    "{name} {code}: {exact} {difference}"
                );
            }
        }
    }
}

#[test]
fn symptoms_are_read_from_words() {
    for text in [
        "fuel_trim_pct>10",
        "fuel_trim_pct > 10 %",
        "boost_kpa down 5",
        "torque_nm down 3%",
        "lambda off 0.03",
        "shaft_krpm > limit",
        "P0299",
        "code",
    ] {
        assert!(Symptom::read(text).is_ok(), "{text}");
    }
    for (text, says) in [
        ("", "too short"),
        ("fuel_trim > 10", "did you mean `fuel_trim_pct`"),
        ("P0172x", "did you mean `P0172`"),
        ("boost_kpa down", "too short"),
        ("boost_kpa down many", "`many` is not a number"),
        ("boost_kpa down nan", "`nan` is not a number"),
        ("boost_kpa down -5", "greater than zero"),
        ("boost_kpa < 5 %", "own unit"),
        ("boost_kpa = 5", "no comparison"),
        ("boost_kpa down 5 kPa", "one word too many"),
    ] {
        let message = Symptom::read(text).unwrap_err().to_string();
        assert!(message.contains(says), "{text}: {message}");
    }
}
