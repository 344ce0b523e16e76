//! Two engines of one make side by side, sound and faulty, running while people play.

use serde::Deserialize;
use sim::control::{Command, SpeedMode};
use sim::network::flows::{FLOWS, flows};
use sim::network::layout::{Node, state};
use sim::network::readings::READINGS;
use sim::network::{Network, Vehicle};
use sim::scenario::{Scenario, Surroundings};
use sim::solve::implicit::Tolerance;
use sim::solve::steady::steady;
use sim::solve::{Failure, State};
use sim::study::running::dangers::{Aims, Hazard};
use sim::study::running::explain::explain;
use sim::study::running::happening::Happening;
use sim::study::running::live::Live;
use sim::study::running::simulate::seen;

/// Longest step of time that is caught up at once, s: a page that slept does not run on for hours.
const LONGEST: f64 = 1.0;
/// How fast a foot moves the pedal at most, 1/s.
const FOOT: f64 = 6.0;
/// Turns a minute in rad/s.
const RPM: f64 = std::f64::consts::PI / 30.0;

/// How the engine is loaded.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "snake_case", tag = "load")]
pub enum Load {
    /// Nothing but itself.
    Neutral,
    /// The car, in this gear.
    InGear {
        /// From 1 up.
        gear: u8,
    },
    /// A brake that holds this speed.
    Held {
        /// rpm.
        speed: f64,
    },
}

/// Where pressure is given.
pub const PRESSURES: [(&str, Node); 7] = [
    ("inlet", Node::Inlet),
    ("hot_pipe", Node::HotPipe),
    ("cold_pipe", Node::ColdPipe),
    ("manifold", Node::Manifold),
    ("crankcase", Node::Crankcase),
    ("exhaust", Node::Exhaust),
    ("downpipe", Node::Downpipe),
];

/// Numbers of one engine in [`Bench::numbers`].
pub const NUMBERS: usize = READINGS + FLOWS.len() + PRESSURES.len() + 2;

/// Speed at which a driver opens the clutch, and at which the car rolls when the gear bites, rpm.
const CLUTCH: f64 = 950.0;
const ROLLING: f64 = 1500.0;
/// Time in which the car is brought to roll, s.
const START: f64 = 1.0;

struct Engine {
    network: Network<f64>,
    live: Live,
    /// Why it stands still, if it does.
    stopped: Option<String>,
    /// Time, s, for which the car is still being brought to roll in its gear.
    start: f64,
    /// What opens, grows and closes as it runs.
    course: Option<Course>,
}

/// Time before a change, s, that is rounding only.
const CLOSE: f64 = 1e-9;

/// A car as it would be with all that is wrong with it, and what happens to it from a time on.
struct Course {
    whole: Network<f64>,
    happening: Happening,
    /// s.
    began: f64,
}

impl Engine {
    /// Runs on for `seconds` under `command`, through what happens meanwhile.
    fn run(&mut self, command: Command, seconds: f64) -> Result<(), Failure> {
        let end = self.live.time + seconds;
        loop {
            let mut until = end;
            if let Some(course) = &mut self.course {
                let since = self.live.time - course.began + CLOSE;
                if since >= course.happening.next() {
                    let orders = self.network.command;
                    self.network = course.happening.car(&course.whole, since).with(orders);
                }
                until = end.min(course.began + course.happening.next());
            }
            let left = until - self.live.time;
            let (live, network) = (&mut self.live, &mut self.network);
            live.follow(network, command, left, Tolerance::default())?;
            if until >= end {
                return Ok(());
            }
        }
    }

    /// What `command` means to a driver who does not stall it: out of gear the car is first
    /// brought to roll, and the clutch opens before the engine labours.
    fn driven(&mut self, command: Command, seconds: f64) -> Command {
        let speed = self.live.state[state::ENGINE];
        let gear = command.speed == SpeedMode::InGear;
        if !gear {
            self.start = 0.0;
            return command;
        }
        let open = self.network.command.speed == SpeedMode::Free;
        if self.start <= 0.0 && open && command.pedal > 0.05 {
            self.start = START;
        }
        let mode = if self.start > 0.0 {
            self.start -= seconds;
            SpeedMode::Held(speed.max(ROLLING * RPM))
        } else if speed < CLUTCH * RPM {
            SpeedMode::Free
        } else {
            SpeedMode::InGear
        };
        Command {
            speed: mode,
            ..command
        }
    }
}

/// Both engines.
pub struct Bench {
    vehicle: Vehicle<f64>,
    air: Surroundings<f64>,
    trouble: Scenario<f64>,
    command: Command,
    engines: [Engine; 2],
    /// Times, s, since which each danger stands in either engine.
    endangered: [[Option<f64>; Hazard::WORDS.len()]; 2],
}

