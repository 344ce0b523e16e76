//! The answer: hypotheses in order, what they cannot be told from, what speaks for and
//! against each, and a verdict that may be "none of these".

use super::dangerous::Dangerous;
use super::evidence::Evidence;
use super::holds::Holds;
use super::ladders::Ladders;
use super::likelihood::{Normal, log_add};
use super::pairs::pairs;
use super::posterior::{Posterior, beside};
use crate::say::judging as say;
use crate::solve::Failure;
use crate::study::knowing::unlike::Unlike;
use crate::study::running::dangers::Danger;
use statrs::function::gamma::gamma_ur;
use std::fmt;

/// Probability of a healthy car above which no fault is shown.
const CLEARED: f64 = 0.5;
/// Probability of a healthy car below which it is called faulty: in the blind garage this
/// calls 0.6 % of healthy cars faulty.
const FAULTY: f64 = 0.2;
/// Probability that the first, and what it is not told from, must have together where the car is
/// known by its plate: what differs between makes has no better name (`benches/off_model`).
const SURE: f64 = 0.95;
/// Probability of readings so far off, under the best hypothesis, below which nothing fits.
const NOTHING_FITS: f64 = 1e-3;
/// Hypotheses less probable than this are not asked whether they can be told apart.
const CONSIDERED: f64 = 0.01;
/// Squared distance, in standard deviations, up to which two cannot be told apart: a gain
/// of less than e² = 7 to 1 from these readings.
const APART: f64 = 4.0;

/// A size with its doubt.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// Most likely.
    pub best: f64,
    /// Below this with 5 %.
    pub low90: f64,
    /// Above this with 5 %.
    pub high90: f64,
    /// Their unit; none for a plain ratio.
    pub unit: &'static str,
}

/// What one reading says of a hypothesis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Witness {
    /// Index into [`Evidence::reads`].
    pub read: usize,
    /// What the hypothesis shows.
    pub shown: f64,
    /// What a healthy car shows.
    pub sound: f64,
    /// Reading less shown, in standard deviations of both.
    pub apart: f64,
    /// The same for a healthy car.
    pub sound_apart: f64,
}

/// A hypothesis in the answer.
#[derive(Clone, Debug)]
pub struct Hypothesis {
    /// How it was reached.
    pub posterior: Posterior,
    /// Given the evidence.
    pub probability: f64,
    /// One a fault.
    pub sizes: Vec<Size>,
    /// Probability of readings at least as far off, if it were true at its best size.
    pub fit: f64,
    /// Every reading, those that move it most first.
    pub witnesses: Vec<Witness>,
}

/// What is said first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The readings are those of a healthy car.
    NoFaultShown,
    /// One fault fits.
    Fault,
    /// Some faults fit that the readings cannot tell apart.
    OneOfSeveral,
    /// Neither sound nor faulty is sure.
    Undecided,
    /// Nothing in the catalogue gives these readings.
    NothingFits,
}

/// Why there is no diagnosis.
#[derive(Clone, Debug, PartialEq)]
pub enum NoDiagnosis {
    /// No reading and no code is given.
    Nothing,
    /// No car in the catalogue can have these readings.
    NoCar,
    /// The healthy car does not run at this condition.
    NotRunning(String, Failure),
}

impl fmt::Display for NoDiagnosis {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            NoDiagnosis::Nothing => f.write_str(say::nothing_given()),
            NoDiagnosis::NoCar => f.write_str(say::no_such_car()),
            NoDiagnosis::NotRunning(condition, why) => write!(f, "{condition}: {why}"),
        }
    }
}

impl std::error::Error for NoDiagnosis {}

/// The whole answer.
///
/// # Examples
/// ```
/// use sim::{CarDoubt, Command, Comparison, Condition, Defect, Diagnosis, Evidence};
/// use sim::{Ladders, Leak, Place, Read, Reading};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// // A car with a hidden leak, read at idle and on a light throttle.
/// let leak = Defect::Leak(Leak::hole(Place::VacuumLine, 2.5e-3));
/// let cars = Comparison::new(&car.only([leak]));
/// let conditions = vec![
///     Condition::new("idle", Command::IDLE, None),
///     Condition::new("cruise", Command::torque(250.0, 40.0), None),
/// ];
/// let mut found = Evidence::default();
/// for (condition, driven) in conditions.iter().enumerate() {
///     let side = cars.point("", driven.command).faulty.unwrap()?;
///     for (reading, deviation) in [(Reading::MeteredAir, 0.1), (Reading::LongTrim, 1.0)] {
///         let value = side.readings.get(reading).unwrap();
///         found.reads.push(Read { condition, reading, value, deviation });
///     }
/// }
/// let doubt = CarDoubt::usual(&car, 1.0);
/// let ladders = Ladders::near(&car, conditions, doubt, &found).map_err(|(_, why)| why)?;
/// let diagnosis = Diagnosis::new(&ladders, &found, false)?;
/// // Not healthy, and what is wrong is among those that these readings cannot tell apart.
/// assert!(diagnosis.sound() < 0.1);
/// let names = diagnosis.group(0).into_iter();
/// let names: Vec<_> = names.map(|i| diagnosis.hypotheses[i].name(&ladders)).collect();
/// assert!(names.iter().any(|name| name.contains("vacuum line")), "{names:?}");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Diagnosis {
    /// What is said first.
    pub verdict: Verdict,
    /// Most probable first.
    pub hypotheses: Vec<Hypothesis>,
    /// Indices of hypotheses that the evidence cannot tell apart, each group in order.
    pub inseparable: Vec<Vec<usize>>,
    /// What is said before all of it: these readings are believed, whatever fits.
    pub dangers: Vec<Danger>,
    /// Whether something was read under boost while nobody has stated what lambda and boost
    /// are aimed at there.
    pub aimless: bool,
    /// What keeps the engine from being loaded, beside dangers.
    pub holds: Option<Holds>,
}

