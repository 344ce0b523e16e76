//! Writing a file that people read: every key of a vehicle, with its unit, meaning and range; or only
//! what is said ([`short_file`]).
//!
//! The file is complete: a key that equals its default is written too, and one
//! that is left out stands there as a comment. Reading it back gives every
//! number to 1e-13 of its size.

mod short;
mod text;

pub use short::short_file;

use crate::text::wrap::wrap;
use sim::network::Vehicle;
use sim::params::{Content, Described, Entry, Field, Form, Presence, TableForm};
use sim::units::{self, Dimension, written};
use std::fmt::Write;

/// Columns used; longer only for a word that is longer itself.
const WIDTH: usize = 100;

/// A commented vehicle file. `notes` are pairs of a dotted key (empty for the
/// head of the file) and the rule its value comes from; a note to a point of a
/// curve stands at the curve, one whose key is not written, at the head.
///
/// A number outside its key's range is written as it is, and refused when read.
pub fn vehicle_file(vehicle: &Vehicle<f64>, notes: &[(String, String)], digits: Digits) -> String {
    commented_file(vehicle, notes, digits)
}

/// With how many digits numbers are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Digits {
    /// As many as reading the number back takes.
    All,
    /// Six, which is plenty for what rules of thumb give.
    Six,
}

/// [`vehicle_file`] for any table that stands in a file.
pub fn commented_file<T: Described>(
    value: &T,
    notes: &[(String, String)],
    digits: Digits,
) -> String {
    let (Form::Table(form), Content::Table(content)) = (T::form(), value.content()) else {
        return String::new();
    };
    let mut body = Writer {
        text: String::new(),
        digits,
        notes: notes
            .iter()
            .map(|(key, rule)| (key.as_str(), rule.as_str(), false))
            .collect(),
    };
    body.table("", &form, &content, false);
    let mut head = String::new();
    for (key, rule, used) in body.notes {
        match (key, used) {
            ("", _) => comment(&mut head, "", rule),
            (_, false) => comment(&mut head, "  ", &format!("rule for {key}: {rule}")),
            _ => {}
        }
    }
    if !head.is_empty() {
        head.push('\n');
    }
    comment(&mut head, "", form.doc);
    comment(
        &mut head,
        "",
        "In brackets: what is allowed, and what holds if the key is left out.",
    );
    head.push_str(&body.text);
    head
}

struct Writer<'a> {
    text: String,
    digits: Digits,
    /// Key, rule, whether it is written.
    notes: Vec<(&'a str, &'a str, bool)>,
}

