//! A trouble code as a scan tool shows it: those that the program judges, those that tell of a danger,
//! and all others, which are kept and said not to be judged.

use crate::control::Code;
use crate::params::{Content, Described, Form};
use crate::say::judging as say;
use crate::spelling::{nearest, quote};
use crate::study::running::dangers::Hazard;
use serde::de::{Deserialize, Deserializer, Error};
use std::fmt;

/// A code of the standard's shape, in capitals.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetCode(String);

/// The standard's shape (SAE J2012: letter of the system, 0 to 3, three hexadecimal digits; from memory).
const SHAPE: &str = "^[PCBUpcbu][0-3][0-9A-Fa-f]{3}$";

/// Codes beside the judged ones that tell of a danger: misfire of a cylinder, which is P0300 of one;
/// the knock control or its sensors, without which nothing takes the spark back (from memory).
const TELLING: [(&str, Hazard); 23] = [
    ("P0301", Hazard::RawFuel),
    ("P0302", Hazard::RawFuel),
    ("P0303", Hazard::RawFuel),
    ("P0304", Hazard::RawFuel),
    ("P0305", Hazard::RawFuel),
    ("P0306", Hazard::RawFuel),
    ("P0307", Hazard::RawFuel),
    ("P0308", Hazard::RawFuel),
    ("P0309", Hazard::RawFuel),
    ("P0310", Hazard::RawFuel),
    ("P0311", Hazard::RawFuel),
    ("P0312", Hazard::RawFuel),
    ("P0324", Hazard::Knock),
    ("P0325", Hazard::Knock),
    ("P0326", Hazard::Knock),
    ("P0327", Hazard::Knock),
    ("P0328", Hazard::Knock),
    ("P0329", Hazard::Knock),
    ("P0330", Hazard::Knock),
    ("P0331", Hazard::Knock),
    ("P0332", Hazard::Knock),
    ("P0333", Hazard::Knock),
    ("P0334", Hazard::Knock),
];

impl SetCode {
    /// The code that it is judged as: itself, or misfire for that of a cylinder; none where it is not.
    pub fn judged(&self) -> Option<Code> {
        match self.tells() {
            Some((_, Hazard::RawFuel)) => Some(Code::Misfire),
            _ => self.0.parse().ok(),
        }
    }

    /// The danger that it tells of though no such code is judged, with its name.
    pub fn tells(&self) -> Option<(&'static str, Hazard)> {
        TELLING.into_iter().find(|(code, _)| *code == self.0)
    }

    /// The judged code that it is one slip away from; none where there is none.
    pub fn near(&self) -> Option<&'static str> {
        nearest(&self.0, Code::WORDS.iter().map(|(word, ..)| *word))
    }

    fn is_one(text: &str) -> bool {
        let letters: Vec<char> = text.chars().collect();
        match letters[..] {
            [system, group, ref rest @ ..] if rest.len() == 3 => {
                "PCBUpcbu".contains(system)
                    && "0123".contains(group)
                    && rest.iter().all(char::is_ascii_hexdigit)
            }
            _ => false,
        }
    }
}

impl fmt::Display for SetCode {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl std::str::FromStr for SetCode {
    type Err = String;

    /// # Errors
    /// It has not the shape of a code; the nearest judged one.
    fn from_str(text: &str) -> Result<Self, String> {
        if Self::is_one(text) {
            return Ok(Self(text.to_ascii_uppercase()));
        }
        let near = nearest(text, Code::WORDS.iter().map(|(word, ..)| *word));
        Err(match near {
            Some(near) => say::no_code_but(quote(text), near),
            None => say::no_code(quote(text)),
        })
    }
}

impl Described for SetCode {
    fn form() -> Form {
        Form::Either(vec![Code::form(), Form::Shaped(SHAPE)])
    }

    fn content(&self) -> Content {
        Content::Text(self.0.clone())
    }
}

impl<'de> Deserialize<'de> for SetCode {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        text.parse().map_err(D::Error::custom)
    }
}