impl Diagnosis {
    /// From what was found; `two` considers two faults at once as well.
    ///
    /// # Errors
    /// There is nothing to judge by, or no hypothesis has a meaning for the readings.
    pub fn new(ladders: &Ladders, evidence: &Evidence, two: bool) -> Result<Self, NoDiagnosis> {
        if evidence.reads.is_empty() && evidence.codes.is_empty() {
            return Err(NoDiagnosis::Nothing);
        }
        Self::planned(ladders, evidence, two)
    }

    /// The same where there may be nothing to judge by yet: then each fault is as likely as it is
    /// before anything is known.
    ///
    /// # Errors
    /// No hypothesis has a meaning for the readings.
    pub fn planned(ladders: &Ladders, evidence: &Evidence, two: bool) -> Result<Self, NoDiagnosis> {
        let Dangerous {
            dangers,
            standing,
            aimless,
        } = Dangerous::new(ladders, evidence);
        let evidence = &Evidence {
            standing,
            ..evidence.clone()
        };
        let single =
            (0..ladders.suspects.len()).filter_map(|i| Posterior::of(ladders, evidence, i));
        let mut all: Vec<Posterior> = Posterior::sound(ladders, evidence).into_iter().collect();
        all.extend(single);
        if two {
            all.extend(pairs(ladders, evidence));
        }
        let total = all
            .iter()
            .map(|p| p.log_weight)
            .fold(f64::NEG_INFINITY, log_add);
        if !total.is_finite() {
            return Err(NoDiagnosis::NoCar);
        }
        all.sort_by(|a, b| b.log_weight.total_cmp(&a.log_weight));
        let sound = Posterior::sound(ladders, evidence);
        let hypotheses = all.into_iter().map(|posterior| {
            let probability = (posterior.log_weight - total).exp();
            Hypothesis::new(ladders, evidence, (posterior, sound.as_ref()), probability)
        });
        let hypotheses: Vec<Hypothesis> = hypotheses.collect();
        let inseparable = groups(ladders, evidence, &hypotheses);
        let holds = Holds::of(ladders, evidence, hypotheses.first().map(|h| &h.posterior));
        Ok(Self {
            verdict: verdict(
                evidence,
                &hypotheses,
                &inseparable,
                (!dangers.is_empty() || holds.is_some(), ladders.doubt.unlike),
            ),
            holds,
            hypotheses,
            inseparable,
            dangers,
            aimless,
        })
    }

    /// Probability that nothing is wrong.
    pub fn sound(&self) -> f64 {
        let sound = self
            .hypotheses
            .iter()
            .find(|h| h.posterior.faults.is_empty());
        sound.map_or(0.0, |sound| sound.probability)
    }

    /// The hypotheses that cannot be told from `index`, itself among them.
    pub fn group(&self, index: usize) -> Vec<usize> {
        let group = self.inseparable.iter().find(|group| group.contains(&index));
        group.cloned().unwrap_or_else(|| vec![index])
    }
}

impl Hypothesis {
    fn new(
        ladders: &Ladders,
        evidence: &Evidence,
        (posterior, sound): (Posterior, Option<&Posterior>),
        probability: f64,
    ) -> Self {
        let sizes = posterior.faults.iter().enumerate().map(|(k, i)| {
            let suspect = &ladders.suspects[*i];
            let (unit, factor) = suspect.unit();
            let shown = |u: f64| suspect.size(u) * factor;
            let [low, middle, high] =
                [0.05, 0.5, 0.95].map(|share| shown(posterior.quantile(k, share)));
            let (low, high) = (low.min(high), low.max(high));
            // Where the likelihood is flat its top may stand at an end.
            let best = shown(posterior.best[k]);
            Size {
                best: if (low..=high).contains(&best) {
                    best
                } else {
                    middle
                },
                low90: low,
                high90: high,
                unit,
            }
        });
        let judged = evidence.reads.len() - usize::from(posterior.fit.bad.is_some());
        Self {
            sizes: sizes.collect(),
            probability,
            fit: exceeded(posterior.fit.distance, judged),
            witnesses: witnesses(evidence, &posterior, sound),
            posterior,
        }
    }

