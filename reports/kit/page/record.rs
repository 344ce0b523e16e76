//! Records: figures declared once, with key, name, unit and digits. From that: the struct that is
//! written for programs, its JSON Schema, the columns of tables and the head of a CSV file.

use crate::page::Cell;
use crate::text::number::digits as round;
use schemars::JsonSchema;
use serde::Serialize;
use std::borrow::Cow;

/// How a figure is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Digits {
    /// Words.
    None,
    /// So many decimals.
    Fixed(usize),
    /// So many significant digits.
    Significant(usize),
    /// A change: so many decimals, a plus sign where it is positive.
    Signed(usize),
    /// As many decimals as the record says.
    Own,
}

/// Words, not a number.
pub const WORDS: Digits = Digits::None;

/// So many decimals.
pub const fn fixed(decimals: usize) -> Digits {
    Digits::Fixed(decimals)
}

/// So many significant digits.
pub const fn digits(count: usize) -> Digits {
    Digits::Significant(count)
}

/// A change, with so many decimals.
pub const fn signed(decimals: usize) -> Digits {
    Digits::Signed(decimals)
}

/// As many decimals as the record says: `struct Line by decimals { ... }`.
pub const OWN: Digits = Digits::Own;

/// A value with its 90 % limits, in the unit of its key.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Spread {
    /// Likeliest.
    pub value: f64,
    /// Lower limit.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
}

impl Spread {
    /// `0.673 mm (0.63 to 0.708 mm)`.
    pub fn words(&self, unit: &str) -> String {
        let [value, low, high] = [self.value, self.low, self.high].map(|x| round(x, 3));
        let unit = [" ", unit].concat();
        let unit = unit.trim_end();
        format!("{value}{unit} ({low} to {high}{unit})")
    }
}

/// What a figure holds.
#[derive(Clone, Debug)]
pub enum Value<'a> {
    /// Nothing here.
    None,
    /// A number.
    Number(f64),
    /// A number with limits.
    Spread(Spread),
    /// Words.
    Words(Cow<'a, str>),
}

/// A figure of a record.
pub struct Figure<T: 'static> {
    /// Its key for programs.
    pub key: &'static str,
    /// Its name for people.
    pub label: &'static str,
    /// Its unit; empty where there is none.
    pub unit: &'static str,
    /// How it is set.
    pub digits: Digits,
    /// Its value.
    pub of: for<'a> fn(&'a T) -> Value<'a>,
}

/// A struct whose figures are declared; made by [`record!`](crate::record).
pub trait Record: Sized + 'static {
    /// Its figures that people see, in order.
    const FIGURES: &'static [Figure<Self>];

    /// Decimals of its figures that are set by [`OWN`].
    fn decimals(&self) -> usize {
        0
    }

    /// The figures of these keys ([`known`]) in their order; all where none is given.
    fn chosen(keys: &[&str]) -> Vec<&'static Figure<Self>> {
        let find = |key: &&str| Self::FIGURES.iter().find(|figure| figure.key == *key);
        match keys.is_empty() {
            true => Self::FIGURES.iter().collect(),
            false => keys.iter().filter_map(find).collect(),
        }
    }
}

