//! What the `#` lines of a gas-stand table say.

use crate::gas_stand::Machine;
use crate::gas_stand::row::{point_for_comma, span};
use crate::{InputError, Source};
use serde::de::value::{Error as Plain, StrDeserializer};
use serde::de::{DeserializeSeed, IntoDeserializer};
use sim::params::{Field, missing};
use sim::spelling::{quote, unknown_listed};
use sim::units::Dimension;

/// What the `#` lines say.
pub(super) struct Head<'a> {
    pub machine: Machine,
    pub name: &'a str,
    /// Reference temperature and pressure, wheel diameter, stand temperature, SI.
    pub conditions: [f64; 4],
}

/// Names, ranges (the wheel's is that of a vehicle file) and meanings; the last
/// is for a turbine only.
const CONDITIONS: [Field; 4] = [
    condition(
        "reference temperature",
        Dimension::Temperature,
        [200.0, 1500.0],
        "inlet temperature that flow and speed are corrected to, as in `# reference temperature: 25 degC`",
    ),
    condition(
        "reference pressure",
        Dimension::AbsolutePressure,
        [2e4, 5e5],
        "inlet pressure that flow is corrected to, as in `# reference pressure: 100 kPa abs`",
    ),
    condition(
        "wheel diameter",
        Dimension::Length,
        [0.02, 0.15],
        "outlet diameter of a compressor wheel, inlet diameter of a turbine wheel, as in `# wheel diameter: 49 mm`",
    ),
    condition(
        "stand temperature",
        Dimension::Temperature,
        [200.0, 1500.0],
        "gas temperature before the turbine on the stand, as in `# stand temperature: 600 degC`",
    ),
];

const fn condition(
    name: &'static str,
    dimension: Dimension,
    [low, high]: [f64; 2],
    doc: &'static str,
) -> Field {
    Field {
        name,
        dimension,
        low,
        high,
        default: None,
        doc,
    }
}

/// Every line with the byte it starts at.
pub(super) fn lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.split_inclusive('\n').scan(0, |next, line| {
        let at = *next;
        *next += line.len();
        Some((at, line.trim_end_matches(['\n', '\r'])))
    })
}

/// What a `#` line says. A spreadsheet may have quoted it and added empty cells.
pub(super) fn remark(line: &str) -> Option<&str> {
    let line = line.trim_start();
    let line = line.strip_prefix('"').unwrap_or(line);
    let said = line.strip_prefix('#')?;
    Some(said.trim_end_matches([',', ';', '"', ' ', '\t']))
}

/// Reads the `#` lines among all `lines`.
pub(super) fn head<'a>(
    source: &'a Source,
    lines: impl Iterator<Item = (usize, &'a str)>,
    delimiter: u8,
) -> Result<Head<'a>, InputError> {
    let text = source.text();
    let error = |part: &str, key: &str, message: String| {
        InputError::new(source.path(), message).at(text, Some(span(text, part)), key)
    };
    let (mut machine, mut name) = (None, None);
    let mut conditions = [None; 4];
    for (_, line) in lines {
        let pair = remark(line).filter(|said| !said.starts_with('#'));
        let Some((key, value)) = pair.and_then(|said| said.split_once(':')) else {
            continue;
        };
        let (key, value) = (key.trim(), value.trim());
        let plain = key.to_lowercase();
        let repeated = match plain.as_str() {
            "machine" => {
                let word = value.to_lowercase().parse::<Machine>();
                machine
                    .replace(word.map_err(|m| error(value, key, m.to_string()))?)
                    .is_some()
            }
            "name" => name.replace(value).is_some(),
            _ => {
                let found = CONDITIONS.iter().position(|field| field.name == plain);
                let Some(i) = found else {
                    let keys = ["machine", "name"].into_iter();
                    let keys: Vec<_> = keys.chain(CONDITIONS.iter().map(|f| f.name)).collect();
                    let message = unknown_listed("key", key, &keys);
                    let message = message + "\na remark with a colon in it starts with `##`";
                    return Err(error(key, "", message));
                };
                let typed = point_for_comma(value, delimiter);
                let read: StrDeserializer<'_, Plain> = typed.as_str().into_deserializer();
                let read = CONDITIONS[i].deserialize(read);
                let read = read.map_err(|m| error(value, key, m.to_string()))?;
                conditions[i].replace(read).is_some()
            }
        };
        if repeated {
            return Err(error(key, "", format!("{} is given twice", quote(key))));
        }
    }
    let machine = machine.ok_or_else(|| {
        let message = "the table does not say what it is of\n\
                       write `# machine: compressor` or `# machine: turbine` above it";
        InputError::new(source.path(), message)
    })?;
    let needed = match machine {
        Machine::Compressor => 3,
        Machine::Turbine => 4,
    };
    let lacking: Vec<_> = (CONDITIONS.iter().zip(&conditions).take(needed))
        .map(|(field, value)| (field.name, value.is_none(), field.doc))
        .collect();
    if let Some(message) = missing(&lacking) {
        return Err(InputError::new(source.path(), message));
    }
    Ok(Head {
        machine,
        name: name.unwrap_or_default(),
        // The stand's temperature is not used for a compressor.
        conditions: conditions.map(|value| value.unwrap_or(f64::NAN)),
    })
}
