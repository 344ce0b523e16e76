//! A struct of sub-tables, quantities, curves and plain values.

/// Declares a parameter struct read from a table of mixed content.
///
/// ```
/// use sim::{quantities, tables, words};
/// quantities! {
///     /// The plate.
///     pub struct Plate {
///         /// Bore.
///         diameter: Length [5e-3, 0.2],
///     }
/// }
/// words! {
///     /// How the air is counted.
///     pub enum Metering {
///         /// By a meter.
///         Meter = "air_flow_meter",
///     }
/// }
/// tables! {
///     /// Everything a line can be.
///     pub struct Engine {
///         /// A sub-table, in the same scalar.
///         throttle: Plate<P>,
///         /// A sub-table that may be left out: `Option<Plate<P>>`.
///         second: Plate<P> or None,
///         /// A plain value: any type that can be read, cloned and `Described`.
///         metering: Metering = Metering::Meter,
///         /// A quantity, as in `quantities!`.
///         idle_speed: AngularSpeed [20.0, 300.0] = 85.0,
///         /// A curve of one quantity against another: `Curve<P>`.
///         target: AngularSpeed [0.0, 1500.0] -> GaugePressure [0.0, 3e5],
///     }
/// }
/// ```
///
/// Each line may end in `= default` (SI for a quantity). `map` gives every
/// number's dotted key, `throttle.diameter`.
#[macro_export]
macro_rules! tables {
    ( $(#[doc = $top:literal])+ pub struct $name:ident {
        $( $(#[doc = $doc:literal])+ $field:ident : $kind:ident $(<$p:ident>)?
            $([$low:expr, $high:expr])? $(-> $y:ident [$y_low:expr, $y_high:expr])?
            $(or $none:ident)? $(= $default:expr)? , )+
    } ) => {
        $(#[doc = $top])+
        pub struct $name<P = f64> {
            $( $(#[doc = $doc])+ pub $field: $crate::table_line!(@type
                [$crate::table_line!(@plain $kind $(<$p>)? $([$low, $high])? $(-> $y)?)] $($none)?), )+
        }

        // By hand: `derive` takes no struct whose types are written by a macro.
        impl<P: $crate::Scalar> Clone for $name<P> {
            fn clone(&self) -> Self {
                $name { $( $field: self.$field.clone(), )+ }
            }
        }

        impl<P: $crate::Scalar> std::fmt::Debug for $name<P> {
            fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
                f.debug_struct(stringify!($name))$( .field(stringify!($field), &self.$field) )+.finish()
            }
        }

        impl<P: $crate::Scalar + PartialEq> PartialEq for $name<P> {
            fn eq(&self, other: &Self) -> bool {
                $( self.$field == other.$field )&&+
            }
        }

        impl<P: $crate::Scalar> $name<P> {
            /// The same parameters in another scalar; `each` sees every dotted key and value.
            pub fn map<Q: $crate::Scalar>(&self, each: &mut dyn FnMut(&str, P) -> Q) -> $name<Q> {
                $name { $( $field: $crate::table_line!(@each $($none)?, self.$field, |value| $crate::table_line!(
                    @map value, each, stringify!($field), $kind $(<$p>)? $([$low, $high])? $(-> $y)?)), )+ }
            }
        }

        impl $crate::params::Described for $name<f64> {
            fn form() -> $crate::params::Form {
                $crate::params::Form::Table($crate::params::TableForm {
                    doc: $crate::params::meaning(concat!($($top),+)),
                    keys: vec![$( $crate::params::Entry {
                        name: stringify!($field),
                        doc: concat!($($doc),+).trim(),
                        form: $crate::table_line!(@form $field [$($doc),+]
                            $kind $(<$p>)? $([$low, $high])? $(-> $y [$y_low, $y_high])?),
                        presence: $crate::table_line!(@presence [$($none)?] [$($default)?]
                            $kind $(<$p>)? $([$low, $high])? $(-> $y)?),
                    }, )+],
                })
            }

            fn content(&self) -> $crate::params::Content {
                $crate::params::Content::Table(vec![$( (
                    stringify!($field),
                    $crate::table_line!(@content $($none)?, &self.$field,
                        $kind $(<$p>)? $([$low, $high])? $(-> $y)?),
                ), )+])
            }
        }

        impl<'de> serde::Deserialize<'de> for $name<f64> {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                struct Reader;
                const KEYS: &[&str] = &[$(stringify!($field)),+];

                impl<'de> serde::de::Visitor<'de> for Reader {
                    type Value = $name<f64>;

                    fn expecting(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
                        write!(f, "a table with {}", KEYS.join(", "))
                    }

                    fn visit_map<A: serde::de::MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                        $( let mut $field = None; )+
                        while let Some(key) = map.next_key_seed($crate::params::Key(KEYS))? {
                            let mut repeated = false;
                            $( if KEYS[key] == stringify!($field) {
                                let value = map.next_value_seed($crate::table_line!(
                                    @seed $field [$($doc),+] $kind $(<$p>)? $([$low, $high])? $(-> $y [$y_low, $y_high])?))?;
                                repeated = $field.replace($crate::table_line!(@wrap value $($none)?)).is_some();
                            } else )+ {}
                            $crate::params::once(repeated, KEYS[key])?;
                        }
                        $( let $field = $field.or($crate::table_line!(@default $($none)? $(= $default)?)); )+
                        let wanted = [$((stringify!($field), $field.is_none(), concat!($($doc),+))),+];
                        match ($($field,)+) {
                            ($(Some($field),)+) => Ok($name { $($field),+ }),
                            _ => Err(serde::de::Error::custom($crate::params::missing(&wanted).unwrap_or_default())),
                        }
                    }
                }

                from.deserialize_map(Reader)
            }
        }
    };
}

