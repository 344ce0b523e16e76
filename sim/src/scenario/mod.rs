//! What a scenario file says, typed and checked: the car's name, the air around
//! it, its leaks, operating points and drive. No files here: the reader of a
//! scenario file hands over the vehicle it names.

use crate::control::{BoostControl, Command, SpeedMode};
use crate::medium::FuelKind;
use crate::medium::atmosphere::{humid_air, standard_air};
use crate::network::{Ambient, Fault, Leak, Network, Vehicle};
use crate::units::RPM;
use crate::{tables, words};

/// Engine speeds that a point may have, rad/s.
pub const ENGINE_SPEEDS: (f64, f64) = (600.0 * RPM, 8600.0 * RPM);

tables! {
    /// The air around the car.
    ///
    /// # Examples
    /// ```
    /// use sim::Surroundings;
    /// let pass = Surroundings { altitude: 1500.0, ..Surroundings::STANDARD };
    /// // ISO 2533: 84 556 Pa at 1500 m.
    /// assert!((pass.ambient().pressure - 84_556.0).abs() < 5.0);
    /// ```
    pub struct Surroundings {
        /// air temperature
        temperature: Temperature [223.15, 333.15] = 293.15,
        /// air pressure; without it the standard atmosphere at the altitude
        pressure: AbsolutePressure [5e4, 1.1e5] or None,
        /// altitude above sea level, when no pressure is given
        altitude: Length [-500.0, 5000.0] = 0.0,
        /// relative humidity
        humidity: Ratio [0.0, 1.0] = 0.4,
    }
}

tables! {
    /// An operating point: `idle = true`, or a speed with a torque or a pedal.
    pub struct Point {
        /// what the point is called
        name: String,
        /// pedal released, engine free
        idle: bool = false,
        /// engine speed, held
        speed: AngularSpeed [ENGINE_SPEEDS.0, ENGINE_SPEEDS.1] or None,
        /// torque that the driver holds at this speed
        torque: Torque [0.0, 1500.0] or None,
        /// pedal position at this speed; 100 % is full load
        pedal: Ratio [0.0, 1.0] or None,
    }
}

words! {
    /// What the crankshaft drives during a piece of a drive.
    pub enum Coupling {
        /// nothing but friction and accessories
        Neutral = "neutral",
        /// the car, through the clutch
        InGear = "in_gear",
        /// a brake that holds the speed
        Held = "held",
    }
}

tables! {
    /// One piece of a drive.
    pub struct Piece {
        /// what the piece is called
        name: String,
        /// how long it lasts
        duration: Time [0.01, 600.0],
        /// pedal at its end
        pedal: Ratio [0.0, 1.0],
        /// time in which the pedal gets there
        ramp: Time [0.01, 60.0] = 0.1,
        /// what the crankshaft drives
        coupling: Coupling,
        /// speed held (with coupling `held`)
        speed: AngularSpeed [ENGINE_SPEEDS.0, ENGINE_SPEEDS.1] or None,
        /// gear, counted from 1
        gear: Ratio [1.0, 8.0] = 3.0,
    }
}

tables! {
    /// Something that happens during a drive: a leak or a fault opens, grows, closes or is mended.
    pub struct Event {
        /// when, since the drive began
        time: Time [0.0, 36000.0],
        /// which leak, counted from 0
        leak: Ratio [0.0, 100.0] or None,
        /// which fault, counted from 0
        fault: Ratio [0.0, 100.0] or None,
        /// share of its size before; without it that of the event before, and nothing at the beginning
        from: Ratio [0.0, 1.0] or None,
        /// share of its size from then on
        to: Ratio [0.0, 1.0],
        /// time in which it gets there
        ramp: Time [0.0, 36000.0] = 0.0,
    }
}

/// Leaks in a file.
pub type Leaks = Vec<Leak<f64>>;
/// Faults in a file.
pub type Faults = Vec<Fault<f64>>;
/// Points in a file.
pub type Points = Vec<Point>;
/// A drive in a file.
pub type Pieces = Vec<Piece>;
/// What happens in a drive, in a file.
pub type Events = Vec<Event>;
/// Surroundings in a file.
pub type Around = Surroundings<f64>;

words! {
    /// What the long-term trims know of the leaks and faults.
    pub enum TrimAge {
        /// everything: the car has been driven with them
        Learned = "learned",
        /// nothing yet: they have just happened, the short-term trim bears them
        Fresh = "fresh",
    }
}

