//! What is not known of an instrument: one table.

use crate::network::Reading;

/// Doubt of an instrument: standard deviation, the reading's own unit and share of the value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Instrument {
    /// The reading's own unit.
    pub absolute: f64,
    /// Share of the value.
    pub share: f64,
}

/// What a reading is off by when nothing else is said: resolution and scatter of the
/// instrument (SAE J1979 scalings where it has one), and what one point of the model
/// misses in a car that it describes well. Own choice.
pub fn instrument(reading: Reading) -> Instrument {
    use Reading as R;
    let (absolute, share) = match reading {
        R::EngineSpeed => (10.0, 0.005),
        R::MeteredAir | R::CompressorFlow => (0.03, 0.01),
        R::EngineAir | R::MeteringError => (0.05, 0.03),
        R::Lambda | R::LambdaSensor => (0.008, 0.0),
        R::FuelTrim | R::LongTrim => (0.9, 0.0),
        R::ShortTrim => (1.5, 0.0),
        R::Boost | R::BoostSensor => (1.5, 0.0),
        R::BoostPsi => (0.2, 0.0),
        R::Manifold => (0.7, 0.005),
        R::AbsoluteLoad => (0.5, 0.01),
        R::IntakeTemperature => (3.0, 0.0),
        R::ShaftSpeed => (0.5, 0.005),
        R::Wastegate => (4.0, 0.0),
        R::WastegateDuty => (2.0, 0.0),
        R::Pedal | R::RoadSpeed => (1.0, 0.01),
        R::Throttle => (0.4, 0.03),
        R::Torque => (1.0, 0.03),
        R::Power => (0.5, 0.03),
        R::Fuel => (0.005, 0.02),
        R::FuelConsumption => (5.0, 0.02),
        R::ExhaustTemperature | R::CatalystTemperature | R::CatalystOut => (25.0, 0.0),
        R::Misfire => (1.0, 0.1),
        R::ExhaustPressure => (2.0, 0.02),
        R::InletDepression => (0.1, 0.03),
        R::CrankcasePressure => (0.1, 0.05),
        R::SparkRetard => (1.5, 0.0),
        R::RecirculationValve => (5.0, 0.0),
        R::SurgeMargin => (0.1, 0.0),
    };
    Instrument { absolute, share }
}

impl Instrument {
    /// Standard deviation at a value, the reading's own unit.
    pub fn deviation(&self, value: f64) -> f64 {
        self.absolute.hypot(self.share * value)
    }
}
