//! Units as logs write them, and what they make of a number.

use sim::study::knowing::log::Channel;
use sim::units::{Dimension, convert, parse};

/// From where a pressure counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Datum {
    /// From vacuum.
    Absolute,
    /// From the air around the car.
    Gauge,
    /// From the air around the car downwards.
    Vacuum,
}

/// What a column's numbers count in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Scale {
    /// A unit of the table of units, by its name there.
    Unit(&'static str, Dimension),
    /// Air over fuel by mass.
    AirFuelRatio,
    /// A share of 1.
    Share,
    /// A factor that stands for a share more or less than 1.
    Factor,
    /// Nothing: the number as it is.
    Plain,
}

impl Scale {
    /// What it measures; none for what the table of units does not hold.
    pub fn dimension(self) -> Option<Dimension> {
        match self {
            Scale::Unit(_, of) => Some(of),
            _ => None,
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Scale::Unit(name, _) => name,
            Scale::AirFuelRatio => "air/fuel",
            Scale::Share => "share of 1",
            Scale::Factor => "factor",
            Scale::Plain => "",
        }
    }
}

/// What is said of a column's unit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Given {
    pub scale: Option<Scale>,
    pub datum: Option<Datum>,
}

/// Other spellings than those of the table of units, in small letters without spaces.
const ALSO: &[(&str, &str)] = &[
    ("u/min", "rpm"),
    ("rpm", "rpm"),
    ("min-1", "rpm"),
    ("krpm", "krpm"),
    ("pct", "%"),
    ("prozent", "%"),
    ("g/sec", "g/s"),
    ("gm/s", "g/s"),
    ("gm/sec", "g/s"),
    ("kmh", "km/h"),
    ("mi/h", "mph"),
    ("msec", "ms"),
    ("µs", "us"),
    ("μs", "us"),
    ("millisecond", "ms"),
    ("milliseconds", "ms"),
    ("secs", "s"),
    ("mb", "mbar"),
    ("nm", "N m"),
    ("lbft", "lbf ft"),
    ("ftlb", "lbf ft"),
];

/// Dimensions that a log's columns have. Pressures are looked up without their datum.
const DIMENSIONS: [Dimension; 9] = [
    Dimension::AngularSpeed,
    Dimension::PressureDifference,
    Dimension::MassFlow,
    Dimension::Speed,
    Dimension::Temperature,
    Dimension::Torque,
    Dimension::Power,
    Dimension::Time,
    Dimension::Ratio,
];

/// The datum that a word stands for.
pub(super) fn datum(word: &str) -> Option<Datum> {
    match word.trim_matches('.') {
        "abs" | "absolute" | "a" => Some(Datum::Absolute),
        "vacuum" | "vac" => Some(Datum::Vacuum),
        "gauge" | "gage" | "g" | "rel" | "relative" => Some(Datum::Gauge),
        _ => None,
    }
}

/// What a text says of a unit, if it is one: `kPa`, `psig`, `bar abs`, `°F`, `g_s`.
pub(super) fn unit(text: &str) -> Given {
    let small = degrees(&text.trim().to_lowercase());
    let words: Vec<&str> = small.split([' ', ',', '_', '(', ')']).collect();
    let said = words.iter().skip(1).find_map(|word| datum(word));
    let kept = words
        .iter()
        .enumerate()
        .filter(|(i, w)| *i == 0 || datum(w).is_none());
    let plain: String = kept.map(|(_, word)| *word).collect();
    let scale = match plain.as_str() {
        "afr" | "a/f" | "air/fuel" | ":1" => Some(Scale::AirFuelRatio),
        "λ" | "lambda" | "deg" => Some(Scale::Plain),
        // Never what a log counts in: minutes, hours, metres.
        "" | "min" | "h" | "m" | "1" => None,
        _ => of_the_table(&plain),
    };
    let pressure = scale.and_then(Scale::dimension) == Some(Dimension::PressureDifference);
    if scale.is_some() {
        let datum = said.filter(|_| pressure);
        return Given { scale, datum };
    }
    // `psia`, `barg`: the letter says from where it counts.
    let letter = plain.char_indices().next_back();
    let lettered = letter.and_then(|(at, _)| {
        let scale = of_the_table(&plain[..at]).filter(|_| at > 1)?;
        let pressure = scale.dimension() == Some(Dimension::PressureDifference);
        let datum = datum(&plain[at..]).filter(|_| pressure)?;
        Some(Given {
            scale: Some(scale),
            datum: Some(datum),
        })
    });
    lettered.unwrap_or_default()
}

/// Degrees by whatever sign: look-alikes, the sign that a wrong code page makes of it, the one
/// that stands for a lost letter.
fn degrees(small: &str) -> String {
    let lost = ['?', '\u{fffd}', 'ø', '¡', '˚'];
    let unsigned = small.trim_start_matches(lost);
    if unsigned.len() < small.len() && ["c", "f"].contains(&unsigned) {
        return format!("deg{unsigned}");
    }
    let small = small.replace('℃', "degc").replace('℉', "degf");
    small.replace(['º', '°'], "deg")
}

