//! What a column of a log can be: one of the program's readings, or a circumstance.

use crate::network::readings::{ALL, FORMS, Reading};
use crate::params::renamed;
use crate::units::Dimension;

/// A signal of a log. Values stand in [`Channel::unit`], that of the reading of the same key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Channel {
    /// A reading of the model.
    Read(Reading),
    /// Pressure of the air around the car, absolute.
    AmbientPressure,
    /// Temperature of the air around the car.
    AmbientTemperature,
    /// Engine coolant.
    Coolant,
    /// Load as the share of the largest air flow at this speed (SAE J1979, 04).
    CalculatedLoad,
    /// Mixture that the computer commands (SAE J1979, 44).
    CommandedLambda,
    /// Gear.
    Gear,
}

/// Key, label, unit of what is no reading of the model.
const OTHERS: [(Channel, &str, &str, &str); 6] = [
    (
        Channel::AmbientPressure,
        "ambient_kpa",
        "ambient pressure (abs)",
        "kPa",
    ),
    (
        Channel::AmbientTemperature,
        "ambient_temp_c",
        "ambient temperature",
        "°C",
    ),
    (
        Channel::Coolant,
        "coolant_temp_c",
        "coolant temperature",
        "°C",
    ),
    (
        Channel::CalculatedLoad,
        "calculated_load_pct",
        "calculated load",
        "%",
    ),
    (
        Channel::CommandedLambda,
        "commanded_lambda",
        "commanded lambda",
        "",
    ),
    (Channel::Gear, "gear", "gear", ""),
];

impl Channel {
    /// What can stand for load, the best first.
    pub const LOADS: [Channel; 4] = [
        Channel::Read(Reading::Manifold),
        Channel::Read(Reading::MeteredAir),
        Channel::Read(Reading::AbsoluteLoad),
        Channel::CalculatedLoad,
    ];

    /// Every channel.
    pub fn all() -> impl Iterator<Item = Channel> {
        let others = OTHERS.iter().map(|other| other.0);
        ALL.iter()
            .map(|reading| Channel::Read(*reading))
            .chain(others)
    }

    /// The channel of a key.
    pub fn from_key(key: &str) -> Option<Channel> {
        let now = renamed(key);
        Channel::all().find(|channel| channel.key() == now)
    }

    fn words(self) -> (&'static str, &'static str, &'static str) {
        if let Channel::Read(reading) = self {
            let form = &FORMS[reading as usize];
            return (form.key, form.label, form.unit);
        }
        let found = OTHERS.iter().find(|other| other.0 == self);
        found.map_or(("", "", ""), |(_, key, label, unit)| (key, label, unit))
    }

    /// Key in files.
    pub fn key(self) -> &'static str {
        self.words().0
    }

    /// Words in tables.
    pub fn label(self) -> &'static str {
        self.words().1
    }

    /// Unit of its values; empty for a plain number.
    pub fn unit(self) -> &'static str {
        self.words().2
    }

    /// The reading of the model, if it is one.
    pub fn reading(self) -> Option<Reading> {
        match self {
            Channel::Read(reading) => Some(reading),
            _ => None,
        }
    }

    /// What it measures: decides which units a column may have. Pressures say from where
    /// they count.
    pub fn dimension(self) -> Dimension {
        match self.unit() {
            "rpm" | "krpm" => Dimension::AngularSpeed,
            "g/s" => Dimension::MassFlow,
            "°C" => Dimension::Temperature,
            "km/h" => Dimension::Speed,
            "N m" => Dimension::Torque,
            "kW" => Dimension::Power,
            "kPa" | "psi" => match self {
                Channel::Read(Reading::Manifold) | Channel::AmbientPressure => {
                    Dimension::AbsolutePressure
                }
                Channel::Read(Reading::InletDepression) => Dimension::PressureDifference,
                _ => Dimension::GaugePressure,
            },
            _ => Dimension::Ratio,
        }
    }

    /// Whether it is an amount, which goes as a power of speed and load rather than as a sum.
    pub(super) fn is_amount(self) -> bool {
        matches!(
            self,
            Channel::Read(Reading::MeteredAir | Reading::AbsoluteLoad | Reading::Manifold)
        )
    }

    /// What a value near nothing is measured by, in [`unit`](Self::unit) (own choice).
    pub(super) fn small(self) -> f64 {
        match self.dimension() {
            Dimension::Ratio if self.unit() == "%" => 5.0,
            Dimension::Ratio => 0.1,
            Dimension::GaugePressure => 20.0,
            _ => 1.0,
        }
    }

    /// Least and largest value that can be true, in [`unit`](Self::unit); anything else in a
    /// log is a bad cell (own choice, wide).
    pub fn range(self) -> [f64; 2] {
        match self {
            Channel::Read(Reading::EngineSpeed) => [0.0, 20_000.0],
            Channel::Gear => [0.0, 12.0],
            _ => match self.dimension() {
                Dimension::AbsolutePressure => [1.0, 1000.0],
                Dimension::GaugePressure => [-105.0, 900.0],
                Dimension::Temperature => [-60.0, 1400.0],
                Dimension::Speed => [-10.0, 500.0],
                Dimension::MassFlow => [-50.0, 2000.0],
                Dimension::AngularSpeed => [0.0, 500.0],
                _ => [-1e5, 1e5],
            },
        }
    }
}
