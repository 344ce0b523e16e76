//! What a file may hold, and what a value holds, as trees that can be walked.
//!
//! The macros that declare parameters give each type its [`Form`] (keys,
//! meanings, units, ranges, defaults) and each value its [`Content`]. A schema,
//! a reference and a writer of files follow from these two alone, so a key that
//! is added to a declaration appears in all of them.

use super::Field;
use std::collections::BTreeMap;

/// A type that stands in a file, with what is known of it.
pub trait Described {
    /// How it is written.
    fn form() -> Form;

    /// What this value holds, in the order of its [`form`](Described::form).
    fn content(&self) -> Content;
}

/// How a value is written in a file.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// A number with its unit; `"0.38 mm"`.
    Quantity(Field),
    /// A list of points `[x, y]`, x rising.
    Curve {
        /// The first of each pair; its name and meaning are the curve's.
        x: Field,
        /// The second of each pair.
        y: Field,
        /// The fewest points.
        least: usize,
        /// The most points.
        most: usize,
    },
    /// One of these words, each with its meaning.
    Words(Vec<(&'static str, &'static str)>),
    /// Any text.
    Text,
    /// Text of this shape, a regular expression of the schemas' kind.
    Shaped(&'static str),
    /// `true` or `false`.
    Flag,
    /// A number, or text that is not empty: a value whose kind another key says.
    Amount,
    /// Keys with values.
    Table(TableForm),
    /// A list of values of one form.
    List(Box<Form>),
    /// Keys of the writer's own choice, with values of one form.
    Map(Box<Form>),
    /// One of these.
    Either(Vec<Form>),
}

/// The keys of a table in a file.
#[derive(Clone, Debug, PartialEq)]
pub struct TableForm {
    /// What the table holds.
    pub doc: &'static str,
    /// Its keys, in order.
    pub keys: Vec<Entry>,
}

/// One key of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// The key.
    pub name: &'static str,
    /// What it means.
    pub doc: &'static str,
    /// How its value is written.
    pub form: Form,
    /// Whether it may be left out.
    pub presence: Presence,
}

/// Whether a key may be left out.
#[derive(Clone, Debug, PartialEq)]
pub enum Presence {
    /// It must be there.
    Required,
    /// It may be left out, which is a meaning of its own.
    Optional,
    /// It may be left out, and then has this value.
    Default(Content),
    /// Of all the keys of this presence in a table, exactly one is there.
    OneOf,
}

/// What a value holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Content {
    /// A quantity, SI.
    Number(f64),
    /// Points of a curve, SI.
    Curve(Vec<[f64; 2]>),
    /// A word of a choice.
    Word(&'static str),
    /// Text.
    Text(String),
    /// True or false.
    Flag(bool),
    /// The keys of a table, in its form's order; none where a key is left out.
    Table(Vec<(&'static str, Option<Content>)>),
    /// The values of a list.
    List(Vec<Content>),
}

impl Entry {
    /// A key of a quantity.
    pub fn quantity(field: Field) -> Self {
        Self {
            name: field.name,
            doc: field.doc.trim(),
            presence: field.default.map_or(Presence::Required, |value| {
                Presence::Default(Content::Number(value))
            }),
            form: Form::Quantity(field),
        }
    }
}

impl Described for String {
    fn form() -> Form {
        Form::Text
    }

    fn content(&self) -> Content {
        Content::Text(self.clone())
    }
}

impl Described for bool {
    fn form() -> Form {
        Form::Flag
    }

    fn content(&self) -> Content {
        Content::Flag(*self)
    }
}

/// A default, which is empty: of keys that somebody chose there is no content.
impl<T: Described> Described for BTreeMap<String, T> {
    fn form() -> Form {
        Form::Map(Box::new(T::form()))
    }

    fn content(&self) -> Content {
        Content::Table(Vec::new())
    }
}

impl<T: Described> Described for Vec<T> {
    fn form() -> Form {
        Form::List(Box::new(T::form()))
    }

    fn content(&self) -> Content {
        Content::List(self.iter().map(T::content).collect())
    }
}
