//! What a person says of a log's columns, in a TOML file.

use serde::Deserialize;
use serde::de::{Deserializer, Error, MapAccess, Visitor};
use sim::spelling::unknown_listed;
use sim::study::knowing::log::Channel;
use std::collections::BTreeMap;
use std::fmt;

/// What is said of a log; everything may be left out.
///
/// ```toml
/// ambient = "98.2 kPa abs"
/// interval = "0.1 s"          # where no column of time is logged
/// only = { column = "side", is = "healthy" }
/// stoichiometric = 14.7       # air/fuel that the log shows at lambda 1
/// [columns]
/// "P Turbo" = { reading = "boost_sensor_kpa", unit = "psi gauge" }
/// "Note" = "ignore"
/// "ms" = { reading = "time", unit = "ms" }
/// ```
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Mapping {
    /// Columns by their header text.
    pub columns: BTreeMap<String, Said>,
    /// Pressure of the air around the car, where no column holds it: `98.2 kPa abs`.
    pub ambient: Option<String>,
    /// Time between rows, where no column holds the time: `0.1 s`.
    pub interval: Option<String>,
    /// Only rows with this word in this column.
    pub only: Option<Only>,
    /// Air over fuel that the log shows at lambda 1; 14.7 if not said, as testers
    /// that multiply lambda do (common practice, no source).
    pub stoichiometric: Option<f64>,
}

/// Which rows.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Only {
    /// Header text of a column.
    pub column: String,
    /// What must stand in it.
    pub is: String,
}

/// What is said of a column.
#[derive(Clone, Debug, PartialEq)]
pub enum Said {
    /// It is left out: `"ignore"`.
    Ignore,
    /// It is the time, in this unit if not seen from its values.
    Time(Option<String>),
    /// It is a reading, in this unit: `psi gauge`, `degF`, `air/fuel`; the unit of the
    /// header, or the guess, if not said.
    Reading(Channel, Option<String>),
}

impl<'de> Deserialize<'de> for Said {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Reader;

        impl<'de> Visitor<'de> for Reader {
            type Value = Said;

            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                write!(f, "\"ignore\" or {{ reading = \"...\", unit = \"...\" }}")
            }

            fn visit_str<E: Error>(self, text: &str) -> Result<Said, E> {
                match text {
                    "ignore" => Ok(Said::Ignore),
                    _ => Err(E::custom(unknown_listed("word", text, &["ignore"]))),
                }
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Said, A::Error> {
                let (mut reading, mut unit) = (None::<String>, None::<String>);
                while let Some(key) = map.next_key::<String>()? {
                    match key.as_str() {
                        "reading" => reading = Some(map.next_value()?),
                        "unit" => unit = Some(map.next_value()?),
                        _ => {
                            let allowed = ["reading", "unit"];
                            return Err(A::Error::custom(unknown_listed("key", &key, &allowed)));
                        }
                    }
                }
                let reading = reading.ok_or_else(|| A::Error::custom("missing key `reading`"))?;
                if reading == "time" {
                    return Ok(Said::Time(unit));
                }
                let keys: Vec<&str> = Channel::all().map(Channel::key).chain(["time"]).collect();
                match Channel::from_key(&reading) {
                    Some(channel) => Ok(Said::Reading(channel, unit)),
                    None => Err(A::Error::custom(unknown_listed("reading", &reading, &keys))),
                }
            }
        }

        from.deserialize_any(Reader)
    }
}

/// `side=healthy`.
pub fn only(text: &str) -> Result<Only, String> {
    let parts = text
        .split_once('=')
        .filter(|(column, _)| !column.is_empty());
    let (column, is) = parts.ok_or("write COLUMN=WORD, such as side=healthy")?;
    Ok(Only {
        column: column.into(),
        is: is.into(),
    })
}
