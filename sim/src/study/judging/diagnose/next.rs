//! The next test: which of the things that can be done tells most about what is wrong,
//! per minute of work.
//!
//! Gain is the mutual information between the hypothesis and the test's outcome, in bits
//! (lindley1956): the entropy of the hypotheses now, less what is expected to be left of it.
//! A check's outcomes are counted out; a measurement's are drawn, from a fixed sequence.

use super::at_the_car::{DRIVE, EXTRA, FITTED, PLUG, SECTION, SECTION_DOUBT, SECTIONS};
use super::checks::Check;
use super::evidence::{Evidence, Read, hole};
use super::ladders::Ladders;
use super::likelihood::Normal;
use super::ranking::Diagnosis;
use super::vented;
use crate::control::Metering;
use crate::network::readings::FORMS;
use crate::network::{Place, Reading};
use crate::say::judging as say;
use crate::study::knowing::doubt::instrument;
use nalgebra::{DMatrix, DVector};
use statrs::function::erf::erf_inv;
use std::f64::consts::{LN_2, PI, SQRT_2};

/// Hypotheses less probable than this are left out.
const CONSIDERED: f64 = 2e-3;
/// Draws of a measurement.
const DRAWS: usize = 160;
/// Least gain, bits, worth a line.
const WORTH: f64 = 0.01;

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
    /// What its outcomes would mean.
    pub meaning: Vec<String>,
}

/// A hypothesis while tests are weighed.
struct Candidate {
    name: String,
    probability: f64,
    faults: Vec<(super::catalogue::Suspect, f64)>,
    index: usize,
}

/// Every test worth doing, the best gain per minute first. While there is a danger none loads
/// the engine, and what the danger asks for stands first, whatever it tells.
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
/// // What tells most for its minutes stands first.
/// let rates: Vec<f64> = tests.iter().map(|test| test.gain / test.minutes).collect();
/// assert!(rates.len() > 1 && rates.is_sorted_by(|a, b| a >= b), "{rates:?}");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn next_tests(ladders: &Ladders, evidence: &Evidence, diagnosis: &Diagnosis) -> Vec<NextTest> {
    let candidates = candidates(ladders, diagnosis);
    let car = &ladders.car.network;
    let metering = car.vehicle.metering;
    let mut tests: Vec<NextTest> = checks(metering, evidence, diagnosis, &candidates);
    tests.extend(sections(evidence, &candidates));
    tests.extend(measurements(ladders, evidence, diagnosis, &candidates));
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
    let rate = |test: &NextTest| test.gain / test.minutes;
    tests.sort_by(|a, b| urgent(b).cmp(&urgent(a)).then(rate(b).total_cmp(&rate(a))));
    let opened = |test: &&mut NextTest| test.test == Check::BlankBreather.word();
    if let Some(test) = tests.iter_mut().find(opened) {
        test.meaning.splice(0..0, vented::told(car));
    }
    tests
}

fn candidates(ladders: &Ladders, diagnosis: &Diagnosis) -> Vec<Candidate> {
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
    evidence: &Evidence,
    diagnosis: &Diagnosis,
    candidates: &[Candidate],
) -> Vec<NextTest> {
    let danger = !diagnosis.dangers.is_empty();
    let done = |check: &Check| evidence.checks.iter().any(|(done, ..)| done == check);
    let left = Check::WORDS.iter().map(|(_, check, _)| *check);
    let left =
        left.filter(|check| check.tells(metering) && !done(check) && !(danger && check.loads()));
    let tests = left.map(|check| {
        let odds: Vec<Vec<f64>> = candidates.iter().map(|c| check.odds(&c.faults)).collect();
        NextTest {
            test: check.word().into(),
            what: match danger && check.reads() {
                true => say::at_idle_only(check.meaning()),
                false => check.meaning().into(),
            },
            gain: counted(candidates, &odds),
            settles: 0.0,
            minutes: check.minutes(),
            meaning: outcomes(check, candidates, &odds),
        }
    });
    tests.collect()
}

/// What is open between the hypotheses, bits (Shannon 1948).
fn entropy(candidates: &[Candidate]) -> f64 {
    let of = |p: f64| if p > 0.0 { -p * p.log2() } else { 0.0 };
    let open: f64 = candidates.iter().map(|c| of(c.probability)).sum();
    // Nothing open: no test settles anything.
    open.max(f64::MIN_POSITIVE)
}

/// Mutual information of hypotheses and outcomes, bits.
fn counted(candidates: &[Candidate], odds: &[Vec<f64>]) -> f64 {
    let count = odds.first().map_or(0, Vec::len);
    let mut gain = 0.0;
    for outcome in 0..count {
        let each = candidates.iter().zip(odds);
        let all: f64 = each.map(|(c, odds)| c.probability * odds[outcome]).sum();
        for (c, odds) in candidates.iter().zip(odds) {
            if odds[outcome] > 0.0 {
                gain += c.probability * odds[outcome] * (odds[outcome] / all).ln() / LN_2;
            }
        }
    }
    gain.max(0.0)
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
                let name = name.replace('_', " ");
                let (of, then) = (100.0 * all, 100.0 * joint[top] / all);
                let what = &candidates[top].name;
                say::outcome(name, of, what, then)
            })
        });
    said.collect()
}

