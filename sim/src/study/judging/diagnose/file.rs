//! What a readings file says, typed and checked: the car, how it was driven, what was read.

use super::checks::Check;
use super::evidence::{Evidence, Opening, Read};
use super::readouts::{Doubts, Readouts};
use super::set_code::SetCode;
use super::twin::Of;
use super::whose::ThisCar;
use crate::control::{BoostControl, Code, Command, SpeedMode, ThrottleMode};
use crate::medium::FuelKind;
use crate::network::{Known, Network, Place, Reading, Vehicle};
use crate::scenario::{Around, ENGINE_SPEEDS, Mistake, Point, Surroundings};
use crate::study::knowing::doubt::{CarDoubt, instrument};
use crate::study::knowing::log::Mapping;
use crate::study::running::condition::{Condition, standard};
use crate::study::running::dangers::Commanded;
use crate::study::running::simulate::Comparison;
use crate::tables;
use std::f64::consts::PI;

/// Readings in a file.
pub type Found = Readouts<f64>;
/// Doubts in a file.
pub type Deviations = Doubts<f64>;
/// Codes in a file.
pub type Codes = Vec<SetCode>;
/// Places in a file.
pub type Places = Vec<Place>;

tables! {
    /// Readings taken while the car was driven in one way.
    pub struct Taken {
        /// what it is called
        name: String,
        /// pedal released, engine free
        idle: bool = false,
        /// engine speed, held
        speed: AngularSpeed [ENGINE_SPEEDS.0, ENGINE_SPEEDS.1] or None,
        /// whether the pedal is released and the car drives the engine, fuel cut
        overrun: bool = false,
        /// pedal position at this speed; 100 % is full load
        pedal: Ratio [0.0, 1.0] or None,
        /// torque at this speed; without it and `pedal` it is found from the air read
        torque: Torque [0.0, 1500.0] or None,
        /// standard deviation of that torque; 8 % of it and 2 N m if not said
        torque_doubt: Torque [0.0, 300.0] or None,
        /// lambda that the engine computer commands there, as read from the car; the vehicle's if not said
        commanded_lambda: Ratio [0.5, 1.5] or None,
        /// boost that the engine computer commands there, as read from the car; the vehicle's if not said
        commanded_boost: GaugePressure [0.0, 4e5] or None,
        /// whether speed and load moved: then the turbo need not have been at rest
        moving: bool = false,
        /// whether the engine runs there; false if it stalls
        runs: bool = true,
        /// what was read
        readings: Found = Readouts::NONE,
        /// standard deviations, where the usual ones do not hold
        doubt: Deviations = Doubts::NONE,
    }
}

tables! {
    /// A hole that a workshop test of a section gave.
    pub struct FoundHole {
        /// places that the section holds
        places: Places,
        /// sharp-edged hole that leaks as much, beyond a tight section; 0 if it was tight
        diameter: Length [0.0, 0.1],
        /// its standard deviation; 12 % and 0.5 mm if not said
        doubt: Length [0.0, 0.05] or None,
    }
}

tables! {
    /// A check in the workshop.
    pub struct Checked {
        /// which
        check: Check,
        /// what it found: `nothing`, or the place or fault it points to
        found: String,
        /// how far that is believed: 100 % as it was done by the book, 0 % not at all
        trust: Ratio [0.0, 1.0] = 1.0,
    }
}

tables! {
    /// Readings of a healthy car.
    pub struct HealthyTwin {
        /// another readings file, or a folder of them, from this file
        readings: String,
        /// whose they are
        of: Of = Of::ThisCar,
        /// how far what was so then still holds: less than 100 % after work on engine or computer
        holds: Ratio [0.0, 1.0] = 1.0,
    }
}

/// Healthy cars in a file.
pub type HealthyTwins = Vec<HealthyTwin>;
/// Conditions in a file.
pub type Conditions = Vec<Taken>;
/// Holes in a file.
pub type Holes = Vec<FoundHole>;
/// Checks in a file.
pub type CheckList = Vec<Checked>;

