//! Results as comma-separated values; units stand in the heads.

use crate::commands::simulate::answers::{Answered, Drives};
use crate::text::ledger::LEDGER;
use ::csv::Writer;
use sim::network::Readings;
use sim::network::readings::FORMS;

type Out = Writer<Vec<u8>>;

/// One row a point and side; what has no answer says why in `answer`.
///
/// # Errors
/// The rows cannot be written (never for a text in memory, but said all the same).
pub fn points(points: &[Answered]) -> Result<String, String> {
    let mut out = Writer::from_writer(Vec::new());
    let heads = ["point", "side", "answer", "warnings", "codes"].into_iter();
    let heads = heads.chain(FORMS.iter().map(|form| form.key));
    row(&mut out, heads.chain(LEDGER.iter().map(|line| line.key)))?;
    for point in points {
        for (name, side) in point.sides() {
            let start = [point.result.name.clone(), name.into()].into_iter();
            match side {
                Ok(side) => {
                    let codes: Vec<&str> = side.codes.iter().map(|code| code.word()).collect();
                    let said = ["ok".into(), side.warned().join("; "), codes.join(" ")];
                    let flows = LEDGER.iter().map(|line| number((line.of)(&side.ledger)));
                    let values = values(&side.readings).chain(flows);
                    row(&mut out, start.chain(said).chain(values))?;
                }
                Err(e) => {
                    let empty = vec![String::new(); 2 + FORMS.len() + LEDGER.len()];
                    row(&mut out, start.chain([e.to_string()]).chain(empty))?;
                }
            }
        }
    }
    finish(out)
}

/// One row a sample and side, with the piece of the drive it belongs to.
///
/// # Errors
/// As for [`points`].
pub fn trace(drives: &Drives) -> Result<String, String> {
    let mut out = Writer::from_writer(Vec::new());
    let heads = ["time_s", "piece", "side"].into_iter();
    row(&mut out, heads.chain(FORMS.iter().map(|form| form.key)))?;
    for (name, trace) in drives.sides() {
        let samples = trace.as_ref().map_or(&[][..], |trace| &trace.samples);
        for sample in samples {
            let begun = (drives.pieces.iter().rev()).find(|(from, _)| *from <= sample.time + 1e-9);
            let piece = begun.map_or("", |(_, piece)| piece);
            let start = [format!("{:.4}", sample.time), piece.into(), name.into()];
            row(&mut out, start.into_iter().chain(values(&sample.readings)))?;
        }
    }
    finish(out)
}

fn row<T: AsRef<[u8]>>(out: &mut Out, cells: impl Iterator<Item = T>) -> Result<(), String> {
    out.write_record(cells).map_err(|e| e.to_string())
}

fn values(readings: &Readings<f64>) -> impl Iterator<Item = String> + '_ {
    readings.values.iter().map(|value| number(*value))
}

/// The shortest text that reads back the same; empty where a reading has no meaning.
fn number(value: f64) -> String {
    match value.is_finite() {
        true => value.to_string(),
        false => String::new(),
    }
}

fn finish(out: Out) -> Result<String, String> {
    let bytes = out.into_inner().map_err(|e| e.to_string())?;
    String::from_utf8(bytes).map_err(|e| e.to_string())
}