/// What [`tables!`](crate::tables) makes of a line, by its kind: a sub-table, a plain value, a
/// quantity, a curve.
#[doc(hidden)]
#[macro_export]
macro_rules! table_line {
    // The type of a line, and of a line that may be left out.
    (@type [$type:ty]) => { $type };
    (@type [$type:ty] $none:ident) => { Option<$type> };
    (@plain $kind:ident) => { $kind };
    (@plain $kind:ident <$p:ident>) => { $kind<$p> };
    (@plain $kind:ident [$low:expr, $high:expr]) => { P };
    (@plain $kind:ident [$low:expr, $high:expr] -> $y:ident) => { $crate::curve::Curve<P> };

    // Its value in another scalar.
    (@each, $value:expr, |$v:ident| $map:expr) => {{ let $v = &$value; $map }};
    (@each $none:ident, $value:expr, |$v:ident| $map:expr) => { $value.as_ref().map(|$v| $map) };
    (@map $v:ident, $each:ident, $name:expr, $kind:ident) => { $v.clone() };
    (@map $v:ident, $each:ident, $name:expr, $kind:ident [$low:expr, $high:expr]) => { $each($name, *$v) };
    (@map $v:ident, $each:ident, $name:expr, $kind:ident $($rest:tt)+) => {
        $v.map(&mut |inner: &str, p| $each(&format!("{}.{inner}", $name), p))
    };

    // What reads it.
    (@seed $field:ident [$($doc:literal),+] $kind:ident [$low:expr, $high:expr]) => {
        &$crate::quantities!(@field $field [$($doc),+] $kind [$low, $high])
    };
    (@seed $field:ident [$($doc:literal),+] $kind:ident [$low:expr, $high:expr] -> $y:ident [$y_low:expr, $y_high:expr]) => {
        $crate::curve::CurveSeed {
            x: $crate::quantities!(@field $field [$($doc),+] $kind [$low, $high]),
            y: $crate::quantities!(@field $field [$($doc),+] $y [$y_low, $y_high]),
        }
    };
    (@seed $field:ident [$($doc:literal),+] $kind:ident $(<$p:ident>)?) => { std::marker::PhantomData };

    // What is known of it.
    (@form $field:ident [$($doc:literal),+] $kind:ident [$low:expr, $high:expr]) => {
        $crate::params::Form::Quantity($crate::quantities!(@field $field [$($doc),+] $kind [$low, $high]))
    };
    (@form $field:ident [$($doc:literal),+] $kind:ident [$low:expr, $high:expr] -> $($y:tt)+) => {
        $crate::table_line!(@seed $field [$($doc),+] $kind [$low, $high] -> $($y)+).form()
    };
    (@form $field:ident [$($doc:literal),+] $kind:ident $(<$p:ident>)?) => {
        <$kind as $crate::params::Described>::form()
    };
    (@presence [] [] $($kind:tt)+) => { $crate::params::Presence::Required };
    (@presence [$none:ident] [] $($kind:tt)+) => { $crate::params::Presence::Optional };
    (@presence [] [$default:expr] $($kind:tt)+) => {{
        let value: $crate::table_line!(@default_type $($kind)+) = $default;
        $crate::params::Presence::Default($crate::table_line!(@held &value, $($kind)+))
    }};
    (@default_type $kind:ident [$low:expr, $high:expr]) => { f64 };
    (@default_type $kind:ident [$low:expr, $high:expr] -> $y:ident) => { $crate::curve::Curve };
    (@default_type $kind:ident $(<$p:ident>)?) => { $kind };

    // What it holds.
    (@content, $value:expr, $($kind:tt)+) => { Some($crate::table_line!(@held $value, $($kind)+)) };
    (@content $none:ident, $value:expr, $($kind:tt)+) => {
        $value.as_ref().map(|value| $crate::table_line!(@held value, $($kind)+))
    };
    (@held $value:expr, $kind:ident [$low:expr, $high:expr]) => { $crate::params::Content::Number(*$value) };
    (@held $value:expr, $kind:ident [$low:expr, $high:expr] -> $y:ident) => {
        $crate::params::Content::Curve($value.points().to_vec())
    };
    (@held $value:expr, $kind:ident $(<$p:ident>)?) => { $crate::params::Described::content($value) };

    (@wrap $value:ident) => { $value };
    (@wrap $value:ident $none:ident) => { Some($value) };
    (@default) => { None };
    (@default $none:ident) => { Some($none) };
    (@default = $default:expr) => { Some($default) };
}

/// Refuses a key that was there before.
///
/// # Errors
/// It was.
pub fn once<E: serde::de::Error>(repeated: bool, key: &str) -> Result<(), E> {
    match repeated {
        true => Err(E::custom(format!("`{key}` is given twice"))),
        false => Ok(()),
    }
}

/// The message for the `(key, missing, meaning)` that are missing, if any is.
pub fn missing(wanted: &[(&str, bool, impl AsRef<str>)]) -> Option<String> {
    let lacking = || wanted.iter().filter(|(_, missing, _)| *missing);
    let names: Vec<String> = lacking().map(|(name, ..)| format!("`{name}`")).collect();
    let meanings = lacking().map(|(name, _, doc)| format!("\n`{name}`: {}", doc.as_ref().trim()));
    let plural = if names.len() == 1 { "" } else { "s" };
    let message = format!("missing key{plural} {}", names.join(", "));
    (!names.is_empty()).then(|| message + &meanings.collect::<String>())
}
