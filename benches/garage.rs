//! The blind garage: cars with hidden faults, diagnosed from their readings, scored.
//! Run: `cargo bench --bench garage [-- CARS]` (1,000 unless told).

#[path = "../tests/diagnose/setup.rs"]
mod setup;

use rayon::prelude::*;
use setup::{PLUG, car, conditions};
use sim::network::{Network, Place};
use sim::study::judging::diagnose::catalogue::Suspect;
use sim::study::judging::diagnose::checks::Check;
use sim::study::judging::diagnose::garage::{Chance, another, evidence, separation};
use sim::study::judging::diagnose::ladders::Ladders;
use sim::study::judging::diagnose::likelihood::cumulative;
use sim::study::judging::diagnose::next::next_tests;
use sim::study::judging::diagnose::ranking::{Diagnosis, Verdict};
use sim::study::knowing::doubt::CarDoubt;
use std::collections::BTreeMap;
use std::time::Instant;

/// Smallest and largest hidden hole, m.
const HOLES: (f64, f64) = (3e-3, 12e-3);

/// Standard normal number that 1 % exceed.
const ONE_PERCENT: f64 = 2.326;

struct Score {
    truth: Option<usize>,
    verdict: Verdict,
    sound: f64,
    strict: f64,
    grouped: f64,
    rank: usize,
    grouped_rank: usize,
    covered: Option<bool>,
    bound: f64,
    fit: f64,
    seconds: f64,
}

fn main() {
    let count = std::env::args().filter_map(|a| a.parse().ok()).next_back();
    let count: u64 = count.unwrap_or(1000);
    let car = car();
    let conditions = conditions();
    let doubt = CarDoubt::usual(&car, 1.0);
    let start = Instant::now();
    let ladders =
        Ladders::new(&car, conditions, doubt).unwrap_or_else(|(name, why)| panic!("{name}: {why}"));
    println!(
        "ladders of predictions: {:.2} s",
        start.elapsed().as_secs_f64()
    );
    let mut chance = Chance::new(7);
    let real = another(&car, &ladders.doubt, &mut chance);
    let gasket = ladders.suspect("leak: manifold gasket").expect("a place");
    let faults = [(ladders.suspects[gasket], 3e-3)];
    let found = evidence(&real, &faults, &ladders.conditions, &PLUG, &mut chance);
    let times = (0..5).map(|_| {
        let start = Instant::now();
        let near = Ladders::near(
            &car,
            ladders.conditions.clone(),
            ladders.doubt.clone(),
            &found,
        );
        let near = near.unwrap_or_else(|(name, why)| panic!("{name}: {why}"));
        let diagnosis = Diagnosis::new(&near, &found, false).expect("something was read");
        let tests = next_tests(&near, &found, &diagnosis);
        assert!(!tests.is_empty());
        start.elapsed().as_secs_f64()
    });
    let best = times.fold(f64::INFINITY, f64::min);
    println!(
        "one car from nothing, 3 mm in the manifold gasket, one core: {:.0} ms, best of 5",
        1e3 * best
    );
    let tests = "the same cars after smoke on intake and exhaust and a hand pump on the valve, \
                 outcomes by their stated odds";
    for (title, other, checks) in [
        ("cars within the stated doubts", false, &[][..]),
        (
            "a wrong model: other friction and exhaust laws",
            true,
            &[][..],
        ),
        (tests, false, &CHECKS[..]),
    ] {
        let scores: Vec<Score> = (0..count)
            .into_par_iter()
            .map(|i| one(&ladders, &car, i, other, checks))
            .collect();
        report(title, &ladders, &scores);
    }
}

/// What tells those places apart that the running engine does not; none needs it to run.
const CHECKS: [Check; 3] = [Check::Smoke, Check::SmokeExhaust, Check::ValvePump];

/// The outcome of a check on a car with these faults.
fn outcome(check: Check, faults: &[(Suspect, f64)], chance: &mut Chance) -> usize {
    let mut left = chance.even();
    let reached = check.odds(faults).into_iter().position(|odds| {
        left -= odds;
        left < 0.0
    });
    reached.unwrap_or(0)
}