tables! {
    /// A readings file.
    pub struct ReadingsFile {
        /// what the case is called
        title: String = String::new(),
        /// what is known of it
        about: String = String::new(),
        /// path of the vehicle file, from the readings file
        vehicle: String,
        /// how well it describes this car; left out: as the vehicle file says
        car: Known or None,
        /// which car this is, so that its own healthy record, or its sisters', can be found
        this_car: ThisCar<P> or None,
        /// folder of healthy cars (`falseair twin`), from this file
        twins: String or None,
        /// the air around the car
        ambient: Around = Surroundings::STANDARD,
        /// boost control instead of the vehicle's own
        boost_control: BoostControl or None,
        /// duty for boost control `fixed_duty` instead of the vehicle's own
        fixed_duty: Ratio [0.0, 1.0] or None,
        /// fuel in the tank, where it is not the one that the engine computer is made for (the vehicle's)
        tank: FuelKind or None,
        /// a drive log, whose steady windows and pulls join the conditions
        log: Mapping<P> or None,
        /// readings, one table for each way the car was driven
        condition: Conditions = Vec::new(),
        /// trouble codes set, as the scan tool shows them; an empty list says that they were read and none
        /// is set. A code that is not judged is kept and said to be so
        codes: Codes or None,
        /// workshop tests of sections
        hole: Holes = Vec::new(),
        /// other checks
        check: CheckList = Vec::new(),
        /// this car, or sisters of its make, while healthy: another day, other weather, other loads
        baseline: HealthyTwins = Vec::new(),
    }
}

/// Mean pressure, Pa, that friction and pumping take about, warm and at part load (own choice within the 1 to 2 bar
/// of heywood1988 ch. 13, from memory).
const FRICTION: f64 = 1.5e5;
/// Standard deviation of a section test's hole: share, m.
const HOLE_DOUBT: (f64, f64) = (0.12, 0.5e-3);

impl ReadingsFile<f64> {
    /// The healthy car of the file.
    ///
    /// # Errors
    /// A boost control that it has no numbers for.
    pub fn network(&self, mut vehicle: Vehicle<f64>) -> Result<Network<f64>, Mistake> {
        vehicle.boost.control = self.boost_control.unwrap_or(vehicle.boost.control);
        vehicle.boost.fixed_duty = self.fixed_duty.unwrap_or(vehicle.boost.fixed_duty);
        let counted = vehicle.boost.control == BoostControl::CountedCharge;
        if counted && vehicle.boost.target_charge.is_none() {
            return Err(mistake(
                "boost_control",
                "boost control by counted charge needs `target_charge` in the vehicle's `[boost]`",
            ));
        }
        if self.known(&vehicle) == Known::Estimated {
            self.as_commanded(&mut vehicle);
        }
        let ambient = self.ambient.ambient();
        let network = Network::new(vehicle, Vec::new(), ambient, Command::IDLE);
        Ok(match self.tank {
            Some(kind) => network.filled(&kind.fuel()),
            None => network,
        })
    }

    /// How well the vehicle file describes this car.
    pub fn known(&self, vehicle: &Vehicle<f64>) -> Known {
        self.car.unwrap_or(vehicle.known)
    }

    /// How much is in doubt about the car, when nothing is known of it in particular.
    pub fn doubt(&self, car: &Network<f64>) -> CarDoubt {
        match self.known(&car.vehicle) {
            Known::Estimated => CarDoubt::of_a_plate(car),
            Known::Measured => CarDoubt::usual(car, 1.0),
            Known::Fitted => CarDoubt::usual(car, 0.5),
        }
    }

    /// The conditions of the file, and the standard ones (idle, light cruise, full load) of
    /// which it has none; the latter come last.
    ///
    /// # Errors
    /// Keys that do not name a condition; a load that no torque gives.
    pub fn conditions(&self, car: &Network<f64>) -> Result<Vec<Condition>, Mistake> {
        let mut all = self.own_conditions(car)?;
        for condition in standard(car) {
            let kind = kind(&condition.command);
            if !all
                .iter()
                .any(|c: &Condition| self::kind(&c.command) == kind)
            {
                all.push(condition);
            }
        }
        Ok(all)
    }

    /// The conditions of the file alone.
    ///
    /// # Errors
    /// As [`conditions`](Self::conditions).
    pub fn own_conditions(&self, car: &Network<f64>) -> Result<Vec<Condition>, Mistake> {
        let all = self.condition.iter().enumerate().map(|(i, taken)| {
            let at = |m: Mistake| mistake(&format!("condition.{i}.{}", m.key), &m.message);
            taken.condition(car).map_err(at)
        });
        all.collect()
    }

