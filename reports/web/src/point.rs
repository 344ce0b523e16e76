//! Operating points as the program computes them, and what there is to choose from.

use crate::bench::{PRESSURES, read};
use crate::judged::unit;
use serde_json::{Value, json};
use sim::leak::Shape;
use sim::network::flows::FLOWS;
use sim::network::readings::FORMS;
use sim::network::{Fault, Place, Vehicle};
use sim::scenario::Scenario;
use sim::study::judging::diagnose::catalogue::suspects;
use sim::study::knowing::doubt::instrument;
use sim::study::running::simulate::{Comparison, Side};
use sim::units::Dimension;

/// A scenario's points, sound and faulty, every reading by its key; as the program's
/// `simulate --format json` has them.
///
/// # Errors
/// What is wrong with vehicle or scenario.
pub fn steady(vehicle: &str, scenario: &str) -> Result<String, String> {
    let vehicle: Vehicle<f64> = read(vehicle)?;
    let scenario: Scenario<f64> = read(scenario)?;
    let network = scenario.network(vehicle);
    let network = network.map_err(|m| format!("{}: {}", m.key, m.message))?;
    let cars = Comparison::new(&network);
    let points = scenario.point.iter().map(|point| {
        let command = point.command();
        let command = command.map_err(|m| format!("{}: {}", m.key, m.message))?;
        let result = cars.point(&point.name, command);
        let faulty = result.faulty.and_then(Result::ok);
        Ok(json!({
            "name": point.name,
            "healthy": result.healthy.ok().map(|side| readings(&side)),
            "faulty": faulty.map(|side| readings(&side)),
        }))
    });
    let points: Result<Vec<Value>, String> = points.collect();
    Ok(json!({ "points": points? }).to_string())
}

fn readings(side: &Side) -> Value {
    let all = FORMS.iter().zip(side.readings.values);
    let all = all.map(|(form, value)| (form.key.to_string(), json!(value)));
    Value::Object(all.collect())
}

/// Places, faults that look like leaks, suspects, readings, flows and pressures, in the order
/// of the page's numbers.
///
/// # Errors
/// What is wrong with the vehicle.
pub fn catalogue(vehicle: &str) -> Result<String, String> {
    let vehicle: Vehicle<f64> = read(vehicle)?;
    let name = vehicle.name.clone();
    let idle = sim::control::Command::IDLE;
    let air = sim::scenario::Surroundings::STANDARD.ambient();
    let car = sim::network::Network::new(vehicle, Vec::new(), air, idle);
    let places = Place::WORDS.iter();
    let places = places.map(|(word, _, doc)| json!({ "key": word, "doc": doc.trim() }));
    // Each way that it goes, from a healthy car to as bad as it gets.
    let faults = Fault::worst().into_iter().map(|worst| {
        let (kind, field) = (worst.kind, worst.kind.field());
        let way = worst.way().unwrap_or_default();
        json!({
            "key": kind.key(), "way": way, "name": worst.name(), "doc": field.doc.trim(),
            "sound": kind.healthy(), "worst": worst.severity,
            "dimension": format!("{:?}", field.dimension),
        })
    });
    let suspects = suspects(&car);
    let suspects = suspects.iter().map(|suspect| {
        let (unit, factor) = suspect.unit();
        json!({
            "key": suspect.key(), "part": suspect.part(), "name": suspect.name(),
            "leak": suspect.place().is_some(), "place": suspect.place().map(Place::label),
            "curve": suspect.curve, "unit": unit,
            "low": suspect.size(0.0) * factor, "high": suspect.size(1.0) * factor,
        })
    });
    // Kinds of leak with what is measured of each; nobody measures what seeps.
    let kinds = Shape::examples().into_iter();
    let kinds = kinds.filter(|shape| shape.measure().dimension == Dimension::Length);
    let kinds = kinds.map(|shape| {
        let measure = shape.measure();
        json!({ "key": shape.name(), "measure": measure.words, "unit": unit(measure.dimension).0 })
    });
    let readings = FORMS.iter().map(|form| {
        let usual = instrument(form.reading);
        json!({
            "key": form.key, "label": form.label, "unit": form.unit, "decimals": form.decimals,
            "absolute": usual.absolute, "share": usual.share,
        })
    });
    let flows = FLOWS
        .iter()
        .map(|(key, doc, _)| json!({ "key": key, "doc": doc }));
    let pressures = PRESSURES.iter().map(|(key, _)| json!({ "key": key }));
    Ok(json!({
        "vehicle": name,
        "places": places.collect::<Vec<_>>(),
        "faults": faults.collect::<Vec<_>>(),
        "suspects": suspects.collect::<Vec<_>>(),
        "kinds": kinds.collect::<Vec<_>>(),
        "readings": readings.collect::<Vec<_>>(),
        "flows": flows.collect::<Vec<_>>(),
        "pressures": pressures.collect::<Vec<_>>(),
    })
    .to_string())
}
