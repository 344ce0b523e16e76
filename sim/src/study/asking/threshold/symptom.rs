//! What one watches for, in words and as a number that turns positive.

use crate::control::Code;
use crate::control::watchdogs::TRIPS;
use crate::network::readings::{ALL, FORMS};
use crate::network::{Network, Reading};
use crate::params::renamed;
use crate::say::asking as say;
use crate::spelling::unknown;
use crate::study::running::simulate::Side;
use std::fmt;

/// A symptom: something that shows from some size on.
///
/// # Examples
/// ```
/// use sim::Symptom;
/// assert!(Symptom::read("boost_kpa down 5").is_ok());
/// let wrong = Symptom::read("boost_kpaa down 5").unwrap_err();
/// assert!(wrong.to_string().contains("boost_kpa"));
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Symptom {
    /// As it was written.
    pub text: String,
    kind: Kind,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    /// One code is set, or any.
    Code(Option<Code>),
    /// A reading stands above (or below) a number, or the shaft's speed limit.
    Stands(Reading, Way, Option<f64>),
    /// A reading has moved from the healthy car's by more than a number, or per cent.
    Moved(Reading, Way, f64, bool),
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Way {
    Up,
    Down,
    Either,
}

/// What is watched at one point: the symptom shows where the margin is not negative.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Signal {
    /// `sign (reading − from)`.
    Reading(Reading, f64, f64),
    /// Level of a watchdog.
    Level(Code),
}

const HOW: &str = "write a code (`P0171`, or `code` for any), `READING > 10`, `READING < 10`, \
`shaft_krpm > limit`, or a change from the healthy car: `READING up 10`, `READING down 3 %`, \
`READING off 5` (either way)";

/// A text that is no symptom, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SymptomError {
    /// The text.
    pub text: String,
    /// What is wrong with it.
    pub why: NoSymptom,
}

/// Why a text is no symptom.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoSymptom {
    /// No such code.
    UnknownCode(String),
    /// No such reading.
    UnknownReading(String),
    /// Not a number where one is needed.
    NoNumber(String),
    /// A word too many.
    OneTooMany(String),
    /// No comparison.
    NoComparison(String),
    /// Per cent where a reading is compared in its own unit.
    OwnUnit,
    /// A change that is none.
    NoChange,
    /// Too few words.
    TooShort,
}

impl fmt::Display for SymptomError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "symptom `{}`: {}\n{HOW}", self.text, self.why)
    }
}

impl std::error::Error for SymptomError {}

impl fmt::Display for NoSymptom {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            NoSymptom::UnknownCode(word) => {
                let known = Code::WORDS.iter().map(|(known, ..)| *known);
                f.write_str(&unknown("code", word, known))
            }
            NoSymptom::UnknownReading(key) => {
                let keys = FORMS.iter().map(|form| form.key);
                f.write_str(&unknown("reading", key, keys))
            }
            NoSymptom::NoNumber(number) => write!(f, "`{number}` is not a number"),
            NoSymptom::OneTooMany(more) => write!(f, "`{more}` is one word too many"),
            NoSymptom::NoComparison(how) => write!(f, "`{how}` is no comparison"),
            NoSymptom::OwnUnit => f.write_str("a reading is compared in its own unit"),
            NoSymptom::NoChange => f.write_str("a change must be greater than zero"),
            NoSymptom::TooShort => f.write_str("too short"),
        }
    }
}

impl Symptom {
    /// From words: `fuel_trim_pct > 10`, `boost_kpa down 5`, `torque_nm down 3 %`,
    /// `lambda off 0.03`, `shaft_krpm > limit`, `P0171`, `code`. Numbers are in the
    /// reading's own unit; `%` after them means of the healthy car's reading, unless that
    /// is in per cent itself.
    ///
    /// # Errors
    /// Says what is wrong and what may be written.
    pub fn read(text: &str) -> Result<Self, SymptomError> {
        let kind = kind(text).map_err(|why| SymptomError {
            text: text.trim().into(),
            why,
        })?;
        let words: Vec<&str> = text.split_whitespace().collect();
        Ok(Self {
            text: words.join(" "),
            kind,
        })
    }

    /// What a technician would notice: trim, mixture, boost, torque, turbo speed, any code.
    /// Amounts are common practice, no source.
    pub fn usual() -> Vec<Self> {
        let usual = |text: &str, kind| Self {
            text: text.into(),
            kind,
        };
        vec![
            usual(
                "fuel_trim_pct off 10",
                Kind::Moved(Reading::FuelTrim, Way::Either, 10.0, false),
            ),
            usual(
                "lambda off 0.03",
                Kind::Moved(Reading::Lambda, Way::Either, 0.03, false),
            ),
            usual(
                "boost_kpa down 5",
                Kind::Moved(Reading::Boost, Way::Down, 5.0, false),
            ),
            usual(
                "torque_nm down 3 %",
                Kind::Moved(Reading::Torque, Way::Down, 3.0, true),
            ),
            usual(
                "shaft_krpm > limit",
                Kind::Stands(Reading::ShaftSpeed, Way::Up, None),
            ),
            usual("code", Kind::Code(None)),
        ]
    }

