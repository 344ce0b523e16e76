//! The next test: which of the things that can be done tells most about what is wrong,
//! per minute of work, minutes counting more the more danger there is in them.
//!
//! What a test tells stands in `gain`, what it costs in `effort`.

use super::at_the_car::{EXTRA, PLUG, SECTION_DOUBT, SECTIONS};
use super::checks::Check;
use super::effort::{Effort, Risk, SECTION};
use super::evidence::{Evidence, Read, hole};
use super::foreseen::Outlook;
use super::gain::{Law, counted, drawn};
use super::ladders::Ladders;
use super::likelihood::Normal;
use super::ranking::Diagnosis;
use super::vented;
use crate::control::Metering;
use crate::network::readings::FORMS;
use crate::network::{Place, Reading};
use crate::say::judging as say;
use crate::study::knowing::doubt::instrument;
use crate::study::workshop::procedures::{OfCar, Procedure};
use nalgebra::{DMatrix, DVector};

/// Hypotheses less probable than this are left out.
const CONSIDERED: f64 = 2e-3;
/// Least gain, bits, worth a line.
const WORTH: f64 = 0.01;
/// Hypotheses whose forecasts are told.
const FORETOLD: usize = 3;

/// A test worth doing.
#[derive(Clone, Debug, PartialEq)]
pub struct NextTest {
    /// Its key.
    pub test: String,
    /// What to do.
    pub what: String,
    /// Expected gain, bits.
    pub gain: f64,
    /// The same as a share of all that is open between the hypotheses now.
    pub settles: f64,
    /// Minutes of work.
    pub minutes: f64,
    /// The danger in it.
    pub risk: Risk,
    /// What its outcomes would mean.
    pub meaning: Vec<String>,
    /// How it is done at this car.
    pub procedure: Procedure,
}

impl NextTest {
    /// What it is ordered by: bits per minute, its minutes weighed by the danger in it.
    pub fn worth(&self) -> f64 {
        self.gain / (self.minutes * self.risk.weight())
    }
}

/// A hypothesis while tests are weighed.
pub(super) struct Candidate {
    pub name: String,
    pub probability: f64,
    pub faults: Vec<(super::catalogue::Suspect, f64)>,
    pub index: usize,
    /// The law of what was read, if it holds.
    law: Option<Normal>,
}

/// Every test worth doing, the best gain per minute and danger first. While there is a danger none
/// loads the engine, and what the danger asks for stands first, whatever it tells; where a likely
/// hypothesis foresees one, nobody is sent ([`Outlook`]).
///
/// # Examples
/// ```
/// use sim::{CarDoubt, Diagnosis, Evidence, Ladders, Read, Reading, next_tests};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// // Lean at idle and nothing else known.
/// let lean = Read { condition: 0, reading: Reading::LongTrim, value: 15.0, deviation: 1.5 };
/// let found = Evidence { reads: vec![lean], ..Evidence::default() };
/// let conditions = sim::standard(&car);
/// let ladders = Ladders::near(&car, conditions, CarDoubt::usual(&car, 1.0), &found);
/// let ladders = ladders.map_err(|(_, why)| why)?;
/// let diagnosis = Diagnosis::new(&ladders, &found, false)?;
/// let tests = next_tests(&ladders, &found, &diagnosis);
/// // What tells most for its minutes and its danger stands first.
/// let rates: Vec<f64> = tests.iter().map(|test| test.worth()).collect();
/// assert!(rates.len() > 1 && rates.is_sorted_by(|a, b| a >= b), "{rates:?}");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn next_tests(ladders: &Ladders, evidence: &Evidence, diagnosis: &Diagnosis) -> Vec<NextTest> {
    let outlook = Outlook::new(ladders, diagnosis);
    let candidates = candidates(ladders, evidence, diagnosis);
    let car = &ladders.car.network;
    let metering = car.vehicle.metering;
    let of_car = OfCar::new(&car.vehicle);
    let mut tests: Vec<NextTest> = checks(metering, &of_car, evidence, &outlook, &candidates);
    tests.extend(sections(&of_car, evidence, &candidates));
    tests.extend(measurements(
        ladders,
        evidence,
        diagnosis,
        &outlook,
        &candidates,
    ));
    let open = entropy(&candidates);
    for test in &mut tests {
        test.settles = (test.gain / open).clamp(0.0, 1.0);
    }
    let urgent = |test: &NextTest| {
        let mut checks = Check::WORDS.iter();
        let check = checks.find(|(word, ..)| *word == test.test);
        let mut dangers = diagnosis.dangers.iter();
        check.is_some_and(|(_, check, _)| dangers.any(|danger| check.answers(danger.hazard)))
    };
    tests.retain(|test| test.gain > WORTH || urgent(test));
    // Outcomes that the readings hardly foresee are no reason to leave it.
    for test in tests.iter_mut().filter(|test| test.gain <= WORTH) {
        test.meaning.clear();
    }
    tests.sort_by(|a, b| {
        urgent(b)
            .cmp(&urgent(a))
            .then(b.worth().total_cmp(&a.worth()))
    });
    let opened = |test: &&mut NextTest| test.test == Check::BlankBreather.word();
    if let Some(test) = tests.iter_mut().find(opened) {
        test.meaning.splice(0..0, vented::told(car));
    }
    tests
}