    /// Whether it leaves a code that is set unexplained: the code is not believed, or a
    /// reading that may be its cause is not. A lone misread value is no such case.
    pub fn doubts_codes(&self, evidence: &Evidence) -> bool {
        let fit = &self.posterior.fit;
        let set = |i: &usize| evidence.codes[*i].1;
        let any = evidence.codes.iter().any(|(_, set)| *set);
        fit.codes_against.iter().any(set) || (fit.bad.is_some() && any)
    }

    /// The words for it.
    pub fn name(&self, ladders: &Ladders) -> String {
        let faults = self.posterior.faults.iter();
        let names: Vec<String> = faults.map(|i| ladders.suspects[*i].name()).collect();
        match names.is_empty() {
            true => say::no_fault().into(),
            false => names.into_iter().reduce(say::both).unwrap_or_default(),
        }
    }
}

/// Probability that the squared length of `count` standard normal numbers exceeds `distance`.
fn exceeded(distance: f64, count: usize) -> f64 {
    if count == 0 || distance <= 0.0 {
        return 1.0;
    }
    gamma_ur(count as f64 / 2.0, distance / 2.0)
}

/// Every reading beside what is shown by the hypothesis and by a healthy car.
fn witnesses(
    evidence: &Evidence,
    posterior: &Posterior,
    sound: Option<&Posterior>,
) -> Vec<Witness> {
    let all = (0..evidence.reads.len()).map(|i| {
        let shown = posterior.shown.means[i];
        let apart = posterior.fit.residuals[i];
        let (sound, sound_apart) = sound.map_or((shown, apart), |sound| {
            (sound.shown.means[i], sound.fit.residuals[i])
        });
        Witness {
            read: i,
            shown,
            sound,
            apart,
            sound_apart,
        }
    });
    let mut all: Vec<Witness> = all.collect();
    let weight = |w: &Witness| w.apart.abs().max((w.sound_apart - w.apart).abs());
    all.sort_by(|a, b| weight(b).total_cmp(&weight(a)));
    all
}

fn verdict(
    evidence: &Evidence,
    hypotheses: &[Hypothesis],
    groups: &[Vec<usize>],
    (held, unlike): (bool, Unlike),
) -> Verdict {
    let sound = hypotheses.iter().find(|h| h.posterior.faults.is_empty());
    let sound = sound.map_or(0.0, |sound| sound.probability);
    let Some(first) = hypotheses.first() else {
        return Verdict::NothingFits;
    };
    if first.fit < NOTHING_FITS {
        return Verdict::NothingFits;
    }
    if sound > CLEARED {
        // An engine that does not run or is in danger is not sound, whatever the rest says; nor
        // is one of which a reading had to be set aside, or a set code.
        let stands = !evidence.not_running.is_empty();
        return match held || stands || first.doubts_codes(evidence) {
            false => Verdict::NoFaultShown,
            true => Verdict::Undecided,
        };
    }
    if sound > FAULTY {
        return Verdict::Undecided;
    }
    let group = groups.iter().find(|group| group.contains(&0));
    let together = group.map_or(first.probability, |group| {
        group.iter().map(|i| hypotheses[*i].probability).sum()
    });
    match group.is_some() {
        _ if unlike.0 && together < SURE => Verdict::Undecided,
        true => Verdict::OneOfSeveral,
        false if first.probability > CLEARED => Verdict::Fault,
        false => Verdict::Undecided,
    }
}

/// Groups of likely hypotheses that the evidence cannot tell apart.
fn groups(ladders: &Ladders, evidence: &Evidence, hypotheses: &[Hypothesis]) -> Vec<Vec<usize>> {
    let likely = hypotheses.iter().map(|h| {
        let law = || Normal::new(&evidence.reads, &h.posterior.shown);
        (h.probability > CONSIDERED).then(law).flatten()
    });
    let laws: Vec<Option<Normal>> = likely.collect();
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for i in (0..hypotheses.len()).filter(|i| hypotheses[*i].probability > CONSIDERED) {
        let of = |i: usize| (&hypotheses[i], laws[i].as_ref());
        let alike = |j: &usize| same(ladders, evidence, of(i), of(*j));
        match groups.iter().position(|group| group.iter().any(alike)) {
            Some(found) => groups[found].push(i),
            None => groups.push(vec![i]),
        }
    }
    groups.retain(|group| group.len() > 1);
    groups
}

/// Whether two hypotheses at their best sizes would show nearly the same.
fn same(
    ladders: &Ladders,
    evidence: &Evidence,
    (a, law_a): (&Hypothesis, Option<&Normal>),
    (b, law_b): (&Hypothesis, Option<&Normal>),
) -> bool {
    let [from, to] = [a, b].map(|h| &h.posterior.shown.means);
    let between = |law: Option<&Normal>| law.map_or(f64::INFINITY, |law| law.between(from, to));
    let faults = |h: &Hypothesis| {
        let pairs = h.posterior.faults.iter().zip(&h.posterior.best);
        let pairs = pairs.map(|(i, u)| (ladders.suspects[*i], ladders.suspects[*i].size(*u)));
        beside(evidence, &pairs.collect::<Vec<_>>())
    };
    let standing = 2.0 * (faults(a) - faults(b)).abs();
    between(law_a).max(between(law_b)) + standing < APART
}
