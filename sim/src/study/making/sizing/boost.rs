//! The boost wanted over engine speed: what the turbine can give below the
//! peak-torque speed, what the wanted torque takes above it.

use super::Refusal;
use super::draft::Draft;
use super::engine::idle_speed;
use super::task::{Free, HIGHEST, Knob, Task};
use super::turbo::LEAST_SURGE_ROOM;
use crate::control::Command;
use crate::network::Reading as R;

/// Speeds of the spool points over the peak-torque speed, and the largest share
/// of the peak boost asked there (common practice, no source); two where a plateau
/// takes more of the eight points that a table has.
const EARLY: [[f64; 2]; 3] = [[0.62, 0.55], [0.80, 0.80], [0.90, 0.94]];
const EARLY_OF_TWO: [[f64; 2]; 2] = [[0.76, 0.72], [0.91, 0.94]];
/// Spool points lie at least this many idle speeds up: below it nobody floors the pedal.
const OVER_IDLE: f64 = 1.2;
/// Share of what the turbine gives with the gate shut that is asked of it.
const SPOOL_SHARE: f64 = 0.96;
/// Neighbouring points lie at least this share of the rated speed apart.
const APART: f64 = 0.04;

/// The points of the first draft, straight from peak to rated: below the peak-torque speed, at
/// it (its place is given beside), across the plateau, on to the rated speed.
pub(super) fn first(draft: &Draft) -> (Vec<[f64; 2]>, usize) {
    let n = &draft.numbers;
    let (from, to) = (n.peak_torque_speed, n.rated_speed);
    let slowest = OVER_IDLE * idle_speed(draft).0;
    let early = early(draft).iter();
    let early = early.map(|[share, boost]| [share * from, boost * draft.peak_boost]);
    let mut points: Vec<[f64; 2]> = early.filter(|[speed, _]| *speed >= slowest).collect();
    let peak = points.len();
    let end = n.plateau_end();
    let third = (end / from).cbrt();
    let speeds = match end > from {
        // Closer where filling still rises with speed.
        true => vec![from, from * third, from * third * third, end, to],
        false => vec![from, from + (to - from) / 3.0, to - (to - from) / 3.0, to],
    };
    let last = speeds.len() - 1;
    for (i, speed) in speeds.into_iter().enumerate() {
        let boost = draft.peak_boost
            + (draft.rated.boost - draft.peak_boost) * (speed - from) / (to - from);
        if i == 0 || i == last || (speed > from + APART * to && speed < (1.0 - APART) * to) {
            points.push([speed, boost]);
        }
    }
    (points, peak)
}

fn early(draft: &Draft) -> &'static [[f64; 2]] {
    match draft.numbers.plateau_end() > draft.numbers.peak_torque_speed {
        true => &EARLY_OF_TWO,
        false => &EARLY,
    }
}

/// Torque wanted at a speed between peak torque and rated power: level to the plateau's end,
/// from there falling with the square of the way, and never more than the rated power.
fn wanted(draft: &Draft, speed: f64) -> f64 {
    let n = &draft.numbers;
    let end = n.plateau_end();
    let way = ((speed - end) / (n.rated_speed - end)).clamp(0.0, 1.0);
    let torque = n.peak_torque - (n.peak_torque - n.rated_torque()).max(0.0) * way * way;
    torque.min(0.985 * n.rated_power / speed)
}

/// Sets the points between the two given ones, at most `most` times the boost at the first, and
/// those below them.
pub(super) fn shape(task: &mut Task, most: f64) -> Result<(), Refusal> {
    let peak = task.draft.peak_boost;
    let (at, rated) = (task.draft.peak, task.draft.rated_place());
    let mut middle = Vec::new();
    for place in at + 1..rated {
        let speed = task.draft.boosts[place][0];
        let torque = wanted(&task.draft, speed);
        let knob = Knob {
            free: Free::Boost(place),
            range: [0.35 * peak, (most * peak).min(HIGHEST)],
            tolerance: 2e-3,
        };
        let command = Command::full_load(speed);
        task.turn(knob, command, |point| point.torque() / torque - 1.0)?;
        if let Some(load) = task.load(command)? {
            middle.push(load);
        }
    }
    if !middle.is_empty() {
        task.draft.middle = middle;
    }
    let early = early(&task.draft);
    for place in 0..at {
        let share = early[early.len() - at + place][1];
        spool(task, place, share * peak)?;
    }
    Ok(())
}

/// One point below the peak-torque speed: at most `most`, at most [`SPOOL_SHARE`]
/// of what the turbine gives, and clear of surge.
fn spool(task: &mut Task, place: usize, most: f64) -> Result<(), Refusal> {
    const LEAST: f64 = 2e3;
    let command = Command::full_load(task.draft.boosts[place][0]);
    let less = |task: &mut Task, boost: f64| {
        task.draft.boosts[place][1] = boost.max(LEAST);
    };
    less(task, most);
    loop {
        let asked = task.draft.boosts[place][1];
        let point = match task.run(command) {
            Ok(point) => point,
            // It surges, or swings for another reason: less of it.
            Err(Refusal::Run(_)) if asked > LEAST => {
                less(task, 0.8 * asked);
                continue;
            }
            failed => failed?,
        };
        let lacks = point.boost() < 0.995 * asked || point.is(R::WastegateDuty) > 90.0;
        match asked > LEAST {
            true if lacks && asked > SPOOL_SHARE * point.boost() => {
                less(task, SPOOL_SHARE * point.boost());
            }
            true if point.surge_room() < LEAST_SURGE_ROOM => less(task, 0.9 * asked),
            _ => return Ok(()),
        }
    }
}