pub(super) fn candidates(
    ladders: &Ladders,
    evidence: &Evidence,
    diagnosis: &Diagnosis,
) -> Vec<Candidate> {
    let likely = diagnosis.hypotheses.iter().enumerate();
    let likely = likely.filter(|(_, h)| h.probability > CONSIDERED);
    let likely: Vec<Candidate> = likely
        .map(|(index, h)| Candidate {
            name: h.name(ladders),
            probability: h.probability,
            faults: (h.posterior.faults.iter().enumerate())
                .map(|(k, i)| {
                    let suspect = ladders.suspects[*i];
                    (suspect, suspect.size(h.posterior.quantile(k, 0.5)))
                })
                .collect(),
            index,
            law: Normal::new(&evidence.reads, &h.posterior.shown),
        })
        .collect();
    let total: f64 = likely.iter().map(|c| c.probability).sum();
    let share = |c: Candidate| Candidate {
        probability: c.probability / total,
        ..c
    };
    likely.into_iter().map(share).collect()
}

fn checks(
    metering: Metering,
    of_car: &OfCar,
    evidence: &Evidence,
    outlook: &Outlook,
    candidates: &[Candidate],
) -> Vec<NextTest> {
    let loaded = outlook.allows_full_load();
    let done = |check: &Check| evidence.checks.iter().any(|(done, ..)| done == check);
    let left = Check::WORDS.iter().map(|(_, check, _)| *check);
    let left =
        left.filter(|check| check.tells(metering) && !done(check) && (loaded || !check.loads()));
    let tests = left.map(|check| {
        let odds: Vec<Vec<f64>> = candidates.iter().map(|c| check.odds(&c.faults)).collect();
        NextTest {
            test: check.word().into(),
            what: match !loaded && check.reads() {
                true => say::at_idle_only(check.meaning()),
                false => check.meaning().into(),
            },
            gain: counted(candidates.iter().map(|c| c.probability), &odds),
            minutes: Effort::of(check).minutes,
            risk: Effort::of(check).risk,
            settles: 0.0,
            meaning: outcomes(check, candidates, &odds),
            procedure: check.test().procedure(of_car),
        }
    });
    tests.collect()
}

/// What is open between the hypotheses, bits (Shannon 1948).
pub(super) fn entropy(candidates: &[Candidate]) -> f64 {
    let of = |p: f64| if p > 0.0 { -p * p.log2() } else { 0.0 };
    let open: f64 = candidates.iter().map(|c| of(c.probability)).sum();
    // Nothing open: no test settles anything.
    open.max(f64::MIN_POSITIVE)
}

