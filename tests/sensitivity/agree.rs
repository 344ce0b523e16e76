//! What asks along a growing fault agrees with `simulate` of each size, to the digit.
//! C: consistency of two ways.

use crate::differences::car;
use sim::control::{Code, Command};
use sim::network::readings::FORMS;
use sim::network::{Defect, Fault, FaultKind, Leak, Place, Reading, Readings};
use sim::scenario::History;
use sim::study::asking::across::{Across, Load};
use sim::study::asking::atlas::Start;
use sim::study::asking::codes::{First, HOLES, Sign, all};
use sim::study::asking::sensitivity::Sensitivity;
use sim::study::asking::threshold::{Outcome, Symptom, Watch};
use sim::study::running::condition::standard;
use sim::study::running::simulate::{Comparison, Side};

fn same(a: &Side, b: &Side, named: &str) {
    for (i, form) in FORMS.iter().enumerate() {
        let [x, y] = [a, b].map(|side| side.readings.values[i]);
        let close = (x - y).abs() <= 1e-9 * y.abs().max(1.0) || (x.is_nan() && y.is_nan());
        assert!(close, "{named} {}: {x} {y}", form.key);
    }
    assert_eq!(a.codes, b.codes, "{named}");
}

/// At the size found the reading is where the symptom begins, before a code reduces the torque.
#[test]
fn a_threshold_is_where_simulate_shows_it() {
    let sound = car("brindle-16");
    let points = Watch::usual_points(&sound);
    let watch = Watch::at(&sound, points.clone());
    let symptoms = ["fuel_trim_pct > 10", "torque_nm down 3 %"].map(|s| Symptom::read(s).unwrap());
    for place in [
        Place::ManifoldGasket,
        Place::ColdPipe,
        Place::ExhaustManifold,
    ] {
        let worst = Defect::Leak(Leak::hole(place, 20e-3));
        let found = watch.thresholds(worst, 0.5e-3, &symptoms).outcomes;
        for (i, outcome) in found.into_iter().enumerate() {
            let Outcome::From { size, point } = outcome else {
                continue;
            };
            let cars = Comparison::new(&sound.only([worst.sized(size)]));
            let command = points.iter().find(|(name, _)| *name == point).unwrap().1;
            let at = cars.point("", command);
            let (healthy, faulty) = (at.healthy.unwrap(), at.faulty.unwrap().unwrap());
            let readings = faulty.unreduced.as_ref().unwrap_or(&faulty.readings);
            let (got, wanted) = match i {
                0 => (readings.get(Reading::FuelTrim).unwrap(), 10.0),
                _ => {
                    let was = healthy.readings.get(Reading::Torque).unwrap();
                    (readings.get(Reading::Torque).unwrap(), 0.97 * was)
                }
            };
            let off = (got / wanted - 1.0).abs();
            assert!(off < 1e-8, "{place} {point} {size}: {got} {wanted}");
        }
    }
}

/// A page of the atlas is what `simulate` says of each of its holes.
#[test]
fn the_atlas_is_simulate_hole_by_hole() {
    let sound = car("brindle-16");
    let start = Start::new(&sound).unwrap();
    for place in [Place::ManifoldGasket, Place::WastegateSignal] {
        let leaf = start.leaf(place);
        for (c, condition) in standard(&sound).iter().enumerate() {
            for i in [3, 8, 13] {
                let size = 0.5e-3 * 20_f64.powf(i as f64 / 13.0);
                let mut leaking = sound.clone();
                leaking.leaks.push(Leak::hole(place, size));
                let alone = Comparison::new(&leaking).point("", condition.command);
                match (&leaf.sides[c][i], alone.faulty.unwrap()) {
                    (Some(side), Ok(alone)) => same(side, &alone, &condition.name),
                    (None, Err(_)) => {}
                    (side, _) => panic!("{place} {} {}", condition.name, side.is_some()),
                }
            }
        }
    }
}

