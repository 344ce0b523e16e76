//! The answer: hypotheses in order, what they cannot be told from, what speaks for and
//! against each, and a verdict that may be "none of these".

pub use super::hypothesis::{Hypothesis, Size, Witness};
pub use super::verdict::Verdict;

use super::dangerous::Dangerous;
use super::evidence::Evidence;
use super::holds::Holds;
use super::ladders::Ladders;
use super::likelihood::log_add;
use super::pairs::pairs;
use super::posterior::Posterior;
use super::verdict::{groups, verdict};
use crate::say::judging as say;
use crate::solve::Failure;
use crate::study::running::dangers::Danger;
use std::fmt;

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
    /// Indices of hypotheses that the evidence does not tell apart, each group in order; the first few are
    /// one where only together they are sure.
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
                (ladders, evidence),
                &hypotheses,
                &inseparable,
                !dangers.is_empty() || holds.is_some(),
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