/// What hypotheses foretell, in sentences: what all foretell alike once and last, then those that
/// foretell the same together.
pub(super) fn foretold(all: Vec<(&str, Vec<String>)>) -> Vec<String> {
    let Some((_, first)) = all.first() else {
        return Vec::new();
    };
    let shared = |shown: &String| all.iter().all(|(_, others)| others.contains(shown));
    let alike: Vec<&str> = (first.iter().filter(|shown| shared(shown)))
        .map(String::as_str)
        .collect();
    let mut groups: Vec<(Vec<&str>, Vec<&str>)> = Vec::new();
    for (name, shown) in &all {
        let own = shown.iter().filter(|shown| !shared(shown));
        let own: Vec<&str> = own.map(String::as_str).collect();
        match groups.iter_mut().find(|(_, known)| *known == own) {
            Some((names, _)) => names.push(name),
            None => groups.push((vec![name], own)),
        }
    }
    let apart = groups.iter().filter(|(_, shown)| !shown.is_empty());
    let mut said: Vec<String> = apart
        .map(|(names, shown)| say::would_show(names.join("; "), shown.join(", ")))
        .collect();
    if !alike.is_empty() {
        let names: Vec<&str> = all.iter().map(|(name, _)| *name).collect();
        said.push(match said.is_empty() {
            true => say::would_show(names.join("; "), alike.join(", ")),
            false => say::all_would_show(alike.join(", ")),
        });
    }
    said
}

/// For the likely outcomes: what would then be most probable.
fn outcomes(check: Check, candidates: &[Candidate], odds: &[Vec<f64>]) -> Vec<String> {
    let said = check
        .outcomes()
        .into_iter()
        .enumerate()
        .filter_map(|(o, name)| {
            let joint: Vec<f64> = (candidates.iter().zip(odds))
                .map(|(c, odds)| c.probability * odds[o])
                .collect();
            let all: f64 = joint.iter().sum();
            let top = (0..joint.len()).max_by(|a, b| joint[*a].total_cmp(&joint[*b]))?;
            (all > 0.03).then(|| {
                let name = Check::in_words(&name);
                let (of, then) = (100.0 * all, 100.0 * joint[top] / all);
                let what = &candidates[top].name;
                say::outcome(name, of, what, then)
            })
        });
    said.collect()
}

fn sections(of_car: &OfCar, evidence: &Evidence, candidates: &[Candidate]) -> Vec<NextTest> {
    let done = |places: &[Place]| evidence.openings.iter().any(|o| o.places == places);
    let left = SECTIONS.iter().filter(|(.., places)| !done(places));
    let tests = left.map(|(test, what, places)| {
        let hole = |c: &Candidate| hole(&c.faults, places);
        let (share, least) = SECTION_DOUBT;
        let laws = candidates.iter().map(|c| {
            let mean = hole(c);
            let deviation = least.hypot(share * mean);
            let law = Law::new(
                DVector::from_element(1, mean),
                DMatrix::from_element(1, 1, deviation * deviation),
            );
            law.map(|law| (c.probability, law))
        });
        let expected = candidates.iter().take(FORETOLD).map(|c| {
            let leaks = match hole(c) {
                0.0 => say::foretold_tight().into(),
                hole => say::leaks_as(hole * 1e3),
            };
            (c.name.as_str(), vec![leaks])
        });
        NextTest {
            test: test.word().into(),
            what: (*what).into(),
            gain: drawn(&laws.flatten().collect::<Vec<_>>()),
            minutes: SECTION.minutes,
            risk: SECTION.risk,
            settles: 0.0,
            meaning: foretold(expected.collect()),
            procedure: test.procedure(of_car),
        }
    });
    tests.collect()
}

