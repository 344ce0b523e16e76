//! A car and a fault for each of a class.

use crate::bench::read;
use crate::lesson::Secret;
use serde_json::{Map, Value, json};
use sim::control::Command;
use sim::network::readings::FORMS;
use sim::network::{Defect, Leak, Network, Vehicle};
use sim::params::{Content, Described};
use sim::scenario::Surroundings;
use sim::study::judging::diagnose::class::drawn;
use sim::study::running::condition::standard;
use sim::study::running::simulate::Comparison;
use sim::units::{Dimension, round};

/// So many secrets for a vehicle, the same for the same seed; see [`drawn`].
///
/// # Errors
/// A car that does not run.
pub fn class(vehicle: &str, count: usize, seed: u64) -> Result<Vec<Secret>, String> {
    let car = car(vehicle)?;
    let all = drawn(&car, count, seed).map_err(|why| why.to_string())?;
    let secrets = all.iter().map(|(defect, seed)| Secret {
        trouble: defect.as_ref().map_or_else(|| json!({}), trouble),
        seed: *seed,
    });
    Ok(secrets.collect())
}

/// What a healthy car of the make reads at idle, light cruise and full load, without scatter: of each the
/// readings of these labels, as JSON in the form of a test's.
///
/// # Errors
/// A car that does not run.
pub fn healthy(vehicle: &str, labels: &[&str]) -> Result<Vec<Value>, String> {
    let car = car(vehicle)?;
    let cars = Comparison::new(&car);
    let forms: Vec<_> = (labels.iter())
        .filter_map(|label| FORMS.iter().find(|form| form.label == *label))
        .collect();
    let points = standard(&car).into_iter().map(|condition| {
        let point = cars.point(&condition.name, condition.command);
        let side = point.healthy.map_err(|why| why.to_string())?;
        let readings = forms.iter().map(|form| {
            json!({
                "label": form.label, "unit": form.unit, "decimals": form.decimals,
                "value": side.readings.get(form.reading),
            })
        });
        Ok(json!({ "readings": readings.collect::<Vec<_>>() }))
    });
    points.collect()
}

fn car(vehicle: &str) -> Result<Network<f64>, String> {
    let car: Vehicle<f64> = read(vehicle)?;
    let air = Surroundings::STANDARD.ambient();
    Ok(Network::new(car, Vec::new(), air, Command::IDLE))
}

/// A defect as a scenario file has it, three digits to a number.
fn trouble(defect: &Defect) -> Value {
    let shown = |value: f64, dimension| match dimension {
        Dimension::Length => json!(format!("{} mm", round(value * 1e3, 3))),
        Dimension::GaugePressure => json!(format!("{} kPa gauge", round(value * 1e-3, 3))),
        Dimension::PressureDifference => json!(format!("{} kPa", round(value * 1e-3, 3))),
        _ => json!(round(value, 3).parse::<f64>().unwrap_or(value)),
    };
    match defect {
        Defect::Leak(leak) => {
            let mut table = Map::from_iter([("place".into(), json!(leak.place.word()))]);
            table.insert(leak.shape.name().into(), shape(leak, &shown));
            json!({ "leak": [table] })
        }
        Defect::Fault(fault) => {
            let severity = shown(fault.severity, fault.kind.field().dimension);
            json!({ "fault": [{ fault.kind.key(): severity }] })
        }
    }
}

fn shape(leak: &Leak, shown: &impl Fn(f64, Dimension) -> Value) -> Value {
    let name = leak.shape.name();
    let own = sim::leak::Shape::NAMES.iter().position(|one| *one == name);
    let fields = own.map_or(&[][..], |i| sim::leak::Shape::FIELDS[i]);
    let Content::Table(shapes) = leak.shape.content() else {
        return Value::Null;
    };
    let own = shapes.into_iter().find_map(|(_, content)| content);
    let Some(Content::Table(keys)) = own else {
        return Value::Null;
    };
    let keys = keys.into_iter().filter_map(|(key, content)| {
        let Some(Content::Number(value)) = content else {
            return None;
        };
        let field = fields.iter().find(|field| field.name == key)?;
        Some((key.to_string(), shown(value, field.dimension)))
    });
    Value::Object(keys.collect())
}
