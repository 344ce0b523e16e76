//! The match: free numbers moved, one at a time and in turn, until the running
//! car meets the ten numbers.
//!
//! Nothing here knows how the car works; a number is moved within wide limits
//! until one reading of one steady point is what it should be.

use super::bench::{Bench, Point};
use super::draft::{Draft, FULL_LOAD_LAMBDA, SURROUNDINGS, THROAT};
use super::part::Notes;
use super::request::TenNumbers;
use super::task::{Free, HIGHEST, Knob, Task};
use super::{Margin, Miss, Refusal, boost, build, turbo, verdict};
use crate::control::{Command, Metering};
use crate::medium::Medium;
use crate::network::{Reading as R, Vehicle};

/// Most rounds of all numbers.
const ROUNDS: usize = 12;
/// Share by which torque and power may miss when the rounds end.
const CLOSE: f64 = 2e-3;
/// Share by which the highest boost may.
const CLOSE_BOOST: f64 = 0.01;
/// Share of the fuel's heat that becomes brake work at 80 % of the rated speed, full
/// load: the published split (brake 29, coolant and oil 27.5, exhaust 38 %).
const BRAKE_SHARE: f64 = 0.29;
/// Gas before the turbine at rated power, K, and its tolerance (1150 to 1250 K, from memory).
const EXHAUST: [f64; 2] = [1174.0, 16.0];
/// Manifold at idle, Pa, and its tolerance (27 to 40 kPa, common practice).
const IDLE_MANIFOLD: [f64; 2] = [31e3, 3e3];
/// Share of the exhaust past the turbine at the peak torque, and best efficiency of the turbine: of
/// a common one, and of one that gives much torque early beside much power, which lives on the
/// pulses that the mean flow does not show (watson1982: they add a tenth to two fifths to the
/// energy of the mean flow).
const PAST_TURBINE: [f64; 2] = [0.10, 0.02];
/// Wastegate opening at rated power.
const RATED_GATE: f64 = 0.6;

/// Boost at the peak-torque speed that the match may ask, Pa gauge.
const PEAK_BOOST: [f64; 2] = [15e3, 220e3];

fn knob(free: Free, range: [f64; 2], tolerance: f64) -> Knob {
    Knob {
        free,
        range,
        tolerance,
    }
}

impl Task {
    fn at_torque(&self) -> Command {
        Command::full_load(self.draft.numbers.peak_torque_speed)
    }

    fn at_rated(&self) -> Command {
        Command::full_load(self.draft.numbers.rated_speed)
    }

    /// One round of all numbers.
    fn round(&mut self, round: usize) -> Result<(), Refusal> {
        let first = round == 0;
        // The first turbochargers are guesses: what they lack is no reason to ask for more boost.
        let most = if round < 2 { 1.1 } else { 1.4 };
        let (at_torque, at_rated) = (self.at_torque(), self.at_rated());
        let speed_density = self.draft.numbers.metering == Metering::SpeedDensity;
        if first {
            self.quality()?;
        }
        if !first {
            self.highest_boost();
        }
        self.throat()?;
        self.peak_torque()?;
        self.rated_power(most)?;
        if !first {
            boost::shape(self, most)?;
        }
        self.exhaust_heat()?;
        if speed_density {
            let knob = knob(Free::BackPressure, [0.0, 2.5], 0.1);
            // More back pressure assumed, less air counted, more air uncounted.
            self.turn(knob, at_rated, |point| point.is(R::MeteringError))?;
        }
        let accessories = knob(Free::Accessories, [0.3, 3.0], IDLE_MANIFOLD[1]);
        self.turn(accessories, Command::IDLE, |point| {
            point.is(R::Manifold) * 1e3 - IDLE_MANIFOLD[0]
        })?;
        if let Some(load) = self.load(at_torque)? {
            self.draft.torque = load;
        }
        if let Some(load) = self.load(at_rated)? {
            self.draft.rated = load;
        }
        let change = (self.draft.rated.gate / RATED_GATE).clamp(0.6, 1.6);
        self.draft.gate_area = (self.draft.gate_area * change).clamp(3e-5, 1.9e-3);
        self.draft.rated.gate = RATED_GATE;
        self.draft.preload = turbo::preload(&self.draft);
        (self.draft.wheel, self.draft.surge_flow) =
            turbo::wheel(&self.draft, &medium(&self.draft))?;
        Ok(())
    }

