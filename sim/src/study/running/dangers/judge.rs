//! Points against what is aimed at and what parts bear.

use super::{
    Aim, Beyond, CATALYST, CRANKCASE, Danger, Driven, Hazard, KNOCK, LEAN, LEAN_LIMIT, LEANEST,
    Limit, MISFIRES, OVER_REVVED, OVERBOOST, PLAIN_AIR, RICHEST, SERVO, SWING, Source, UNDER_BOOST,
};
use crate::control::{BoostControl, full_load_share};
use crate::network::{Reading, Readings, Vehicle};
use crate::study::running::trace::Sample;
use std::f64::consts::PI;

/// Boost, Pa below that of full load, from which an engine whose pedal is not known is taken
/// to be at full load.
const FULL_BOOST: f64 = 10e3;
/// Readings that tell boost.
pub(super) const BOOSTS: [Reading; 3] = [Reading::Boost, Reading::BoostSensor, Reading::Manifold];
/// Air over what fills the cylinders at the standard's density, above which they are boosted: charge
/// is warmer than the standard's, and no cylinder fills whole (own choice).
const BOOSTED: f64 = 1.0;
/// The same from which an engine that is driven burns fuel: one that the car pushes takes in less
/// (own choice: an idle takes 0.15 to 0.2).
const BURNS: f64 = 0.3;

/// What is known of a car, to judge what was read by.
///
/// # Examples
/// ```
/// use sim::{Aims, Driven, Hazard, Reading};
/// # let vehicle = sim::size(&sim::TenNumbers::example())?.vehicle;
/// let aims = Aims { vehicle: Some(&vehicle), ambient: 101_325.0, estimated: true };
/// // Lean under boost is a danger, not a bad reading.
/// let pull = Driven {
///     name: "pull".into(),
///     speed: Some(366.5),
///     pedal: Some(1.0),
///     reads: vec![(Reading::BoostSensor, 70.0), (Reading::LambdaSensor, 1.12)],
///     ..Driven::default()
/// };
/// let dangers = aims.dangers(&pull);
/// assert_eq!(dangers[0].hazard, Hazard::LeanUnderBoost);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Aims<'a> {
    /// Its file; without one only what holds for any car is judged.
    pub vehicle: Option<&'a Vehicle<f64>>,
    /// Pressure of the air around it, Pa.
    pub ambient: f64,
    /// Whether the file is an estimate, so that its aims are stated by nobody.
    pub estimated: bool,
}

impl<'a> Aims<'a> {
    /// Those of a car of the model, whose file states what it is; `ambient` in Pa.
    pub fn of_model(vehicle: &'a Vehicle<f64>, ambient: f64) -> Self {
        Self {
            vehicle: Some(vehicle),
            ambient,
            estimated: false,
        }
    }

    /// Every danger of a point, in the order of the list.
    pub fn dangers(&self, driven: &Driven) -> Vec<Danger> {
        let found = Hazard::all().filter_map(|hazard| {
            let beyond = self.beyond(hazard, driven)?;
            Some(Danger::read(hazard, &driven.name, beyond))
        });
        found.collect()
    }

    /// Every danger of a point of the model; `free` where the engine runs free.
    pub fn dangers_of(&self, readings: &Readings<f64>, free: bool) -> Vec<Danger> {
        let vehicle = self.vehicle;
        vehicle.map_or(Vec::new(), |vehicle| {
            self.dangers(&Driven::of_model(readings, vehicle, free))
        })
    }

    /// Every danger of a drive of the model that lasts: the worst of each kind, with its time.
    pub fn dangers_in(&self, samples: &[Sample]) -> Vec<Danger> {
        let mut since = [None; Hazard::WORDS.len()];
        let mut found: Vec<Danger> = Vec::new();
        for sample in samples {
            let now = self.dangers_of(&sample.readings, false);
            for hazard in Hazard::all() {
                let since = &mut since[hazard as usize];
                let Some(danger) = now.iter().find(|danger| danger.hazard == hazard) else {
                    *since = None;
                    continue;
                };
                let begun = *since.get_or_insert(sample.time);
                if sample.time - begun >= hazard.held() {
                    found.push(danger.clone().at(&format!("{:.1} s", sample.time)));
                }
            }
        }
        Danger::worst(found)
    }

