//! The reference of a file, for reading: each key with its unit, range, default
//! and meaning, table by table, at most 80 columns wide.

use crate::text::wrap::wrap;
use sim::params::{Content, Entry, Field, Form, Presence, TableForm};
use sim::units::{self, Dimension};
use std::fmt::Write;

/// Columns used.
const WIDTH: usize = 79;

/// The reference of a file of this form.
pub fn reference(form: &Form, title: &str) -> String {
    let mut page = Page::default();
    page.lines("", title);
    page.text.push('\n');
    page.lines(
        "",
        "A quantity is text with its unit, as in key = \"0.38 mm\"; a quantity without a \
         unit here is a plain number (0.12) or a percentage (\"12 %\"). Ranges are in the unit \
         of their row; all units that may be used stand at the end.",
    );
    if let Form::Table(table) = form {
        page.table("", &sections(table.doc, ""), table);
    }
    page.units();
    page.text
}

#[derive(Default)]
struct Page {
    text: String,
    /// What the file measures, in order of appearance.
    dimensions: Vec<Dimension>,
}

impl Page {
    fn lines(&mut self, indent: &str, words: &str) {
        for line in wrap(words, WIDTH - indent.len()) {
            let _ = writeln!(self.text, "{indent}{line}");
        }
    }

    /// A heading across the page.
    fn heading(&mut self, name: &str) {
        let rule = "-".repeat((WIDTH - 4).saturating_sub(name.chars().count()));
        let _ = writeln!(self.text, "\n-- {name} {rule}");
    }

    /// The keys of a table, then the tables in it.
    fn table(&mut self, path: &str, about: &str, table: &TableForm) {
        self.heading(if path.is_empty() {
            "the file's own keys, before all tables"
        } else {
            path
        });
        self.lines("", about);
        let inner = |key: &&Entry| below(&key.form).is_some();
        let choice: Vec<&str> = (table.keys.iter())
            .filter(|key| key.presence == Presence::OneOf)
            .map(|key| key.name)
            .collect();
        if !choice.is_empty() {
            self.lines("", &format!("Holds exactly one of: {}.", choice.join(", ")));
        }
        if table.keys.iter().any(|key| !inner(&key)) {
            let _ = writeln!(
                self.text,
                "\n{}",
                columns("key", "unit", "range", "default")
            );
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
            Form::Text => self.row(key.name, "text", "", &default),
            Form::Flag => self.row(key.name, "", "true or false", &default),
            Form::List(_) | Form::Table(_) => self.row(key.name, "list", "", &default),
        }
        self.lines("    ", key.doc);
        match &key.form {
            Form::Curve { x, y, .. } => {
                self.quantity("    x, rising", x, "");
                self.quantity("    y", y, "");
            }
            Form::Words(words) => {
                for (word, doc) in words {
                    for (i, line) in wrap(&format!("{word}: {doc}"), WIDTH - 6)
                        .iter()
                        .enumerate()
                    {
                        let start = if i == 0 { "    - " } else { "      " };
                        let _ = writeln!(self.text, "{start}{line}");
                    }
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
        let limits = [field.low, field.high].map(|limit| {
            let number = units::convert(limit, &unit, field.dimension);
            units::round(number.unwrap_or(limit), 6)
        });
        let [low, high] = limits;
        let range = match (field.low.is_finite(), field.high.is_finite()) {
            (true, true) => format!("{low} to {high}"),
            (true, false) => format!("at least {low}"),
            (false, true) => format!("at most {high}"),
            (false, false) => String::new(),
        };
        self.row(name, &unit, &range, default);
    }

    fn row(&mut self, key: &str, unit: &str, range: &str, default: &str) {
        let _ = writeln!(self.text, "{}", columns(key, unit, range, default));
    }

    fn units(&mut self) {
        self.heading("units that may be used");
        for dimension in std::mem::take(&mut self.dimensions) {
            let name = units::name(dimension);
            let all = units::accepted(dimension).join(", ");
            let example = units::example(dimension);
            for (i, line) in wrap(&format!("{all}; e.g. \"{example}\""), WIDTH - 28)
                .iter()
                .enumerate()
            {
                let label = if i == 0 { name } else { "" };
                let _ = writeln!(self.text, "{label:<28}{line}");
            }
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
