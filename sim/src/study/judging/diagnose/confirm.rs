//! How the likeliest fault is confirmed at the part, and what would prove it wrong: of all that can
//! still be read or checked without danger, what would speak against it most if another
//! hypothesis were true.
//!
//! How far that is, is the expected log-likelihood ratio of what is true to it, in nats
//! (kullback_leibler1951), over the other hypotheses by their probabilities.

use super::at_the_car::{EXTRA, PLUG};
use super::checks::Check;
use super::evidence::Evidence;
use super::foreseen::Outlook;
use super::ladders::Ladders;
use super::next::{Candidate, candidates, forecast};
use super::ranking::Diagnosis;
use crate::network::Reading;
use crate::network::readings::FORMS;
use crate::say::judging as say;

/// Other hypotheses that are asked.
const OTHERS: usize = 8;
/// Nats below which nothing would prove it wrong (own choice: 7 to 1).
const TELLING: f64 = 2.0;
/// Standard deviations from what it predicts from which a reading excludes it.
const EXCLUDES: f64 = 3.0;

/// How to confirm a hypothesis.
#[derive(Clone, Debug, PartialEq)]
pub struct Confirm {
    /// Each fault with the check of its part.
    pub at_part: Vec<AtPart>,
    /// What would prove it wrong; none where nothing at hand would.
    pub wrong: Option<Disproof>,
}

/// A fault and the check of its part.
#[derive(Clone, Debug, PartialEq)]
pub struct AtPart {
    /// The fault.
    pub fault: String,
    /// The check.
    pub check: Option<Check>,
    /// How, in words.
    pub how: String,
}

/// What would prove a hypothesis wrong.
#[derive(Clone, Debug, PartialEq)]
pub struct Disproof {
    /// Its key: that of a check, or of a reading and where.
    pub test: String,
    /// What to do.
    pub what: String,
    /// The outcome that would exclude it, in a sentence.
    pub outcome: String,
    /// What the hypothesis predicts and the limits beyond which it is excluded; none of a check.
    pub expected: Option<[f64; 3]>,
    /// How far apart, nats.
    pub separation: f64,
}

impl Confirm {
    /// Of the first hypothesis; none where that is a healthy car.
    pub fn new(
        ladders: &Ladders,
        evidence: &Evidence,
        diagnosis: &Diagnosis,
        outlook: &Outlook,
    ) -> Option<Self> {
        let first = diagnosis.hypotheses.first()?;
        if first.posterior.faults.is_empty() {
            return None;
        }
        let all = candidates(ladders, evidence, diagnosis);
        let (this, others) = all.split_first()?;
        let parts = this.faults.iter().map(|fault| {
            let check = Check::of(fault);
            let how = match check {
                None => say::look_at_it().into(),
                Some(check) if check.loads() && !outlook.allows_full_load() => {
                    say::once_safe(check.meaning())
                }
                Some(check) => check.meaning().to_string(),
            };
            AtPart {
                fault: fault.0.name(),
                check,
                how,
            }
        });
        let others = &others[..others.len().min(OTHERS)];
        let asked = Asked {
            ladders,
            evidence,
            diagnosis,
            outlook,
            this,
            others,
        };
        Some(Self {
            at_part: parts.collect(),
            wrong: asked.wrong(),
        })
    }
}

struct Asked<'a> {
    ladders: &'a Ladders,
    evidence: &'a Evidence,
    diagnosis: &'a Diagnosis,
    outlook: &'a Outlook,
    this: &'a Candidate,
    others: &'a [Candidate],
}