    /// Whether the engine is under boost there: it was read, or, where it was not, more air was than
    /// fills the cylinders, the pedal is down, or the healthy car is by the model.
    pub fn under_boost(&self, driven: &Driven) -> bool {
        if let Some(boost) = driven.boost(self.ambient) {
            return boost > UNDER_BOOST;
        }
        let expected = driven.expected.is_some_and(|boost| boost > UNDER_BOOST);
        let held = expected || full_load_share(self.pedal(driven)) > 0.5;
        self.filled(driven, BOOSTED) || held && !driven.moving
    }

    /// Whether more air was read than this share of what fills the cylinders.
    fn filled(&self, driven: &Driven, share: f64) -> bool {
        let displacement = self.vehicle.map(|car| car.cylinders.displacement);
        let filling = driven.filling(displacement);
        filling.is_some_and(|filling| filling > share)
    }

    fn beyond(&self, hazard: Hazard, driven: &Driven) -> Option<Beyond> {
        let most = |reading, most| beyond(driven.of(reading), None, Limit::Most(most));
        match hazard {
            Hazard::LeanUnderBoost => self.lean(driven),
            Hazard::Overboost => self.overboost(driven),
            Hazard::TurboOverspeed => {
                let limit = self.vehicle?.shaft.speed_limit * 30e-3 / PI;
                most(Reading::ShaftSpeed, limit)
            }
            Hazard::EngineOverspeed => {
                let limit: f64 = self.vehicle?.speed_limit();
                let driven_at = driven.speed.map(|s| (Reading::EngineSpeed, s * 30.0 / PI));
                let read = driven.of(Reading::EngineSpeed).chain(driven_at);
                let limit = OVER_REVVED * limit * 30.0 / PI;
                let mut over = beyond(read, None, Limit::Most(limit))?;
                over.readings.truncate(1);
                Some(over)
            }
            Hazard::ExhaustHeat => {
                let limit = self.vehicle?.shaft.temperature_limit - 273.15;
                most(Reading::ExhaustTemperature, limit)
            }
            Hazard::CatalystHeat => {
                let before = driven.of(Reading::CatalystTemperature);
                let read = before.chain(driven.of(Reading::CatalystOut));
                beyond(read, None, Limit::Most(CATALYST))
            }
            Hazard::Knock => {
                // At idle the spark waits, to hold torque back.
                let loaded = driven.off_idle().unwrap_or(driven.speed.is_some());
                let loaded = loaded || self.under_boost(driven);
                most(Reading::SparkRetard, KNOCK).filter(|_| loaded)
            }
            Hazard::RawFuel => self.raw_fuel(driven),
            Hazard::CrankcasePressure => most(Reading::CrankcasePressure, CRANKCASE * 1e-3),
            Hazard::BrakeServo => self.servo(driven),
        }
    }

    fn lean(&self, driven: &Driven) -> Option<Beyond> {
        if !self.under_boost(driven) {
            return None;
        }
        let aim = self.lambda(driven);
        let most = match aim.source {
            Source::Estimate => LEANEST,
            // Nothing is safe under boost for having been asked for, at full load least of all.
            _ if full_load_share(self.pedal(driven)) > 0.5 => {
                (LEANEST + SWING).min(aim.value + LEAN)
            }
            _ => aim.value.min(LEANEST) + LEAN,
        };
        beyond(lambdas(driven), Some(aim), Limit::Most(most))
    }

    fn overboost(&self, driven: &Driven) -> Option<Beyond> {
        let aim = self.boost(driven)?;
        let allowed = match aim.source {
            Source::Estimate => 2.0 * OVERBOOST,
            _ => OVERBOOST,
        };
        let kilo = |(reading, boost): (Reading, f64)| (reading, boost * 1e-3);
        let read = driven.boosts(self.ambient).map(kilo);
        let limit = Limit::Most((aim.value + allowed) * 1e-3);
        let aim = Aim {
            value: aim.value * 1e-3,
            ..aim
        };
        beyond(read, Some(aim), limit)
    }

    /// A mixture that does not burn whole: raw fuel or air and fuel together reach the exhaust. The
    /// model knows how many cycles fail; else the mixture tells it, by a sensor only where fuel is
    /// injected.
    fn raw_fuel(&self, driven: &Driven) -> Option<Beyond> {
        // What burns nothing reads plain air; where nothing says that it burns, that may be so.
        let most = match driven.fuelled() {
            _ if driven.moving && !self.under_boost(driven) => 0.0,
            Some(true) => f64::INFINITY,
            None if self.filled(driven, BURNS) => PLAIN_AIR,
            _ => 0.0,
        };
        let read = || {
            let sensed = driven.of(Reading::LambdaSensor);
            let sensed = sensed.filter(|(_, lambda)| *lambda < most);
            driven.of(Reading::Lambda).chain(sensed)
        };
        let lean = self.vehicle.map_or(LEAN_LIMIT, |v| v.cylinders.lean_limit);
        beyond(driven.of(Reading::Misfire), None, Limit::Most(MISFIRES))
            .or_else(|| beyond(read(), None, Limit::Most(lean)))
            .or_else(|| beyond(read(), None, Limit::Least(RICHEST)))
    }