words! {
    /// How leaks and faults came about, where the answer depends on it.
    pub enum History {
        /// they have grown from nothing, all together, while the car was driven
        Grown = "grown",
        /// they have come at once, on the running healthy engine
        Sudden = "sudden",
        /// they were there before the engine was started
        Restarted = "restarted",
    }
}

tables! {
    /// A scenario file.
    pub struct Scenario {
        /// what the scenario is called
        title: String,
        /// what it asks
        about: String = String::new(),
        /// path of the vehicle file, from the scenario file
        vehicle: String,
        /// the air around the car
        ambient: Around = Surroundings::STANDARD,
        /// leaks
        leak: Leaks = Vec::new(),
        /// faults that look like leaks
        fault: Faults = Vec::new(),
        /// operating points
        point: Points = Vec::new(),
        /// a drive, piece by piece
        drive: Pieces = Vec::new(),
        /// what happens during the drive
        event: Events = Vec::new(),
        /// boost control instead of the vehicle's own
        boost_control: BoostControl or None,
        /// duty for boost control `fixed_duty` instead of the vehicle's own
        fixed_duty: Ratio [0.0, 1.0] or None,
        /// fuel in the tank, where it is not the one that the engine computer is made for (the vehicle's): it does not know
        tank: FuelKind or None,
        /// what the fuel trims have had time for
        trims: TrimAge = TrimAge::Learned,
        /// how leaks and faults came about, where the answer depends on it
        history: History = History::Grown,
    }
}

/// A mistake found after reading: at which key, and what is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mistake {
    /// Dotted key, with list positions as numbers.
    pub key: String,
    /// What is wrong and what is allowed.
    pub message: String,
}

impl Mistake {
    fn new(key: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            key: key.into(),
            message: message.into(),
        }
    }
}

impl Surroundings<f64> {
    /// Where nothing else is said: 20 °C at sea level.
    pub const STANDARD: Self = Surroundings {
        temperature: 293.15,
        pressure: None,
        altitude: 0.0,
        humidity: 0.4,
    };

    /// As the model sees it.
    pub fn ambient(&self) -> Ambient {
        let pressure = self
            .pressure
            .unwrap_or_else(|| standard_air(self.altitude).pressure);
        let air = humid_air(pressure, self.temperature, self.humidity);
        Ambient {
            pressure,
            temperature: self.temperature,
            water_mole_fraction: air.water_mole_fraction,
        }
    }
}

impl Point<f64> {
    /// As the model sees it.
    ///
    /// # Errors
    /// The keys do not name one operating point.
    pub fn command(&self) -> Result<Command, Mistake> {
        match (self.idle, self.speed, self.torque, self.pedal) {
            (true, None, None, None) => Ok(Command::IDLE),
            (true, ..) => Err(Mistake::new(
                "idle",
                "an idle point takes no `speed`, `torque` or `pedal`: the governor sets them",
            )),
            (false, None, ..) => Err(Mistake::new(
                "name",
                "this point needs `idle = true`, or a `speed` with a `torque` or a `pedal`",
            )),
            (false, Some(speed), Some(torque), None) => Ok(Command::torque(speed, torque)),
            (false, Some(speed), None, Some(pedal)) => Ok(Command::pedal(speed, pedal)),
            (false, Some(_), Some(_), Some(_)) => Err(Mistake::new(
                "torque",
                "give either `torque` or `pedal`, not both",
            )),
            (false, Some(_), None, None) => Err(Mistake::new(
                "speed",
                "a `speed` needs a `torque` or a `pedal` beside it; `pedal = \"100 %\"` is full load",
            )),
        }
    }
}