/// Readings not yet taken: by the plug at conditions not yet driven, by other instruments
/// at any.
fn measurements(
    ladders: &Ladders,
    evidence: &Evidence,
    diagnosis: &Diagnosis,
    outlook: &Outlook,
    candidates: &[Candidate],
) -> Vec<NextTest> {
    let of_car = OfCar::new(&ladders.car.network.vehicle);
    let mut tests = Vec::new();
    for (c, condition) in ladders.conditions.iter().enumerate() {
        if !outlook.allows(c) {
            continue;
        }
        let taken = |reading| {
            let mut reads = evidence.reads.iter();
            reads.any(|read| read.condition == c && read.reading == reading)
        };
        let driven = evidence.reads.iter().any(|read| read.condition == c);
        let word = condition.name.replace(' ', "_");
        let plug = PLUG.iter().copied().filter(|reading| !taken(*reading));
        let boosted = ladders.boosted(c);
        let test = condition.read(boosted);
        let how = [test.procedure(&of_car), test.with_gauge(&of_car)];
        let bundles = std::iter::once((
            plug.collect::<Vec<_>>(),
            format!("readings_{word}"),
            say::plug_readings(&condition.name),
            Effort::of_readings(Risk::at(condition, boosted), driven),
            &how[0],
        ));
        let extra = EXTRA.iter().filter(|(reading, _)| !taken(*reading));
        let extra = extra.map(|(reading, what)| {
            let key = FORMS[*reading as usize].key;
            let what = say::reading_at(what, &condition.name);
            let effort = Effort::of_instrument(Risk::at(condition, boosted));
            let key = format!("{key}_{word}");
            (vec![*reading], key, what, effort, &how[1])
        });
        for (readings, test, what, effort, how) in bundles.chain(extra) {
            let laws: Vec<(usize, f64, Law)> = (candidates.iter().enumerate())
                .filter_map(|(k, candidate)| {
                    let law = predicted(ladders, diagnosis, candidate, c, &readings)?;
                    Some((k, candidate.probability, law))
                })
                .collect();
            let meaning = laws.iter().take(FORETOLD).map(|(k, _, law)| {
                let shown = readings.iter().zip(law.mean.iter()).take(4);
                let shown = shown.map(|(of, mean)| of.said(*mean)).collect();
                (candidates[*k].name.as_str(), shown)
            });
            tests.push(NextTest {
                test,
                what,
                minutes: effort.minutes,
                risk: effort.risk,
                meaning: foretold(meaning.collect()),
                procedure: how.clone(),
                settles: 0.0,
                gain: drawn(
                    &laws
                        .into_iter()
                        .map(|(_, p, law)| (p, law))
                        .collect::<Vec<_>>(),
                ),
            });
        }
    }
    tests
}

/// What readings a hypothesis, at its best size, predicts beyond those taken.
fn predicted(
    ladders: &Ladders,
    diagnosis: &Diagnosis,
    candidate: &Candidate,
    condition: usize,
    readings: &[Reading],
) -> Option<Law> {
    let (mean, covariance) = forecast(ladders, diagnosis, candidate, condition, readings)?;
    Law::new(mean, covariance)
}

/// The same as mean and covariance, instruments with it.
pub(super) fn forecast(
    ladders: &Ladders,
    diagnosis: &Diagnosis,
    candidate: &Candidate,
    condition: usize,
    readings: &[Reading],
) -> Option<(DVector<f64>, DMatrix<f64>)> {
    let posterior = &diagnosis.hypotheses[candidate.index].posterior;
    let wanted: Vec<Read> = (readings.iter())
        .map(|reading| Read {
            condition,
            reading: *reading,
            value: 0.0,
            deviation: 0.0,
        })
        .collect();
    let shown = posterior.shows(ladders, &wanted)?;
    let law = candidate.law.as_ref()?;
    let (mean, mut covariance) = law.given(&posterior.shown, &shown);
    for (i, reading) in readings.iter().enumerate() {
        let deviation = instrument(*reading).deviation(mean[i]);
        covariance[(i, i)] += deviation * deviation;
    }
    Some((mean, covariance))
}