/// Whether a text is nothing but a unit, as in a row of units.
pub(super) fn stands_alone(text: &str) -> bool {
    let text = text.trim().trim_matches(['[', ']', '(', ')']);
    let clock = text.to_lowercase().starts_with("hh:mm");
    unit(text).scale.is_some() || clock || text == "-" || text == "--"
}

fn of_the_table(plain: &str) -> Option<Scale> {
    let other = ALSO.iter().find(|(also, _)| *also == plain);
    let plain = other.map_or(plain, |(_, name)| name);
    DIMENSIONS.into_iter().find_map(|dimension| {
        let letters = |name: &str| name.to_lowercase().replace(' ', "");
        let named = dimension
            .units()
            .find(|name| letters(name) == letters(plain));
        let name = named.or_else(|| dimension.unit_of(plain))?;
        Some(Scale::Unit(name, dimension))
    })
}

/// What turns a column's numbers into a channel's: `value = number · factor + shift`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Affine {
    pub factor: f64,
    pub shift: f64,
}

impl Affine {
    pub const SAME: Affine = Affine {
        factor: 1.0,
        shift: 0.0,
    };

    /// The same counted the other way.
    pub fn turned(self) -> Self {
        Self {
            factor: -self.factor,
            shift: -self.shift,
        }
    }

    pub fn of(self, number: f64) -> f64 {
        number * self.factor + self.shift
    }
}

/// Units that a column of a channel may have whose name tells none.
const UNSAID: &[&str] = &[
    "rpm", "krpm", "kPa", "mbar", "g/s", "kg/h", "lb/min", "km/h", "mph", "m/s", "degC", "degF",
    "K", "%",
];
/// How far ambient pressure may move the ends of a pressure, kPa.
const AIR: f64 = 115.0;

/// The numbers that a column of this channel can hold, in its own unit or, where that is not
/// said, in any it may have; from where a pressure counts left open.
pub(super) fn gate(channel: Channel, Given { scale, datum }: Given) -> [f64; 2] {
    let [low, high] = channel.range();
    let own = channel == Channel::AmbientPressure
        || channel.dimension() == Dimension::AbsolutePressure && datum == Some(Datum::Absolute);
    let air = match (channel.dimension(), channel.unit()) {
        _ if own => 0.0,
        (Dimension::AbsolutePressure | Dimension::GaugePressure, "psi") => AIR / 6.9,
        (Dimension::AbsolutePressure | Dimension::GaugePressure, _) => AIR,
        _ => 0.0,
    };
    let bare = [
        Scale::AirFuelRatio,
        Scale::Share,
        Scale::Factor,
        Scale::Plain,
    ];
    let named = UNSAID.iter().filter_map(|name| of_the_table(name));
    let all: Vec<Scale> = match scale {
        Some(scale) => vec![scale],
        None => bare.into_iter().chain(named).collect(),
    };
    let ways = all.iter().filter_map(|scale| affine(*scale, channel, 14.7));
    ways.fold([f64::INFINITY, f64::NEG_INFINITY], |ends, way| {
        let [low, high] = [low - air, high + air].map(|end| (end - way.shift) / way.factor);
        [ends[0].min(low), ends[1].max(high)]
    })
}

/// Whether a unit can be that of a channel's column.
pub(super) fn fits(scale: Scale, channel: Channel) -> bool {
    affine(scale, channel, 14.7).is_some()
}

/// What turns numbers in a unit into those of a channel, from where a pressure counts left
/// aside; none where it does not fit. `stoichiometric` is the ratio that stands for lambda 1.
pub(super) fn affine(scale: Scale, channel: Channel, stoichiometric: f64) -> Option<Affine> {
    let (own, dimension) = (channel.unit(), channel.dimension());
    let scaled = |factor| Some(Affine { factor, shift: 0.0 });
    match scale {
        Scale::AirFuelRatio => match channel.key() {
            "lambda" | "lambda_sensor" | "commanded_lambda" => scaled(1.0 / stoichiometric),
            _ => None,
        },
        Scale::Share => (own == "%").then_some(Affine {
            factor: 100.0,
            shift: 0.0,
        }),
        Scale::Factor => (own == "%" && channel.key().ends_with("trim_pct")).then_some(Affine {
            factor: 100.0,
            shift: -100.0,
        }),
        Scale::Plain => (dimension == Dimension::Ratio && own != "%").then_some(Affine::SAME),
        Scale::Unit("%", _) => (own == "%").then_some(Affine::SAME),
        Scale::Unit(name, of) => {
            let looked_up = match dimension {
                Dimension::GaugePressure | Dimension::AbsolutePressure => {
                    Dimension::PressureDifference
                }
                other => other,
            };
            if of != looked_up {
                return None;
            }
            let own = if own == "°C" { "degC" } else { own };
            let at = |number: f64| {
                let si = parse(&format!("{number} {name}"), of).ok()?;
                convert(si, own, of).ok()
            };
            // Far enough from absolute zero for every unit, and exact in most.
            let (low, high) = (at(0.0)?, at(1000.0)?);
            Some(Affine {
                factor: (high - low) / 1000.0,
                shift: low,
            })
        }
    }
}