fn sections(evidence: &Evidence, candidates: &[Candidate]) -> Vec<NextTest> {
    let done = |places: &[Place]| evidence.openings.iter().any(|o| o.places == places);
    let left = SECTIONS.iter().filter(|(_, _, places)| !done(places));
    let tests = left.map(|(key, what, places)| {
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
        let expected = candidates.iter().take(3).map(|c| match hole(c) {
            0.0 => say::would_be_tight(&c.name),
            hole => say::would_leak(&c.name, hole * 1e3),
        });
        NextTest {
            test: (*key).into(),
            what: (*what).into(),
            gain: drawn(&laws.flatten().collect::<Vec<_>>()),
            settles: 0.0,
            minutes: SECTION,
            meaning: expected.collect(),
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
    candidates: &[Candidate],
) -> Vec<NextTest> {
    let mut tests = Vec::new();
    for (c, condition) in ladders.conditions.iter().enumerate() {
        if !diagnosis.dangers.is_empty() && condition.loads() {
            continue;
        }
        let taken = |reading| {
            let mut reads = evidence.reads.iter();
            reads.any(|read| read.condition == c && read.reading == reading)
        };
        let driven = evidence.reads.iter().any(|read| read.condition == c);
        let word = condition.name.replace(' ', "_");
        let plug = PLUG.iter().copied().filter(|reading| !taken(*reading));
        let bundles = std::iter::once((
            plug.collect::<Vec<_>>(),
            format!("readings_{word}"),
            say::plug_readings(&condition.name),
            if driven { 0.5 * DRIVE } else { DRIVE },
        ));
        let extra = EXTRA.iter().filter(|(reading, _)| !taken(*reading));
        let extra = extra.map(|(reading, what)| {
            let key = FORMS[*reading as usize].key;
            let what = say::reading_at(what, &condition.name);
            (vec![*reading], format!("{key}_{word}"), what, FITTED)
        });
        for (readings, test, what, minutes) in bundles.chain(extra) {
            let laws: Vec<(usize, f64, Law)> = (candidates.iter().enumerate())
                .filter_map(|(k, candidate)| {
                    let law = predicted(ladders, evidence, diagnosis, candidate, c, &readings)?;
                    Some((k, candidate.probability, law))
                })
                .collect();
            let meaning = laws.iter().take(3).map(|(k, _, law)| {
                let shown = readings.iter().zip(law.mean.iter()).take(4);
                let shown = shown.map(|(reading, mean)| {
                    let form = &FORMS[*reading as usize];
                    format!(
                        "{} {:.*} {}",
                        form.label,
                        form.decimals,
                        reading.within(*mean),
                        form.unit
                    )
                });
                let shown: Vec<String> = shown.collect();
                say::would_read(&candidates[*k].name, shown.join(", ").trim_end())
            });
            tests.push(NextTest {
                test,
                what,
                minutes,
                meaning: meaning.collect(),
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
    evidence: &Evidence,
    diagnosis: &Diagnosis,
    candidate: &Candidate,
    condition: usize,
    readings: &[Reading],
) -> Option<Law> {
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
    let normal = Normal::new(&evidence.reads, &posterior.shown)?;
    let (mean, mut covariance) = normal.given(&posterior.shown, &shown);
    for (i, reading) in readings.iter().enumerate() {
        let deviation = instrument(*reading).deviation(mean[i]);
        covariance[(i, i)] += deviation * deviation;
    }
    Law::new(mean, covariance)
}

/// A normal law of a measurement.
struct Law {
    mean: DVector<f64>,
    lower: DMatrix<f64>,
    log_scale: f64,
}

impl Law {
    fn new(mean: DVector<f64>, covariance: DMatrix<f64>) -> Option<Self> {
        let count = mean.len() as f64;
        let lower = covariance.cholesky()?.l();
        let log_determinant: f64 = lower.diagonal().iter().map(|d| d.ln()).sum();
        Some(Self {
            mean,
            lower,
            log_scale: -log_determinant - 0.5 * count * (2.0 * PI).ln(),
        })
    }

    fn log_density(&self, at: &DVector<f64>) -> f64 {
        let apart = self.lower.solve_lower_triangular(&(at - &self.mean));
        apart.map_or(f64::NEG_INFINITY, |z| {
            self.log_scale - 0.5 * z.norm_squared()
        })
    }
}

/// Mutual information of hypotheses and a measurement, bits, by draws.
fn drawn(laws: &[(f64, Law)]) -> f64 {
    let total: f64 = laws.iter().map(|(probability, _)| probability).sum();
    let mut gain = 0.0;
    for (probability, law) in laws {
        let share = probability / total;
        let draws = (share * DRAWS as f64).ceil() as usize;
        let size = law.mean.len();
        let mut told = 0.0;
        for draw in 0..draws {
            let z = DVector::from_fn(size, |i, _| quasi_normal(draw, i));
            let at = &law.mean + &law.lower * z;
            let here = law.log_density(&at);
            let all: f64 = (laws.iter())
                .map(|(p, other)| p / total * (other.log_density(&at) - here).exp())
                .sum();
            told -= all.ln();
        }
        gain += share * told / draws as f64;
    }
    (gain / LN_2).max(0.0)
}

/// A standard normal number, evenly spread over draws: additive recurrence by roots of primes.
fn quasi_normal(draw: usize, axis: usize) -> f64 {
    const PRIMES: [f64; 8] = [2.0, 3.0, 5.0, 7.0, 11.0, 13.0, 17.0, 19.0];
    let step = PRIMES[axis % PRIMES.len()].sqrt();
    let even = ((draw as f64 + 0.5) * step).fract();
    SQRT_2 * erf_inv(2.0 * even.clamp(1e-9, 1.0 - 1e-9) - 1.0)
}