    /// Share of the fuel's heat that becomes work, by the cycle quality.
    fn quality(&mut self) -> Result<(), Refusal> {
        let numbers = &self.draft.numbers;
        let heat = numbers.fuel.fuel().lower_heating_value;
        let command = Command::full_load(0.8 * numbers.rated_speed);
        let quality = knob(Free::Quality, [0.5, 1.0], 2e-3);
        self.turn(quality, command, |point| {
            let fuel = point.moment.streams.cycle.fuel;
            point.torque() * point.speed() / (fuel * heat) - BRAKE_SHARE
        })?;
        Ok(())
    }

    /// The turbine: a tenth of the exhaust goes past it at the peak torque.
    fn throat(&mut self) -> Result<(), Refusal> {
        let (throat, peak) = (self.draft.throat, self.draft.peak_boost);
        let past = self.draft.stretched(PAST_TURBINE);
        let common = THROAT * self.draft.rated.air;
        let low = (0.5 * throat).max(0.3 * common).min(throat);
        let high = (2.0 * throat).min(3.0 * common).max(throat);
        let throat = knob(Free::Throat, [low, high], 0.003);
        self.turn(throat, self.at_torque(), |point| {
            // Where the boost is not reached, the gate is shut: go on by what boost lacks.
            let lacks = (peak - point.boost()).max(0.0) / peak;
            past - point.past_turbine() + lacks
        })?;
        Ok(())
    }

    /// Peak torque by what is not known: how well the engine breathes and burns where the boost is
    /// given, the boost where it is not; then by the other.
    fn peak_torque(&mut self) -> Result<(), Refusal> {
        let place = self.draft.peak;
        let level = knob(Free::Level, [0.0, 1.0], 0.3 * CLOSE);
        let boost = knob(Free::Boost(place), PEAK_BOOST, 0.3 * CLOSE);
        let knobs = match self.draft.numbers.peak_boost {
            Some(_) => [level, boost],
            None => [boost, level],
        };
        let asked = self.draft.numbers.peak_torque;
        self.turn_any(&knobs, self.at_torque(), |point| {
            point.torque() / asked - 1.0
        })?;
        self.draft.peak_boost = self.draft.boosts[place][1];
        Ok(())
    }

    /// Where the boost is given, it is the highest of the list that is.
    fn highest_boost(&mut self) {
        if let Some(given) = self.draft.numbers.peak_boost {
            let change = (given / self.draft.highest_boost()).clamp(0.85, 1.18);
            let place = self.draft.peak;
            self.draft.boosts[place][1] *= change;
            self.draft.peak_boost = self.draft.boosts[place][1];
        }
    }

    /// Rated power by the boost at the rated speed; by filling there, if boost alone does not do;
    /// by more boost than at the peak torque in the end.
    fn rated_power(&mut self, most: f64) -> Result<(), Refusal> {
        let (command, power) = (self.at_rated(), self.draft.numbers.rated_power);
        let peak = self.draft.peak_boost;
        let highest = self.draft.numbers.peak_boost.unwrap_or(peak) / peak;
        let filling = knob(Free::RatedFilling, [0.85, 1.12], 0.3 * CLOSE);
        let boost = |low: f64, high: f64| {
            let place = Free::Boost(self.draft.rated_place());
            knob(
                place,
                [
                    low * peak,
                    (high.max(low) * peak).min(HIGHEST).max(low * peak),
                ],
                0.3 * CLOSE,
            )
        };
        let knobs = match self.draft.numbers.rated_boost {
            Some(_) => [filling, boost(0.35, highest), boost(0.35, most)],
            None => [boost(0.35, highest), filling, boost(0.35, most)],
        };
        self.turn_any(&knobs, command, |point| {
            point.torque() * point.speed() / power - 1.0
        })
    }

