//! Where an engine computer learns its trims, and what it has learnt.

use crate::control::{Command, Memory, TrimCells};
use crate::machine::cylinders::torque_of_mean_pressure;
use crate::network::Network;
use crate::network::layout::state;
use crate::solve::State;

/// Where part-load trims are learnt: crank speed, rad/s (about 2400 rpm), and mean
/// effective pressure, Pa (light cruise, common practice).
pub const CRUISE: (f64, f64) = (250.0, 2.5e5);

/// Where the trim of the high-load cell is learnt, the same: about 3000 rpm, brisk but still in
/// closed loop (own choice).
pub(in crate::study) const BRISK: (f64, f64) = (314.0, 8e5);

/// What a computer has learnt at idle and at light cruise, and the states there;
/// none where the car does not run.
#[derive(Clone, Copy, Debug)]
pub struct Learnt {
    /// What it has learnt.
    pub memory: Memory,
    /// The car at idle.
    pub idle: Option<State>,
    /// The car at light cruise.
    pub cruise: Option<State>,
    /// The car driven briskly, where its computer has a cell for that.
    pub brisk: Option<State>,
}

/// Light cruise, where part-load trims are learnt.
pub(in crate::study) fn cruise(network: &Network<f64>) -> Command {
    loaded(network, CRUISE)
}

/// Brisk driving, where the trim of the high-load cell is learnt; none where there is none.
pub(in crate::study) fn brisk(network: &Network<f64>) -> Option<Command> {
    let has = network.vehicle.trim_cells == TrimCells::ByLoad;
    has.then(|| loaded(network, BRISK))
}

fn loaded(network: &Network<f64>, (speed, pressure): (f64, f64)) -> Command {
    let torque = torque_of_mean_pressure(pressure, network.vehicle.cylinders.displacement);
    Command::torque(speed, torque)
}

/// The points at which a computer learns, in their order: idle, light cruise, and brisk driving
/// where it has a cell for that.
pub(in crate::study) fn lessons(network: &Network<f64>) -> [Option<Command>; 3] {
    [Some(Command::IDLE), Some(cruise(network)), brisk(network)]
}

/// The command with what the computer has learnt.
pub(in crate::study) fn remembering(command: Command, memory: Memory, learning: bool) -> Command {
    Command {
        memory: Some(memory),
        learning,
        ..command
    }
}

/// What is learnt in a state at one of the [`lessons`], by its number.
pub(in crate::study) fn take_lesson(memory: &mut Memory, lesson: usize, x: &State) {
    match lesson {
        0 => {
            memory.idle_opening = x[state::IDLE];
            memory.idle_trim = x[state::IDLE_TRIM];
        }
        1 => memory.part_load_trim = x[state::PART_TRIM],
        _ => memory.high_load_trim = x[state::HIGH_TRIM],
    }
}