/// Keys of figures of `T`, for a constant: one that is none does not compile.
pub const fn known<T: Record, const N: usize>(keys: [&'static str; N]) -> [&'static str; N] {
    let mut i = 0;
    while i < N {
        let mut found = false;
        let mut j = 0;
        while j < T::FIGURES.len() {
            found |= same(keys[i].as_bytes(), T::FIGURES[j].key.as_bytes());
            j += 1;
        }
        assert!(found, "a key is no figure of the record");
        i += 1;
    }
    keys
}

const fn same(a: &[u8], b: &[u8]) -> bool {
    let mut i = 0;
    while i < a.len() && i < b.len() && a[i] == b[i] {
        i += 1;
    }
    i == a.len() && i == b.len()
}

impl Digits {
    /// With the record's own decimals where those count.
    pub(super) fn of(self, own: usize) -> Self {
        match self {
            Digits::Own => Digits::Fixed(own),
            digits => digits,
        }
    }

    /// A number's cell, and where it stands in the result for programs.
    pub fn cell(self, value: f64, json: &str) -> Cell {
        match self {
            Digits::None => Cell::words(value.to_string()),
            Digits::Fixed(decimals) => Cell::number(value, decimals, json),
            Digits::Significant(count) => Cell::digits(value, count, json),
            Digits::Signed(decimals) => Cell::signed(value, decimals, json),
            Digits::Own => self.of(0).cell(value, json),
        }
    }
}

impl<T: Record> Figure<T> {
    /// Its value in a record.
    pub fn value<'a>(&self, record: &'a T) -> Value<'a> {
        (self.of)(record)
    }

    /// Its cell in a table; `json` is where the record stands.
    pub fn cell(&self, record: &T, json: &str) -> Cell {
        let (key, digits) = (self.key, self.digits.of(record.decimals()));
        match self.value(record) {
            Value::None if digits == Digits::None => Cell::default(),
            Value::None => digits.cell(f64::NAN, ""),
            Value::Number(value) => digits.cell(value, &format!("{json}/{key}")),
            Value::Spread(spread) => digits.cell(spread.value, &format!("{json}/{key}/value")),
            Value::Words(words) => Cell::words(words.replace('_', " ")),
        }
    }
}

impl From<&f64> for Value<'_> {
    fn from(value: &f64) -> Self {
        Value::Number(*value)
    }
}

impl From<&usize> for Value<'_> {
    fn from(value: &usize) -> Self {
        Value::Number(*value as f64)
    }
}

impl From<&bool> for Value<'_> {
    fn from(value: &bool) -> Self {
        Value::Words(if *value { "yes" } else { "no" }.into())
    }
}

impl From<&Spread> for Value<'_> {
    fn from(value: &Spread) -> Self {
        Value::Spread(*value)
    }
}

impl<'a> From<&'a String> for Value<'a> {
    fn from(value: &'a String) -> Self {
        Value::Words(value.into())
    }
}

impl From<&&'static str> for Value<'_> {
    fn from(value: &&'static str) -> Self {
        Value::Words((*value).into())
    }
}

impl From<&Vec<String>> for Value<'_> {
    fn from(all: &Vec<String>) -> Self {
        Value::Words(all.join(", ").into())
    }
}

impl From<&Vec<&'static str>> for Value<'_> {
    fn from(all: &Vec<&'static str>) -> Self {
        Value::Words(all.join(", ").into())
    }
}

macro_rules! perhaps {
    ( $( $type:ty ),+ ) => { $(
        impl<'a> From<&'a Option<$type>> for Value<'a> {
            fn from(value: &'a Option<$type>) -> Self {
                value.as_ref().map_or(Value::None, Value::from)
            }
        }
    )+ };
}
perhaps!(f64, usize, Spread, String, &'static str);

/// Declares structs for programs: `key: type` for what only programs see, `key: type =
/// "name" "unit" digits` for a figure that people see too. `by decimals` names the key that holds
/// the decimals of the figures set by `OWN`.
#[macro_export]
macro_rules! record {
    ( $( $(#[$outer:meta])* $vis:vis struct $name:ident $( by $own:ident )? {
        $( $(#[$about:meta])* $field:ident : $type:ty $( = $label:literal $unit:literal $digits:expr )? ; )*
    } )+ ) => { $(
        $(#[$outer])*
        #[derive(Debug, serde::Serialize, schemars::JsonSchema)]
        $vis struct $name { $(
            $(#[$about])*
            $( #[schemars(extend("unit" = $unit))] )?
            pub $field: $type,
        )* }

        impl $crate::page::record::Record for $name {
            const FIGURES: &'static [$crate::page::record::Figure<Self>] = &[ $( $(
                $crate::page::record::Figure {
                    key: stringify!($field),
                    label: $label,
                    unit: $unit,
                    digits: $digits,
                    of: |record| (&record.$field).into(),
                },
            )? )* ];

            $( fn decimals(&self) -> usize {
                self.$own
            } )?
        }
    )+ };
}
