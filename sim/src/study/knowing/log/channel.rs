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
    /// Boost that the computer aims at.
    CommandedBoost,
    /// Air at the mass air flow sensor, before the turbo.
    MeterTemperature,
    /// Gear.
    Gear,
}

/// Key, label, unit of what is no reading of the model.
const OTHERS: [(Channel, &str, &str, &str); 8] = [
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
    (
        Channel::CommandedBoost,
        "commanded_boost_kpa",
        "commanded boost (gauge)",
        "kPa",
    ),
    (
        Channel::MeterTemperature,
        "meter_air_temp_c",
        "air temperature at the mass air flow sensor",
        "°C",
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

    /// Whether it tells the mixture.
    pub(super) fn is_mixture(self) -> bool {
        matches!(
            self,
            Channel::Read(Reading::Lambda | Reading::LambdaSensor) | Channel::CommandedLambda
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
    /// log is a bad cell (own choice, wide; what tools write for no value lies outside: 0xFF and
    /// 0xFFFF in the scales of SAE J1979, from memory).
    pub fn range(self) -> [f64; 2] {
        use Reading as R;
        match self {
            Channel::Read(R::EngineSpeed) => [0.0, 12_000.0],
            Channel::Gear => [0.0, 12.0],
            Channel::AmbientPressure => [45.0, 115.0],
            Channel::AmbientTemperature => [-60.0, 70.0],
            Channel::Coolant => [-60.0, 160.0],
            Channel::MeterTemperature | Channel::Read(R::IntakeTemperature) => [-60.0, 200.0],
            // A sensor in free air reads far beyond what burns.
            Channel::CommandedLambda | Channel::Read(R::Lambda | R::LambdaSensor) => [0.3, 40.0],
            Channel::Read(R::FuelTrim | R::ShortTrim | R::LongTrim) => [-75.0, 90.0],
            Channel::Read(R::AbsoluteLoad) => [-5.0, 700.0],
            Channel::Read(R::Manifold) => [1.0, 600.0],
            Channel::Read(R::BoostPsi) => [-15.5, 75.0],
            Channel::Read(R::MeteredAir) => [-50.0, 650.0],
            Channel::Read(R::Pedal | R::Throttle | R::Wastegate | R::WastegateDuty)
            | Channel::CalculatedLoad => [-25.0, 130.0],
            _ => match self.dimension() {
                Dimension::AbsolutePressure => [1.0, 1000.0],
                Dimension::GaugePressure => [-105.0, 500.0],
                Dimension::Temperature => [-60.0, 1400.0],
                Dimension::Speed => [-10.0, 500.0],
                Dimension::MassFlow => [-50.0, 2000.0],
                Dimension::AngularSpeed => [0.0, 500.0],
                _ => [-1e5, 1e5],
            },
        }
    }
}
