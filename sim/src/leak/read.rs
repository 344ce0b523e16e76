//! Reading a leak's shape by its name.

use super::Shape;
use crate::params::Key;
use crate::spelling::unknown_listed;
use serde::de::{Deserialize, DeserializeSeed, Deserializer, Error, MapAccess, Visitor};
use std::fmt;

/// Reads the table of the named shape: the value of `ring_gap = { ... }`.
#[derive(Clone, Copy, Debug)]
pub struct ShapeSeed<'a>(pub &'a str);

impl<'de> DeserializeSeed<'de> for ShapeSeed<'_> {
    type Value = Shape;

    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<Shape, D::Error> {
        Shape::read(self.0, from)
    }
}

/// A table of one entry, the shape's name.
impl<'de> Deserialize<'de> for Shape {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_map(OneShape)
    }
}

struct OneShape;

impl<'de> Visitor<'de> for OneShape {
    type Value = Shape;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "one of {}", Shape::NAMES.join(", "))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Shape, A::Error> {
        let mut shape = None;
        while let Some(index) = map.next_key_seed(Key(Shape::NAMES))? {
            let read = map.next_value_seed(ShapeSeed(Shape::NAMES[index]))?;
            if shape.replace(read).is_some() {
                return Err(A::Error::custom(
                    "a leak has one shape; this one is given two",
                ));
            }
        }
        shape.ok_or_else(|| {
            A::Error::custom(format!(
                "the leak has no shape\nallowed here: {}",
                Shape::NAMES.join(", ")
            ))
        })
    }
}

pub(super) fn unknown<E: Error>(name: &str) -> E {
    E::custom(unknown_listed("leak shape", name, Shape::NAMES))
}
