//! One declaration per quantity: name, dimension, range, meaning.
//!
//! [`quantities!`](crate::quantities!) turns a list of quantities into a parameter struct that is
//! generic over the scalar (so derivatives with respect to a parameter are
//! exact), its reader (units checked, range checked, unknown keys answered with
//! the nearest right spelling), and what a file may hold of it ([`Described`]).
//! [`tables!`](crate::tables) does the same for a struct of such tables, single
//! quantities, curves and plain words; [`words!`](crate::words) for a choice of words.
//!
//! The readers raise every error where the file's own reader can still say
//! where it stands: at a key while that key is read, at a value while that
//! value is read. A message's first line is what is wrong, the rest what is allowed.

mod amount;
mod form;
mod tables;
mod words;

use crate::spelling::{quote, unknown_listed};
use crate::units::{self, Dimension};
use serde::de::{DeserializeSeed, Error, MapAccess, Visitor};
use std::fmt;

pub use crate::spelling::nearest;
pub use amount::Amount;
pub use form::{Content, Described, Entry, Form, Presence, TableForm};
pub use tables::{missing, once};
pub use words::{UnknownWord, read_word, word_from_text};

/// What is known of one quantity in a file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    /// Key in the file.
    pub name: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Smallest allowed value, SI.
    pub low: f64,
    /// Largest allowed value, SI.
    pub high: f64,
    /// Value when the key is left out, SI.
    pub default: Option<f64>,
    /// What it means.
    pub doc: &'static str,
}

/// A parameter struct made by [`quantities!`](crate::quantities!).
pub trait Table: Sized {
    /// Its quantities, in order.
    const FIELDS: &'static [Field];

    /// The struct from SI values in the order of [`FIELDS`](Table::FIELDS).
    fn from_values(values: &[f64]) -> Self;
}

