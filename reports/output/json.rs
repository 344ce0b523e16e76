//! Results for programs.

use crate::simulate::{Case, Drives, point_failures};
use serde::Serialize;
use serde_json::{Map, Value, json};
use sim::network::Readings;
use sim::network::readings::FORMS;
use sim::study::explain::explain;
use sim::study::simulate::{PointResult, Side};
use sim::study::trace::Trace;

#[derive(Serialize)]
struct File<'a, T> {
    scenario: &'a str,
    vehicle: &'a str,
    points: Vec<T>,
}

#[derive(Serialize)]
struct Point<'a> {
    name: &'a str,
    healthy: Option<Map<String, Value>>,
    faulty: Option<Map<String, Value>>,
    why: Option<String>,
    warnings: Vec<String>,
    failures: Vec<String>,
}

/// Operating points.
///
/// # Errors
/// A value that JSON cannot hold.
pub fn points(case: &Case, points: &[PointResult]) -> Result<String, String> {
    let commands = case.scenario.point.iter().map(|p| p.command().ok());
    let points = points.iter().zip(commands).map(|(result, command)| {
        let healthy = result.healthy.as_ref().ok();
        let faulty = result.faulty.as_ref().and_then(|side| side.as_ref().ok());
        let why = healthy.zip(faulty).zip(command);
        let mut warnings: Vec<String> = Vec::new();
        for (which, side) in [("healthy", healthy), ("faulty", faulty)] {
            let said = side.map_or(&[][..], |side| &side.warnings);
            warnings.extend(said.iter().map(|w| format!("{which}: {w}")));
        }
        let failures = point_failures(result);
        warnings.extend(failures.iter().cloned());
        Point {
            name: &result.name,
            healthy: healthy.map(side),
            faulty: faulty.map(side),
            why: why.map(|((h, f), c)| explain(h, f, case.network.vehicle.metering, &c)),
            warnings,
            failures,
        }
    });
    let file = File {
        scenario: &case.scenario.title,
        vehicle: &case.network.vehicle.name,
        points: points.collect(),
    };
    text(&file)
}

fn side(side: &Side) -> Map<String, Value> {
    let mut map = readings(&side.readings);
    let l = &side.ledger;
    map.insert("ledger".into(), json!({
        "metered_in_g_s": l.metered_in, "unmetered_in_g_s": l.unmetered_in, "lost_g_s": l.lost,
        "recirculated_g_s": l.recirculated, "blow_by_g_s": l.blow_by, "engine_g_s": l.engine,
        "exhaust_in_g_s": l.exhaust_in, "exhaust_lost_g_s": l.exhaust_lost, "closure_g_s": l.closure,
    }));
    let leaks = side.leaks.iter().map(|leak| {
        json!({
            "place": leak.place.word(), "shape": leak.shape, "flow_g_s": leak.flow,
            "equivalent_hole_mm": leak.equivalent_hole, "regime": leak.regime.word(),
        })
    });
    map.insert("leaks".into(), leaks.collect());
    map
}

/// Every reading by its key; null where it has no meaning.
fn readings(readings: &Readings<f64>) -> Map<String, Value> {
    let values = FORMS.iter().zip(readings.values);
    values
        .map(|(form, value)| {
            (
                form.key.to_string(),
                json!(value.is_finite().then_some(value)),
            )
        })
        .collect()
}

/// A drive, sample by sample.
///
/// # Errors
/// A value that JSON cannot hold.
pub fn trace(case: &Case, drives: &Drives) -> Result<String, String> {
    let samples = |trace: &Trace| -> Value {
        let rows = trace.samples.iter().map(|sample| {
            let mut map = Map::new();
            map.insert("time_s".into(), json!(sample.time));
            map.extend(readings(&sample.readings));
            Value::Object(map)
        });
        rows.collect()
    };
    let pieces: Value = drives
        .healthy
        .pieces
        .iter()
        .map(|(t, name)| json!({"from_s": t, "name": name}))
        .collect();
    text(&json!({
        "scenario": case.scenario.title,
        "vehicle": case.network.vehicle.name,
        "pieces": pieces,
        "healthy": samples(&drives.healthy),
        "faulty": drives.faulty.as_ref().map(samples),
    }))
}

fn text<T: Serialize>(value: &T) -> Result<String, String> {
    let mut text = serde_json::to_string_pretty(value).map_err(|e| e.to_string())?;
    text.push('\n');
    Ok(text)
}
