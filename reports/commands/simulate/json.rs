//! Results for programs. Numbers are the shortest that read back the same; null
//! stands where a reading has no meaning.

use crate::commands::simulate::answers::{Answered, Drives};
use crate::input::case::Case;
use crate::text::ledger::LEDGER;
use serde::ser::{Serialize, SerializeMap, Serializer};
use sim::control::Code;
use sim::network::flows::FLOWS;
use sim::network::readings::FORMS;
use sim::network::{AirLedger, Readings as Values};
use sim::study::running::simulate::{LeakReading, Side as Answer};
use sim::study::running::trace::Trace;

/// Operating points, or a drive.
#[derive(serde::Serialize)]
struct File<'a, T> {
    scenario: &'a str,
    vehicle: &'a str,
    #[serde(flatten)]
    content: T,
}

#[derive(serde::Serialize)]
struct Points<'a> {
    points: Vec<Point<'a>>,
}

#[derive(serde::Serialize)]
struct Point<'a> {
    name: &'a str,
    healthy: Option<Side<'a>>,
    faulty: Option<Side<'a>>,
    why: Option<&'a str>,
    warnings: Vec<String>,
    failures: Vec<String>,
}

#[derive(serde::Serialize)]
struct Side<'a> {
    #[serde(flatten)]
    readings: Readings<'a>,
    ledger: Ledger<'a>,
    flows_g_s: Flows<'a>,
    leaks: Vec<Leak>,
    codes: Vec<&'static str>,
    code_levels: Levels<'a>,
    before_torque_reduction: Option<Readings<'a>>,
}

#[derive(serde::Serialize)]
struct Leak {
    place: &'static str,
    shape: &'static str,
    flow_g_s: f64,
    equivalent_hole_mm: Option<f64>,
    regime: &'static str,
}

#[derive(serde::Serialize)]
struct Drive<'a> {
    pieces: Vec<Piece<'a>>,
    healthy: Option<Vec<Sample<'a>>>,
    faulty: Option<Vec<Sample<'a>>>,
    codes: Vec<Set>,
    valves: Vec<Open>,
    speed_limit_cuts: Vec<Cut>,
    failures: Vec<String>,
}

/// A valve that stands open; no end if it does at the end of the drive.
#[derive(serde::Serialize)]
struct Open {
    valve: &'static str,
    side: &'static str,
    open_s: f64,
    shut_s: Option<f64>,
}

/// The engine over its speed limit; no end if it is at the end of the drive.
#[derive(serde::Serialize)]
struct Cut {
    side: &'static str,
    from_s: f64,
    to_s: Option<f64>,
    highest_rpm: f64,
}

#[derive(serde::Serialize)]
struct Set {
    time_s: f64,
    side: &'static str,
    code: &'static str,
}

#[derive(serde::Serialize)]
struct Piece<'a> {
    from_s: f64,
    name: &'a str,
}

#[derive(serde::Serialize)]
struct Sample<'a> {
    time_s: f64,
    #[serde(flatten)]
    readings: Readings<'a>,
}

struct Readings<'a>(&'a Values<f64>);

impl Serialize for Readings<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut map = to.serialize_map(Some(FORMS.len()))?;
        for (form, value) in FORMS.iter().zip(self.0.values) {
            map.serialize_entry(form.key, &value.is_finite().then_some(value))?;
        }
        map.end()
    }
}

/// Watchdog levels by code; null where not enabled.
struct Levels<'a>(&'a sim::control::watchdogs::Levels<f64>);

impl Serialize for Levels<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let codes = Code::WORDS.iter().map(|(word, _, _)| word);
        to.collect_map(codes.zip(self.0))
    }
}

struct Ledger<'a>(&'a AirLedger);

impl Serialize for Ledger<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(LEDGER.iter().map(|line| (line.key, (line.of)(self.0))))
    }
}

struct Flows<'a>(&'a [f64; FLOWS.len()]);

impl Serialize for Flows<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(
            FLOWS
                .iter()
                .zip(self.0)
                .map(|((key, ..), flow)| (key, flow)),
        )
    }
}

impl<'a> Side<'a> {
    fn new(side: &'a Answer) -> Self {
        Self {
            readings: Readings(&side.readings),
            ledger: Ledger(&side.ledger),
            flows_g_s: Flows(&side.flows),
            leaks: side.leaks.iter().map(Leak::new).collect(),
            codes: side.codes.iter().map(|code| code.word()).collect(),
            code_levels: Levels(&side.levels),
            before_torque_reduction: side.unreduced.as_ref().map(Readings),
        }
    }
}

impl Leak {
    fn new(leak: &LeakReading) -> Self {
        Self {
            place: leak.place.word(),
            shape: leak.shape,
            flow_g_s: leak.flow,
            equivalent_hole_mm: leak.equivalent_hole,
            regime: leak.regime.word(),
        }
    }
}

/// Operating points. What has no answer is null, and its reason stands in
/// `warnings` and in `failures`.
///
/// # Errors
/// A value that JSON cannot hold.
pub fn points(case: &Case, points: &[Answered]) -> Result<String, String> {
    let points = points.iter().map(|point| {
        let failures = point.failures();
        let faulty = point.result.faulty.as_ref();
        Point {
            name: &point.result.name,
            healthy: point.result.healthy.as_ref().ok().map(Side::new),
            faulty: faulty.and_then(|side| side.as_ref().ok()).map(Side::new),
            why: point.why.as_deref(),
            warnings: point
                .warnings()
                .into_iter()
                .chain(failures.clone())
                .collect(),
            failures,
        }
    });
    text(
        case,
        Points {
            points: points.collect(),
        },
    )
}

/// A drive, sample by sample.
///
/// # Errors
/// A value that JSON cannot hold.
pub fn trace(case: &Case, drives: &Drives) -> Result<String, String> {
    fn samples(trace: &Trace) -> Vec<Sample<'_>> {
        let samples = trace.samples.iter().map(|sample| Sample {
            time_s: sample.time,
            readings: Readings(&sample.readings),
        });
        samples.collect()
    }
    let pieces = drives.pieces.iter().map(|(from, name)| Piece {
        from_s: *from,
        name,
    });
    let codes = drives.codes().into_iter();
    let set = codes.map(|(time_s, side, code)| Set {
        time_s,
        side,
        code: code.word(),
    });
    let open = drives.openings().into_iter();
    let open = open.map(|(valve, side, open_s, shut_s)| Open {
        valve,
        side,
        open_s,
        shut_s,
    });
    let cuts = drives.over_limit().into_iter().map(|(side, over)| Cut {
        side,
        from_s: over.from,
        to_s: over.to,
        highest_rpm: over.highest,
    });
    let faulty = drives.faulty.as_ref();
    text(
        case,
        Drive {
            pieces: pieces.collect(),
            healthy: drives.healthy.as_ref().ok().map(samples),
            faulty: faulty.and_then(|trace| trace.as_ref().ok()).map(samples),
            codes: set.collect(),
            valves: open.collect(),
            speed_limit_cuts: cuts.collect(),
            failures: drives.failures(),
        },
    )
}

fn text<T: Serialize>(case: &Case, content: T) -> Result<String, String> {
    let file = File {
        scenario: &case.scenario.title,
        vehicle: &case.network.vehicle.name,
        content,
    };
    let mut text = serde_json::to_string_pretty(&file).map_err(|e| e.to_string())?;
    text.push('\n');
    Ok(text)
}