fn one(ladders: &Ladders, car: &Network<f64>, seed: u64, other: bool, checks: &[Check]) -> Score {
    let mut chance = Chance::new(seed + 1);
    let mut real = another(car, &ladders.doubt, &mut chance);
    if other {
        let v = &mut real.vehicle;
        v.cylinders.friction_constant *= 0.75;
        v.cylinders.friction_speed_square *= 2.0;
        v.cylinders.friction_pressure *= 1.3;
        v.exhaust_manifold.pulsation *= 0.7;
        v.exhaust_manifold.wall_conductance *= 1.3;
        v.silencer.reference_loss *= 1.2;
        real.sound = real.vehicle.clone();
    }
    let kind = chance.even();
    let hidden = |chance: &mut Chance, leak: bool| {
        let of_kind: Vec<usize> = (0..ladders.suspects.len())
            .filter(|i| {
                let place = ladders.suspects[*i].place();
                place.is_some() == leak && place != Some(Place::BeforeMeter)
            })
            .collect();
        of_kind[chance.below(of_kind.len())]
    };
    let truth = match kind {
        x if x < 0.3 => None,
        x if x < 0.75 => Some(hidden(&mut chance, true)),
        _ => Some(hidden(&mut chance, false)),
    };
    let size = truth.map(|i| {
        let suspect = &ladders.suspects[i];
        match suspect.place() {
            Some(_) => HOLES.0 * (HOLES.1 / HOLES.0).powf(chance.even()),
            None => suspect.size(chance.between(0.4, 1.0)),
        }
    });
    let faults: Vec<_> = truth
        .iter()
        .zip(size)
        .map(|(i, size)| (ladders.suspects[*i], size))
        .collect();
    let mut found = evidence(&real, &faults, &ladders.conditions, &PLUG, &mut chance);
    let seen = checks.iter();
    found.checks = seen
        .map(|check| (*check, outcome(*check, &faults, &mut chance), 1.0))
        .collect();
    let start = Instant::now();
    let diagnosis = Diagnosis::new(ladders, &found, false).expect("something was read");
    let seconds = start.elapsed().as_secs_f64();
    let is = |i: usize| diagnosis.hypotheses[i].posterior.faults.first().copied() == truth;
    let rank = (0..diagnosis.hypotheses.len()).position(is);
    let group = rank.map(|rank| diagnosis.group(rank)).unwrap_or_default();
    let probability = |i: &usize| diagnosis.hypotheses[*i].probability;
    let covered = rank.zip(size).map(|(rank, size)| {
        let h = &diagnosis.hypotheses[rank];
        let shown = size * ladders.suspects[truth.unwrap_or(0)].unit().1;
        (h.sizes[0].low90..=h.sizes[0].high90).contains(&shown)
    });
    Score {
        truth,
        verdict: diagnosis.verdict,
        sound: diagnosis.sound(),
        strict: rank.map_or(0.0, |rank| probability(&rank)),
        grouped: group.iter().map(probability).sum(),
        rank: rank.unwrap_or(usize::MAX),
        grouped_rank: group.iter().copied().min().unwrap_or(usize::MAX),
        covered,
        // A car that does not run at a condition is found without reading it.
        bound: truth.zip(size).map_or(0.0, |(i, size)| {
            let u = ladders.suspects[i].coordinate(size);
            separation(ladders, i, u, &PLUG).map_or(1.0, |d| cumulative(d - ONE_PERCENT))
        }),
        fit: diagnosis.hypotheses[0].fit,
        seconds,
    }
}

fn faulty(score: &Score) -> bool {
    setup::called_faulty(score.verdict, score.sound)
}