type Values = [(&'static str, Option<Content>)];

impl Writer<'_> {
    /// The plain keys of a table, then the tables in it. `off`: all of it as comments.
    fn table(&mut self, path: &str, form: &TableForm, values: &Values, off: bool) {
        let pairs = || {
            form.keys
                .iter()
                .zip(values.iter().map(|(_, value)| value.as_ref()))
        };
        self.text.push_str(if path.is_empty() { "\n" } else { "" });
        for (key, value) in pairs().filter(|(key, value)| !is_section(key, *value)) {
            self.plain(&dotted(path, key.name), key, value, off);
        }
        for (key, value) in pairs().filter(|(key, value)| is_section(key, *value)) {
            // The shapes that a leak does not have are no news of this leak.
            if value.is_some() || key.presence != Presence::OneOf {
                self.section(&dotted(path, key.name), key, value, off);
            }
        }
    }

    /// A key and its value on one or more lines.
    fn plain(&mut self, path: &str, key: &Entry, value: Option<&Content>, off: bool) {
        self.about(path, key, true);
        let off = off || value.is_none();
        let example;
        let value = match value {
            Some(value) => value,
            None => {
                example = example_of(&key.form);
                &example
            }
        };
        let line = format!(
            "{} = {}\n",
            key.name,
            inline(&key.form, value, key.name.len() + 3, self.digits)
        );
        self.put(&line, off);
    }

    /// A table, or a list of tables.
    fn section(&mut self, path: &str, key: &Entry, value: Option<&Content>, off: bool) {
        let (inner, many) = match &key.form {
            Form::Table(table) => (table, false),
            Form::List(item) => match item.as_ref() {
                Form::Table(table) => (table, true),
                _ => return,
            },
            _ => return,
        };
        let example = [example_of(&Form::Table(inner.clone()))];
        let (items, off) = match value {
            Some(Content::List(items)) if !items.is_empty() => (items.as_slice(), off),
            Some(Content::List(_)) | None => (&example[..], true),
            Some(table) => (std::slice::from_ref(table), off),
        };
        for (i, item) in items.iter().enumerate() {
            let Content::Table(values) = item else {
                continue;
            };
            self.text.push('\n');
            let header = if many {
                format!("[[{path}]]\n")
            } else {
                format!("[{path}]\n")
            };
            if i == 0 {
                self.about(path, key, off);
            }
            self.put(&header, off);
            self.table(path, inner, values, off);
        }
    }

    /// What a key means, what it may be, and the rule its value comes from.
    fn about(&mut self, path: &str, key: &Entry, with_presence: bool) {
        let limits = limits(key, with_presence);
        let doc = key.doc.trim_end_matches('.');
        comment(&mut self.text, "  ", &format!("{doc}{limits}"));
        if let Form::Words(words) = &key.form {
            for (word, meaning) in words {
                for (i, line) in wrap(&format!("{word}: {meaning}"), WIDTH - 6)
                    .iter()
                    .enumerate()
                {
                    let _ = writeln!(self.text, "#   {}{line}", if i == 0 { "- " } else { "  " });
                }
            }
        }
        let section = matches!(key.form, Form::Table(_));
        for (noted, rule, used) in &mut self.notes {
            let below = |rest: &str| rest.is_empty() || (!section && rest.starts_with('.'));
            if !noted.is_empty() && noted.strip_prefix(path).is_some_and(below) && !*used {
                comment(&mut self.text, "  ", &format!("rule: {rule}"));
                *used = true;
            }
        }
    }

    fn put(&mut self, lines: &str, off: bool) {
        for line in lines.lines() {
            // What is off has no space behind its sign, as comments have.
            let _ = match off {
                true => writeln!(self.text, "#{}", line.trim_start()),
                false => writeln!(self.text, "{line}"),
            };
        }
    }
}

/// Words as comment lines, those after the first further in.
fn comment(text: &mut String, indent: &str, words: &str) {
    for (i, line) in wrap(words, WIDTH - 2 - indent.len()).iter().enumerate() {
        let _ = writeln!(text, "# {}{line}", if i == 0 { "" } else { indent });
    }
}

fn dotted(path: &str, name: &str) -> String {
    match path.is_empty() {
        true => name.into(),
        false => format!("{path}.{name}"),
    }
}

/// Whether a key stands below the plain keys, under a header of its own. An
/// empty list does, as a comment, unless leaving it out means another one.
fn is_section(key: &Entry, value: Option<&Content>) -> bool {
    match (&key.form, value) {
        (Form::Table(_), _) => true,
        (Form::List(item), Some(value @ Content::List(items))) => {
            let same = key.presence == Presence::Default(value.clone());
            matches!(**item, Form::Table(_)) && (!items.is_empty() || same)
        }
        (Form::List(item), _) => matches!(**item, Form::Table(_)),
        _ => false,
    }
}

/// What a key may be, in brackets; empty where there is nothing to say.
fn limits(key: &Entry, with_presence: bool) -> String {
    let range = |field: &Field| units::show_range(field.low, field.high, field.dimension);
    let mut says = match &key.form {
        Form::Quantity(field) => vec![range(field)],
        Form::Curve { x, y, .. } => vec![format!("x: {}", range(x)), format!("y: {}", range(y))],
        _ => Vec::new(),
    };
    match &key.presence {
        Presence::Optional if with_presence => says.push("may be left out".into()),
        Presence::Default(Content::Number(value)) => {
            if let Form::Quantity(field) = &key.form {
                says.push(format!("default {}", units::show(*value, field.dimension)));
            }
        }
        Presence::Default(Content::Word(word)) => says.push(format!("default {word}")),
        Presence::Default(Content::Flag(flag)) => says.push(format!("default {flag}")),
        _ => {}
    }
    match says.is_empty() {
        true => String::new(),
        false => format!(" [{}]", says.join("; ")),
    }
}

/// A value behind `key = `, which takes `before` columns.
fn inline(form: &Form, value: &Content, before: usize, digits: Digits) -> String {
    match (form, value) {
        (Form::Quantity(field), Content::Number(value)) => number(*value, field.dimension, digits),
        (Form::Curve { x, y, .. }, Content::Curve(points)) => {
            let point = |p: &[f64; 2]| {
                let [x, y] = [(p[0], x), (p[1], y)]
                    .map(|(value, field)| number(value, field.dimension, digits));
                format!("    [{x}, {y}],\n")
            };
            format!("[\n{}]", points.iter().map(point).collect::<String>())
        }
        (Form::Table(table), Content::Table(values)) => {
            let held = table
                .keys
                .iter()
                .zip(values)
                .filter_map(|(key, (name, value))| {
                    let value = inline(&key.form, value.as_ref()?, 0, digits);
                    Some(format!("{name} = {value}"))
                });
            format!("{{ {} }}", held.collect::<Vec<_>>().join(", "))
        }
        (Form::List(item), Content::List(values)) => {
            let values = values.iter().map(|value| inline(item, value, 0, digits));
            format!("[{}]", values.collect::<Vec<_>>().join(", "))
        }
        (_, Content::Word(word)) => format!("\"{word}\""),
        (_, Content::Text(words)) => text::quoted(words, WIDTH.saturating_sub(before)),
        (_, Content::Flag(flag)) => flag.to_string(),
        // A content is made together with its form; there is no other pair.
        _ => String::from("\"\""),
    }
}

/// A quantity as TOML: a plain number where that is read, else text with a unit.
fn number(value: f64, dimension: Dimension, digits: Digits) -> String {
    let text = match digits {
        Digits::All => written(value, dimension),
        Digits::Six => units::show(value, dimension),
    };
    match units::from_bare_number(value, dimension) {
        Ok(_) => text,
        Err(_) => format!("\"{text}\""),
    }
}

/// What could stand for a key that is left out.
fn example_of(form: &Form) -> Content {
    match form {
        Form::Quantity(field) => Content::Number(field.default.unwrap_or(field.middle())),
        Form::Curve { x, y, .. } => {
            let start = x.middle();
            let beyond = Field { low: start, ..*x };
            Content::Curve(vec![[start, y.middle()], [beyond.middle(), y.middle()]])
        }
        Form::Words(words) => Content::Word(words.first().map_or("", |(word, _)| word)),
        Form::Text | Form::Shaped(_) | Form::Amount => Content::Text("...".into()),
        Form::Map(_) => Content::Table(Vec::new()),
        Form::Either(forms) => forms
            .first()
            .map_or(Content::Text("...".into()), example_of),
        Form::Flag => Content::Flag(false),
        Form::List(_) => Content::List(Vec::new()),
        Form::Table(table) => {
            let mut choice = true;
            let keys = table.keys.iter().map(|key| {
                let value = match &key.presence {
                    Presence::Default(value) => Some(value.clone()),
                    Presence::Required => Some(example_of(&key.form)),
                    Presence::OneOf if std::mem::take(&mut choice) => Some(example_of(&key.form)),
                    Presence::OneOf | Presence::Optional => None,
                };
                (key.name, value)
            });
            Content::Table(keys.collect())
        }
    }
}
