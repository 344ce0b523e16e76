//! What a plate leaves open beside [`Unlike`]'s aspects: where computers of other makes stop and what they
//! watch, and at which speed a turbo of another size begins to build boost.

use super::unlike::{PSI, Unlike};
use crate::network::Reading as R;
use statrs::function::erf::erfc;
use std::f64::consts::{PI, SQRT_2};

/// Where a computer stops adding or taking fuel, %, all its trims together, and its standard deviation:
/// makes give each of two trims a quarter or so, or both together (common practice, no source).
const TRIM_STOP: f64 = 35.0;
const TRIM_STOPS: f64 = 10.0;

/// Probability that a code is not set though its watch would set it: makes watch at other limits and
/// times, over two drives, or not at all (own choice).
const UNSET: f64 = 0.3;

/// Boost at full load where the wastegate is still shut, kPa and share of it, one standard deviation: a
/// turbo of another size builds it earlier or later, of which no plate tells (a healthy 2.5 L car with its
/// highest torque at 4000 rpm had 51 kPa at 2400 rpm with the pedal half down, the model of its plate 19
/// at full load: raw data of the public repository engine_analysis).
const BUILDS: (f64, f64) = (10.0, 0.6);

/// Boost at full load where it is regulated, share of it, one standard deviation: a plate tells torque, and how
/// much boost a make takes for it differs with filling, spark and friction (own choice).
const AIMED: f64 = 0.08;

/// Where boost is lost, how much of the enrichment goes with it, and its standard deviation: makes enrich
/// by the pedal or from some boost on (the car just named from about 20 kPa on, of 100).
const LEANER: [f64; 2] = [0.5, 0.35];
/// Share of the boost whose loss may take all of it.
const ALL_OF_IT: f64 = 0.6;

/// A wastegate less open than this regulates nothing, %.
const SHUT: f64 = 2.0;

/// What a computer gives of a trim that is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stopped {
    /// Mean, %.
    pub mean: f64,
    /// Standard deviation, %, with the sign of the trim: a later stop gives more of it.
    pub deviation: f64,
    /// How far it still goes with what is asked for, 0 to 1.
    pub follows: f64,
}

impl Unlike {
    /// What is given of a trim of `trim` %, all trims together, in a car of which only the plate is known;
    /// none where it is far from any stop. The smaller of it and a normal stop (clark1961, one of the two
    /// being certain).
    pub fn stopped(self, trim: f64) -> Option<Stopped> {
        let above = (trim.abs() - TRIM_STOP) / TRIM_STOPS;
        if !self.0 || above < -3.0 {
            return None;
        }
        let beyond = 0.5 * erfc(-above / SQRT_2);
        let density = (-0.5 * above * above).exp() / (2.0 * PI).sqrt();
        let over = above * beyond + density;
        let square = (above * above + 1.0) * beyond + above * density;
        let deviation = TRIM_STOPS * (square - over * over).max(0.0).sqrt();
        Some(Stopped {
            mean: (trim.abs() - TRIM_STOPS * over).copysign(trim),
            deviation: deviation.copysign(trim),
            follows: 1.0 - beyond,
        })
    }

    /// How a reading that shows `value` at full load goes with the boost of a turbo that nothing regulates
    /// yet, or with the boost aimed at: one standard deviation of that boost. `gate`: how far the wastegate is open, %; `boost`: kPa;
    /// `manifold`: kPa absolute, which air and torque go with.
    pub fn builds(self, reading: R, value: f64, [gate, boost, manifold]: [f64; 3]) -> f64 {
        if !self.0 {
            return 0.0;
        }
        let kilopascals = match gate > SHUT {
            true => AIMED * boost.max(0.0),
            false => BUILDS.0 + BUILDS.1 * boost.max(0.0),
        };
        match reading {
            R::Boost | R::BoostSensor | R::Manifold => kilopascals,
            R::BoostPsi => kilopascals * PSI,
            R::MeteredAir
            | R::EngineAir
            | R::CompressorFlow
            | R::AbsoluteLoad
            | R::Fuel
            | R::Torque
            | R::Power => value * kilopascals / manifold,
            _ => 0.0,
        }
    }

    /// How much leaner than `lambda` the mixture is at full load where only `boost` of `whole` kPa is left:
    /// mean and standard deviation.
    pub fn leaner(self, lambda: f64, [boost, whole]: [f64; 2]) -> [f64; 2] {
        if !self.0 || whole <= 0.0 || lambda >= 1.0 {
            return [0.0; 2];
        }
        let lost = ((1.0 - boost / whole) / ALL_OF_IT).clamp(0.0, 1.0);
        LEANER.map(|part| part * lost * (1.0 - lambda))
    }

    /// Probability that a code is not set though its watch would set it, beside what holds in any car.
    pub fn unset(self) -> f64 {
        match self.0 {
            true => UNSET,
            false => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the sum over a fine grid of stops; a stop far away changes nothing, one far below gives itself.
    #[test]
    fn the_smaller_of_a_trim_and_a_stop() {
        for trim in [-60.0, -30.0, 8.0, 20.0, 35.0, 56.25, 90.0] {
            let given = Unlike(true).stopped(trim);
            let (mut mass, mut mean, mut square) = (0.0, 0.0, 0.0);
            for k in -8000..=8000_i32 {
                let z = f64::from(k) * 1e-3;
                let weight = (-0.5 * z * z).exp();
                let value = trim.abs().min(TRIM_STOP + TRIM_STOPS * z).copysign(trim);
                mass += weight;
                mean += weight * value;
                square += weight * value * value;
            }
            let (mean, square) = (mean / mass, square / mass);
            let given = given.unwrap_or(Stopped {
                mean: trim,
                deviation: 0.0,
                follows: 1.0,
            });
            assert!((given.mean - mean).abs() < 0.01, "{trim}: {given:?} {mean}");
            let deviation = (square - mean * mean).max(0.0).sqrt();
            assert!(
                (given.deviation.abs() - deviation).abs() < 0.25,
                "{trim}: {given:?} {deviation}"
            );
        }
        assert_eq!(Unlike(false).stopped(56.0), None);
    }
}
