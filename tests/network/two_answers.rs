//! Cases with two answers: each must be found by a search that knows nothing of the way there.
//! C: consistency of two independent ways; no outside value.

use crate::cars::{AMBIENT, Random, cars, hole, rpm};
use rayon::prelude::*;
use sim::control::{Command, SpeedMode};
use sim::network::layout::{VOLUMES, state};
use sim::network::{Defect, Leak, Network, Place};
use sim::scenario::History;
use sim::solve::State;
use sim::solve::stability::growth;
use sim::solve::steady::{nearby, run_from};
use sim::study::judging::diagnose::garage::{Chance, another};
use sim::study::knowing::doubt::CarDoubt;
use sim::study::running::history::{Spot, apart, opened_at};
use sim::study::running::simulate::Comparison;

/// A car of its make with something wrong, in some weather, at some command.
struct Case {
    car: Network<f64>,
    command: Command,
    named: String,
}

/// Where a hole lets an idling engine breathe past its throttle.
const PAST: [Place; 4] = [
    Place::ManifoldGasket,
    Place::VacuumLine,
    Place::VentilationValve,
    Place::RecirculationCover,
];

fn drawn(seed: u64) -> Case {
    let mut random = Random(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15));
    let vehicle = &cars()[(random.next() * 2.0) as usize];
    let base = Network::new(vehicle.clone(), vec![], AMBIENT, Command::IDLE);
    let doubt = CarDoubt::usual(&base, 1.0);
    let mut car = another(&base, &doubt, &mut Chance::new(seed));
    car.ambient.temperature = random.between(263.15, 308.15);
    car.command.learning = random.next() < 0.7;
    let speed = rpm(random.between(1500.0, 5500.0));
    let (command, point) = match random.next() {
        kind if kind < 0.6 => (Command::IDLE, "idle"),
        kind if kind < 0.8 => (Command::full_load(speed), "full load"),
        _ => {
            let torque = random.between(40.0, 200.0);
            (Command::torque(speed, torque), "torque")
        }
    };
    let faults = Defect::worst_faults();
    let fault = faults[(random.next() * faults.len() as f64) as usize];
    let place = Place::WORDS[(random.next() * Place::WORDS.len() as f64) as usize].1;
    let defect = match point {
        "idle" => {
            let place = PAST[(random.next() * PAST.len() as f64) as usize];
            Defect::Leak(hole(place, random.between(3e-3, 20e-3)))
        }
        _ if random.next() < 0.5 => Defect::Leak(Leak::hole(place, random.between(2e-3, 20e-3))),
        _ => fault.sized(fault.healthy() + random.next() * (fault.size() - fault.healthy())),
    };
    car.add(defect);
    Case {
        car,
        command,
        named: format!("{seed}: {}, {}, {point}", vehicle.name, defect.words()),
    }
}

/// How two states differ to an engine: a boost controller's memory without its wastegate counts not.
fn felt(a: &State, b: &State) -> f64 {
    let mut b = *b;
    for own in [state::DUTY, state::CAPSULE] {
        b[own] = a[own];
    }
    apart(a, &b)
}

/// One thing that an engine may come to.
enum End {
    Rests(Box<State>),
    Not,
}

impl End {
    fn of(spot: &Spot) -> Self {
        spot.state().map_or(End::Not, |x| End::Rests(x.into()))
    }

    fn is(&self, other: &End) -> bool {
        match (self, other) {
            (End::Rests(a), End::Rests(b)) => felt(a, b) < 1e-4,
            (End::Not, End::Not) => true,
            _ => false,
        }
    }
}

/// What the case comes to with what its computer has learnt: followed, opened at once, started
/// with it; each once. With the car as it is there.
fn ends(case: &Case) -> Option<(Network<f64>, Vec<End>)> {
    let cars = Comparison::new(&case.car);
    let sound = case.car.healthy().with(cars.command(case.command, false));
    let foot = sim::steady(&sound, &State::from(sound.start())).ok()?.state;
    let at = case.car.with(cars.command(case.command, true));
    let grown = cars.spot(case.command, Some(foot));
    let others = [History::Sudden, History::Restarted];
    let others = others.map(|history| opened_at(&at, Some(foot), history));
    let mut ends: Vec<End> = Vec::new();
    for spot in [grown].iter().chain(&others) {
        let end = End::of(spot);
        // One that swings away is none in which an engine rests.
        let end = match end {
            End::Rests(x) if growth(&at, &x).is_some_and(|at| at.growth > 1e-5) => End::Not,
            end => end,
        };
        if !ends.iter().any(|known| known.is(&end)) {
            ends.push(end);
        }
    }
    Some((at, ends))
}

