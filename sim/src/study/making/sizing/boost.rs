//! The boost wanted over engine speed: what the turbine can give below the
//! peak-torque speed, what the wanted torque takes above it.

use super::Refusal;
use super::draft::Draft;
use super::task::{Knob, Task};
use super::turbo::LEAST_SURGE_ROOM;
use crate::control::Command;
use crate::network::Reading as R;

/// Places in the list of points.
const SPOOL: [usize; 3] = [0, 1, 2];
const PEAK: usize = 3;
const MIDDLE: [usize; 2] = [4, 5];
/// The point at the rated speed.
pub(super) const RATED: usize = 6;

/// Speeds of the spool points over the peak-torque speed, and the largest share
/// of the peak boost asked there (common practice, no source).
const EARLY: [[f64; 2]; 3] = [[0.62, 0.55], [0.80, 0.80], [0.90, 0.94]];
/// Share of what the turbine gives with the gate shut that is asked of it.
const SPOOL_SHARE: f64 = 0.96;
/// The first guess, straight from peak to rated; the last point follows the rated one.
pub(super) fn first(draft: &Draft) -> Vec<[f64; 2]> {
    let n = &draft.numbers;
    let (from, to) = (n.peak_torque_speed, n.rated_speed);
    let mut points: Vec<[f64; 2]> = EARLY
        .map(|[speed, share]| [speed * from, share * n.peak_boost])
        .to_vec();
    for share in [0.0, 1.0 / 3.0, 2.0 / 3.0, 1.0] {
        let boost = n.peak_boost + (draft.rated.boost - n.peak_boost) * share;
        points.push([from + (to - from) * share, boost]);
    }
    points
}

/// Torque wanted at a speed between peak torque and rated power: falls with the
/// square of the way, and never makes more than the rated power.
fn wanted(draft: &Draft, speed: f64) -> f64 {
    let n = &draft.numbers;
    let way = (speed - n.peak_torque_speed) / (n.rated_speed - n.peak_torque_speed);
    let torque = n.peak_torque - (n.peak_torque - n.rated_torque()) * way * way;
    torque.min(0.985 * n.rated_power / speed)
}

/// Sets the points between the two given ones, and those below them.
pub(super) fn shape(task: &mut Task) -> Result<(), Refusal> {
    let peak = task.draft.numbers.peak_boost;
    task.draft.boosts[PEAK][1] = peak;
    let knobs: [fn(&mut Draft) -> &mut f64; 2] = [
        |d| &mut d.boosts[MIDDLE[0]][1],
        |d| &mut d.boosts[MIDDLE[1]][1],
    ];
    for (place, of) in MIDDLE.into_iter().zip(knobs) {
        let speed = task.draft.boosts[place][0];
        let torque = wanted(&task.draft, speed);
        let knob = Knob {
            range: [0.35 * peak, peak],
            of,
        };
        let command = Command::full_load(speed);
        task.turn(&knob, command, 2e-3, |point| point.torque() / torque - 1.0)?;
        task.draft.middle[place - MIDDLE[0]] = task.run(command)?.load();
    }
    for (place, [_, most]) in SPOOL.into_iter().zip(EARLY) {
        spool(task, place, most * peak)?;
    }
    Ok(())
}

/// One point below the peak-torque speed: at most `most`, at most [`SPOOL_SHARE`]
/// of what the turbine gives, and clear of surge.
fn spool(task: &mut Task, place: usize, most: f64) -> Result<(), Refusal> {
    const LEAST: f64 = 2e3;
    let command = Command::full_load(task.draft.boosts[place][0]);
    task.draft.boosts[place][1] = most;
    let mut point = task.run(command)?;
    if point.boost() < 0.995 * most || point.is(R::WastegateDuty) > 90.0 {
        task.draft.boosts[place][1] = (SPOOL_SHARE * point.boost()).max(LEAST);
        point = task.run(command)?;
    }
    while point.surge_room() < LEAST_SURGE_ROOM && task.draft.boosts[place][1] > LEAST {
        task.draft.boosts[place][1] = (0.9 * task.draft.boosts[place][1]).max(LEAST);
        point = task.run(command)?;
    }
    Ok(())
}
