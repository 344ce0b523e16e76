//! A reading's name in a file.

use super::readings::{ALL, FORMS, Reading};
use crate::params::{Content, Described, Form, renamed};
use crate::spelling::unknown_listed;
use serde::de::{Deserialize, Deserializer, Error, Visitor};
use std::fmt;

impl Described for Reading {
    fn form() -> Form {
        Form::Words(FORMS.iter().map(|form| (form.key, form.label)).collect())
    }

    fn content(&self) -> Content {
        Content::Word(FORMS[*self as usize].key)
    }
}

impl<'de> Deserialize<'de> for Reading {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(Reader)
    }
}

struct Reader;

impl Visitor<'_> for Reader {
    type Value = Reading;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("the name of a reading such as `\"fuel_trim_pct\"`")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Reading, E> {
        let now = renamed(text);
        let found = FORMS.iter().zip(ALL).find(|(form, _)| form.key == now);
        let keys = || FORMS.iter().map(|form| form.key).collect::<Vec<_>>();
        found
            .map(|(_, reading)| *reading)
            .ok_or_else(|| E::custom(unknown_listed("reading", text, &keys())))
    }
}
