//! The place of a drive log in a readings file.

use crate::params::{Content, Described, Entry, Form, Presence, TableForm};
use serde::de::{Deserialize, Deserializer, IgnoredAny};

/// A drive log that a readings file names. What it holds is the reader's business, who has
/// the file at hand; here it only has its place.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NamedLog;

impl<'de> Deserialize<'de> for NamedLog {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        IgnoredAny::deserialize(from).map(|_| NamedLog)
    }
}

impl Described for NamedLog {
    fn form() -> Form {
        let key = |name, doc, form| Entry {
            name,
            doc,
            form,
            presence: Presence::Optional,
        };
        let any = || {
            Form::Table(TableForm {
                doc: "by column",
                keys: Vec::new(),
            })
        };
        Form::Table(TableForm {
            doc: "A drive log: its steady windows and full-load pulls become conditions.",
            keys: vec![
                key(
                    "file",
                    "path of the log, from the readings file",
                    Form::Text,
                ),
                key(
                    "columns",
                    "what a column is where the guess is wrong: \"P Turbo\" = { reading = \"boost_sensor_kpa\", unit = \"psi gauge\" }, or \"ignore\"",
                    any(),
                ),
                key(
                    "ambient",
                    "pressure of the air around, where no column holds it",
                    Form::Text,
                ),
                key(
                    "interval",
                    "time between rows, where no column holds it",
                    Form::Text,
                ),
                key(
                    "stoichiometric",
                    "air over fuel that the log shows at lambda 1; 14.7 if not said",
                    Form::Text,
                ),
                key(
                    "only",
                    "only rows with this word in this column: { column = \"side\", is = \"faulty\" }",
                    any(),
                ),
            ],
        })
    }

    fn content(&self) -> Content {
        Content::Table(Vec::new())
    }
}
