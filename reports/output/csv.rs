//! Results as comma-separated values; units stand in the heads.

use crate::simulate::Drives;
use ::csv::Writer;
use sim::network::Readings;
use sim::network::readings::FORMS;
use sim::study::simulate::{PointResult, Side};

const LEDGER: [&str; 9] = [
    "metered_in_g_s",
    "unmetered_in_g_s",
    "lost_g_s",
    "recirculated_g_s",
    "blow_by_g_s",
    "engine_g_s",
    "exhaust_in_g_s",
    "exhaust_lost_g_s",
    "closure_g_s",
];

/// One row a point and side.
///
/// # Errors
/// The rows cannot be written (never for a text in memory, but said all the same).
pub fn points(points: &[PointResult]) -> Result<String, String> {
    let mut writer = Writer::from_writer(Vec::new());
    let heads = ["point", "side", "answer"]
        .into_iter()
        .chain(FORMS.iter().map(|f| f.key))
        .chain(LEDGER);
    writer.write_record(heads).map_err(|e| e.to_string())?;
    for result in points {
        for (name, side) in [
            ("healthy", Some(&result.healthy)),
            ("faulty", result.faulty.as_ref()),
        ] {
            let Some(side) = side else { continue };
            let mut row = vec![result.name.clone(), name.into()];
            match side {
                Ok(side) => {
                    row.push("ok".into());
                    row.extend(values(&side.readings));
                    row.extend(ledger(side));
                }
                Err(e) => {
                    row.push(e.to_string());
                    row.resize(3 + FORMS.len() + LEDGER.len(), String::new());
                }
            }
            writer.write_record(row).map_err(|e| e.to_string())?;
        }
    }
    finish(writer)
}

/// One row a sample and side.
///
/// # Errors
/// As for [`points`].
pub fn trace(drives: &Drives) -> Result<String, String> {
    let mut writer = Writer::from_writer(Vec::new());
    let heads = ["time_s", "side"]
        .into_iter()
        .chain(FORMS.iter().map(|f| f.key));
    writer.write_record(heads).map_err(|e| e.to_string())?;
    for (name, trace) in [
        ("healthy", Some(&drives.healthy)),
        ("faulty", drives.faulty.as_ref()),
    ] {
        for sample in trace.map_or(&[][..], |t| &t.samples) {
            let start = [format!("{:.4}", sample.time), name.into()];
            let row = start.into_iter().chain(values(&sample.readings));
            writer.write_record(row).map_err(|e| e.to_string())?;
        }
    }
    finish(writer)
}

fn values(readings: &Readings<f64>) -> impl Iterator<Item = String> + '_ {
    readings.values.iter().map(|v| {
        if v.is_finite() {
            v.to_string()
        } else {
            String::new()
        }
    })
}

fn ledger(side: &Side) -> [String; 9] {
    let l = &side.ledger;
    [
        l.metered_in,
        l.unmetered_in,
        l.lost,
        l.recirculated,
        l.blow_by,
        l.engine,
        l.exhaust_in,
        l.exhaust_lost,
        l.closure,
    ]
    .map(|v| v.to_string())
}

fn finish(writer: Writer<Vec<u8>>) -> Result<String, String> {
    let bytes = writer.into_inner().map_err(|e| e.to_string())?;
    String::from_utf8(bytes).map_err(|e| e.to_string())
}
