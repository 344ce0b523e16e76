//! The catalogue of sentences that commands say; another language is another folder beside `en`
//! with the same names. Numbers come as arguments; what a number's unit and digits are stands in
//! the sentence. What the physics says stands in `sim/src/say`.

mod en;

pub use en::*;