    /// What was found, for the conditions of [`conditions`](Self::conditions).
    ///
    /// # Errors
    /// Checks that cannot find what they are said to have found.
    pub fn evidence(&self) -> Result<Evidence, Mistake> {
        let mut evidence = Evidence {
            estimated: self.car == Some(Known::Estimated),
            ..Evidence::default()
        };
        let elsewhere = self.throttle_from_elsewhere();
        for (c, taken) in self.condition.iter().enumerate() {
            if !taken.runs {
                evidence.not_running.push(c);
                continue;
            }
            let commanded = Commanded {
                lambda: taken.commanded_lambda,
                boost: taken.commanded_boost,
            };
            evidence.commanded.push((c, commanded));
            for (_, reading, value) in taken.readings.given() {
                if elsewhere && reading == Reading::Throttle {
                    continue;
                }
                let usual = instrument(reading).deviation(value);
                evidence.reads.push(Read {
                    condition: c,
                    reading,
                    value,
                    deviation: taken
                        .doubt
                        .of(reading)
                        .filter(|d| *d > 0.0)
                        .unwrap_or(usual),
                });
            }
        }
        if let Some(set) = &self.codes {
            let all = Code::WORDS.iter().map(|(_, code, _)| *code);
            let is = |code: &Code| set.iter().any(|set| set.judged() == Some(*code));
            evidence.codes = all.map(|code| (code, is(&code))).collect();
            evidence.told = set.iter().filter_map(SetCode::tells).collect();
        }
        evidence.openings = (self.hole.iter())
            .map(|hole| Opening {
                places: hole.places.clone(),
                diameter: hole.diameter,
                deviation: hole
                    .doubt
                    .filter(|d| *d > 0.0)
                    .unwrap_or_else(|| HOLE_DOUBT.1.hypot(HOLE_DOUBT.0 * hole.diameter)),
            })
            .collect();
        for (i, checked) in self.check.iter().enumerate() {
            let outcomes = checked.check.outcomes();
            let found = checked.check.outcome(&checked.found).ok_or_else(|| {
                let message = format!("`{}` can find: {}", checked.check, outcomes.join(", "));
                mistake(&format!("check.{i}.found"), &message)
            })?;
            evidence.checks.push((checked.check, found, checked.trust));
        }
        Ok(evidence)
    }
}

impl Taken<f64> {
    pub(super) fn condition(&self, car: &Network<f64>) -> Result<Condition, Mistake> {
        let moving = self.moving;
        let otherwise = self.idle || self.pedal.is_some() || self.torque.is_some();
        if self.overrun && (otherwise || self.speed.is_none()) {
            return Err(mistake(
                "overrun",
                "on the overrun the car drives the engine: give its `speed` and the air read, no `idle`, `pedal` or `torque`",
            ));
        }
        if let (false, Some(speed), None, None) = (self.idle, self.speed, self.torque, self.pedal) {
            let cars = Comparison::new(car);
            let per_pressure = car.vehicle.cylinders.displacement / (4.0 * PI);
            // A mean pressure of 25 bar at most; rolling in gear, the car helps against friction.
            let (least, most) = (-FRICTION * per_pressure, 25e5 * per_pressure);
            let (command, usual, told_by) = match self.overrun {
                true => {
                    let ask = |opening| Command::overrun(speed, opening);
                    (ask(self.read_off(&cars, ask, (0.0, 1.0))?), None, None)
                }
                false => {
                    let ask = |torque| Command::torque(speed, torque);
                    match self.wide_open(&cars, speed)? {
                        Some(pedal_down) => (pedal_down, None, None),
                        None => {
                            let torque = self.read_off(&cars, ask, (least, most))?;
                            // Of what the gas does, as friction is part of it (own choice: how far makes differ in it).
                            let doubt = 0.15 * (torque.abs() + FRICTION * per_pressure);
                            let by = self.load_read().map(|(reading, _)| reading);
                            (ask(torque), Some(doubt), by)
                        }
                    }
                }
            };
            let doubt = self.torque_doubt.or(usual);
            return Ok(Condition {
                moving,
                told_by,
                ..Condition::new(&self.name, command, doubt)
            });
        }
        let point = Point {
            name: self.name.clone(),
            idle: self.idle,
            speed: self.speed,
            torque: self.torque,
            pedal: self.pedal,
        };
        Ok(Condition {
            moving,
            ..Condition::new(&self.name, point.command()?, self.torque_doubt)
        })
    }
}

/// 0 idle, 1 part load, 2 full load.
fn kind(command: &Command) -> u8 {
    match (command.speed, command.throttle) {
        (SpeedMode::Free, _) => 0,
        (_, ThrottleMode::Pedal) if command.pedal > 0.9 => 2,
        _ => 1,
    }
}

pub(super) fn mistake(key: &str, message: &str) -> Mistake {
    Mistake {
        key: key.into(),
        message: message.into(),
    }
}
