//! A torque that nobody read but the air tells: in every faulty car it is the one at which that car draws
//! the same air.
//!
//! Read off once, as a healthy car draws it, it would ask a car with a dead cylinder for work that only more
//! air than was read can do, and so speak against the very fault that is there.

use crate::control::{Command, ThrottleMode};
use crate::network::Readings;
use crate::study::asking::sensitivity::{Columns, Slopes};
use crate::study::running::condition::Condition;

/// The torque asked for, N m, at one condition and size of a fault.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Torque {
    /// At which the reading is the healthy car's.
    pub asked: f64,
    /// Along the fault's size, the reading held.
    by_u: f64,
    /// What is missing yet, that the reading be the healthy car's.
    short: f64,
    /// How far the reading is from that of the healthy car, as a share of it.
    pub off: f64,
    /// The healthy car's reading; none before it was run.
    reading: Option<f64>,
}

impl Torque {
    /// As a condition states it; 0 where it asks for none.
    pub fn of(condition: &Condition) -> Self {
        let asked = match condition.command.throttle {
            ThrottleMode::Torque(asked) => asked,
            ThrottleMode::Pedal | ThrottleMode::Opening(_) => 0.0,
        };
        Self {
            asked,
            ..Self::default()
        }
    }

    /// So much further along the size.
    pub fn further(self, by: f64) -> Self {
        Self {
            asked: self.asked + self.short + self.by_u * by,
            ..self
        }
    }

    /// Whether the reading is too far to go on from (own choice: what instruments resolve).
    pub fn is_off(&self) -> bool {
        self.off > 0.01
    }

    /// What is asked of the car.
    pub fn command(&self, condition: &Condition) -> Command {
        match condition.told_by {
            Some(_) => Command {
                throttle: ThrottleMode::Torque(self.asked),
                ..condition.command
            },
            None => condition.command,
        }
    }

    /// Where the torque leads from here; the slopes along the size (second of the columns; first: demand)
    /// become those with the reading held.
    pub fn held(
        self,
        condition: &Condition,
        readings: &Readings<f64>,
        slopes: &mut Slopes,
        (demand, size): (usize, usize),
    ) -> Self {
        let Some((told_by, shown)) = (condition.told_by).and_then(|r| Some((r, readings.get(r)?)))
        else {
            return self;
        };
        let row = told_by as usize;
        let by_demand = slopes.readings[(row, demand)];
        // A torque that moves no air tells nothing of it.
        if by_demand <= 0.0 {
            return self;
        }
        let reading = self.reading.unwrap_or(shown);
        let share = slopes.readings[(row, size)] / by_demand;
        hold(&mut slopes.states, share, (demand, size));
        hold(&mut slopes.readings, share, (demand, size));
        hold(&mut slopes.levels, share, (demand, size));
        Self {
            by_u: -share * condition.demand_doubt,
            short: (reading - shown) / by_demand * condition.demand_doubt,
            off: (shown / reading - 1.0).abs(),
            reading: Some(reading),
            ..self
        }
    }
}

/// The column of size less so much of that of demand.
fn hold<const R: usize>(of: &mut Columns<R>, share: f64, (demand, size): (usize, usize)) {
    let along = of.column(demand) * share;
    let mut size = of.column_mut(size);
    size -= along;
}
