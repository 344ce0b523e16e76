//! What of a fault people can see: how far each reading moves, beside what its instrument is off by
//! and beside how healthy cars of the make differ.

use crate::control::Command;
use crate::network::Reading;
use crate::network::readings::READINGS;
use crate::study::asking::sensitivity::{Quantity, Sensitivity, quantities};
use crate::study::knowing::doubt::{CarDoubt, instrument};
use crate::study::running::simulate::{Comparison, Side};

/// Standard deviations within which 95 % of healthy cars lie.
const WITHIN: f64 = 1.96;

/// Readings that are taken at a car: at its plug, by a boost gauge, on a roller.
const TAKEN: [Reading; 12] = [
    Reading::MeteredAir,
    Reading::LambdaSensor,
    Reading::ShortTrim,
    Reading::LongTrim,
    Reading::BoostSensor,
    Reading::Manifold,
    Reading::EngineSpeed,
    Reading::WastegateDuty,
    Reading::Throttle,
    Reading::Torque,
    Reading::IntakeTemperature,
    Reading::Misfire,
];

/// Healthy cars of a make, as they differ from each other.
#[derive(Clone, Debug)]
pub struct Make {
    pub(super) sound: Comparison,
    doubt: CarDoubt,
}

impl Make {
    /// The make of these cars.
    pub fn of(cars: &Comparison) -> Self {
        let sound = cars.network.healthy();
        Self {
            doubt: CarDoubt::usual(&sound, 1.0),
            sound: Comparison::learnt_before(&sound, *cars.learnt(false), *cars.learnt(false)),
        }
    }

    /// Half the width of the band in which 95 % of healthy cars read, by reading, where this healthy
    /// car is at `side`: `1.96 √(diag(J Σ Jᵀ))`, linear in the doubts between cars. None where the
    /// slopes cannot be had.
    pub fn spread(&self, side: &Side, command: Command) -> Option<[f64; READINGS]> {
        let known = quantities(&self.sound.network);
        let keys = self.doubt.keys.iter().map(|key| Quantity {
            key: key.clone(),
            value: (known.iter().find(|q| q.key == *key)).map_or(f64::NAN, |q| q.value),
        });
        let sensitivity = Sensitivity::new(&self.sound, keys.collect());
        let (slopes, _) = sensitivity.at(side, command)?;
        let by_doubt = &slopes.readings * &self.doubt.factor;
        Some(std::array::from_fn(|i| WITHIN * by_doubt.row(i).norm()))
    }
}

/// A reading that a fault moves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Which.
    pub reading: Reading,
    /// The faulty car's less the healthy one's, the reading's own unit.
    pub change: f64,
    /// Standard deviation of its instrument, the same.
    pub instrument: f64,
    /// Half the width of the band in which 95 % of healthy cars read; 0 where it is not known.
    pub spread: f64,
}

impl Seen {
    /// The readings that are taken at a car and that both cars have, in a fixed order.
    pub fn all(healthy: &Side, faulty: &Side, spread: Option<&[f64; READINGS]>) -> Vec<Self> {
        let seen = TAKEN.iter().filter_map(|reading| {
            let [was, is] = [healthy, faulty].map(|side| side.readings.get(*reading));
            let (was, is) = (was?, is?);
            Some(Self {
                reading: *reading,
                change: is - was,
                instrument: instrument(*reading).deviation(was),
                spread: spread.map_or(0.0, |spread| spread[*reading as usize]),
            })
        });
        seen.collect()
    }

    /// The change in standard deviations of instrument and make together.
    pub fn far(&self) -> f64 {
        self.change.abs() / self.instrument.hypot(self.spread / WITHIN)
    }

    /// Whether the instrument would show it to one who knows what the healthy car reads.
    pub fn shows(&self) -> bool {
        self.change.abs() > WITHIN * self.instrument
    }

    /// Whether the reading leaves the band of healthy cars by more than the instrument is off by: by
    /// it alone such a car is told from a healthy one.
    pub fn stands_out(&self) -> bool {
        self.far() > WITHIN
    }
}
