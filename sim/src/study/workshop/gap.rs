//! From feeler gauge and calipers to what an opening passes, and the largest one
//! that an allowed effect leaves room for.

use super::in_car::{Car, Effect, Running};
use super::{AIR, EVEN, Z90, interval, mistake};
use crate::control::BoostControl;
use crate::flow::orifice::{Discharge, orifice};
use crate::leak::{Shape, equivalent_hole};
use crate::network::Place;
use crate::root::try_border;
use crate::scenario::Mistake;
use crate::tables;

/// Openings in a file.
pub type Openings = Vec<Shape<f64>>;

tables! {
    /// Gaps felt with a feeler gauge, and the place they are at.
    pub struct GapQuestion {
        /// the openings, each of one shape
        opening: Openings,
        /// feeler gauge: step from the thickest blade that goes in to the next one
        feeler_step: Length [0.0, 5e-4] = 2.54e-5,
        /// pressure inside at which they are sized
        pressure: GaugePressure [-9e4, 4e5] = 1e5,
        /// temperature of the air
        temperature: Temperature [253.15, 333.15] = 293.15,
        /// ambient pressure
        ambient_pressure: AbsolutePressure [5e4, 1.1e5] = 101_325.0,
        /// vehicle file: what the openings do in this car
        vehicle: String or None,
        /// where in the vehicle they are
        place: Place or None,
        /// boost control instead of the vehicle's own
        boost_control: BoostControl or None,
        /// duty for boost control `fixed_duty` instead of the vehicle's own
        fixed_duty: Ratio [0.0, 1.0] or None,
        /// largest change of fuel trim at idle that is allowed; asks for the largest gap
        allowed_idle_trim: Ratio [1e-3, 1.0] or None,
        /// largest change of fuel trim at light cruise that is allowed
        allowed_cruise_trim: Ratio [1e-3, 1.0] or None,
        /// largest loss of boost at full load that is allowed
        allowed_boost_loss: PressureDifference [1e2, 2e5] or None,
        /// largest loss of torque at full load that is allowed
        allowed_torque_loss: Ratio [1e-3, 1.0] or None,
    }
}

/// What openings pass at the asked pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passed {
    /// Open area, m²; none where there is a porous wall.
    pub area: Option<f64>,
    /// kg/s, out of the inside if that is at pressure, into it at vacuum.
    pub mass_flow: f64,
    /// What an ideal nozzle of the same area would pass, kg/s (`naca1135`).
    pub ideal_flow: Option<f64>,
    /// Sharp-edged round hole (`perry1949`) that passes as much, m.
    pub equivalent_hole: f64,
    /// The mass flow at the 90 % limits of what was felt, kg/s.
    pub flow_limits: [f64; 2],
}

/// An effect that a person allows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// Change of fuel trim at idle, share.
    IdleTrim(f64),
    /// Change of fuel trim at light cruise, share.
    CruiseTrim(f64),
    /// Loss of boost at full load, Pa.
    BoostLoss(f64),
    /// Loss of torque at full load, share.
    TorqueLoss(f64),
}

/// The largest opening for a limit.
#[derive(Clone, Debug, PartialEq)]
pub enum Largest {
    /// The openings, all widened alike, that just keep the limit.
    Found(Openings),
    /// No opening in the shape's range reaches it; the widest tried.
    Never(Openings),
    /// The car stops running steadily before the limit is reached; the widest it runs with.
    Stalls(Openings),
}

/// The same shape with its size times `factor`.
fn widened(shape: &Shape<f64>, factor: f64) -> Shape<f64> {
    shape.sized(shape.size() * factor)
}

impl GapQuestion<f64> {
    /// What the openings pass together at the asked pressure.
    ///
    /// # Errors
    /// No opening, or no pressure difference.
    pub fn passed(&self) -> Result<Passed, Mistake> {
        if self.opening.is_empty() {
            let message = "no opening is given: one or more `[[opening]]`, each with one shape";
            return Err(mistake("opening", message));
        }
        if self.pressure == 0.0 {
            let message = "without a pressure difference nothing flows through any gap";
            return Err(mistake("pressure", message));
        }
        let inside = AIR.state(self.ambient_pressure + self.pressure, self.temperature);
        let outside = AIR.state(self.ambient_pressure, self.temperature);
        let through = |shape: &Shape<f64>| shape.flow(&outside, &inside).mass;
        let inward: f64 = self.opening.iter().map(through).sum();
        let areas = (self.opening.iter()).map(|shape| shape.area(self.pressure));
        let area: Option<f64> = areas.sum();
        let ideal = |a: f64| {
            orifice(a, Discharge::Constant(1.0), &outside, &inside)
                .mass
                .abs()
        };
        // Each opening is felt by itself; their doubts are added in quadrature.
        let (mut below, mut above) = (0.0, 0.0);
        for shape in &self.opening {
            let flow = |deviations: f64| through(&self.felt(shape, deviations)).abs();
            let span = interval(|[deviations]: &[f64; 1]| Ok::<f64, Mistake>(flow(*deviations)))?;
            below += (span.value - span.low).powi(2);
            above += (span.high - span.value).powi(2);
        }
        let (flow, below, above) = (inward.abs(), f64::sqrt(below), f64::sqrt(above));
        Ok(Passed {
            flow_limits: [(flow - below).max(0.0), flow + above],
            area,
            mass_flow: inward.abs(),
            ideal_flow: area.map(ideal),
            equivalent_hole: equivalent_hole(inward, &outside, &inside),
        })
    }

