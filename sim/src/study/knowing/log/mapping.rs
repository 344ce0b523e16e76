//! What a person says of a log's columns, in a TOML file.

use super::Channel;
use crate::params::{Content, Described, Entry, Form, Presence, TableForm};
use crate::spelling::unknown_listed;
use crate::tables;
use serde::Deserialize;
use serde::de::{Deserializer, Error, MapAccess, Visitor};
use std::collections::BTreeMap;
use std::fmt;

/// Columns by their header text, in a file.
pub type Columns = BTreeMap<String, Said>;

tables! {
    /// A drive log: its steady windows and full-load pulls become conditions.
    pub struct Mapping {
        /// path of the log, from the file that names it; a mapping file names none
        file: String or None,
        /// what a column is where the guess is wrong: "P Turbo" = { reading = "boost_sensor_kpa", unit = "psi gauge" }, or "ignore"
        columns: Columns = Columns::new(),
        /// pressure of the air around, where no column holds it
        ambient: AbsolutePressure [5e4, 1.1e5] or None,
        /// time between rows, where no column holds it
        interval: Time [1e-4, 60.0] or None,
        /// only rows with this word in this column: { column = "side", is = "faulty" }
        only: Only or None,
        /// air over fuel that the log shows at lambda 1; the default as testers show it that multiply lambda (workshop rule of thumb, no published source)
        stoichiometric: Ratio [5.0, 25.0] = 14.7,
    }
}

impl Default for Mapping {
    fn default() -> Self {
        Self {
            file: None,
            columns: Columns::new(),
            ambient: None,
            interval: None,
            only: None,
            stoichiometric: 14.7,
        }
    }
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

fn table(doc: &'static str, keys: [(&'static str, &'static str, Form, Presence); 2]) -> Form {
    let entry = |(name, doc, form, presence)| Entry {
        name,
        doc,
        form,
        presence,
    };
    Form::Table(TableForm {
        doc,
        keys: keys.map(entry).into(),
    })
}

impl Described for Only {
    fn form() -> Form {
        let (text, needed) = (Form::Text, Presence::Required);
        let column = ("column", "header of a column", text.clone(), needed.clone());
        let is = ("is", "what must stand in it", text, needed);
        table("Rows with a word in a column.", [column, is])
    }

    fn content(&self) -> Content {
        let texts = [("column", &self.column), ("is", &self.is)];
        let texts = texts.map(|(key, text)| (key, Some(text.content())));
        Content::Table(texts.into())
    }
}

impl Described for Said {
    fn form() -> Form {
        let names = Channel::all().map(|channel| (channel.key(), channel.label()));
        let names = names.chain([("time", "time of the row")]).collect();
        let reading = (
            "reading",
            "what it is",
            Form::Words(names),
            Presence::Required,
        );
        let unit = (
            "unit",
            "its unit, if not seen",
            Form::Text,
            Presence::Optional,
        );
        Form::Either(vec![
            Form::Words(vec![("ignore", "it is left out")]),
            table("What a column is.", [reading, unit]),
        ])
    }

    fn content(&self) -> Content {
        let (reading, unit) = match self {
            Said::Ignore => return Content::Word("ignore"),
            Said::Time(unit) => ("time", unit),
            Said::Reading(channel, unit) => (channel.key(), unit),
        };
        let unit = unit.as_ref().map(String::content);
        let reading = Some(Content::Word(reading));
        Content::Table(vec![("reading", reading), ("unit", unit)])
    }
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
