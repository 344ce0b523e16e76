//! Every check as a procedure, in one table ([`Test`]): the plan, the next tests of a diagnosis
//! and the lesson say what stands here.
//!
//! An act says what it does to plugs, vents, pressure and engine, so that a test can walk through
//! a procedure: what was fitted comes off and is counted, pressure is off before the engine is
//! turned by hand, nothing runs with a plug in.

mod idle;
mod kinds;
mod loaded;
mod row;
mod rows;
mod standing;

pub use kinds::{Piece, Test, Vent};

use super::in_car::normal_boost;
use super::limits::Limit;
use crate::network::{RecirculationOutlet, Vehicle};
use crate::say::procedures as say;
use crate::units::round;
use std::f64::consts::PI;

/// How an engine runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Runs {
    /// Pedal released, car parked.
    Idle,
    /// On a roller or a closed road.
    Loaded,
}

/// What an act does to the car.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Does {
    /// Puts it on.
    Fit(Piece),
    /// Takes it off.
    TakeOff(Piece),
    /// Opens it.
    Open(Vent),
    /// Shuts it again.
    Shut(Vent),
    /// Pressure up.
    Raise,
    /// Pressure off.
    LetOff,
    /// Engine turned by hand.
    Turn,
    /// Engine cranked by its starter.
    Crank,
    /// Engine started.
    Start(Runs),
    /// Engine off.
    Stop,
    /// Low-pressure fuel feed without pressure.
    FuelOff,
    /// Low-pressure fuel feed opened.
    OpenFuel,
    /// Low-pressure fuel feed shut, pressure on.
    FuelOn,
    /// A second person reads.
    SecondPerson,
    /// The brakes are proved.
    ProveBrakes,
}

/// A sentence of a procedure, and what it does.
#[derive(Clone, Debug, PartialEq)]
pub struct Act {
    /// In words.
    pub says: String,
    /// To the car, in order.
    pub does: Vec<Does>,
}

/// What keeps people and parts whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Protection {
    /// At the supply.
    Regulator,
    /// The smoke machine's relief, with the crankcase shut in.
    MachineRelief,
    /// Filler cap out.
    CapOff,
    /// Breather open.
    VentOpen,
    /// By hand.
    HandPump,
    /// Nothing moves, nothing presses.
    Standing,
    /// Idle only.
    IdleOnly,
    /// A second person.
    SecondPerson,
}

/// A check as it is done at this car.
#[derive(Clone, Debug, PartialEq)]
pub struct Procedure {
    /// Which.
    pub test: Test,
    /// Highest pressure and why; none where no air is let in.
    pub limit: Option<Limit>,
    /// What protects.
    pub protection: Vec<Protection>,
    /// Its own dangers; they stand before the steps.
    pub cautions: Vec<String>,
    /// What is done first.
    pub set_up: Vec<Act>,
    /// How it is read.
    pub read: Vec<Act>,
    /// When to stop.
    pub stop: Vec<String>,
    /// How all is put back.
    pub back: Vec<Act>,
}

/// What a procedure must know of the car.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OfCar {
    /// Normal boost, Pa gauge.
    pub boost: f64,
    /// The compressor bypass valve opens by itself, Pa gauge.
    pub valve_opens: f64,
    /// Whether it lets air out to the atmosphere.
    pub vents: bool,
    /// The wastegate's rod begins to move, Pa gauge.
    pub rod_moves: f64,
    /// Engine speed that it must not pass, rad/s.
    pub speed: f64,
    /// Gas before the turbine may be so hot, K.
    pub exhaust: f64,
}

impl OfCar {
    /// Of this car.
    pub fn new(car: &Vehicle<f64>) -> Self {
        let (valve, gate) = (&car.recirculation_valve, &car.wastegate);
        Self {
            boost: normal_boost(car),
            valve_opens: valve.preload / (PI / 4.0 * valve.seat_diameter * valve.seat_diameter),
            vents: car.recirculation_outlet == RecirculationOutlet::Atmosphere,
            rod_moves: gate.preload / gate.capsule_area,
            speed: car.speed_limit(),
            exhaust: car.shaft.temperature_limit,
        }
    }

    /// Boost at which a loaded test is broken off, Pa gauge: a tenth above the normal one, as
    /// controls overshoot (own choice).
    pub fn abort_boost(&self) -> f64 {
        1.1 * self.boost
    }
}

impl Test {
    /// How it is done at a car.
    ///
    /// # Examples
    /// ```
    /// use sim::study::workshop::procedures::{OfCar, Test};
    /// # let car = sim::size(&sim::TenNumbers::example())?.network().vehicle;
    /// let manifold = Test::Manifold.procedure(&OfCar::new(&car));
    /// // Whatever was put on is counted out at the end.
    /// assert_eq!(manifold.pieces().len(), 6);
    /// assert!(manifold.back.iter().any(|act| act.says.contains("6 pieces")));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn procedure(self, car: &OfCar) -> Procedure {
        let limit = self.step().map(|step| step.limit(Some(car.boost)));
        rows::row(self, car, limit).finished()
    }

    /// The same with a gauge or a sensor of one's own, fitted first.
    pub fn with_gauge(self, car: &OfCar) -> Procedure {
        let limit = self.step().map(|step| step.limit(Some(car.boost)));
        let mut row = rows::row(self, car, limit);
        let fit = Act::new(say::fit_gauge(), &[Does::Fit(Piece::Gauge)]);
        row.set_up.insert(0, fit);
        row.finished()
    }
}

