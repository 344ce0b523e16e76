//! What two faults show together, where readings have stops.
//!
//! What each fault changes in a healthy car is added up. Trims multiply instead, and what they
//! cannot take any more shows further down: long-term trim, short-term trim, mixture
//! (`control::fuelling`). Other readings with stops end there.

use super::evidence::{Read, Shown};
use super::ladders::Ladders;
use crate::control::{ThrottleMode, full_load_share};
use crate::network::{Reading, Vehicle};
use nalgebra::DVector;

/// Share of full load above which the mixture is not controlled by the sensor.
const OPEN: f64 = 0.5;

/// Range of an oxygen sensor (`control::fuelling`).
const LAMBDA: (f64, f64) = (0.5, 2.0);

/// Smallest and largest value, the reading's unit, of a reading that has stops.
fn stops(car: &Vehicle<f64>, reading: Reading) -> Option<(f64, f64)> {
    let even = |limit: f64| (-100.0 * limit, 100.0 * limit);
    let boost = &car.boost;
    match reading {
        Reading::LongTrim => Some(even(car.fuelling.learning_limit)),
        Reading::ShortTrim => Some(even(car.fuelling.trim_limit)),
        Reading::LambdaSensor => Some(LAMBDA),
        Reading::WastegateDuty => Some((100.0 * boost.least_duty, 100.0 * boost.most_duty)),
        Reading::Throttle | Reading::Wastegate | Reading::RecirculationValve => Some((0.0, 100.0)),
        _ => None,
    }
}

impl Shown {
    /// Two faults at once, each shown alone beside the `sound` car.
    pub fn of_two(ladders: &Ladders, reads: &[Read], [a, b, sound]: [&Shown; 3]) -> Shown {
        let mut both = Shown::together(a, b, sound);
        let car = &ladders.car.network.vehicle;
        for c in 0..ladders.conditions.len() {
            let at = |reading| {
                let mut reads = reads.iter();
                reads.position(|read| read.condition == c && read.reading == reading)
            };
            if let Some(long) = at(Reading::LongTrim) {
                let command = &ladders.conditions[c].command;
                let open = command.throttle == ThrottleMode::Pedal
                    && full_load_share(command.pedal) > OPEN;
                let short = at(Reading::ShortTrim).filter(|_| !open);
                let rows = [long].into_iter().chain(short).collect::<Vec<_>>();
                let mixture = at(Reading::LambdaSensor);
                let parts = [&a.means, &b.means, &sound.means];
                both.trimmed(car, reads, (&rows, mixture), parts, open);
            }
        }
        for (i, read) in reads.iter().enumerate() {
            let Some((low, high)) = stops(car, read.reading) else {
                continue;
            };
            if !(low..=high).contains(&both.means[i]) {
                both.means[i] = both.means[i].clamp(low, high);
                both.by_doubt.row_mut(i).fill(0.0);
            }
        }
        both.changes = &both.means - &sound.means;
        both
    }

    /// Reading `i`, with all trims together at `trim` %, where a computer of another make stops them.
    pub(super) fn stop(&mut self, ladders: &Ladders, (i, reading): (usize, Reading), trim: f64) {
        let Some(stopped) = ladders.doubt.unlike.stopped(trim) else {
            return;
        };
        let column = ladders.trim_stop();
        let share = match reading {
            Reading::FuelTrim | Reading::LongTrim | Reading::ShortTrim => 1.0 / trim,
            // What is not given is missing in the mixture.
            Reading::Lambda | Reading::LambdaSensor => {
                let lean = (100.0 + trim) / (100.0 + stopped.mean);
                let mean = self.means[i] * lean;
                self.by_doubt[(i, column)] = -mean / (100.0 + stopped.mean) * stopped.deviation;
                self.changes[i] += mean - self.means[i];
                self.means[i] = mean;
                return;
            }
            _ => return,
        };
        let mean = self.means[i];
        let stands = mean * share * stopped.mean;
        self.by_doubt.row_mut(i).scale_mut(stopped.follows);
        self.by_u[i] *= stopped.follows;
        self.by_doubt[(i, column)] = mean * share * stopped.deviation;
        self.changes[i] += stands - mean;
        self.means[i] = stands;
    }

    /// The fuel that two faults call for together, laid on `rows` of trims in turn up to their
    /// stops, and the rest seen in the mixture.
    fn trimmed(
        &mut self,
        car: &Vehicle<f64>,
        reads: &[Read],
        (rows, mixture): (&[usize], Option<usize>),
        parts: [&DVector<f64>; 3],
        open: bool,
    ) {
        // An open loop does not call for what the mixture shows.
        let called = mixture.filter(|_| !open);
        let [a, b, sound] = parts.map(|means| {
            let trims: f64 = rows.iter().map(|i| 1.0 + 0.01 * means[*i]).product();
            called.map_or(trims, |i| trims * means[i])
        });
        let mut left = a * b / (sound * sound);
        let mut moves = self.by_doubt.row(rows[0]).into_owned();
        for other in &rows[1..] {
            moves += self.by_doubt.row(*other);
        }
        for (k, row) in rows.iter().enumerate() {
            let Some((low, high)) = stops(car, reads[*row].reading) else {
                continue;
            };
            let before = 1.0 + 0.01 * parts[2][*row];
            let asked = 100.0 * (before * left - 1.0);
            let got = asked.clamp(low, high);
            left = before * left / (1.0 + 0.01 * got);
            self.means[*row] = got;
            let stopped = got != asked;
            if stopped || k > 0 {
                self.by_doubt.row_mut(*row).fill(0.0);
            }
            if !stopped {
                self.by_doubt.set_row(*row, &moves);
                moves.fill(0.0);
            }
        }
        if let Some(i) = mixture {
            let [a, b, sound] = parts.map(|means| means[i]);
            self.means[i] = left * if open { a * b / sound } else { sound };
            let mut row = self.by_doubt.row_mut(i);
            row += moves * (0.01 * sound);
        }
    }
}
