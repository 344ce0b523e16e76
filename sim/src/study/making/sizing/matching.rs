//! The match: free numbers moved, one at a time and in turn, until the running
//! car meets the ten numbers.
//!
//! Nothing here knows how the car works; a number is moved within wide limits
//! until one reading of one steady point is what it should be.

use super::bench::{Bench, Point};
use super::draft::{Draft, SURROUNDINGS};
use super::part::Notes;
use super::task::{Knob, Task};
use super::{Margin, Refusal, boost, build, turbo, verdict};
use crate::control::{Command, Metering};
use crate::medium::Medium;
use crate::network::{Reading as R, Vehicle};

/// Most rounds of all numbers.
const ROUNDS: usize = 12;
/// Share by which torque and power may miss when the rounds end.
const CLOSE: f64 = 2e-3;
/// Share of the fuel's heat that becomes brake work at 80 % of the rated speed, full
/// load: the published split (brake 29, coolant and oil 27.5, exhaust 38 %).
const BRAKE_SHARE: f64 = 0.29;
/// Gas before the turbine at rated power, K, and its tolerance (1150 to 1250 K, from memory).
const EXHAUST: [f64; 2] = [1174.0, 16.0];
/// Manifold at idle, Pa, and its tolerance (27 to 40 kPa, common practice).
const IDLE_MANIFOLD: [f64; 2] = [31e3, 3e3];
/// Share of the exhaust past the turbine at the peak torque.
const PAST_TURBINE: f64 = 0.10;
/// Wastegate opening at rated power.
const RATED_GATE: f64 = 0.6;

impl Task {
    fn at_torque(&self) -> Command {
        Command::full_load(self.draft.numbers.peak_torque_speed)
    }

    fn at_rated(&self) -> Command {
        Command::full_load(self.draft.numbers.rated_speed)
    }

    /// One round of all numbers.
    fn round(&mut self, first: bool) -> Result<(), Refusal> {
        let numbers = self.draft.numbers.clone();
        let (at_torque, at_rated) = (self.at_torque(), self.at_rated());
        if first {
            let knob = Knob {
                range: [0.5, 1.0],
                of: |d| &mut d.quality,
            };
            let heat = numbers.fuel.fuel().lower_heating_value;
            self.turn(
                &knob,
                Command::full_load(0.8 * numbers.rated_speed),
                2e-3,
                |point| {
                    let fuel = point.moment.streams.cycle.fuel;
                    point.torque() * point.speed() / (fuel * heat) - BRAKE_SHARE
                },
            )?;
        }
        let throat = self.draft.throat;
        let knob = Knob {
            range: [0.3 * throat, 3.0 * throat],
            of: |d| &mut d.throat,
        };
        self.turn(&knob, at_torque, 0.003, |point| {
            // Where the boost is not reached, the gate is shut: go on by what boost lacks.
            let lacks = (numbers.peak_boost - point.boost()).max(0.0) / numbers.peak_boost;
            PAST_TURBINE - point.past_turbine() + lacks
        })?;

        let knob = Knob {
            range: [0.0, 1.0],
            of: |d| &mut d.level,
        };
        self.turn(&knob, at_torque, 0.3 * CLOSE, |point| {
            point.torque() / numbers.peak_torque - 1.0
        })?;
        self.rated_power()?;
        if !first {
            boost::shape(self)?;
        }
        self.exhaust_heat()?;
        if numbers.metering == Metering::SpeedDensity {
            let knob = Knob {
                range: [0.0, 2.5],
                of: |d| &mut d.back_pressure,
            };
            // More back pressure assumed, less air counted, more air uncounted.
            self.turn(&knob, at_rated, 0.1, |point| point.is(R::MeteringError))?;
        }
        self.turn(
            &Knob {
                range: [0.3, 3.0],
                of: |d| &mut d.accessories,
            },
            Command::IDLE,
            IDLE_MANIFOLD[1],
            |point| point.is(R::Manifold) * 1e3 - IDLE_MANIFOLD[0],
        )?;

        self.draft.torque = self.run(at_torque)?.load();
        self.draft.rated = self.run(at_rated)?.load();
        let gate = self.draft.rated.gate.max(0.05);
        self.draft.gate_area = (self.draft.gate_area * gate / RATED_GATE).clamp(3e-5, 1.9e-3);
        self.draft.rated.gate = RATED_GATE;
        self.draft.preload = turbo::preload(&self.draft);
        self.draft.wheel = turbo::wheel(&self.draft, &medium(&self.draft))?;
        Ok(())
    }