impl Bench {
    /// Both engines sound and idling, in standard air.
    ///
    /// # Errors
    /// The vehicle cannot be read, or does not idle.
    pub fn new(vehicle: &str) -> Result<Self, String> {
        let vehicle: Vehicle<f64> = read(vehicle)?;
        let air = Surroundings::STANDARD;
        let network = Network::new(vehicle.clone(), Vec::new(), air.ambient(), Command::IDLE);
        let idle = idle(&network)?;
        let engine = || Engine {
            network: network.clone(),
            live: Live::new(idle),
            stopped: None,
            start: 0.0,
            course: None,
        };
        Ok(Self {
            engines: [engine(), engine()],
            vehicle,
            air,
            trouble: trouble("{}")?,
            command: Command::IDLE,
            endangered: Default::default(),
        })
    }

    /// Leaks and faults of the second engine from now on, as in a scenario file
    /// (`{"leak": [...], "fault": [...]}`); both engines run on. With `"event": [...]` they open,
    /// grow and close as it says, counted from now.
    ///
    /// # Errors
    /// What is wrong with them.
    pub fn trouble(&mut self, json: &str) -> Result<(), String> {
        self.trouble = trouble(json)?;
        self.rebuild()
    }

    /// Air around both from now on: °C, m altitude.
    ///
    /// # Errors
    /// Beyond the model's range.
    pub fn air(&mut self, temperature: f64, altitude: f64) -> Result<(), String> {
        let kelvin = temperature + 273.15;
        if !(223.15..=333.15).contains(&kelvin) || !(-500.0..=5000.0).contains(&altitude) {
            return Err("allowed are -50 to 60 degC and -500 to 5000 m".into());
        }
        self.air = Surroundings {
            temperature: kelvin,
            altitude,
            ..Surroundings::STANDARD
        };
        self.rebuild()
    }

    fn rebuild(&mut self) -> Result<(), String> {
        let scenario = Scenario {
            ambient: self.air.clone(),
            ..self.trouble.clone()
        };
        let faulty = scenario.network(self.vehicle.clone());
        let faulty = faulty.map_err(|m| format!("{}: {}", m.key, m.message))?;
        for (engine, network) in self.engines.iter_mut().zip([faulty.healthy(), faulty]) {
            let command = engine.network.command;
            engine.course = None;
            engine.network = network.with(command);
        }
        if !scenario.event.is_empty() {
            let engine = &mut self.engines[1];
            let (whole, began) = (engine.network.clone(), engine.live.time);
            let mut happening = Happening::new(&whole, &scenario.event);
            engine.network = happening.car(&whole, 0.0).with(whole.command);
            engine.course = Some(Course {
                whole,
                happening,
                began,
            });
        }
        Ok(())
    }

    /// What driver and brake ask from now on; pedal 0 to 1.
    pub fn drive(&mut self, load: Load, pedal: f64) {
        let (speed, gear) = match load {
            Load::Neutral => (SpeedMode::Free, self.command.gear),
            Load::InGear { gear } => (SpeedMode::InGear, gear.clamp(1, 8)),
            Load::Held { speed } => (
                SpeedMode::Held(speed.clamp(600.0, 8000.0) * RPM),
                self.command.gear,
            ),
        };
        self.command = Command {
            speed,
            gear,
            pedal: if pedal.is_finite() {
                pedal.clamp(0.0, 1.0)
            } else {
                0.0
            },
            pedal_rate: FOOT,
            ..Command::IDLE
        };
    }

    /// Runs both on, s. An engine that stalls stands still until [`restart`](Self::restart).
    pub fn advance(&mut self, seconds: f64) {
        let seconds = if seconds.is_finite() {
            seconds.clamp(0.0, LONGEST)
        } else {
            0.0
        };
        for engine in &mut self.engines {
            if engine.stopped.is_none() && seconds > 0.0 {
                let command = engine.driven(self.command, seconds);
                let run = engine.run(command, seconds);
                engine.stopped = run.err().map(|failure| failure.to_string());
            }
        }
    }

    /// Both idling again; leaks and faults stay. A faulty engine that cannot idle starts
    /// from the healthy one's state and does what it does.
    ///
    /// # Errors
    /// Even the healthy engine does not idle.
    pub fn restart(&mut self) -> Result<(), String> {
        let sound = idle(&self.engines[0].network)?;
        for engine in &mut self.engines {
            engine.network.command = Command::IDLE;
            if let Some(course) = &mut engine.course {
                course.began -= engine.live.time;
            }
            engine.live = Live::new(sound);
            engine.stopped = None;
            engine.start = 0.0;
        }
        self.endangered = Default::default();
        Ok(())
    }

