//! Warnings and cautions of workshop answers.

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Serialize;
use std::borrow::Cow;

/// What a test is to be warned of; for programs one list.
#[derive(Debug, Default)]
pub(super) struct Warnings {
    /// What can hurt someone: said before the answer.
    pub dangers: Vec<String>,
    /// What the answer leaves open: said after it.
    pub notes: Vec<String>,
}

impl Serialize for Warnings {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq(self.dangers.iter().chain(&self.notes))
    }
}

/// One list of words.
impl JsonSchema for Warnings {
    fn schema_name() -> Cow<'static, str> {
        "Warnings".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        Vec::<String>::json_schema(generator)
    }
}
