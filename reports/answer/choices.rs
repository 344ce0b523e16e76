//! What there is to choose from on a page: readings, codes, checks, places, units.

use serde_json::{Value, json};
use sim::control::Code;
use sim::network::readings::{ALL, FORMS};
use sim::network::{FaultKind, Place, Reading};
use sim::params::{Content, Described, Form};
use sim::study::judging::diagnose::at_the_car::SECTIONS;
use sim::study::judging::diagnose::checks::Check;
use sim::study::judging::diagnose::file::Found;
use sim::study::knowing::log::Channel;
use sim::units::{Dimension, parse, show};

/// Units that a page lets people choose from, the usual one first; each dimension's own words.
const UNITS: [(&str, Dimension, &[&str]); 14] = [
    ("ratio", Dimension::Ratio, &["%"]),
    ("length", Dimension::Length, &["mm", "thou", "in"]),
    ("volume", Dimension::Volume, &["L", "cm3"]),
    ("time", Dimension::Time, &["s", "min"]),
    ("temperature", Dimension::Temperature, &["degC", "degF"]),
    (
        "absolute_pressure",
        Dimension::AbsolutePressure,
        &["kPa abs", "psi abs", "bar abs", "inHg abs"],
    ),
    (
        "gauge_pressure",
        Dimension::GaugePressure,
        &["kPa gauge", "psi gauge", "bar gauge"],
    ),
    (
        "pressure_difference",
        Dimension::PressureDifference,
        &["kPa", "psi", "bar", "inH2O"],
    ),
    ("mass_flow", Dimension::MassFlow, &["g/s", "kg/h", "lb/min"]),
    ("volume_flow", Dimension::VolumeFlow, &["L/min", "cc/min"]),
    ("angular_speed", Dimension::AngularSpeed, &["rpm", "krpm"]),
    ("angle", Dimension::Angle, &["deg"]),
    ("torque", Dimension::Torque, &["N m", "lbf ft"]),
    ("power", Dimension::Power, &["kW", "PS", "hp"]),
];

/// The name under which a page finds a dimension's units.
fn kind(dimension: Dimension) -> Option<&'static str> {
    let found = UNITS.iter().find(|(_, of, _)| *of == dimension);
    found.map(|(name, ..)| *name)
}

/// The values, SI, at which a reading of the program shows 0 and 1; none where the key of files is
/// another reading's.
fn ends(key: &str, reading: Reading) -> Option<[f64; 2]> {
    let si = |shown: f64| {
        let mut found = Found::NONE;
        found.set(reading, shown);
        let Content::Table(keys) = found.content() else {
            return None;
        };
        let own = keys.into_iter().find(|(name, _)| *name == key);
        match own?.1? {
            Content::Number(si) => Some(si),
            _ => None,
        }
    };
    Some([si(0.0)?, si(1.0)?])
}

/// All of it.
pub fn choices() -> Value {
    let units = UNITS.iter().map(|(name, dimension, all)| {
        let all = all.iter().filter_map(|unit| {
            let at = |number: &str| parse(&format!("{number} {unit}"), *dimension).ok();
            Some(json!({ "unit": unit, "zero": at("0")?, "one": at("1")? }))
        });
        (name.to_string(), Value::Array(all.collect()))
    });
    let readings = match Found::form() {
        Form::Table(table) => table.keys,
        _ => Vec::new(),
    };
    let readings = readings.iter().filter_map(|entry| {
        let Form::Quantity(field) = &entry.form else {
            return None;
        };
        // A plain number has no unit, a share is read in per cent.
        let plain = field.dimension == Dimension::Ratio && entry.name == "lambda";
        let (form, [zero, one]) = (FORMS.iter().zip(ALL))
            .find_map(|(form, reading)| Some((form, ends(entry.name, *reading)?)))?;
        Some(json!({
            "key": entry.name,
            "reading": form.key, "label": form.label, "unit": form.unit, "decimals": form.decimals,
            "zero": zero, "one": one,
            "doc": entry.doc.trim(),
            "kind": if plain { None } else { kind(field.dimension) },
            "low": show(field.low, field.dimension),
            "high": show(field.high, field.dimension),
        }))
    });
    let codes = Code::WORDS.iter().map(|(word, _, doc)| {
        let title = doc.trim().split(": ").next();
        json!({ "code": word, "title": title })
    });
    let checks = Check::WORDS.iter().map(|(word, check, doc)| {
        let outcomes = check.outcomes();
        let outcomes = outcomes
            .iter()
            .map(|outcome| json!({ "word": outcome, "label": Check::in_words(outcome) }));
        json!({
            "check": word,
            "what": doc.trim(),
            "outcomes": outcomes.collect::<Vec<_>>(),
        })
    });
    let signals = Channel::all().map(
        |signal| json!({ "key": signal.key(), "label": signal.label(), "unit": signal.unit() }),
    );
    let sections = SECTIONS.iter().map(|(test, what, places)| {
        let places = places.iter().map(|place| place.word());
        json!({ "test": test.word(), "what": what, "places": places.collect::<Vec<_>>() })
    });
    let places = Place::WORDS.iter();
    let places = places.map(
        |(word, place, doc)| json!({ "place": word, "label": place.label(), "doc": doc.trim() }),
    );
    let faults = FaultKind::ALL.iter();
    let faults = faults.map(
        |kind| json!({ "fault": kind.key(), "label": kind.label(), "healthy": kind.healthy() }),
    );
    json!({
        "version": crate::page::VERSION,
        "units": units.collect::<serde_json::Map<_, _>>(),
        "readings": readings.collect::<Vec<_>>(),
        "codes": codes.collect::<Vec<_>>(),
        "checks": checks.collect::<Vec<_>>(),
        "signals": signals.collect::<Vec<_>>(),
        "sections": sections.collect::<Vec<_>>(),
        "places": places.collect::<Vec<_>>(),
        "faults": faults.collect::<Vec<_>>(),
    })
}
