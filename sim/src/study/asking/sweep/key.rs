//! From a dotted key to what it names, and setting it.

use crate::control::{BoostControl, Metering};
use crate::leak::Shape;
use crate::network::{Place, Vehicle};
use crate::params::{Described, Field, Form, TableForm, UnknownWord};
use crate::scenario::{History, Scenario, TrimAge};
use crate::spelling::unknown_listed;
use std::fmt;

/// What an axis varies.
#[derive(Clone, Debug, PartialEq)]
pub enum Target {
    /// A number of the scenario, or of the car behind `vehicle.`.
    Quantity(Field),
    /// The place of a leak.
    Place(usize),
    /// The shape of a leak.
    Shape(usize),
    /// What the trims know.
    Trims,
    /// How leaks and faults came about.
    History,
    /// The car's boost control.
    Boost,
    /// How the car counts air.
    Metering,
}

/// A value of an axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// SI.
    Number(f64),
    /// A place.
    Place(Place),
    /// A shape.
    Shape(Shape<f64>),
    /// What the trims know.
    Trims(TrimAge),
    /// How leaks and faults came about.
    History(History),
    /// Boost control.
    Boost(BoostControl),
    /// How air is counted.
    Metering(Metering),
}

impl Target {
    /// What `key` names.
    ///
    /// # Errors
    /// It names nothing, or nothing that can vary; with the nearest right spelling.
    pub fn of(key: &str) -> Result<Self, KeyError> {
        match key {
            "trims" => return Ok(Target::Trims),
            "history" => return Ok(Target::History),
            "boost_control" => return Ok(Target::Boost),
            "vehicle.metering" => return Ok(Target::Metering),
            _ => {}
        }
        if let Some((leak, what)) = (key.strip_prefix("leak."))
            .and_then(|rest| rest.split_once('.'))
            .and_then(|(leak, what)| Some((leak.parse().ok()?, what)))
        {
            match what {
                "place" => return Ok(Target::Place(leak)),
                "shape" => return Ok(Target::Shape(leak)),
                _ => {}
            }
        }
        match key.strip_prefix("vehicle.") {
            Some(inner) => find(&Vehicle::<f64>::form(), inner),
            None => find(&Scenario::<f64>::form(), key).map_err(|error| {
                // Elsewhere a car's number may stand without its first word.
                match find(&Vehicle::<f64>::form(), key) {
                    Ok(_) => KeyError::OfCar(key.into()),
                    Err(_) => error,
                }
            }),
        }
    }

    /// Reads one of the axis' `values`.
    ///
    /// # Errors
    /// The message of the quantity's or word's own reader.
    pub fn read(&self, text: &str) -> Result<Value, KeyError> {
        match self {
            Target::Quantity(field) => quantity(field, text).map(Value::Number),
            Target::Place(_) => Ok(Value::Place(text.parse()?)),
            Target::Trims => Ok(Value::Trims(text.parse()?)),
            Target::History => Ok(Value::History(text.parse()?)),
            Target::Boost => Ok(Value::Boost(text.parse()?)),
            Target::Metering => Ok(Value::Metering(text.parse()?)),
            Target::Shape(_) => Err(KeyError::ListShapes),
        }
    }
}

/// Why a key names nothing that can vary, or a text is no value of it.
#[derive(Clone, Debug, PartialEq)]
pub enum KeyError {
    /// This part of it is no key; these are.
    Unknown(String, Vec<&'static str>),
    /// It is one of the car, whose keys begin with `vehicle`.
    OfCar(String),
    /// This part stands in a list, whose number comes first.
    InList(String),
    /// Of a curve only heights vary.
    OfCurve,
    /// This part is more than the key holds.
    TooLong(String),
    /// It names a table, of these keys.
    IsTable(Vec<&'static str>),
    /// It names no quantity.
    NoQuantity,
    /// Shapes stand under a key of their own.
    ListShapes,
    /// No quantity of the key: its own reader's words.
    Quantity(String),
    /// No word of the key.
    Word(UnknownWord),
}

impl From<UnknownWord> for KeyError {
    fn from(word: UnknownWord) -> Self {
        KeyError::Word(word)
    }
}

impl fmt::Display for KeyError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            KeyError::Unknown(part, names) => f.write_str(&unknown_listed("key", part, names)),
            KeyError::OfCar(key) => write!(
                f,
                "this is a number of the car; did you mean `vehicle.{key}`?"
            ),
            KeyError::InList(part) => write!(
                f,
                "`{part}` stands in a list: its number comes first, counted from 0\n\
                 write for instance `leak.0.round_hole.diameter`"
            ),
            KeyError::OfCurve => f.write_str(
                "of a curve, the height of one of its points can vary: its number from 0, then \
                 `1`\nwrite for instance `vehicle.filling.0.1`",
            ),
            KeyError::TooLong(part) => write!(f, "`{part}` is more than this key holds"),
            KeyError::IsTable(names) => write!(
                f,
                "this is a table; name one of its numbers\nallowed here: {}",
                names.join(", ")
            ),
            KeyError::NoQuantity => f.write_str(
                "this is not a quantity\nBesides quantities, an axis can be `leak.0.place`, \
                 `leak.0.shape`, `trims`, `history`, `boost_control`, `vehicle.metering`",
            ),
            KeyError::ListShapes => f.write_str(
                "the shapes of a leak stand under `shapes`:\n\
                 shapes = [{ round_hole = { diameter = \"2 mm\" } }]",
            ),
            KeyError::Quantity(why) => f.write_str(why),
            KeyError::Word(word) => word.fmt(f),
        }
    }
}