/// Derivatives and lines across speed stand on the scenario's own history.
#[test]
fn sensitivity_and_across_stand_on_the_same_answer() {
    let mut leaking = car("brindle-16");
    leaking
        .leaks
        .push(Leak::hole(Place::ManifoldGasket, 10.5e-3));
    let speed = 4500.0 * std::f64::consts::PI / 30.0;
    let mut torques = Vec::new();
    for history in [History::Grown, History::Sudden] {
        let cars = Comparison::having(&leaking, history);
        let command = Load::Full.command(&leaking, speed);
        let wanted = cars.point("", command).faulty.unwrap().unwrap();
        let spot = Across::new(&cars).spot(Load::Full, speed);
        same(&spot.faulty.unwrap().unwrap(), &wanted, "across");
        let study = Sensitivity::new(&cars, Vec::new());
        same(
            &study.point("", command).unwrap().side,
            &wanted,
            "sensitivity",
        );
        torques.push(wanted.readings.get(Reading::Torque).unwrap());
    }
    // The two differ: 173 and 211 N m.
    assert!(torques[1] - torques[0] > 20.0, "{torques:?}");
}

/// Where a code comes, `simulate` of that very size sets it and of one just below sets it nowhere;
/// what comes was judged before a code reduced the torque, which is then reduced indeed.
/// `FALSEAIR_CODES=all` asks it of every leak and fault.
#[test]
fn a_code_comes_where_simulate_sets_it() {
    let holes = [Place::RecirculationCover, Place::WastegateSignal];
    let holes = holes.map(|place| Defect::Leak(Leak::hole(place, HOLES.1)));
    let meter = [0.5, 1.5].map(|severity| Fault {
        kind: FaultKind::MeterReads,
        severity,
    });
    let few = [&holes[..], &meter.map(Defect::Fault)].concat();
    let every = std::env::var("FALSEAIR_CODES").is_ok();
    let defects = if every { all() } else { few };
    let mut codes = Vec::new();
    for name in ["brindle-16", "tamsel-20"] {
        let sound = car(name);
        let (watch, cars) = (Watch::new(&sound), Comparison::new(&sound));
        let points = Watch::usual_points(&sound);
        let at = |defect: Defect, command: Command| {
            let cars = cars.instead(&sound.only([defect]));
            cars.point("", command).faulty.unwrap()
        };
        for worst in &defects {
            for First { sign, point, size } in watch.firsts(*worst) {
                let Sign::Code(code) = sign else { continue };
                let named = format!("{name} {} {code:?} {size} {point}", worst.label());
                let less = size - 1e-8 * size.abs() * (size - worst.healthy()).signum();
                for (_, command) in &points {
                    let below = at(worst.sized(less), *command);
                    let set = below.is_ok_and(|side| side.codes.contains(&code));
                    assert!(!set, "{named}: below");
                }
                let command = points.iter().find(|(name, _)| *name == point).unwrap().1;
                let [below, there] =
                    [less, size].map(|size| at(worst.sized(size), command).unwrap());
                assert!(there.codes.contains(&code), "{named}: there");
                let torque = |readings: &Readings<f64>| readings.get(Reading::Torque).unwrap();
                let reduced = there.codes.iter().any(|code| code.reduces_torque());
                let unreduced = there.unreduced.as_ref();
                assert_eq!(unreduced.is_some(), reduced, "{named}");
                if code.reduces_torque() {
                    let was = torque(unreduced.unwrap());
                    let before = torque(below.unreduced.as_ref().unwrap_or(&below.readings));
                    assert!((was / before - 1.0).abs() < 1e-6, "{named}: {was} {before}");
                    // An engine short of fuel gives no more with its throttle open.
                    let less = torque(&there.readings) < was - 10.0;
                    assert!(less || every, "{named}: not reduced");
                }
                codes.push(code);
            }
        }
    }
    println!(
        "{} codes, {} leaks and faults",
        codes.len(),
        2 * defects.len()
    );
    for code in [Code::Underboost, Code::Overboost, Code::Lean, Code::Rich] {
        assert!(codes.contains(&code), "{code:?} never came");
    }
}