/// A start drawn over all that may be otherwise in an engine: pressures, speeds, flaps, memories.
fn start(at: &Network<f64>, random: &mut Random) -> State {
    let mut x = State::from(at.start());
    let idles = at.command.speed == SpeedMode::Free;
    // Of each volume, over that of a start.
    let boosted = [
        (0.95, 1.0),
        (0.95, 2.2),
        (0.95, 2.2),
        (0.5, 3.0),
        (1.0, 1.0),
        (1.0, 2.0),
        (1.0, 1.2),
    ];
    let idling = [
        (0.99, 1.0),
        (0.97, 1.05),
        (0.97, 1.05),
        (0.4, 1.7),
        (1.0, 1.0),
        (0.95, 1.1),
        (0.99, 1.03),
    ];
    let pressures = if idles { idling } else { boosted };
    for (v, (low, high)) in (0..VOLUMES).zip(pressures) {
        let by = random.between(low, high);
        (0..3).for_each(|k| x[3 * v + k] *= by);
    }
    x[state::WASTEGATE] = random.next();
    x[state::DUTY] = random.between(-0.4, 0.6);
    x[state::TRIM] = random.between(-0.25, 0.25);
    x[state::COMPRESSOR_FLOW] *= random.between(0.4, 2.5);
    x[state::SHAFT] = 300.0 * 45_f64.powf(random.next());
    x[state::THROTTLE] = random.between(0.02, 1.0);
    if idles {
        x[state::SHAFT] = 100.0 * 10_f64.powf(random.next());
        x[state::ENGINE] *= random.between(0.4, 2.0);
        x[state::IDLE] = 0.15 * random.next() * random.next();
        x[state::THROTTLE] = x[state::IDLE];
        x[state::OXYGEN] = random.between(0.8, 1.8);
        x[state::ARRIVED] = x[state::OXYGEN];
    }
    x[state::METER] = x[state::COMPRESSOR_FLOW];
    x
}

/// An idling engine from one that a brake holds at a speed that is drawn, its throttle as far open as
/// gives next to no torque: the brake is let go. A rough idle may be far below the speed that the
/// computer aims at, and with the throttle held such an engine burns all its cycles or none. None
/// where the held one does not run.
fn braked(at: &Network<f64>, random: &mut Random) -> Option<State> {
    let speed = at.vehicle.drive.idle_speed * random.between(0.4, 1.2);
    let torque = random.between(0.0, 10.0);
    let held = at.with(Command {
        memory: at.command.memory,
        learning: at.command.learning,
        ..Command::torque(speed, torque)
    });
    let mut x = sim::steady(&held, &State::from(held.start())).ok()?.state;
    x[state::PEDAL] = 0.0;
    let opening = x[state::THROTTLE] * random.between(0.5, 1.0);
    x[state::IDLE] = opening.min(at.vehicle.drive.idle_most);
    Some(x)
}

/// A steady state whose boost controller remembers something else. It winds up or down while a start
/// far from any steady state comes near one, whatever it began with.
fn unlearnt(mut rest: State, random: &mut Random) -> State {
    rest[state::DUTY] = random.between(-0.4, 0.6);
    rest
}

/// Most starts of a search.
const STARTS: usize = 800;

/// Which of the ends a search from many starts does not come to; and whether it comes to another
/// steady state in which an engine stays and that none of them is.
fn missed(at: &Network<f64>, ends: &[End], seed: u64) -> (Vec<usize>, bool) {
    let mut random = Random(seed ^ 0x5bd1_e995);
    let (mut open, mut more): (Vec<usize>, _) = ((0..ends.len()).collect(), false);
    let mut rest = None;
    for k in 0..STARTS {
        let drawn = start(at, &mut random);
        let idles = at.command.speed == SpeedMode::Free;
        let from = match (k % 3 == 1, rest) {
            (true, _) if idles => braked(at, &mut random).unwrap_or(drawn),
            (true, Some(x)) => unlearnt(x, &mut random),
            _ => drawn,
        };
        // The engine is run from two of fifteen, one of them not just drawn; from all where only what does
        // not come to rest is left to find, of which Newton's method knows nothing.
        let restless = open.iter().all(|i| matches!(ends[*i], End::Not));
        let found = match k % 15 == 0 || k % 15 == 7 || restless {
            true => run_from(at, &from).map_or(End::Not, |found| End::Rests(found.state.into())),
            false => match nearby(at, &from) {
                Some(found) => End::Rests(found.state.into()),
                None => continue,
            },
        };
        let stays = match &found {
            End::Rests(x) => growth(at, x).is_none_or(|at| at.growth <= 1e-5),
            End::Not => true,
        };
        if let End::Rests(x) = &found {
            rest = Some(**x);
        }
        if stays {
            open.retain(|i| !ends[*i].is(&found));
            more |= matches!(found, End::Rests(_)) && !ends.iter().any(|end| end.is(&found));
        }
        if open.is_empty() {
            break;
        }
    }
    (open, more)
}

/// C: where a case has two answers with one memory of its computer, a search from many starts finds
/// both, in three of four at least. `FALSEAIR_DOUBLE` says how many such cases are looked at.
#[test]
fn both_answers_are_found_from_many_starts() {
    let wanted: usize = std::env::var("FALSEAIR_DOUBLE").map_or(3, |text| text.parse().unwrap());
    let (mut seen, mut double, mut rests, mut third) = (0_u64, 0, 0, 0);
    let mut lost = Vec::new();
    while double < wanted {
        let batch = seen..seen + 16;
        seen += 16;
        let found = batch.into_par_iter().filter_map(|seed| {
            let case = drawn(seed);
            let (at, ends) = ends(&case)?;
            (ends.len() > 1).then(|| (missed(&at, &ends, seed), ends, case.named))
        });
        for ((open, more), ends, named) in found.collect::<Vec<_>>() {
            double += 1;
            rests += usize::from(ends.iter().all(|end| matches!(end, End::Rests(_))));
            third += usize::from(more);
            let kinds = ends.iter().map(|end| matches!(end, End::Rests(_)));
            let kinds: Vec<bool> = kinds.collect();
            println!("{named}: rests {kinds:?}, missed {open:?}, more {more}");
            if !open.is_empty() {
                lost.push(named);
            }
        }
    }
    println!(
        "{seen} cases, {double} with two answers ({rests} of them both steady): not found {}; a \
         further steady state in {third}",
        lost.len()
    );
    // A steady state to which few starts lead may be missed by chance.
    assert!(4 * lost.len() <= double, "{}", lost.join("\n"));
}