impl std::error::Error for KeyError {}

/// Reads a quantity with its own reader, so that unit and range are checked as in a file.
pub(super) fn quantity(field: &Field, text: &str) -> Result<f64, KeyError> {
    use serde::de::value::Error;
    use serde::de::{DeserializeSeed, IntoDeserializer};
    let text: serde::de::value::StrDeserializer<Error> = text.into_deserializer();
    let read = field.deserialize(text);
    read.map_err(|e| KeyError::Quantity(e.to_string()))
}

fn find(form: &Form, key: &str) -> Result<Target, KeyError> {
    let (mut form, mut rest) = (form.clone(), key.split('.'));
    let names = |table: &TableForm| table.keys.iter().map(|entry| entry.name).collect();
    while let Some(part) = rest.next() {
        form = match form {
            Form::Table(table) => {
                let found = table.keys.iter().find(|entry| entry.name == part);
                let unknown = || KeyError::Unknown(part.into(), names(&table));
                found.ok_or_else(unknown)?.form.clone()
            }
            Form::List(item) if part.parse::<usize>().is_ok() => *item,
            Form::List(_) => return Err(KeyError::InList(part.into())),
            Form::Curve { y, .. } if part.parse::<usize>().is_ok() && rest.next() == Some("1") => {
                Form::Quantity(y)
            }
            Form::Curve { .. } => return Err(KeyError::OfCurve),
            _ => return Err(KeyError::TooLong(part.into())),
        };
    }
    match form {
        Form::Quantity(field) => Ok(Target::Quantity(field)),
        Form::Table(table) => Err(KeyError::IsTable(names(&table))),
        _ => Err(KeyError::NoQuantity),
    }
}

/// Numbers to set, by key, each marked once it has been.
pub(super) struct Numbers<'a>(pub Vec<(&'a str, f64, bool)>);

impl Numbers<'_> {
    /// The number set at a key, or else `own`.
    fn at(&mut self, key: &str, own: f64) -> f64 {
        let Some((_, value, done)) = self.0.iter_mut().find(|(k, ..)| *k == key) else {
            return own;
        };
        *done = true;
        *value
    }

    fn under(&self, table: &str) -> bool {
        self.0.iter().any(|(key, ..)| key.starts_with(table))
    }

    /// Sets them all in the scenario and the car.
    pub(super) fn set(&mut self, scenario: &mut Scenario, vehicle: &mut Vehicle) {
        if self.under("vehicle.") {
            *vehicle = vehicle.map(&mut |key, own| self.at(&format!("vehicle.{key}"), own));
        }
        if self.under("ambient.") {
            let each = &mut |key: &str, own| self.at(&format!("ambient.{key}"), own);
            scenario.ambient = scenario.ambient.map(each);
        }
        scenario.fixed_duty = scenario.fixed_duty.map(|own| self.at("fixed_duty", own));
        if self.under("leak.") {
            for (i, leak) in scenario.leak.iter_mut().enumerate() {
                let name = leak.shape.name();
                let each = &mut |key: &str, own| self.at(&format!("leak.{i}.{name}.{key}"), own);
                leak.shape = leak.shape.map(each);
            }
        }
        for (i, fault) in scenario.fault.iter_mut().enumerate() {
            let key = format!("fault.{i}.{}", fault.kind.key());
            fault.severity = self.at(&key, fault.severity);
        }
        if self.under("point.") {
            for (i, point) in scenario.point.iter_mut().enumerate() {
                *point = point.map(&mut |key, own| self.at(&format!("point.{i}.{key}"), own));
            }
        }
        if self.under("event.") {
            for (i, event) in scenario.event.iter_mut().enumerate() {
                *event = event.map(&mut |key, own| self.at(&format!("event.{i}.{key}"), own));
            }
        }
        if self.under("drive.") {
            for (i, piece) in scenario.drive.iter_mut().enumerate() {
                *piece = piece.map(&mut |key, own| self.at(&format!("drive.{i}.{key}"), own));
            }
        }
    }
}
