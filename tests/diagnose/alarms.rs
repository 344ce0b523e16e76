//! Needless alarms and missed ones, over drawn cars with scattered instruments. As many cars as
//! the variable `CARS` says, 200 where it says nothing; what 1000 give stands in
//! `benches/records.md`. Drawn cars and instruments are the project's own (P).

use super::*;
use rayon::prelude::*;
use sim::study::judging::diagnose::garage::another;
use sim::study::running::dangers::{Aims, Danger, Driven, Hazard, LEAN, OVERBOOST};

fn cars() -> u64 {
    let said = std::env::var("CARS").ok();
    said.map_or(200, |said| said.parse().expect("CARS is a number"))
}

/// A drawn car with these faults, as it is read: what is said to be dangerous of it, and whether
/// it truly is lean or overboosted at full load.
fn read_so(car: &Network<f64>, faults: &[(&str, f64)], chance: &mut Chance) -> (Vec<Danger>, bool) {
    let faults: Vec<_> = (faults.iter())
        .map(|(name, size)| (ladders().suspects[suspect(name)], *size))
        .collect();
    // The true mixture and boost beside what a scan tool gives.
    let full = [PLUG[2], &TRUE].concat();
    let plug = [PLUG[0], PLUG[1], &full];
    let mut found = evidence(car, &faults, &conditions(), &plug, chance);
    let [lambda, boost] = TRUE.map(|reading| {
        let read = found.reads.iter().find(|read| read.reading == reading);
        read.map_or(0.0, |read| read.value)
    });
    found.reads.retain(|read| !TRUE.contains(&read.reading));
    // The file is that of the make, not of this car.
    let make = self::car();
    let aims = Aims::of_model(&make.vehicle, make.ambient.pressure);
    let points = conditions().into_iter().enumerate();
    let all = points.flat_map(|(c, at)| {
        let reads = found.reads.iter().filter(|read| read.condition == c);
        let reads = reads.map(|read| (read.reading, read.value)).collect();
        aims.dangers(&Driven::by(&at.name, &at.command, reads))
    });
    let set = |code| found.codes.contains(&(code, true));
    let dangers = Danger::with_codes(all.collect(), set);
    (dangers, truly(lambda, boost))
}

/// What no scan tool gives.
const TRUE: [R; 2] = [R::Lambda, R::Boost];

#[test]
fn drawn_healthy_cars_raise_hardly_any_alarm() {
    let doubt = CarDoubt::usual(&car(), 1.0);
    let found: Vec<String> = (1..=cars())
        .into_par_iter()
        .flat_map_iter(|seed| {
            let mut chance = Chance::new(seed);
            let car = another(&car(), &doubt, &mut chance);
            let (alarms, _) = read_so(&car, &[], &mut chance);
            (!alarms.is_empty()).then(|| format!("{seed}: {alarms:?}"))
        })
        .collect();
    println!("{} needless alarms in {} healthy cars", found.len(), cars());
    assert!(found.len() as f64 <= 0.01 * cars() as f64, "{found:#?}");
}

/// Faults that make a car lean or overboosted at full load, with the range they are drawn from.
const DANGEROUS: [(&str, f64, f64); 5] = [
    ("fuel delivery low", 0.6, 0.85),
    ("mass air flow sensor reads low", 0.55, 0.75),
    ("wastegate stuck shut", 0.0, 0.35),
    ("leak: wastegate signal", 1.8e-3, 4e-3),
    ("boost sensor reads low", -40e3, -22e3),
];

/// Whether the car truly is so, by more than instruments scatter (own choice: 0.04 in lambda, 6 kPa
/// of boost).
fn truly(lambda: f64, boost: f64) -> bool {
    let make = car();
    let wanted = make.vehicle.boost.wanted(366.5) * 1e-3;
    let aimed: f64 = make.vehicle.fuelling.commanded_lambda(1.0);
    lambda > aimed + LEAN + 0.04 && boost > 15.0 || boost > wanted + OVERBOOST * 1e-3 + 6.0
}

#[test]
fn no_lean_or_overboosted_car_is_missed() {
    let doubt = CarDoubt::usual(&car(), 1.0);
    let (mut seen, mut missed) = (0, Vec::new());
    // Drawn until there are enough that truly are so.
    let mut seed = 0;
    while seen < cars() {
        let batch: Vec<Option<String>> = (seed..seed + 50)
            .into_par_iter()
            .filter_map(|seed| {
                let mut chance = Chance::new(10_000 + seed);
                let car = another(&car(), &doubt, &mut chance);
                let (name, from, to) = DANGEROUS[seed as usize % DANGEROUS.len()];
                let size = from + (to - from) * chance.even();
                let (alarms, truly) = read_so(&car, &[(name, size)], &mut chance);
                truly.then(|| {
                    let told = [Hazard::LeanUnderBoost, Hazard::Overboost];
                    let said = alarms.iter().any(|danger| told.contains(&danger.hazard));
                    (!said).then(|| format!("{seed}: {name} {size}: {alarms:?}"))
                })
            })
            .collect();
        seen += batch.len() as u64;
        missed.extend(batch.into_iter().flatten());
        seed += 50;
        assert!(
            seed < 20 * cars() + 1000,
            "too few are dangerous: {seen} of {seed}"
        );
    }
    println!("{} missed of {seen} lean or overboosted cars", missed.len());
    assert!(missed.is_empty(), "{missed:#?}");
}
