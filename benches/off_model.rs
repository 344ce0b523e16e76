//! A garage of cars that the model did not make: twelve types from another model
//! (`off_model/engine.rs`), each known by the numbers on its plate only, read at idle, part
//! load and full load, healthy or with one thing wrong.
//! Run: `cargo bench --bench off_model [-- CARS [WAY ...]]` (200 of each sort unless told); each car by its
//! plate alone (`plate`), then beside what it showed while healthy (`itself`), then beside two sisters
//! (`sisters`), then by the plate fitted to what it showed while healthy (`fitted`); and how well anybody could tell them apart (`bound`); all five unless named.
//! `elsewhere`: not at the usual points but at each car's own. `further`, `furthest`: not the twelve types but
//! twenty-four others each; nothing in the program was set by the latter. `each`: a line for every car.

#[path = "off_model/asked.rs"]
mod asked;
#[path = "off_model/bound.rs"]
mod bound;
#[path = "off_model/engine.rs"]
mod engine;
#[path = "off_model/path.rs"]
mod path;
#[path = "off_model/plate.rs"]
mod plate;
#[path = "off_model/report.rs"]
mod report;
#[path = "off_model/typed.rs"]
mod typed;
#[path = "off_model/types.rs"]
mod types;
#[path = "off_model/wrongs.rs"]
mod wrongs;

use engine::{Car, Wrong};
use falseair::input::Source;
use plate::plate;
use rayon::prelude::*;
use report::{area, report, share};
use sim::network::{Known, Network};
use sim::study::judging::diagnose::beside;
use sim::study::judging::diagnose::file::ReadingsFile;
use sim::study::judging::diagnose::garage::Chance;
use sim::study::judging::diagnose::ranking::{Diagnosis, Verdict};
use sim::study::making::fit;
use sim::{CarDoubt, Vehicle, size};
use std::path::Path;
use typed::{Points, readings};
use wrongs::WRONGS;