    /// Exhaust temperature at rated power by the heat that goes to the coolant; by the mixture, if
    /// that alone does not do and nobody has said what it is.
    fn exhaust_heat(&mut self) -> Result<(), Refusal> {
        let command = self.at_rated();
        let hot = |point: &Point| (point.is(R::ExhaustTemperature) + 273.15 - EXHAUST[0]) / 1e3;
        let coolant = knob(Free::CoolantShare, [0.21, 0.27], EXHAUST[1] / 1e3);
        let free = self.draft.numbers.full_load_lambda.is_none();
        if free {
            // From the common value each time: what it made up for may be gone.
            self.draft.full_load_lambda = FULL_LOAD_LAMBDA;
        }
        let missed = self.turn(coolant, command, |p| -hot(p))?.miss.abs() > coolant.tolerance;
        if missed && free {
            let lambda = knob(Free::FullLoadLambda, [0.80, 0.96], EXHAUST[1] / 1e3);
            self.turn(lambda, command, hot)?;
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

    /// What torque and power miss, shares; all of them where the car does not run there.
    fn misses(&mut self) -> Result<[f64; 2], Refusal> {
        let n = self.draft.numbers.clone();
        let mut miss = |command, get: &dyn Fn(&Point) -> f64| match self.run(command) {
            Ok(point) => Ok(get(&point) - 1.0),
            Err(Refusal::Run(_)) => Ok(-1.0),
            Err(other) => Err(other),
        };
        Ok([
            miss(Command::full_load(n.peak_torque_speed), &|point| {
                point.torque() / n.peak_torque
            })?,
            miss(Command::full_load(n.rated_speed), &|point| {
                point.torque() * point.speed() / n.rated_power
            })?,
        ])
    }

    /// What the highest boost of the list misses of the one given, a share; 0 where none is.
    fn boost_miss(&self) -> f64 {
        let highest = self.draft.highest_boost();
        (self.draft.numbers.peak_boost).map_or(0.0, |given| highest / given - 1.0)
    }
}

/// What a match comes to.
type Matched = (Vehicle<f64>, Notes, Vec<Margin>, Vec<Miss>);

fn medium(draft: &Draft) -> Medium {
    Medium::new(&draft.numbers.fuel.fuel(), SURROUNDINGS.water_mole_fraction)
}

/// The matched car: the vehicle, its rules, what it has to spare, and what of the numbers `asked` it
/// misses.
///
/// # Errors
/// A draft that does not run.
pub(super) fn matched(mut draft: Draft, asked: &TenNumbers<f64>) -> Result<Matched, Refusal> {
    (draft.wheel, draft.surge_flow) = turbo::wheel(&draft, &medium(&draft))?;
    draft.preload = turbo::preload(&draft);
    (draft.boosts, draft.peak) = boost::first(&draft);
    let mut task = Task {
        draft,
        bench: Bench::default(),
    };
    let mut misses = [1.0; 2];
    for round in 0..ROUNDS {
        task.round(round)?;
        misses = task.misses()?;
        let met = misses.iter().all(|miss| miss.abs() < CLOSE);
        if round > 2 && met && task.boost_miss().abs() < CLOSE_BOOST {
            break;
        }
    }
    // What did not run between the two points while the turbocharger still moved does now.
    boost::shape(&mut task, 1.4)?;
    let torque = task.run(task.at_torque())?;
    let rated = task.run(task.at_rated())?;
    task.charges()?;
    let (vehicle, notes) = build::vehicle(&task.draft)?;
    let margins = verdict::margins(&vehicle, misses, &torque, &rated);
    let highest = task.draft.highest_boost();
    let misses = verdict::misses(asked, &torque, &rated, highest);
    Ok((vehicle, notes, margins, misses))
}
