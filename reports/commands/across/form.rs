//! The table and the result for programs.

use crate::commands::across::{Answers, name, shown};
use crate::text::words::{cautions, heading, paragraph};
use serde_json::{Map, Value, json};
use sim::network::readings::{ALL, FORMS};
use sim::network::{Network, Reading};
use sim::study::asking::across::{SpeedLine, Spot, Working};
use sim::study::running::simulate::Side;
use std::f64::consts::PI;
use std::fmt::Write;

/// rpm of rad/s.
pub(super) const RPM: f64 = 30.0 / PI;

/// What has no answer, in words.
pub(super) fn failures(answers: &Answers) -> Vec<String> {
    let mut all = Vec::new();
    for (load, spots) in &answers.lines {
        for spot in spots {
            let sides = [
                ("sound", Some(&spot.sound)),
                ("faulty", spot.faulty.as_ref()),
            ];
            let failed = sides
                .into_iter()
                .filter_map(|(which, side)| Some((which, side?.as_ref().err()?)));
            all.extend(failed.map(|(which, why)| {
                format!(
                    "{} {:.0} rpm, {which}: {why}",
                    name(*load),
                    spot.speed * RPM
                )
            }));
        }
    }
    all
}

pub(super) fn value(side: &Side, reading: Reading) -> f64 {
    side.readings.values[reading as usize]
}

pub(super) fn faulty(spot: &Spot) -> Option<&Side> {
    spot.faulty.as_ref()?.as_ref().ok()
}

/// Lowest and highest that 95 % of sound cars read.
pub(super) fn band(spot: &Spot, reading: Reading) -> Option<[f64; 2]> {
    let (side, spread) = (spot.sound.as_ref().ok()?, spot.spread.as_ref()?);
    let (middle, half) = (value(side, reading), spread[reading as usize]);
    let band = [middle - half, middle + half];
    band.iter().all(|end| end.is_finite()).then_some(band)
}

/// Letters of a value; `!` behind those outside the band.
fn cell(spot: &Spot, side: Option<&Side>, reading: Reading, judged: bool) -> String {
    let read = side.map_or(f64::NAN, |side| value(side, reading));
    if !read.is_finite() {
        return "-".into();
    }
    let outside = band(spot, reading).is_some_and(|[low, high]| read < low || read > high);
    let mark = if judged && outside { "!" } else { "" };
    let words = format!("{read:.*}", FORMS[reading as usize].decimals.min(3));
    // What rounds to nothing has no sign.
    let words = match words.trim_start_matches(['-', '0', '.']).is_empty() {
        true => words.trim_start_matches('-'),
        false => &words,
    };
    format!("{words}{mark}")
}

pub(super) fn table(answers: &Answers) -> String {
    let mut text = String::new();
    let what = match answers.case.network.is_healthy() {
        true => "what it reads across engine speed",
        false => "sound car / this car; `!`: beyond where 95 % of sound cars of its make read",
    };
    let title = &answers.case.scenario.title;
    paragraph(&mut text, "", &format!("{title}: {what}."));
    for (load, spots) in &answers.lines {
        heading(&mut text, name(*load));
        for (i, half) in shown(*load).chunks(3).enumerate() {
            if i > 0 {
                text.push('\n');
            }
            let _ = write!(text, "{:>5}", "rpm");
            for reading in half {
                let form = &FORMS[*reading as usize];
                let unit = if form.unit.is_empty() {
                    String::new()
                } else {
                    format!(", {}", form.unit)
                };
                let _ = write!(text, "{:>24}", format!("{}{unit}", form.label));
            }
            text.push('\n');
            for spot in spots {
                let _ = write!(text, "{:>5.0}", spot.speed * RPM);
                for reading in half {
                    let sound = cell(spot, spot.sound.as_ref().ok(), *reading, false);
                    let this = cell(spot, faulty(spot), *reading, true);
                    let both = match spot.faulty {
                        Some(_) => format!("{sound} / {this}"),
                        None => sound,
                    };
                    let _ = write!(text, "{both:>24}");
                }
                text.push('\n');
            }
        }
    }
    cautions(&mut text);
    text
}

fn finite(value: f64) -> Value {
    match value.is_finite() {
        true => json!(value),
        false => Value::Null,
    }
}

fn side(side: Option<&Side>, working: Option<&Working>) -> Value {
    let Some(side) = side else { return Value::Null };
    let readings = FORMS.iter().zip(&side.readings.values);
    let readings = readings.map(|(form, value)| (form.key.to_string(), finite(*value)));
    let mut all: Map<String, Value> = readings.collect();
    let compressor = working.map(|at| {
        json!({ "corrected_flow_g_s": at.flow * 1e3, "pressure_ratio": at.pressure_ratio,
            "corrected_speed_krpm": at.speed * RPM * 1e-3 })
    });
    all.insert("compressor".into(), compressor.unwrap_or(Value::Null));
    Value::Object(all)
}

fn point(spot: &Spot) -> Value {
    let bands = ALL.iter().filter_map(|reading| {
        let band = band(spot, *reading)?;
        Some((FORMS[*reading as usize].key.to_string(), json!(band)))
    });
    let bands: Map<String, Value> = bands.collect();
    let [a, b] = &spot.compressor;
    json!({
        "speed_rpm": spot.speed * RPM,
        "healthy": side(spot.sound.as_ref().ok(), a.as_ref()),
        "faulty": side(faulty(spot), b.as_ref()),
        "sound_cars_95_pct": bands,
    })
}

fn speed_line(line: &SpeedLine) -> Value {
    let column = |of: fn(&Working) -> f64| line.points.iter().map(of).collect::<Vec<f64>>();
    json!({
        "corrected_speed_krpm": line.speed * RPM * 1e-3,
        "corrected_flow_g_s": column(|at| at.flow * 1e3),
        "pressure_ratio": column(|at| at.pressure_ratio),
    })
}

pub(super) fn json(answers: &Answers) -> Result<String, String> {
    let network: &Network<f64> = &answers.case.network;
    let loads = answers.lines.iter().map(|(load, spots)| {
        json!({ "load": name(*load), "points": spots.iter().map(point).collect::<Vec<_>>() })
    });
    let whole = json!({
        "title": answers.case.scenario.title,
        "vehicle": network.vehicle.name,
        "loads": loads.collect::<Vec<_>>(),
        "compressor_map": answers.map.iter().map(speed_line).collect::<Vec<_>>(),
    });
    let text = serde_json::to_string_pretty(&whole).map_err(|e| e.to_string())?;
    Ok(text + "\n")
}