/// What came out for a car.
struct Outcome {
    kind: usize,
    truth: Option<usize>,
    healthy: f64,
    verdict: Verdict,
    /// Whether the first suspect, or one not told from it, is the truth.
    right: bool,
    /// Place of the truth in the list, those not told from it counted as one.
    rank: Option<usize>,
    covered: Option<bool>,
    /// Size found over the nominal one.
    ratio: Option<f64>,
    first: String,
    /// The likeliest, each with its probability.
    likeliest: String,
    /// Probability of it and of those not told from it.
    sure: f64,
    /// Readings that a fit to the healthy car does not follow.
    misfits: usize,
    /// By condition and reading: what was read less what the model's healthy car shows.
    off: Vec<((usize, &'static str), f64)>,
}

/// What is known of a car beside its plate.
#[derive(Clone, Copy, PartialEq)]
enum Beside {
    Nothing,
    Itself,
    Sisters,
    Fitted,
}

/// Readings of healthy cars, as a readings file would name them.
fn twins(
    kind: usize,
    car: &Car,
    beside: Beside,
    at: Points,
    seed: u64,
) -> Option<Vec<(String, String)>> {
    let mut chance = Chance::new(seed + 1_000_000);
    let cars = match beside {
        Beside::Nothing | Beside::Fitted => Vec::new(),
        Beside::Itself => vec![("this_car", car.clone())],
        Beside::Sisters => (0..2)
            .map(|_| ("sister", types::drawn(&types::kind(kind), &mut chance)))
            .collect(),
    };
    let texts = cars.into_iter().map(|(of, car)| {
        let text = readings(&car, Wrong::Nothing, at, &mut chance)?;
        let entry = format!("[[baseline]]\nreadings = \"healthy\"\nof = \"{of}\"\n");
        Some((entry, text))
    });
    texts.collect()
}

/// Anywhere that a road allows.
fn elsewhere(seed: u64) -> Points {
    let mut chance = Chance::new(seed + 7_000_000);
    let round = |value: f64| (value / 50.0).round() * 50.0;
    Points {
        part: round(chance.between(1400.0, 3600.0)),
        load: chance.between(2.0, 7.0),
        full: round(chance.between(1800.0, 5500.0)),
    }
}

fn parsed(text: &str) -> Result<ReadingsFile, String> {
    let source = Source::from_text(Path::new("readings"), text);
    source.parse().map_err(|e| e.render(false))
}

/// The car of the plate fitted to what this car showed while healthy, and how many readings it does
/// not follow.
fn fitted(
    vehicle: &Vehicle,
    car: &Car,
    at: Points,
    seed: u64,
) -> Result<(Vehicle, fit::Known, usize), String> {
    let mut chance = Chance::new(seed + 1_000_000);
    let text = readings(car, Wrong::Nothing, at, &mut chance).ok_or("the twin does not run")?;
    let file = parsed(&text)?;
    let nominal = file.network(vehicle.clone()).map_err(|m| m.message)?;
    let watched = file.watched(&nominal).map_err(|m| m.message)?;
    let doubt = CarDoubt::to_fit(&nominal, Known::Estimated);
    let found = fit::fit(&nominal, &watched, &doubt).map_err(|why| format!("no fit: {why}"))?;
    let misfits = found.unfollowed().len();
    Ok((found.car.vehicle, found.known, misfits))
}

fn one(
    kind: usize,
    vehicle: &Vehicle,
    truth: Option<usize>,
    beside: Beside,
    at: Points,
    seed: u64,
) -> Result<Outcome, String> {
    let mut chance = Chance::new(seed);
    let car = types::drawn(&types::kind(kind), &mut chance);
    let wrong = truth.map_or(Wrong::Nothing, |i| WRONGS[i].0);
    let text = readings(&car, wrong, at, &mut chance).ok_or("the car does not run")?;
    let twins = twins(kind, &car, beside, at, seed).ok_or("the twin does not run")?;
    let entries: String = twins.iter().map(|(entry, _)| entry.as_str()).collect();
    let file = parsed(&(text + &entries))?;
    let twins = twins
        .iter()
        .enumerate()
        .map(|(i, (_, text))| Ok((i, parsed(text)?)));
    let own = match beside {
        Beside::Fitted => Some(fitted(vehicle, &car, at, seed)?),
        _ => None,
    };
    let misfits = own.as_ref().map_or(0, |own| own.2);
    let beside = beside::Beside {
        twins: twins.collect::<Result<_, String>>()?,
        ..beside::Beside::default()
    };
    let prepared = match own {
        None => file.prepared(vehicle.clone(), |car| Ok(file.doubt(car)), beside),
        Some((vehicle, known, _)) => {
            let doubt = |sound: &Network<f64>| {
                let known = known.over(sound, &CarDoubt::of_a_plate(sound));
                Ok(known.expect("numbers of a fit are those of its car"))
            };
            file.prepared(vehicle, doubt, beside)
        }
    };
    let (ladders, evidence) = prepared.map_err(|m| m.message)?;
    let diagnosis = Diagnosis::new(&ladders, &evidence, false).map_err(|e| e.to_string())?;
    let means = |i: usize| {
        let faults = &diagnosis.hypotheses[i].posterior.faults;
        let key = faults.first().map(|f| ladders.suspects[*f].key());
        match truth {
            Some(t) => key.is_some_and(|key| WRONGS[t].1.contains(&key.as_str())),
            None => key.is_none(),
        }
    };
    // Places that are not told apart are one answer.
    let mut seen: Vec<usize> = Vec::new();
    let mut rank = None;
    for i in 0..diagnosis.hypotheses.len() {
        let group = diagnosis.group(i);
        if group.iter().any(|g| seen.contains(g)) {
            continue;
        }
        if group.iter().any(|g| means(*g)) && rank.is_none() {
            rank = Some(seen.len());
        }
        seen.push(i);
    }
    let sized = truth.and_then(|t| {
        let Wrong::Hole(_, size) = WRONGS[t].0 else {
            return None;
        };
        let found = (0..diagnosis.hypotheses.len()).find(|i| means(*i))?;
        let found = diagnosis.hypotheses[found].sizes.first()?;
        let nominal = size * 1e3;
        let holds = (found.low90..=found.high90).contains(&nominal);
        Some((holds, found.best / nominal))
    });
    let off = evidence.reads.iter().filter_map(|read| {
        let spot = ladders.sound.spots[read.condition].as_ref()?;
        let shown = spot.readings.get(read.reading)?;
        let name = sim::network::readings::FORMS[read.reading as usize].key;
        Some(((read.condition, name), read.value - shown))
    });
    let off = off.collect();
    Ok(Outcome {
        off,
        kind,
        truth,
        misfits,
        healthy: diagnosis.sound(),
        verdict: diagnosis.verdict,
        right: diagnosis.group(0).iter().any(|g| means(*g)),
        rank,
        covered: sized.map(|sized| sized.0),
        ratio: sized.map(|sized| sized.1),
        first: diagnosis.hypotheses[0].name(&ladders),
        likeliest: (diagnosis.hypotheses.iter().take(5))
            .map(|found| format!("{} {:.3}", found.name(&ladders), found.probability))
            .collect::<Vec<_>>()
            .join(", "),
        sure: (diagnosis.group(0).iter())
            .map(|i| diagnosis.hypotheses[*i].probability)
            .sum(),
    })
}

/// How well anybody could tell these cars apart.
fn bounds(
    cars: &[(usize, Vehicle)],
    todo: &[(Option<usize>, usize)],
    at: impl Fn(u64) -> Points + Sync,
) {
    let found = todo.par_iter().filter_map(|(truth, i)| {
        let seed = *i as u64 + 1;
        let mut chance = Chance::new(seed);
        let car = types::drawn(&types::kind(cars[i % cars.len()].0), &mut chance);
        let healthy = bound::healthy(&car, *truth, at(seed), &mut chance)?;
        Some((truth.is_some(), healthy))
    });
    let found: Vec<(bool, [f64; 2])> = found.collect();
    let known = ["to the last number", "by one reading of each instrument"];
    for (k, known) in known.into_iter().enumerate() {
        let of = |ill: bool| {
            let of = found.iter().filter(|found| found.0 == ill);
            of.map(|found| found.1[k]).collect::<Vec<f64>>()
        };
        let (well, ill) = (of(false), of(true));
        let sure = ill.iter().filter(|healthy| **healthy < 0.05).count();
        println!(
            "bound, the healthy car known {known}: area under the curve {:.3}, sure (95 %) that a faulty \
             one is: {}",
            area(&well, &ill),
            share(sure, ill.len())
        );
    }
}

fn main() {
    let count = std::env::args().find_map(|a| a.parse().ok());
    let count: usize = count.unwrap_or(200);
    let named = |name: &str| std::env::args().any(|a| a == name);
    let asked = asked::types();
    let most = asked.len();
    let cars: Vec<(usize, Vehicle)> = asked
        .filter_map(|kind| {
            let plate = plate(&types::kind(kind))?;
            let sized = size(&plate).map_err(|why| println!("type {kind}: refused: {why}"));
            Some((kind, sized.ok()?.vehicle))
        })
        .collect();
    println!("{} of {most} plates give a car", cars.len());
    let healthy = (0..count).map(|i| (None, i));
    let faulty = (0..3 * count).map(|i| (Some(i % WRONGS.len()), i + count));
    let todo: Vec<(Option<usize>, usize)> = healthy.chain(faulty).collect();
    let not_usual = named("elsewhere");
    let points = |seed: u64| match not_usual {
        true => elsewhere(seed),
        false => Points::USUAL,
    };
    let ways = [
        (Beside::Nothing, "plate", "its plate alone"),
        (Beside::Itself, "itself", "what it showed while healthy"),
        (Beside::Sisters, "sisters", "what two sisters show"),
        (
            Beside::Fitted,
            "fitted",
            "its plate fitted to what it showed while healthy",
        ),
    ];
    let any = named("bound") || ways.iter().any(|(_, name, _)| named(name));
    if !any || named("bound") {
        bounds(&cars, &todo, points);
    }
    let ways = ways.into_iter().filter(|(_, name, _)| !any || named(name));
    for (beside, _, what) in ways {
        println!("\n== Judged by {what}");
        let outcomes = todo.par_iter().map(|(truth, i)| {
            let (kind, vehicle) = &cars[i % cars.len()];
            let seed = *i as u64 + 1;
            one(*kind, vehicle, *truth, beside, points(seed), seed)
        });
        report(outcomes.collect());
    }
}