impl Asked<'_> {
    fn wrong(&self) -> Option<Disproof> {
        let checks = Check::WORDS.iter();
        let checks = checks.filter_map(|(_, check, _)| self.by_check(*check));
        let conditions = 0..self.ladders.conditions.len();
        let allowed = conditions.filter(|c| self.outlook.allows(*c));
        let readings = allowed.flat_map(|c| self.by_readings(c));
        let all = checks.chain(readings);
        let most = all.max_by(|a, b| a.separation.total_cmp(&b.separation))?;
        (most.separation > TELLING).then_some(most)
    }

    /// Weights of the other hypotheses.
    fn shares(&self) -> impl Iterator<Item = f64> + '_ {
        let all: f64 = self.others.iter().map(|other| other.probability).sum();
        self.others.iter().map(move |other| other.probability / all)
    }

    fn by_check(&self, check: Check) -> Option<Disproof> {
        let done = self.evidence.checks.iter().any(|(done, ..)| *done == check);
        let metering = self.ladders.car.network.vehicle.metering;
        if done || !check.tells(metering) || (check.loads() && !self.outlook.allows_full_load()) {
            return None;
        }
        let this = check.odds(&self.this.faults);
        let mut against = vec![0.0; this.len()];
        for (share, other) in self.shares().zip(self.others) {
            for (o, odds) in check.odds(&other.faults).into_iter().enumerate() {
                if odds > 0.0 {
                    against[o] += share * odds * (odds / this[o].max(1e-12)).ln();
                }
            }
        }
        let most = (0..against.len()).max_by(|a, b| against[*a].total_cmp(&against[*b]))?;
        let found = Check::in_words(&check.outcomes()[most]);
        Some(Disproof {
            test: check.word().into(),
            what: check.meaning().into(),
            outcome: say::wrong_if_found(&self.this.name, check.test().name(), found),
            expected: None,
            separation: against.iter().sum(),
        })
    }

    fn by_readings(&self, condition: usize) -> Vec<Disproof> {
        let sound = self.ladders.sound.spots[condition].as_ref();
        let taken = |reading: Reading| {
            let mut reads = self.evidence.reads.iter();
            reads.any(|read| read.condition == condition && read.reading == reading)
        };
        let extra = EXTRA.iter().map(|(reading, _)| *reading);
        let readings = PLUG.into_iter().chain(extra);
        let readings = readings.filter(|reading| {
            !taken(*reading) && sound.is_some_and(|spot| spot.readings.get(*reading).is_some())
        });
        let readings: Vec<Reading> = readings.collect();
        let law = |candidate: &Candidate| {
            let law = forecast(
                self.ladders,
                self.diagnosis,
                candidate,
                condition,
                &readings,
            );
            law.map(|(mean, covariance)| (mean, covariance.diagonal()))
        };
        let Some((mean, variance)) = law(self.this) else {
            return Vec::new();
        };
        let mut separations = vec![0.0; readings.len()];
        let mut nearest: Option<Vec<f64>> = None;
        for (share, other) in self.shares().zip(self.others) {
            let Some((means, variances)) = law(other) else {
                continue;
            };
            for (i, separation) in separations.iter_mut().enumerate() {
                let off = means[i] - mean[i];
                let spread = (variances[i] + off * off) / variance[i];
                let nats = 0.5 * (spread - 1.0 - (variances[i] / variance[i]).ln());
                *separation += share * nats;
            }
            nearest.get_or_insert_with(|| means.iter().copied().collect());
        }
        let (Some(nearest), Some(other)) = (nearest, self.others.first()) else {
            return Vec::new();
        };
        let name = &self.ladders.conditions[condition].name;
        let all = readings.iter().enumerate().map(|(i, reading)| {
            let form = &FORMS[*reading as usize];
            let show = |value: f64| format!("{value:.*}", form.decimals);
            let wide = EXCLUDES * variance[i].sqrt();
            let [least, most] = [mean[i] - wide, mean[i] + wide];
            let unit = |value: f64| {
                format!("{} {}", show(value), form.unit)
                    .trim_end()
                    .to_string()
            };
            let what = say::reading_at(form.label, name);
            let outcome = say::wrong_if_read(
                &self.this.name,
                &what,
                show(least),
                unit(most),
                unit(mean[i]),
                &other.name,
                unit(nearest[i]),
            );
            Disproof {
                test: format!("{}_{}", form.key, name.replace(' ', "_")),
                what,
                outcome,
                expected: Some([mean[i], least, most]),
                separation: separations[i],
            }
        });
        all.collect()
    }
}
