//! The reference of a file, for reading: each key with its unit, range, default
//! and meaning, table by table, at most 80 columns wide.

use crate::say::schema as say;
use crate::text::printed::{Kind, Printed};
use sim::params::{Content, Entry, Field, Form, Presence, TableForm};
use sim::units::{self, Dimension};

/// The reference of a file of this form.
pub fn reference(form: &Form, title: &str) -> Printed {
    let mut page = Page::default();
    page.text.paragraph(Kind::Heading, "", title);
    page.text.gap();
    page.text.paragraph(Kind::Plain, "", say::QUANTITIES);
    if let Form::Table(table) = form {
        page.table("", &sections(table.doc, ""), table);
    }
    page.units();
    page.text
}

#[derive(Default)]
struct Page {
    text: Printed,
    /// What the file measures, in order of appearance.
    dimensions: Vec<Dimension>,
}

impl Page {
    fn words(&mut self, label: &str, words: &str) {
        self.text.paragraph(Kind::Plain, label, words);
    }

    /// The keys of a table, then the tables in it.
    fn table(&mut self, path: &str, about: &str, table: &TableForm) {
        self.text.heading(match path {
            "" => say::OWN_KEYS,
            path => path,
        });
        self.words("", about);
        let inner = |key: &&Entry| below(&key.form).is_some();
        let choice: Vec<&str> = (table.keys.iter())
            .filter(|key| key.presence == Presence::OneOf)
            .map(|key| key.name)
            .collect();
        if !choice.is_empty() {
            self.words("", &say::one_of(choice.join(", ")));
        }
        if table.keys.iter().any(|key| !inner(&key)) {
            self.text.gap();
            let heads = columns("key", "unit", "range", "default");
            self.text.line(Kind::Quiet, &heads);
        }
        for key in table.keys.iter().filter(|key| !inner(key)) {
            self.key(key);
        }
        for key in table.keys.iter().filter(inner) {
            let Some((inside, many)) = below(&key.form) else {
                continue;
            };
            let base = path.trim_matches(['[', ']']);
            let dot = if base.is_empty() { "" } else { "." };
            let name = format!("{base}{dot}{}", key.name);
            let name = if many {
                format!("[[{name}]]")
            } else {
                format!("[{name}]")
            };
            let presence = match (&key.presence, many) {
                (Presence::Required, _) => "Required.",
                (Presence::OneOf, _) => "One of a choice.",
                (_, false) => "May be left out.",
                (_, true) => "Any number of these.",
            };
            let about = sections(key.doc, inside.doc);
            self.table(&name, &format!("{about} {presence}"), inside);
        }
    }

    fn key(&mut self, key: &Entry) {
        let default = match &key.presence {
            Presence::Required => "required".into(),
            Presence::Optional => "optional".into(),
            Presence::OneOf => "one of a choice".into(),
            Presence::Default(value) => shown(&key.form, value),
        };
        match &key.form {
            Form::Quantity(field) => self.quantity(key.name, field, &default),
            Form::Curve { least, most, .. } => {
                self.row(
                    key.name,
                    "curve",
                    &format!("{least} to {most} points"),
                    &default,
                );
            }
            Form::Words(_) => self.row(key.name, "word", "see below", &default),
            Form::Text | Form::Shaped(_) => self.row(key.name, "text", "", &default),
            Form::Amount => self.row(key.name, "any", "number or text", &default),
            Form::Flag => self.row(key.name, "", "true or false", &default),
            Form::Map(_) | Form::Either(_) => self.row(key.name, "table", "", &default),
            Form::List(_) | Form::Table(_) => self.row(key.name, "list", "", &default),
        }
        self.words("    ", key.doc);
        match &key.form {
            Form::Curve { x, y, .. } => {
                self.quantity("    x, rising", x, "");
                self.quantity("    y", y, "");
            }
            Form::Words(words) => {
                for (word, doc) in words {
                    self.words("    - ", &format!("{word}: {doc}"));
                }
            }
            _ => {}
        }
    }

    fn quantity(&mut self, name: &str, field: &Field, default: &str) {
        if !self.dimensions.contains(&field.dimension) {
            self.dimensions.push(field.dimension);
        }
        let unit = row_unit(field);
        let range =
            units::show_range_as(field.low, field.high, field.dimension, &format!("1 {unit}"));
        let range = range.replace(&format!(" {unit}"), "");
        self.row(name, &unit, &range, default);
    }

    fn row(&mut self, key: &str, unit: &str, range: &str, default: &str) {
        self.text
            .line(Kind::Plain, &columns(key, unit, range, default));
    }

    fn units(&mut self) {
        self.text.heading(say::UNITS);
        for dimension in std::mem::take(&mut self.dimensions) {
            let name = units::name(dimension);
            let all = units::accepted(dimension).join(", ");
            let example = units::example(dimension);
            self.words(
                &format!("{name:<28}"),
                &format!("{all}; e.g. \"{example}\""),
            );
        }
    }
}

fn columns(key: &str, unit: &str, range: &str, default: &str) -> String {
    let row = format!("{key:<26} {unit:<11} {range:<21} {default}");
    row.trim_end().into()
}

/// The unit of a quantity's row: that of its default, or of its middle.
fn row_unit(field: &Field) -> String {
    let nonzero = field.default.filter(|value| *value != 0.0);
    units::natural_unit(nonzero.unwrap_or(field.middle()), field.dimension)
}

/// The table that a key holds, and whether it holds many.
fn below(form: &Form) -> Option<(&TableForm, bool)> {
    match form {
        Form::Table(table) => Some((table, false)),
        Form::List(item) => match item.as_ref() {
            Form::Table(table) => Some((table, true)),
            _ => None,
        },
        _ => None,
    }
}

/// A default, short.
fn shown(form: &Form, value: &Content) -> String {
    match (form, value) {
        (Form::Quantity(field), Content::Number(value)) => units::show(*value, field.dimension),
        (_, Content::Word(word)) => (*word).into(),
        (_, Content::Flag(flag)) => flag.to_string(),
        (_, Content::Text(text)) if text.is_empty() => "no text".into(),
        (_, Content::List(values)) if values.is_empty() => "none".into(),
        _ => "built in".into(),
    }
}

/// What a key means and what its table says of itself, unless that is the same.
fn sections(key: &str, table: &str) -> String {
    let plain = |text: &str| text.trim_end_matches('.').to_lowercase();
    match table.is_empty() || plain(table) == plain(key) {
        true => format!("{}.", key.trim_end_matches('.')),
        false => format!(
            "{}: {}.",
            key.trim_end_matches('.'),
            table.trim_end_matches('.')
        ),
    }
}