fn report(title: &str, ladders: &Ladders, scores: &[Score]) {
    println!("\n{title}: {} cars", scores.len());
    let sound: Vec<&Score> = scores.iter().filter(|s| s.truth.is_none()).collect();
    let alarms = sound.iter().filter(|s| faulty(s)).count();
    println!(
        "false alarms {alarms} of {} healthy cars ({:.2} %)",
        sound.len(),
        100.0 * alarms as f64 / sound.len() as f64
    );
    for limit in [0.05, 0.1, 0.2, 0.3, 0.4, 0.5] {
        let below = |of: &dyn Fn(&Score) -> bool| {
            let of: Vec<&Score> = scores.iter().filter(|s| of(s)).collect();
            100.0 * of.iter().filter(|s| s.sound < limit).count() as f64 / of.len() as f64
        };
        let leaking = |s: &Score| {
            let suspect = s.truth.map(|i| &ladders.suspects[i]);
            suspect.is_some_and(|suspect| suspect.place().is_some())
        };
        println!(
            "called faulty where a healthy car is below {limit:.2}: false alarms {:.2} %, leaks found {:.1} %",
            below(&|s| s.truth.is_none()),
            below(&leaking)
        );
    }
    let nothing = scores
        .iter()
        .filter(|s| s.verdict == Verdict::NothingFits)
        .count();
    println!(
        "nothing fits: {nothing}; fit below 0.05 in {:.1} %",
        100.0 * share(scores, |s| s.fit < 0.05)
    );
    let place = |s: &Score| s.truth.and_then(|i| ladders.suspects[i].place());
    let leaks: Vec<&Score> = scores.iter().filter(|s| place(s).is_some()).collect();
    line("leaks", &leaks);
    let other: Vec<&Score> = scores
        .iter()
        .filter(|s| s.truth.is_some() && place(s).is_none())
        .collect();
    line("look-alikes", &other);
    let mut by: BTreeMap<String, Vec<&Score>> = BTreeMap::new();
    for score in scores {
        if let Some(i) = score.truth {
            by.entry(ladders.suspects[i].name())
                .or_default()
                .push(score);
        }
    }
    for (name, scores) in &by {
        line(name, scores);
    }
    calibration(scores);
    let seconds: f64 = scores.iter().map(|s| s.seconds).sum();
    println!(
        "time per diagnosis, ladders known: {:.1} ms",
        1e3 * seconds / scores.len() as f64
    );
}

fn line(name: &str, scores: &[&Score]) {
    let n = scores.len() as f64;
    let of = |f: &dyn Fn(&Score) -> bool| 100.0 * scores.iter().filter(|s| f(s)).count() as f64 / n;
    let mean = |f: &dyn Fn(&Score) -> f64| 100.0 * scores.iter().map(|s| f(s)).sum::<f64>() / n;
    let covered: Vec<bool> = scores.iter().filter_map(|s| s.covered).collect();
    let coverage =
        100.0 * covered.iter().filter(|c| **c).count() as f64 / covered.len().max(1) as f64;
    println!(
        "{name:36} n {n:4} found {:5.1} (bound {:5.1}) p(truth) {:5.1} grouped {:5.1} first {:5.1} grp {:5.1} in 3 {:5.1} covered {coverage:5.1}",
        of(&|s| faulty(s)),
        mean(&|s| s.bound),
        mean(&|s| s.strict),
        mean(&|s| s.grouped),
        of(&|s| s.rank == 0),
        of(&|s| s.grouped_rank == 0),
        of(&|s| s.grouped_rank < 3),
    );
}

/// How often what was said with a probability was true.
fn calibration(scores: &[Score]) {
    print!("said / true:");
    for tenth in 0..10 {
        let (low, high) = (tenth as f64 / 10.0, (tenth + 1) as f64 / 10.0);
        let said: Vec<&Score> = scores
            .iter()
            .filter(|s| s.sound >= low && s.sound < high + 1e-9)
            .collect();
        if said.len() >= 10 {
            let true_ = said.iter().filter(|s| s.truth.is_none()).count();
            print!(
                "  {:.2}/{:.2} ({})",
                said.iter().map(|s| s.sound).sum::<f64>() / said.len() as f64,
                true_ as f64 / said.len() as f64,
                said.len()
            );
        }
    }
    println!("  (probability of a healthy car)");
}

fn share(scores: &[Score], f: impl Fn(&Score) -> bool) -> f64 {
    scores.iter().filter(|s| f(s)).count() as f64 / scores.len() as f64
}
