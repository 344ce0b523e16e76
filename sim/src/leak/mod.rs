//! Leak shapes: one file each, one line each in the registry below.
//!
//! A shape is a flow element between sides a and b, positive from a to b. **Side b
//! is the inside**: the volume of the air path whose wall is open. Side a is the
//! atmosphere, or the other volume. Only [`split`] tells the two apart. A shape knows its one
//! size ([`Measured`]).

mod measured;
mod read;
mod report;

use crate::flow::{Flow, Regime};
use crate::medium::GasState;
use crate::params::{Content, Described, Entry, Field, Form, Presence, Table, TableForm};
use crate::scalar::{Over, Scalar};

pub use measured::{Measure, Measured};
pub use read::ShapeSeed;
pub use report::{Report, equivalent_hole};

/// Makes the modules, the enum, and all that is asked of any shape.
macro_rules! shapes {
    ( $( $module:ident : $shape:ident , )+ ) => {
        $( pub mod $module; pub use $module::$shape; )+

        /// A leak of any shape.
        ///
        /// # Examples
        /// ```
        /// use sim::{Shape, workshop::AIR};
        /// // A split in a hose, as large as a 4 mm hole under 1 bar, shut without pressure.
        /// let split = Shape::slender_split(4e-3, 100e3);
        /// let inside = |pressure: f64| AIR.state(pressure, 293.15);
        /// let inward = |pressure: f64| split.flow(&inside(101e3), &inside(pressure)).mass;
        /// assert_eq!(inward(50e3), 0.0); // Under vacuum its lips close:
        /// assert!(inward(181e3) < -1e-3); // only boost shows it, kg/s.
        /// ```
        #[derive(Clone, Copy, Debug, PartialEq)]
        pub enum Shape<P = f64> {
            $( #[doc = concat!("See [`", stringify!($module), "`].")] $shape($shape<P>), )+
        }

        impl Shape<f64> {
            /// Every shape's name in a file, in order.
            pub const NAMES: &'static [&'static str] = &[$( stringify!($module) ),+];

            /// The quantities of every shape, in the order of [`NAMES`](Self::NAMES).
            pub const FIELDS: &'static [&'static [Field]] = &[$( <$shape as Table>::FIELDS ),+];

            /// One of every shape: quantities at their defaults, else well inside their ranges.
            pub fn examples() -> Vec<Self> {
                let middle = |field: &Field| field.default.unwrap_or_else(|| field.middle());
                vec![$( {
                    let values: Vec<f64> = <$shape as Table>::FIELDS.iter().map(middle).collect();
                    Shape::$shape(<$shape as Table>::from_values(&values))
                } ),+]
            }

            /// How the gas moves through the leak; where the gap varies, at its widest.
            pub fn regime(&self, a: &GasState<f64>, b: &GasState<f64>) -> Regime {
                match self { $( Shape::$shape(shape) => shape.regime(a, b), )+ }
            }

            fn read<'de, D: serde::Deserializer<'de>>(name: &str, from: D) -> Result<Self, D::Error> {
                match name {
                    $( stringify!($module) => serde::Deserialize::deserialize(from).map(Shape::$shape), )+
                    _ => Err(read::unknown(name)),
                }
            }
        }

        /// One of the shapes, under its name.
        impl Described for Shape<f64> {
            fn form() -> Form {
                let shapes = [$( (stringify!($module), <$shape as Described>::form()) ),+];
                let keys = shapes.map(|(name, form)| Entry {
                    name,
                    doc: match &form {
                        Form::Table(table) => table.doc,
                        _ => "",
                    },
                    form,
                    presence: Presence::OneOf,
                });
                Form::Table(TableForm { doc: "Shape and size of a leak.", keys: keys.into() })
            }

            fn content(&self) -> Content {
                Content::Table(vec![$( (stringify!($module), match self {
                    Shape::$shape(shape) => Some(shape.content()),
                    _ => None,
                }) ),+])
            }
        }

        impl<P: Scalar> Shape<P> {
            /// Its name in a file.
            pub fn name(&self) -> &'static str {
                match self { $( Shape::$shape(_) => stringify!($module), )+ }
            }

            /// The same leak in another scalar; `each` sees every key and value.
            pub fn map<Q>(&self, each: &mut dyn FnMut(&str, P) -> Q) -> Shape<Q> {
                match self { $( Shape::$shape(shape) => Shape::$shape(shape.map(each)), )+ }
            }

            /// How its size is measured.
            pub fn measure(&self) -> Measure {
                match self { $( Shape::$shape(_) => <$shape<P> as Measured<P>>::MEASURE, )+ }
            }

            /// Its one size as a person measures it, SI; see [`Measure`].
            pub fn size(&self) -> P {
                match self { $( Shape::$shape(shape) => shape.size(), )+ }
            }

            /// The same shape at another size, SI.
            #[must_use]
            pub fn sized(self, size: P) -> Self {
                match self { $( Shape::$shape(shape) => Shape::$shape(shape.sized(size)), )+ }
            }

            /// Open area, m², with the inside `outward` Pa above the outside; none for a wall
            /// that gas seeps through.
            pub fn area(&self, outward: P) -> Option<P> {
                match self { $( Shape::$shape(shape) => shape.area(outward), )+ }
            }

            /// Flow between two gases; b is the inside.
            #[inline]
            pub fn flow<S: Over<P>>(&self, a: &GasState<S>, b: &GasState<S>) -> Flow<S> {
                match self { $( Shape::$shape(shape) => shape.flow(a, b), )+ }
            }
        }
    };
}

shapes! {
    round_hole: RoundHole,
    slot: Slot,
    bowed_cover: BowedCover,
    ring_gap: RingGap,
    tilted_joint: TiltedJoint,
    split: Split,
    porous: Porous,
    hose_off: HoseOff,
}