/// Declares a parameter struct; see [`params`](crate::params).
///
/// Each line reads `name: Dimension [low, high]`, limits in SI, with an
/// optional `= default`.
#[macro_export]
macro_rules! quantities {
    ( $(#[doc = $top:literal])+ pub struct $name:ident {
        $( $(#[doc = $doc:literal])+ $field:ident : $dimension:ident [$low:expr, $high:expr] $(= $default:expr)? , )*
    } ) => {
        $(#[doc = $top])+
        #[derive(Clone, Copy, Debug, PartialEq)]
        pub struct $name<P = f64> {
            $( $(#[doc = $doc])+ pub $field: P, )*
        }

        impl<P: Copy> $name<P> {
            /// The same parameters in another scalar; `each` sees every name and value.
            pub fn map<Q>(&self, each: &mut dyn FnMut(&str, P) -> Q) -> $name<Q> {
                $name { $( $field: each(stringify!($field), self.$field), )* }
            }
        }

        impl $crate::params::Table for $name<f64> {
            const FIELDS: &'static [$crate::params::Field] = &[
                $( $crate::quantities!(@field $field [$($doc),+] $dimension [$low, $high] $(= $default)?), )*
            ];

            fn from_values(values: &[f64]) -> Self {
                let [$($field),*] = *values else { unreachable!("one value per field") };
                $name { $($field),* }
            }
        }

        impl $crate::params::Described for $name<f64> {
            fn form() -> $crate::params::Form {
                let fields = <Self as $crate::params::Table>::FIELDS.iter().copied();
                $crate::params::Form::Table($crate::params::TableForm {
                    doc: $crate::params::meaning(concat!($($top),+)),
                    keys: fields.map($crate::params::Entry::quantity).collect(),
                })
            }

            fn content(&self) -> $crate::params::Content {
                $crate::params::Content::Table(vec![
                    $( (stringify!($field), Some($crate::params::Content::Number(self.$field))), )*
                ])
            }
        }

        impl<'de> serde::Deserialize<'de> for $name<f64> {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                $crate::params::read_table(from)
            }
        }
    };
    (@field $field:ident [$($doc:literal),+] $dimension:ident [$low:expr, $high:expr] $(= $default:expr)?) => {
        $crate::params::Field {
            name: stringify!($field),
            dimension: $crate::units::Dimension::$dimension,
            low: $low,
            high: $high,
            default: $crate::quantities!(@default $($default)?),
            doc: concat!($($doc),+),
        }
    };
    (@default) => { None };
    (@default $default:expr) => { Some($default) };
}

/// What a declaration says of itself, its examples in code left out.
pub fn meaning(doc: &'static str) -> &'static str {
    doc.split(" # ").next().unwrap_or(doc).trim()
}

/// Reads a [`Table`] from any self-describing format.
///
/// # Errors
/// An unknown, repeated or missing key, or a quantity [`Field`] refuses.
pub fn read_table<'de, T: Table, D: serde::Deserializer<'de>>(from: D) -> Result<T, D::Error> {
    from.deserialize_map(TableVisitor(T::FIELDS))
        .map(|values| T::from_values(&values))
}

struct TableVisitor(&'static [Field]);

impl<'de> Visitor<'de> for TableVisitor {
    type Value = Vec<f64>;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let names: Vec<&str> = self.0.iter().map(|field| field.name).collect();
        write!(f, "a table with {}", names.join(", "))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Vec<f64>, A::Error> {
        let names: Vec<&str> = self.0.iter().map(|field| field.name).collect();
        let mut values = vec![None; names.len()];
        while let Some(i) = map.next_key_seed(Key(&names))? {
            let value = map.next_value_seed(&self.0[i])?;
            if values[i].replace(value).is_some() {
                return Err(A::Error::custom(format!("`{}` is given twice", names[i])));
            }
        }
        let read: Vec<Option<f64>> = (self.0.iter().zip(values))
            .map(|(field, value)| value.or(field.default))
            .collect();
        let wanted = self.0.iter().zip(&read).map(|(field, value)| {
            let what = format!(
                "{} Write {}.",
                field.doc.trim(),
                units::expected(field.dimension)
            );
            (field.name, value.is_none(), what)
        });
        let wanted: Vec<_> = wanted.collect();
        match missing(&wanted) {
            Some(message) => Err(A::Error::custom(message)),
            None => Ok(read.into_iter().flatten().collect()),
        }
    }
}

/// Spellings of the last version, and what is written now; taken for one version more.
const RENAMED: [(&str, &str); 2] = [
    ("boost_valve_duty", "wastegate_solenoid_duty"),
    ("wastegate_duty_pct", "wastegate_solenoid_duty_pct"),
];

/// What a key of the last version is called now; any other as it is.
pub fn renamed(key: &str) -> &str {
    let old = RENAMED.iter().find(|(old, _)| *old == key);
    old.map_or(key, |(_, now)| now)
}

/// Reads a key that must be one of these, into its index.
pub struct Key<'a>(pub &'a [&'a str]);

impl<'de> DeserializeSeed<'de> for Key<'_> {
    type Value = usize;

    fn deserialize<D: serde::Deserializer<'de>>(self, from: D) -> Result<usize, D::Error> {
        from.deserialize_identifier(self)
    }
}

impl Visitor<'_> for Key<'_> {
    type Value = usize;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "one of {}", self.0.join(", "))
    }

    fn visit_str<E: Error>(self, key: &str) -> Result<usize, E> {
        let place = |key: &str| self.0.iter().position(|name| *name == key);
        let found = place(key).or_else(|| place(renamed(key)));
        found.ok_or_else(|| E::custom(unknown_listed("key", key, self.0)))
    }
}

impl<'de> DeserializeSeed<'de> for &Field {
    type Value = f64;

    fn deserialize<D: serde::Deserializer<'de>>(self, from: D) -> Result<f64, D::Error> {
        from.deserialize_any(self)
    }
}

impl Field {
    /// A value well inside the range, SI: the geometric middle of positive
    /// limits, else the arithmetic one, to two digits where that is inside.
    pub fn middle(&self) -> f64 {
        let (low, high) = match (self.low.is_finite(), self.high.is_finite()) {
            (true, true) => (self.low, self.high),
            (true, false) => (self.low, self.low),
            (false, true) => (self.high, self.high),
            (false, false) => (0.0, 0.0),
        };
        let middle = match low > 0.0 {
            true => (low * high).sqrt(),
            false => 0.5 * (low + high),
        };
        let text = units::show_to(middle, self.dimension, 2);
        let rounded = units::parse(&text, self.dimension);
        let inside = |value: &f64| (low..=high).contains(value);
        rounded.ok().filter(inside).unwrap_or(middle)
    }

    /// The value, written so, if it is in range; a limit itself is in range, to round-off.
    fn checked<E: Error>(&self, value: f64, written: &str) -> Result<f64, E> {
        let slack = 1e-12 * value.abs();
        if value >= self.low - slack && value <= self.high + slack {
            return Ok(value.clamp(self.low, self.high));
        }
        Err(E::custom(format_args!(
            "out of range: found {}, allowed {}\n{}",
            quote(written.trim()).trim_matches('`'),
            units::show_range_as(self.low, self.high, self.dimension, written),
            self.doc.trim()
        )))
    }
}

impl Visitor<'_> for &Field {
    type Value = f64;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&units::expected(self.dimension))
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<f64, E> {
        let value = units::parse(text, self.dimension);
        self.checked(value.map_err(E::custom)?, text)
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<f64, E> {
        let value = units::from_bare_number(value, self.dimension).map_err(E::custom)?;
        self.checked(value, &units::round(value, 17))
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<f64, E> {
        self.visit_f64(value as f64)
    }

    fn visit_u64<E: Error>(self, value: u64) -> Result<f64, E> {
        self.visit_f64(value as f64)
    }
}
