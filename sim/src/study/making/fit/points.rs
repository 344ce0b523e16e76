//! From the windows and pulls of a log to what a car is fitted to.

use crate::control::{Command, ThrottleMode, full_load_share};
use crate::network::Reading;
use crate::say::driving as say;
use crate::study::knowing::doubt::instrument;
use crate::study::knowing::log::{Average, Channel, Kind, Pull, Window};
use std::f64::consts::PI;

/// A condition and what was read there.
///
/// # Examples
/// ```
/// use sim::{Command, Reading, Watched};
/// let cruise = Watched {
///     name: "cruise".into(),
///     command: Command::torque(250.0, 0.0), // A first guess; the load is found from the air.
///     reads: vec![(Reading::MeteredAir, 14.2, 0.3)],
/// };
/// assert!(!cruise.is_full_load());
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Watched {
    /// What it is called.
    pub name: String,
    /// What was asked of the car; a torque held is only a first guess.
    pub command: Command,
    /// Reading, value, standard deviation, in the reading's own unit.
    pub reads: Vec<(Reading, f64, f64)>,
}

impl Watched {
    /// Whether the engine gave all it has: a window or pull with the pedal down.
    pub fn is_full_load(&self) -> bool {
        let pedal = self.command.throttle == ThrottleMode::Pedal;
        pedal && full_load_share(self.command.pedal) > 0.5
    }
}

/// Readings that a car is fitted to. Left out are what only a model knows, what repeats
/// another, and pedal and throttle, whose zero and scale are each maker's own.
const HEARD: &[Reading] = &[
    Reading::EngineSpeed,
    Reading::MeteredAir,
    Reading::Manifold,
    Reading::Boost,
    Reading::BoostSensor,
    Reading::IntakeTemperature,
    Reading::FuelTrim,
    Reading::LambdaSensor,
    Reading::WastegateDuty,
    Reading::ShaftSpeed,
    Reading::ExhaustTemperature,
    Reading::ExhaustPressure,
    Reading::InletDepression,
];

/// Readings that a pull shows as steady running would, with the share or amount by which
/// they lag (own choice): the shaft, boost and what follows them are late.
const PULLED: &[(Reading, f64, f64)] = &[
    (Reading::MeteredAir, 0.0, 0.02),
    (Reading::Manifold, 2.5, 0.0),
    (Reading::BoostSensor, 2.5, 0.0),
    (Reading::FuelTrim, 1.0, 0.0),
    (Reading::LambdaSensor, 0.01, 0.0),
    (Reading::InletDepression, 0.0, 0.04),
];

/// Engine speeds at which pulls are read, rpm.
const SPEEDS: [f64; 3] = [2500.0, 3500.0, 4500.0];

/// Whether a car can be fitted to a reading.
pub fn heard(reading: Reading) -> bool {
    HEARD.contains(&reading)
}

/// What a log's windows show; its pulls too where no window holds full load. Intake
/// temperature counts only where the `air` outside is known.
pub fn watched(windows: &[Window], pulls: &[Pull], air: bool) -> Vec<Watched> {
    let mut all: Vec<Watched> = windows
        .iter()
        .map(|window| of_window(window, air))
        .collect();
    if !windows.iter().any(|window| window.kind == Kind::FullLoad) {
        let fastest = |pull: &&Pull| pull.speeds()[1] - pull.speeds()[0];
        let best = pulls
            .iter()
            .max_by(|a, b| fastest(a).total_cmp(&fastest(b)));
        all.extend(best.iter().flat_map(|pull| of_pull(pull)));
    }
    all.retain(|watched| !watched.reads.is_empty());
    all
}

fn of_window(window: &Window, air: bool) -> Watched {
    let speed = window.speed * PI / 30.0;
    // A speed that is held is no reading of how the car answers.
    let known = |reading: &Reading| match reading {
        Reading::IntakeTemperature => air,
        Reading::EngineSpeed => window.kind == Kind::Idle,
        _ => true,
    };
    let reads = HEARD.iter().copied().filter(known);
    Watched {
        name: window.name(),
        command: match window.kind {
            // The load is found from what was read.
            Kind::PartLoad => Command::torque(speed, 0.0),
            _ => window.command(),
        },
        reads: reads
            .filter_map(|reading| read(&window.averages, reading, (0.0, 0.0)))
            .collect(),
    }
}

fn of_pull(pull: &Pull) -> Vec<Watched> {
    let at = |speed: f64| {
        let averages = pull.at(speed)?;
        let reads = PULLED.iter();
        let reads = reads
            .filter_map(|(reading, amount, share)| read(&averages, *reading, (*amount, *share)));
        Some(Watched {
            name: say::pull_at(speed),
            command: Command::full_load(speed * PI / 30.0),
            reads: reads.collect(),
        })
    };
    SPEEDS.into_iter().filter_map(at).collect()
}

/// A reading with the doubts of instrument, of the moment, and `more` (amount, share).
fn read(averages: &[Average], reading: Reading, more: (f64, f64)) -> Option<(Reading, f64, f64)> {
    let get = |reading: Reading| {
        averages
            .iter()
            .find(|a| a.channel == Channel::Read(reading))
    };
    let (value, doubt) = match (reading, get(reading)) {
        // All trim is long-term times short-term.
        (Reading::FuelTrim, None) => {
            let (long, short) = (get(Reading::LongTrim), get(Reading::ShortTrim));
            let part = |a: Option<&Average>| a.map_or((0.0, 0.0), |a| (a.mean / 100.0, a.doubt));
            long.or(short)?;
            let ((l, dl), (s, ds)) = (part(long), part(short));
            (((1.0 + l) * (1.0 + s) - 1.0) * 100.0, dl.hypot(ds))
        }
        (_, found) => found.map(|a| (a.mean, a.doubt))?,
    };
    let usual = instrument(reading).deviation(value);
    let deviation = usual.hypot(doubt).hypot(more.0).hypot(more.1 * value);
    Some((reading, value, deviation))
}