impl Piece<f64> {
    /// As the model sees it: the ramp from `pedal`, then the pedal at rest, each with its duration in s.
    ///
    /// # Errors
    /// The keys contradict each other.
    pub fn commands(&self, pedal: f64) -> Result<Vec<(f64, Command)>, Mistake> {
        let speed = match (self.coupling, self.speed) {
            (Coupling::Held, Some(speed)) => SpeedMode::Held(speed),
            (Coupling::Held, None) => {
                return Err(Mistake::new("coupling", "coupling `held` needs a `speed`"));
            }
            (_, Some(_)) => {
                return Err(Mistake::new(
                    "speed",
                    "`speed` goes with coupling `held` only",
                ));
            }
            (Coupling::Neutral, None) => SpeedMode::Free,
            (Coupling::InGear, None) => SpeedMode::InGear,
        };
        if self.ramp > self.duration {
            return Err(Mistake::new(
                "ramp",
                "the pedal's `ramp` must fit into the `duration`",
            ));
        }
        if self.gear.fract() != 0.0 {
            return Err(Mistake::new("gear", "a gear is a whole number"));
        }
        let rest = Command {
            speed,
            gear: self.gear as u8,
            pedal: self.pedal,
            ..Command::IDLE
        };
        if self.pedal == pedal {
            return Ok(vec![(self.duration, rest)]);
        }
        let moving = Command {
            pedal_rate: (self.pedal - pedal) / self.ramp,
            ..rest
        };
        let left = self.duration - self.ramp;
        Ok(if left > 0.0 {
            vec![(self.ramp, moving), (left, rest)]
        } else {
            vec![(self.ramp, moving)]
        })
    }
}

impl Event<f64> {
    /// The number of what it happens to, of all leaks and then all faults, of which there are so
    /// many.
    ///
    /// # Errors
    /// It names none of them, or two.
    pub fn defect(&self, [leaks, faults]: [usize; 2]) -> Result<usize, Mistake> {
        let (key, number, count) = match (self.leak, self.fault) {
            (Some(leak), None) => ("leak", leak, leaks),
            (None, Some(fault)) => ("fault", fault, faults),
            _ => {
                let message = "an event names one leak or one fault by its number, from 0\n\
                     leak = 0";
                return Err(Mistake::new("time", message));
            }
        };
        if number.fract() != 0.0 || number >= count as f64 {
            let message = format!("this scenario has no {key} {number}: it has {count}, from 0 on");
            return Err(Mistake::new(key, message));
        }
        let before = if key == "leak" { 0 } else { leaks };
        Ok(before + number as usize)
    }
}

impl Scenario<f64> {
    /// The network of this scenario around `vehicle`, at idle; other points by
    /// [`Network::with`].
    ///
    /// # Errors
    /// Too many leaks, or points and drive that cannot be run.
    pub fn network(&self, mut vehicle: Vehicle<f64>) -> Result<Network<f64>, Mistake> {
        use crate::network::MOST_LEAKS;
        if self.leak.len() > MOST_LEAKS {
            let message = format!(
                "found {} leaks; at most {MOST_LEAKS} at once",
                self.leak.len()
            );
            return Err(Mistake::new(format!("leak.{MOST_LEAKS}"), message));
        }
        if self.point.is_empty() && self.drive.is_empty() {
            return Err(Mistake::new(
                "title",
                "a scenario needs at least one `[[point]]` or a `[[drive]]`",
            ));
        }
        let at = |i: usize, m: Mistake, list| Mistake {
            key: format!("{list}.{i}.{}", m.key),
            ..m
        };
        for (i, point) in self.point.iter().enumerate() {
            point.command().map_err(|m| at(i, m, "point"))?;
        }
        for (i, piece) in self.drive.iter().enumerate() {
            piece.commands(0.0).map_err(|m| at(i, m, "drive"))?;
        }
        for (i, event) in self.event.iter().enumerate() {
            let counts = [self.leak.len(), self.fault.len()];
            event.defect(counts).map_err(|m| at(i, m, "event"))?;
        }
        vehicle.boost.control = self.boost_control.unwrap_or(vehicle.boost.control);
        if vehicle.boost.control == BoostControl::CountedCharge
            && vehicle.boost.target_charge.is_none()
        {
            let message =
                "boost control by counted charge needs `target_charge` in the vehicle's `[boost]`";
            return Err(Mistake::new("boost_control", message));
        }
        let gears = vehicle.road.gear_count();
        if let Some(i) = (self.drive.iter()).position(|piece| piece.gear > f64::from(gears)) {
            let message = format!("the car has {gears} gears");
            return Err(Mistake::new(format!("drive.{i}.gear"), message));
        }
        vehicle.boost.fixed_duty = self.fixed_duty.unwrap_or(vehicle.boost.fixed_duty);
        let command = Command {
            learning: self.trims == TrimAge::Learned,
            ..Command::IDLE
        };
        let network = Network::new(vehicle, self.leak.clone(), self.ambient.ambient(), command);
        let network = match self.tank {
            Some(kind) => network.filled(&kind.fuel()),
            None => network,
        };
        Ok(network.ailing(self.fault.clone()))
    }
}
