//! Which repair comes first.

use crate::commands::workshop::payback::{Found, Question};
use sim::study::workshop::payback::{Measure, Menace};

/// What a repair is ranked by: dangers gone, then codes gone, then the gains of the hour in
/// steps that are worth a word.
pub(super) type Key = (usize, usize, [i64; 4]);

pub(super) fn key(question: &Question, one: &Found) -> Key {
    let count = |wanted: fn(&Menace) -> bool| {
        let here = one.risks.iter().filter(|risk| wanted(&risk.what));
        usize::from(here.count() > 0 && one.job.chance > 0.0)
    };
    let others = [
        Measure::Power,
        Measure::Torque,
        Measure::Fuel,
        Measure::TrimMargin,
    ];
    let rest = others.into_iter().filter(|m| *m != question.rank_by);
    let mut steps = [0; 4];
    let order = [question.rank_by].into_iter().chain(rest);
    for (step, by) in steps.iter_mut().zip(order) {
        let gain = one.gains.measure(by).expected(one.job.chance).value / effort(question, one);
        let worth = match by {
            Measure::Power => 0.05,
            Measure::Torque => 0.1,
            Measure::Fuel => 1.0,
            Measure::TrimMargin => 0.5,
        };
        // A car that does not run with the fault has no number: its danger has ranked it.
        *step = if gain.is_finite() {
            (gain / worth).round() as i64
        } else {
            0
        };
    }
    (
        count(Menace::is_danger),
        count(|menace| !menace.is_danger()),
        steps,
    )
}

/// Hours of work, and those that pay for the parts where the rate is known.
pub(super) fn effort(question: &Question, one: &Found) -> f64 {
    let hours = one.asked.time / 3600.0;
    match question.labour_rate.filter(|rate| *rate > 0.0) {
        Some(rate) => hours + one.asked.parts / rate,
        None => hours,
    }
}
