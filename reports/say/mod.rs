//! The catalogue of sentences that answers say; another language is another folder beside `en`
//! with the same names. Numbers come as arguments; what a number's unit and digits are stands in
//! the sentence.

mod en;

pub use en::*;

/// Declares sentences: `name(argument, ...) "words {argument:.1}";`, or `NAME "words";` for one
/// without arguments.
macro_rules! sentences {
    () => {};
    ( $(#[$about:meta])* $name:ident ( $($number:ident),* ) $words:literal; $($rest:tt)* ) => {
        $(#[$about])*
        pub fn $name( $($number: impl std::fmt::Display),* ) -> String {
            format!($words)
        }
        sentences! { $($rest)* }
    };
    ( $(#[$about:meta])* $name:ident $words:literal; $($rest:tt)* ) => {
        $(#[$about])*
        pub const $name: &str = $words;
        sentences! { $($rest)* }
    };
}
pub(crate) use sentences;
