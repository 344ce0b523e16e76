//! How much load a condition had that says it by its readings alone.

use super::file::{Taken, mistake};
use crate::control::Command;
use crate::network::Reading;
use crate::root::border;
use crate::scenario::{Mistake, Point};
use crate::solve::{Failure, State};
use crate::study::running::simulate::{Comparison, running};

/// Share of what the healthy car draws with the pedal down from which the pedal is taken to be down (own
/// choice: short of it a torque can still be asked for).
const ALL: f64 = 0.995;

/// Share of what it cannot reach that is asked of a car at most: where the air that was read is all that
/// it draws, its torque is known no better (own choice).
const SHORT: f64 = 0.995;

impl Taken<f64> {
    /// The pedal down, where so much air was read at rest that the healthy car draws no more.
    pub(super) fn wide_open(
        &self,
        cars: &Comparison,
        speed: f64,
    ) -> Result<Option<Command>, Mistake> {
        let point = Point {
            name: self.name.clone(),
            idle: false,
            speed: Some(speed),
            torque: None,
            pedal: Some(1.0),
        };
        let command = cars.command(point.command()?, false);
        let Some((reading, value)) = self.load_read().filter(|_| !self.moving) else {
            return Ok(None);
        };
        let side = running(&cars.network.with(command), None).ok();
        let most = side.and_then(|side| side.readings.get(reading));
        Ok(most
            .is_some_and(|most| value > ALL * most)
            .then_some(point.command()?))
    }

    /// The reading that tells how much load there is.
    pub(super) fn load_read(&self) -> Option<(Reading, f64)> {
        let tells = [
            Reading::MeteredAir,
            Reading::AbsoluteLoad,
            Reading::Manifold,
        ];
        let given = self.readings.given();
        let read = |wanted: &Reading| given.iter().find(|g| g.1 == *wanted);
        let (_, reading, value) = tells.iter().find_map(read)?;
        Some((*reading, *value))
    }

    /// What is asked of the healthy car, from the least to the most, where it counts the air that was read.
    pub(super) fn read_off(
        &self,
        cars: &Comparison,
        ask: impl Fn(f64) -> Command,
        (least, most): (f64, f64),
    ) -> Result<f64, Mistake> {
        let Some((reading, value)) = self.load_read() else {
            return Err(mistake(
                "speed",
                "how much load? give `torque` or `pedal`, or read `metered_air`, `absolute_load` or `manifold_pressure`",
            ));
        };
        let mut guess = State::from(cars.network.start());
        let (mut beyond, mut beneath) = (most, least);
        let mut below = |asked: f64| {
            let command = cars.command(ask(asked), false);
            let side = match running(&cars.network.with(command), Some(&guess)) {
                Ok(side) => side,
                Err(Failure::Unreachable { wanted, got }) => {
                    // Its throttle is shut, and still it pushes more.
                    if got > wanted {
                        beneath = beneath.max(asked);
                        return true;
                    }
                    beyond = beyond.min(asked);
                    return false;
                }
                Err(_) => return false,
            };
            guess = side.state;
            let shown = side.readings.get(reading);
            shown.is_some_and(|shown| shown < value)
        };
        // By halves, since a car may not reach the ends.
        let (low, high) = border((least, most), 40, &mut below);
        match low <= beneath {
            true => Ok(high),
            false => Ok((0.5 * (low + high)).min(SHORT * beyond)),
        }
    }
}