    /// For the sound and then the faulty engine: readings, flows (g/s), pressures (kPa abs),
    /// whether it runs (1 or 0), and the time (s).
    pub fn numbers(&self, into: &mut Vec<f64>) {
        into.clear();
        for engine in &self.engines {
            let x = &engine.live.state.data.0[0];
            let moment = engine.network.evaluate(x);
            into.extend(engine.network.readings(x, &moment).values);
            into.extend(flows(&moment));
            let pressure = |node: Node| moment.gases.at(node).pressure * 1e-3;
            into.extend(PRESSURES.iter().map(|(_, node)| pressure(*node)));
            into.push(f64::from(u8::from(engine.stopped.is_none())));
            into.push(engine.live.time);
        }
    }

    /// Why the two differ, in a few sentences.
    pub fn why(&self) -> String {
        let stopped = |i: usize| self.engines[i].stopped.as_deref();
        let both = [(0, "healthy"), (1, "faulty")].into_iter();
        let stalled = both.filter_map(|(i, which)| {
            let why = stopped(i)?;
            Some(format!("The {which} car's engine has stalled: {why}."))
        });
        let stalled: Vec<String> = stalled.collect();
        if !stalled.is_empty() {
            return stalled.join(" ");
        }
        let mut sides = self.engines.each_ref().map(|engine| {
            let x = engine.live.state;
            let moment = engine.network.evaluate(&x.data.0[0]);
            seen(&engine.network, x, &moment)
        });
        // A computer that reduces torque explains what else differs: nothing runs as it is asked to.
        let reduced = self.engines.each_ref().map(|e| e.network.command.reduced);
        if reduced == [false, true] {
            let codes = self.engines[1].live.codes.iter();
            sides[1].codes = codes.map(|(_, code)| *code).collect();
            sides[1].unreduced = Some(sides[0].readings);
        }
        explain(&sides[0], &sides[1], &self.vehicle, &self.command)
    }

    /// Dangers that have stood as long as makes them one, asked again and again while both run: whether
    /// of the faulty engine, the danger's key, what it is and does, what must be done first.
    pub fn dangers(&mut self) -> Vec<(bool, &'static str, String)> {
        let mut found = Vec::new();
        for (i, engine) in self.engines.iter().enumerate() {
            let (network, time) = (&engine.network, engine.live.time);
            let x = &engine.live.state.data.0[0];
            let readings = network.readings(x, &network.evaluate(x));
            let aims = Aims::of_model(&network.vehicle, network.ambient.pressure);
            let now = match engine.stopped {
                None => aims.dangers_of(&readings, false),
                Some(_) => Vec::new(),
            };
            for hazard in Hazard::all() {
                let since = &mut self.endangered[i][hazard as usize];
                let Some(danger) = now.iter().find(|danger| danger.hazard == hazard) else {
                    *since = None;
                    continue;
                };
                if time - *since.get_or_insert(time) >= hazard.held() {
                    found.push((i == 1, hazard.word(), danger.in_kind()));
                }
            }
        }
        found
    }

    /// Trouble codes set since the start: time, whether of the faulty engine, code.
    pub fn codes(&self) -> Vec<(f64, bool, &'static str)> {
        let of = |i: usize| {
            let codes = self.engines[i].live.codes.iter();
            codes.map(move |(time, code)| (*time, i == 1, code.word()))
        };
        of(0).chain(of(1)).collect()
    }

    /// Crank speeds, rad/s, for tests.
    pub fn speeds(&self) -> [f64; 2] {
        self.engines.each_ref().map(|e| e.live.state[state::ENGINE])
    }
}

fn idle(network: &Network<f64>) -> Result<State, String> {
    let at = network.with(Command::IDLE);
    let found = steady(&at, &State::from(network.start()));
    let found = found.map_err(|e: Failure| format!("this engine does not idle: {e}"))?;
    Ok(found.state)
}

/// Anything of ours from JSON.
///
/// # Errors
/// It is something else.
pub fn read<T: for<'de> Deserialize<'de>>(json: &str) -> Result<T, String> {
    serde_json::from_str(json).map_err(|e| e.to_string())
}

/// What a page takes of a scenario: what is wrong, and what the car is asked to work with.
pub const KEPT: [&str; 6] = [
    "leak",
    "fault",
    "event",
    "ambient",
    "boost_control",
    "fixed_duty",
];

/// Leaks and faults as of a scenario without points of its own.
pub(crate) fn trouble(json: &str) -> Result<Scenario<f64>, String> {
    let mut value: serde_json::Value = read(json)?;
    let Some(table) = value.as_object_mut() else {
        return Err("leaks and faults stand in an object".into());
    };
    table.retain(|key, _| KEPT.contains(&key.as_str()));
    table.insert("title".into(), "page".into());
    table.insert("vehicle".into(), "page".into());
    let idle = serde_json::json!([{ "name": "idle", "idle": true }]);
    table.insert("point".into(), idle);
    read(&value.to_string())
}