    /// The same in words: `fuel trim off by 10 %`, `turbo speed over its limit`.
    pub fn words(&self) -> String {
        let named = |reading: Reading, amount: f64, percent: bool| {
            let form = &FORMS[reading as usize];
            let unit = if percent { "%" } else { form.unit };
            let amount = format!("{amount} {unit}");
            (form.label, amount.trim_end().to_string())
        };
        match self.kind {
            Kind::Code(Some(code)) => say::code_set(code.word(), code.name()),
            Kind::Code(None) => say::ANY_CODE.into(),
            Kind::Stands(reading, _, None) => say::over_its_limit(FORMS[reading as usize].label),
            Kind::Stands(reading, way, Some(number)) => {
                let (label, number) = named(reading, number, false);
                match way {
                    Way::Down => say::stands_below(label, number),
                    _ => say::stands_above(label, number),
                }
            }
            Kind::Moved(reading, way, amount, percent) => {
                let (label, amount) = named(reading, amount, percent);
                match way {
                    Way::Up => say::moved_up(label, amount),
                    Way::Down => say::moved_down(label, amount),
                    Way::Either => say::moved_off(label, amount),
                }
            }
        }
    }

    /// A code is set.
    pub fn code(code: Code) -> Self {
        Self {
            text: code.word().into(),
            kind: Kind::Code(Some(code)),
        }
    }

    /// What to watch at a point where the healthy car reads `sound`; nothing where the
    /// symptom has no meaning.
    pub(super) fn signals(&self, car: &Network<f64>, sound: &Side) -> Vec<Signal> {
        match self.kind {
            Kind::Code(Some(code)) => vec![Signal::Level(code)],
            Kind::Code(None) => {
                let codes = Code::WORDS.iter();
                codes.map(|(_, code, _)| Signal::Level(*code)).collect()
            }
            Kind::Stands(reading, way, number) => {
                let limit = car.vehicle.shaft.speed_limit * 30.0 / std::f64::consts::PI / 1e3;
                let number = number.unwrap_or(limit);
                ends(reading, way, number, number)
            }
            Kind::Moved(reading, way, amount, percent) => {
                let read = sound.unreduced.as_ref().unwrap_or(&sound.readings);
                match read.get(reading) {
                    // A share of nothing (torque at idle) means nothing.
                    Some(was) if !percent || was.abs() > 1e-3 => {
                        let by = if percent {
                            0.01 * amount * was.abs()
                        } else {
                            amount
                        };
                        ends(reading, way, was + by, was - by)
                    }
                    _ => Vec::new(),
                }
            }
        }
    }
}

fn ends(reading: Reading, way: Way, high: f64, low: f64) -> Vec<Signal> {
    let up = Signal::Reading(reading, 1.0, high);
    let down = Signal::Reading(reading, -1.0, low);
    match way {
        Way::Up => vec![up],
        Way::Down => vec![down],
        Way::Either => vec![up, down],
    }
}

impl Signal {
    /// Margin and its slope, from readings and levels with theirs; none where the
    /// reading has no meaning, or the watchdog is not enabled.
    pub(super) fn margin(
        self,
        readings: impl Fn(Reading) -> Option<(f64, f64)>,
        levels: impl Fn(Code) -> Option<(f64, f64)>,
    ) -> Option<(f64, f64)> {
        match self {
            Signal::Reading(reading, sign, from) => {
                readings(reading).map(|(value, slope)| (sign * (value - from), sign * slope))
            }
            Signal::Level(code) => levels(code).map(|(value, slope)| (value - TRIPS, slope)),
        }
    }
}

fn kind(text: &str) -> Result<Kind, NoSymptom> {
    let spaced = text
        .replace('>', " > ")
        .replace('<', " < ")
        .replace('%', " %");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    match words[..] {
        ["code"] => Ok(Kind::Code(None)),
        [word] => {
            let found = Code::WORDS.iter().find(|(known, ..)| *known == word);
            let found = found.map(|(_, code, _)| Kind::Code(Some(*code)));
            found.ok_or_else(|| NoSymptom::UnknownCode(word.into()))
        }
        ["shaft_krpm", ">", "limit"] => Ok(Kind::Stands(Reading::ShaftSpeed, Way::Up, None)),
        [key, how, number, ref rest @ ..] => {
            let reading = reading(key)?;
            let value = number.parse::<f64>().ok().filter(|n| n.is_finite());
            let value = value.ok_or_else(|| NoSymptom::NoNumber(number.into()))?;
            // Of a reading in per cent, `%` is its own unit.
            let percent = match rest {
                [] => false,
                ["%"] => FORMS[reading as usize].unit != "%",
                [more, ..] => return Err(NoSymptom::OneTooMany((*more).into())),
            };
            let way = match how {
                ">" | "up" => Way::Up,
                "<" | "down" => Way::Down,
                "off" => Way::Either,
                _ => return Err(NoSymptom::NoComparison(how.into())),
            };
            match how {
                ">" | "<" if percent => Err(NoSymptom::OwnUnit),
                ">" | "<" => Ok(Kind::Stands(reading, way, Some(value))),
                _ if value > 0.0 => Ok(Kind::Moved(reading, way, value, percent)),
                _ => Err(NoSymptom::NoChange),
            }
        }
        _ => Err(NoSymptom::TooShort),
    }
}

fn reading(key: &str) -> Result<Reading, NoSymptom> {
    let found = FORMS.iter().position(|form| form.key == renamed(key));
    found
        .map(|i| ALL[i])
        .ok_or_else(|| NoSymptom::UnknownReading(key.into()))
}