    /// Rated power by the boost at the rated speed; by filling there, if boost alone does not do.
    fn rated_power(&mut self) -> Result<(), Refusal> {
        let (command, power) = (self.at_rated(), self.draft.numbers.rated_power);
        let miss = |point: &Point| point.torque() * point.speed() / power - 1.0;
        let peak = self.draft.numbers.peak_boost;
        let knob = Knob {
            range: [0.35 * peak, peak],
            of: |d| &mut d.boosts[boost::RATED][1],
        };
        if self.turn(&knob, command, 0.3 * CLOSE, miss)?.miss.abs() > CLOSE {
            let knob = Knob {
                range: [0.85, 1.12],
                of: |d| &mut d.rated_filling,
            };
            self.turn(&knob, command, 0.3 * CLOSE, miss)?;
        }
        Ok(())
    }

    /// Exhaust temperature at rated power by the heat that goes to the coolant;
    /// by the mixture, if that alone does not do.
    fn exhaust_heat(&mut self) -> Result<(), Refusal> {
        let command = self.at_rated();
        let hot = |point: &Point| (point.is(R::ExhaustTemperature) + 273.15 - EXHAUST[0]) / 1e3;
        let tolerance = EXHAUST[1] / 1e3;
        let knob = Knob {
            range: [0.21, 0.27],
            of: |d| &mut d.coolant_share,
        };
        if self
            .turn(&knob, command, tolerance, |p| -hot(p))?
            .miss
            .abs()
            > tolerance
        {
            let knob = Knob {
                range: [0.80, 0.96],
                of: |d| &mut d.full_load_lambda,
            };
            self.turn(&knob, command, tolerance, hot)?;
        }
        Ok(())
    }

    /// What the car counts at the boost it wants, at every speed of the target.
    fn charges(&mut self) -> Result<(), Refusal> {
        let mut charges = Vec::new();
        for [speed, _] in self.draft.boost_target() {
            let point = self.run(Command::full_load(speed))?;
            charges.push([speed, point.is(R::AbsoluteLoad) / 100.0]);
        }
        self.draft.charges = charges;
        Ok(())
    }

    /// What torque and power miss, shares.
    fn misses(&mut self) -> Result<[f64; 2], Refusal> {
        let n = self.draft.numbers.clone();
        let torque = self.run(self.at_torque())?.torque();
        let rated = self.run(self.at_rated())?;
        Ok([
            torque / n.peak_torque - 1.0,
            rated.torque() * rated.speed() / n.rated_power - 1.0,
        ])
    }
}

fn medium(draft: &Draft) -> Medium {
    Medium::new(&draft.numbers.fuel.fuel(), SURROUNDINGS.water_mole_fraction)
}

/// The matched car.
///
/// # Errors
/// Numbers that clash, or a draft that does not run.
pub(super) fn matched(mut draft: Draft) -> Result<(Vehicle<f64>, Notes, Vec<Margin>), Refusal> {
    draft.wheel = turbo::wheel(&draft, &medium(&draft))?;
    draft.preload = turbo::preload(&draft);
    draft.boosts = boost::first(&draft);
    let mut task = Task {
        draft,
        bench: Bench::default(),
    };
    let mut misses = [1.0; 2];
    for round in 0..ROUNDS {
        task.round(round == 0)?;
        misses = task.misses()?;
        if round > 1 && misses.iter().all(|miss| miss.abs() < CLOSE) {
            break;
        }
    }
    let torque = task.run(task.at_torque())?;
    let rated = task.run(task.at_rated())?;
    verdict::accept(&task.draft.numbers, misses, &torque)?;
    task.charges()?;
    let (vehicle, notes) = build::vehicle(&task.draft)?;
    let margins = verdict::margins(&vehicle, misses, &torque, &rated);
    Ok((vehicle, notes, margins))
}
