//! A leak, and how it stands in a file: `place = "hot_pipe"` beside one shape,
//! `split = { ... }`.

use super::Place;
use crate::leak::{Shape, ShapeSeed};
use crate::params::{Content, Described, Entry, Form, Key, Presence, TableForm};
use crate::scalar::Scalar;
use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};
use std::fmt;

/// A leak: a shape at a place.
///
/// # Examples
/// ```
/// use sim::{Command, Comparison, Leak, Place, Reading};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let leaking = car.leaking(vec![Leak::hole(Place::ColdPipe, 8e-3)]);
/// let full = Comparison::new(&leaking).point("", Command::full_load(366.5));
/// let (healthy, leaking) = (full.healthy?, full.faulty.unwrap()?);
/// // The turbocharger works harder for what it blows out.
/// assert!(leaking.readings.get(Reading::ShaftSpeed) > healthy.readings.get(Reading::ShaftSpeed));
/// assert!(leaking.ledger.lost > 1.0); // g/s
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leak<P = f64> {
    /// Where.
    pub place: Place,
    /// What shape and size.
    pub shape: Shape<P>,
}

impl<P: Scalar> Leak<P> {
    /// A sharp round hole of `diameter`, m, at a place.
    pub fn hole(place: Place, diameter: P) -> Self {
        let shape = Shape::hole(diameter);
        Self { place, shape }
    }
}

/// The place, then the keys of [`Shape`].
impl Described for Leak {
    fn form() -> Form {
        let mut keys = vec![Entry {
            name: "place",
            doc: "where the leak is",
            form: Place::form(),
            presence: Presence::Required,
        }];
        if let Form::Table(shape) = Shape::form() {
            keys.extend(shape.keys);
        }
        Form::Table(TableForm {
            doc: "A leak: a place and one shape.",
            keys,
        })
    }

    fn content(&self) -> Content {
        let mut keys = vec![("place", Some(self.place.content()))];
        if let Content::Table(shape) = self.shape.content() {
            keys.extend(shape);
        }
        Content::Table(keys)
    }
}

impl<'de> Deserialize<'de> for Leak {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_map(Reader)
    }
}

struct Reader;

impl<'de> Visitor<'de> for Reader {
    type Value = Leak;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(
            f,
            "a table with a `place` and one shape of {}",
            Shape::NAMES.join(", ")
        )
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Leak, A::Error> {
        let keys: Vec<&'static str> = std::iter::once("place")
            .chain(Shape::NAMES.iter().copied())
            .collect();
        let (mut place, mut shape) = (None, None);
        while let Some(key) = map.next_key_seed(Key(&keys))? {
            match key.checked_sub(1) {
                None => place = Some(map.next_value()?),
                Some(index) => {
                    let read = map.next_value_seed(ShapeSeed(Shape::NAMES[index]))?;
                    if shape.replace(read).is_some() {
                        return Err(A::Error::custom(
                            "a leak has one shape; this one is given two",
                        ));
                    }
                }
            }
        }
        let place =
            place.ok_or_else(|| A::Error::custom("missing key `place`: where the leak is"))?;
        let shape = shape.ok_or_else(|| {
            A::Error::custom(format!(
                "the leak has no shape\nallowed here: {}",
                Shape::NAMES.join(", ")
            ))
        })?;
        Ok(Leak { place, shape })
    }
}
