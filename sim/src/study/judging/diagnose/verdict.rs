//! What is said first, and which hypotheses are one answer.

use super::evidence::Evidence;
use super::hypothesis::Hypothesis;
use super::ladders::Ladders;
use super::likelihood::Normal;
use super::posterior::beside;

/// Probability of a healthy car above which no fault is shown.
const CLEARED: f64 = 0.5;
/// Probability of a healthy car below which it is called faulty: in the blind garage this
/// calls 0.6 % of healthy cars faulty.
const FAULTY: f64 = 0.2;
/// Probability that the first, and what it is not told from, must have together where the car is
/// known by its plate: what differs between makes has no better name (`benches/off_model`).
const SURE: f64 = 0.95;
/// Answers at most that are named together where no fewer have [`SURE`]: more than these are no verdict
/// (own choice).
const FEW: usize = 3;
/// Probability of readings so far off, under the best hypothesis, below which nothing fits.
const NOTHING_FITS: f64 = 1e-3;
/// Hypotheses less probable than this are not asked whether they can be told apart.
const CONSIDERED: f64 = 0.01;
/// Squared distance, in standard deviations, up to which two cannot be told apart: a gain
/// of less than e² = 7 to 1 from these readings.
const APART: f64 = 4.0;

/// What is said first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The readings are those of a healthy car.
    NoFaultShown,
    /// One fault fits.
    Fault,
    /// Some faults fit that the readings do not tell apart.
    OneOfSeveral,
    /// Neither sound nor faulty is sure.
    Undecided,
    /// Nothing in the catalogue gives these readings.
    NothingFits,
}

pub(super) fn verdict(
    (ladders, evidence): (&Ladders, &Evidence),
    hypotheses: &[Hypothesis],
    groups: &[Vec<usize>],
    held: bool,
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
        _ if ladders.doubt.unlike.0 && together < SURE => Verdict::Undecided,
        _ if first.is_too_small(ladders) => Verdict::Undecided,
        true => Verdict::OneOfSeveral,
        false if first.probability > CLEARED => Verdict::Fault,
        false => Verdict::Undecided,
    }
}

/// Groups of likely hypotheses that the evidence does not tell apart.
pub(super) fn groups(
    ladders: &Ladders,
    evidence: &Evidence,
    hypotheses: &[Hypothesis],
) -> Vec<Vec<usize>> {
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
    let alone = if ladders.doubt.unlike.0 {
        SURE
    } else {
        CLEARED
    };
    credible(hypotheses, groups, alone)
}

/// The groups, those of the first few answers made one where the first has not more than `alone` and
/// they together are [`SURE`]: between them the evidence has not decided, and against all others it has.
fn credible(hypotheses: &[Hypothesis], groups: Vec<Vec<usize>>, alone: f64) -> Vec<Vec<usize>> {
    let group = |i: usize| groups.iter().find(|group| group.contains(&i));
    let (mut named, mut answers) = (Vec::new(), 0);
    let together = |named: &[usize]| {
        named
            .iter()
            .map(|i| hypotheses[*i].probability)
            .sum::<f64>()
    };
    for (i, hypothesis) in hypotheses.iter().enumerate() {
        if named.contains(&i) {
            continue;
        }
        // A healthy car is none of the faults, and one fault is no pair.
        let faults = hypothesis.posterior.faults.len();
        if faults == 0 || faults != hypotheses[0].posterior.faults.len() || answers == FEW {
            return groups;
        }
        answers += 1;
        named.extend(group(i).cloned().unwrap_or_else(|| vec![i]));
        if answers == 1 && together(&named) > alone {
            return groups;
        }
        if together(&named) >= SURE {
            break;
        }
    }
    let sound = |i: &usize| hypotheses[*i].posterior.faults.is_empty();
    if answers < 2 || together(&named) < SURE || named.iter().any(sound) {
        return groups;
    }
    named.sort_unstable();
    let others = groups
        .into_iter()
        .filter(|group| !named.contains(&group[0]));
    let others: Vec<Vec<usize>> = others.collect();
    std::iter::once(named).chain(others).collect()
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