impl Act {
    fn new(says: impl Into<String>, does: &[Does]) -> Self {
        Self {
            says: says.into(),
            does: does.to_vec(),
        }
    }
}

impl Protection {
    /// In words; `pressure`, Pa gauge, is what the test allows.
    pub fn says(self, pressure: f64) -> String {
        let kpa = round(pressure / 1e3, 3);
        match self {
            Protection::Regulator => say::by_regulator(kpa),
            Protection::MachineRelief => say::by_machine(kpa),
            Protection::CapOff => say::by_cap_off().into(),
            Protection::VentOpen => say::by_vent_open().into(),
            Protection::HandPump => say::by_hand_pump(kpa),
            Protection::Standing => say::by_standing().into(),
            Protection::IdleOnly => say::by_idle().into(),
            Protection::SecondPerson => say::by_second_person().into(),
        }
    }
}

impl Procedure {
    /// Highest pressure, Pa gauge; 0 where no air is let in.
    pub fn pressure(&self) -> f64 {
        self.limit.as_ref().map_or(0.0, |limit| limit.pressure)
    }

    /// All acts in their order.
    pub fn acts(&self) -> impl Iterator<Item = &Act> {
        self.set_up.iter().chain(&self.read).chain(&self.back)
    }

    /// All that is said after the dangers, line by line: what protects, what is done, when to stop.
    pub fn lines(&self) -> Vec<String> {
        let before = std::iter::once(self.protected());
        let first = self.set_up.iter().chain(&self.read);
        let first = first.map(|act| act.says.clone());
        let back = self.back.iter().map(|act| act.says.clone());
        let all = before.chain(first).chain(self.stop.iter().cloned());
        all.chain(back).collect()
    }

    /// What is put on, each once.
    pub fn pieces(&self) -> Vec<Piece> {
        self.once(|does| match does {
            Does::Fit(piece) => Some(*piece),
            _ => None,
        })
    }

    /// What is opened and stays open, each once.
    pub fn vents(&self) -> Vec<Vent> {
        self.once(|does| match does {
            Does::Open(vent) => Some(*vent),
            _ => None,
        })
    }

    /// What is picked of all that is done before the end, each once.
    fn once<T: PartialEq>(&self, pick: impl Fn(&Does) -> Option<T>) -> Vec<T> {
        let acts = self.set_up.iter().chain(&self.read);
        let mut all = Vec::new();
        for picked in acts.flat_map(|act| &act.does).filter_map(pick) {
            if !all.contains(&picked) {
                all.push(picked);
            }
        }
        all
    }

    /// Whether the engine runs under load for it.
    pub fn loads(&self) -> bool {
        let mut all = self.acts().flat_map(|act| &act.does);
        all.any(|does| *does == Does::Start(Runs::Loaded))
    }

    /// What protects, in a sentence.
    pub fn protected(&self) -> String {
        let all = self.protection.iter();
        let all: Vec<String> = all.map(|one| one.says(self.pressure())).collect();
        say::protected_by(all.join(say::AND))
    }

    /// With its end: pressure off, engine off, all pieces off and counted, all vents shut.
    fn finished(mut self) -> Self {
        let does = |wanted: Does| {
            let mut all = self
                .set_up
                .iter()
                .chain(&self.read)
                .flat_map(|act| &act.does);
            all.any(|does| *does == wanted)
        };
        let runs = does(Does::Start(Runs::Idle)) || does(Does::Start(Runs::Loaded));
        let servo = does(Does::Fit(Piece::Servo)) || does(Does::Fit(Piece::ServoClamp));
        let mut back = Vec::new();
        if self.limit.is_some() {
            back.push(Act::new(say::let_off(), &[Does::LetOff]));
        }
        if runs {
            back.push(Act::new(say::engine_off(), &[Does::Stop]));
        }
        // What a test says of its own end comes before its parts come off.
        back.append(&mut self.back);
        let names = |all: Vec<&'static str>| all.join(", ");
        let pieces = self.pieces();
        if !pieces.is_empty() {
            let list = names(pieces.iter().map(|piece| piece.name()).collect());
            let says = match pieces.len() {
                1 => say::take_off_one(list),
                count => say::take_off(count, list),
            };
            let off: Vec<Does> = pieces.iter().copied().map(Does::TakeOff).collect();
            back.push(Act::new(says, &off));
        }
        let vents = self.vents();
        if !vents.is_empty() {
            let list = names(vents.iter().map(|vent| vent.name()).collect());
            let shut: Vec<Does> = vents.iter().copied().map(Does::Shut).collect();
            back.push(Act::new(say::shut_again(list), &shut));
        }
        if does(Does::OpenFuel) {
            back.push(Act::new(say::fuel_fuse_in(), &[Does::FuelOn]));
        }
        if !(pieces.is_empty() && vents.is_empty() || servo) {
            let looked = [Does::Start(Runs::Idle), Does::Stop];
            back.push(Act::new(say::look_again(), &looked));
        }
        if servo {
            let proved = [Does::Start(Runs::Idle), Does::ProveBrakes, Does::Stop];
            back.push(Act::new(say::prove_brakes(), &proved));
        }
        self.back = back;
        self
    }
}