    /// An opening with its gap so many standard deviations of the feeler gauge wider: what
    /// was felt lies evenly within one step about the reading (`gum2008` section 4.3.7).
    fn felt(&self, shape: &Shape<f64>, deviations: f64) -> Shape<f64> {
        let size = shape.size();
        match shape.measure().felt && size > 0.0 {
            true => {
                let moved = size + deviations * EVEN * self.feeler_step;
                widened(shape, moved.max(0.0) / size)
            }
            false => *shape,
        }
    }

    /// All openings at the lower, or the upper, 90 % limit of what was felt.
    pub fn at_limit(&self, upper: bool) -> Openings {
        let deviations = if upper { Z90 } else { -Z90 };
        let all = self.opening.iter();
        all.map(|shape| self.felt(shape, deviations)).collect()
    }

    /// The limits that are asked about, each with its key.
    pub fn limits(&self) -> Vec<(&'static str, Limit)> {
        let all = [
            (
                "allowed_idle_trim",
                self.allowed_idle_trim.map(Limit::IdleTrim),
            ),
            (
                "allowed_cruise_trim",
                self.allowed_cruise_trim.map(Limit::CruiseTrim),
            ),
            (
                "allowed_boost_loss",
                self.allowed_boost_loss.map(Limit::BoostLoss),
            ),
            (
                "allowed_torque_loss",
                self.allowed_torque_loss.map(Limit::TorqueLoss),
            ),
        ];
        let asked = all.into_iter();
        asked
            .filter_map(|(key, limit)| Some((key, limit?)))
            .collect()
    }
}

impl Limit {
    /// Where it is watched.
    fn running(self) -> Running {
        match self {
            Limit::IdleTrim(_) => Running::Idle,
            Limit::CruiseTrim(_) => Running::Cruise,
            Limit::BoostLoss(_) | Limit::TorqueLoss(_) => Running::FullLoad,
        }
    }

    /// The effect over what is allowed: 1 at the limit.
    fn share(self, effect: &Effect) -> f64 {
        match self {
            Limit::IdleTrim(most) | Limit::CruiseTrim(most) => effect.trim.abs() / (100.0 * most),
            Limit::BoostLoss(most) => -effect.boost * 1e3 / most,
            Limit::TorqueLoss(most) => -effect.torque / most,
        }
    }

    /// The largest openings, all widened alike, that keep this limit in `car`: found
    /// by doubling from a thousandth and halving the last step twenty times.
    ///
    /// # Errors
    /// More openings than the model takes at once; one that is shut and cannot be
    /// widened; a healthy car that does not run where the limit is watched.
    pub fn largest(self, car: &Car, openings: &[Shape<f64>]) -> Result<Largest, Mistake> {
        if let Some(i) = openings.iter().position(Shape::is_shut) {
            let message = "an opening of zero has no shape to widen: give it any gap above zero";
            return Err(mistake(&format!("opening.{i}"), message));
        }
        let here = |running| running == self.running();
        if !car.points.iter().any(|point| here(point.running)) {
            let message = "the healthy car does not run where this would show";
            return Err(mistake("vehicle", message));
        }
        let scaled =
            |k: f64| -> Openings { openings.iter().map(|shape| widened(shape, k)).collect() };
        // The largest share over the points; none where the car does not run.
        let share = |k: f64| -> Result<Option<f64>, Mistake> {
            let effects = car.effects_at(&scaled(k), here)?;
            let shares = effects.iter().map(|effect| {
                let effect = effect.as_ref().ok()?;
                Some(self.share(effect))
            });
            let shares: Option<Vec<f64>> = shares.collect();
            Ok(shares.map(|all| all.into_iter().fold(0.0, f64::max)))
        };
        let keeps = |k: f64| Ok(share(k)?.is_some_and(|share| share < 1.0));
        let ratios = openings.iter();
        let ratios = ratios.map(|shape| shape.measure().widest / shape.size());
        let most = ratios.fold(f64::INFINITY, f64::min);
        let (mut low, mut high) = (0.0, most.min(1e-3));
        while keeps(high)? {
            if high >= most {
                return Ok(Largest::Never(scaled(most)));
            }
            (low, high) = (high, (2.0 * high).min(most));
        }
        let (low, high) = try_border((low, high), 20, keeps)?;
        Ok(match share(high)? {
            Some(_) => Largest::Found(scaled(low)),
            None => Largest::Stalls(scaled(low)),
        })
    }
}