    /// Vacuum for the brake servo, where the manifold gives it.
    fn servo(&self, driven: &Driven) -> Option<Beyond> {
        if !driven.released() {
            return None;
        }
        let below = |(reading, kpa): (Reading, f64)| (reading, self.ambient * 1e-3 - kpa);
        let read = driven.of(Reading::Manifold).map(below);
        beyond(read, None, Limit::Least(SERVO * 1e-3))
    }

    /// Lambda aimed at: as read from the car; else what the vehicle file commands at that pedal,
    /// which off full load is 1 by closed loop in any car.
    fn lambda(&self, driven: &Driven) -> Aim {
        let pedal = self.pedal(driven);
        let closed_loop = full_load_share(pedal) == 0.0;
        match self.vehicle {
            Some(vehicle) => {
                let file = vehicle.fuelling.commanded_lambda(pedal);
                self.stated(driven.commanded.lambda, file, closed_loop)
            }
            None => match (driven.commanded.lambda, closed_loop) {
                (Some(value), _) => Aim {
                    value,
                    source: Source::Car,
                },
                (None, true) => Aim {
                    value: 1.0,
                    source: Source::ClosedLoop,
                },
                (None, false) => Aim {
                    value: LEANEST,
                    source: Source::Estimate,
                },
            },
        }
    }

    /// Boost aimed at, Pa above ambient: as read from the car; else what the vehicle file wants
    /// at that speed, or at its highest where the speed is not known or boost not controlled.
    fn boost(&self, driven: &Driven) -> Option<Aim> {
        let Some(vehicle) = self.vehicle else {
            let value = driven.commanded.boost?;
            let source = Source::Car;
            return Some(Aim { value, source });
        };
        let control = vehicle.boost.control;
        let controlled = !matches!(control, BoostControl::Spring | BoostControl::FixedDuty);
        let file = match driven.speed.filter(|_| controlled) {
            Some(speed) => vehicle.boost.wanted(speed),
            None => {
                let points = vehicle.boost.target.points().iter();
                points.map(|point| point[1]).fold(0.0, f64::max)
            }
        };
        Some(self.stated(driven.commanded.boost, file, false))
    }

    /// What is aimed at: what a car commands allows no more than what its file states, for the
    /// command itself may be what is wrong; where nobody has stated it, the car's word stands.
    fn stated(&self, car: Option<f64>, file: f64, certain: bool) -> Aim {
        let stated = !self.estimated;
        let (value, source) = match car {
            Some(value) if stated && value > file => (file, Source::Vehicle),
            Some(value) => (value, Source::Car),
            None if self.estimated && !certain => (file, Source::Estimate),
            None => (file, Source::Vehicle),
        };
        Aim { value, source }
    }

    /// The pedal; where it is not known, or moved while no boost was read, down if boost is that of
    /// full load.
    fn pedal(&self, driven: &Driven) -> f64 {
        let boost = driven.boost(self.ambient);
        let pedal = driven.pedal.filter(|_| !driven.moving || boost.is_some());
        pedal.unwrap_or_else(|| {
            let full = self.boost(driven).map(|aim| aim.value - FULL_BOOST);
            let boost = boost.zip(full);
            f64::from(u8::from(boost.is_some_and(|(boost, full)| boost >= full)))
        })
    }
}

/// What tells the mixture: a sensor, or the model itself.
fn lambdas(driven: &Driven) -> impl Iterator<Item = (Reading, f64)> + '_ {
    let sensed = driven.of(Reading::LambdaSensor);
    sensed.chain(driven.of(Reading::Lambda))
}

/// The readings beyond a limit.
fn beyond(
    read: impl Iterator<Item = (Reading, f64)>,
    aim: Option<Aim>,
    limit: Limit,
) -> Option<Beyond> {
    let mut over: Vec<(Reading, f64)> = read.filter(|(_, value)| limit.passed_by(*value)).collect();
    over.sort_by(|a, b| limit.excess(b.1).total_cmp(&limit.excess(a.1)));
    Some(Beyond {
        read: over.first()?.1,
        aim,
        limit,
        readings: over.into_iter().map(|(reading, _)| reading).collect(),
    })
}
