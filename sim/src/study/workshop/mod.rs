//! What a technician measures at the car, and what follows from it: leak tests of
//! the standing air path, gaps, seals.
//!
//! Air of a test is a perfect gas ([`AIR`]): between 250 and 330 K and up to 4 bar
//! its ratio of specific heats is 1.4 within 0.5 %, and humidity moves a flow by less
//! than 0.5 %. Intervals hold with 90 %: each doubt is stepped by [`Z90`] of its
//! standard size both ways, the answers' changes are added in quadrature.

pub mod amount;
pub mod decay;
mod emptying;
mod fit;
pub mod flow;
pub mod gap;
pub mod in_car;
pub mod known_hole;
pub mod limits;
mod meter;
pub mod payback;
pub mod plan;
pub mod procedures;
pub mod rings;
pub mod seal;
mod section;
pub mod verify;

use crate::flow::orifice::{Discharge, orifice};
use crate::leak::equivalent_hole;
use crate::say::plan as say;
use crate::scenario::Mistake;
use crate::study::running::tank::TankGas;

/// Air of a leak test: gas constant of dry air (`iso2533`, to five digits).
pub const AIR: TankGas = TankGas::Perfect {
    gas_constant: 287.05,
    gamma: 1.4,
};

/// Standard deviations that a normal value stays within with 90 %.
pub const Z90: f64 = 1.645;

/// Standard deviation of a reading that may be off by half a step either way, evenly,
/// in steps: `1/sqrt(12)`. Source: `gum2008` section 4.3.7.
pub const EVEN: f64 = 0.288_675_134_594_812_9;

/// A value with the limits that hold it with 90 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// The likeliest value.
    pub value: f64,
    /// Lower limit.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
}

impl Span {
    /// The three numbers through a rising function.
    pub fn through(self, f: impl Fn(f64) -> f64) -> Span {
        Span {
            value: f(self.value),
            low: f(self.low),
            high: f(self.high),
        }
    }
}

/// The 90 % interval of `answer`, a function of `N` doubts in standard deviations,
/// all 0 at the likeliest; its lower limit is never below 0.
///
/// Each doubt is stepped alone by ±[`Z90`]: exact for a linear answer and independent
/// normal doubts. Source: `gum2008` section 5.1.
///
/// # Errors
/// That of `answer`.
pub fn interval<const N: usize, E>(
    answer: impl Fn(&[f64; N]) -> Result<f64, E>,
) -> Result<Span, E> {
    let value = answer(&[0.0; N])?;
    let (mut down, mut up) = (0.0, 0.0);
    for i in 0..N {
        let mut ends = [value; 2];
        for (end, step) in ends.iter_mut().zip([-Z90, Z90]) {
            let mut doubts = [0.0; N];
            doubts[i] = step;
            *end = answer(&doubts)?;
        }
        let fall = value - ends[0].min(ends[1]).min(value);
        let rise = ends[0].max(ends[1]).max(value) - value;
        down += fall * fall;
        up += rise * rise;
    }
    Ok(Span {
        value,
        low: (value - f64::sqrt(down)).max(0.0),
        high: value + f64::sqrt(up),
    })
}

/// Flow, kg/s, through an effective area (discharge included), m², between air at
/// `high` and `low`, Pa abs, and `temperature`, K. Source: `naca1135`.
pub fn effective_flow(area: f64, high: f64, low: f64, temperature: f64) -> f64 {
    let (up, down) = (AIR.state(high, temperature), AIR.state(low, temperature));
    orifice(area, Discharge::Constant(1.0), &up, &down).mass
}

/// Diameter, m, of the sharp-edged round hole (`perry1949`) that passes as much
/// between `high` and `low`, Pa abs, as an effective area, m².
///
/// # Examples
/// ```
/// use sim::workshop::sharp_hole;
/// // A sharp edge lets less through than an ideal nozzle: the hole is larger than its area says.
/// let nozzle = std::f64::consts::PI / 4.0 * 2e-3_f64.powi(2);
/// assert!(sharp_hole(nozzle, 150e3, 100e3) > 2e-3);
/// ```
pub fn sharp_hole(area: f64, high: f64, low: f64) -> f64 {
    let temperature = 293.15; // Both flows change alike with it.
    let (up, down) = (AIR.state(high, temperature), AIR.state(low, temperature));
    equivalent_hole(effective_flow(area, high, low, temperature), &up, &down)
}

/// Flow, kg/s, through a sharp-edged round hole (`perry1949`) of `diameter`, m,
/// between air at `high` and `low`, Pa abs, and `temperature`, K.
///
/// # Examples
/// ```
/// use sim::workshop::hole_flow;
/// // Twice the diameter, four times the flow.
/// let [small, large] = [2e-3, 4e-3].map(|bore| hole_flow(bore, 200e3, 100e3, 293.15));
/// assert!((large / small - 4.0).abs() < 1e-12);
/// ```
pub fn hole_flow(diameter: f64, high: f64, low: f64, temperature: f64) -> f64 {
    let area = std::f64::consts::PI / 4.0 * diameter * diameter;
    let (up, down) = (AIR.state(high, temperature), AIR.state(low, temperature));
    orifice(area, Discharge::SharpEdged, &up, &down).mass
}

/// Highest gauge pressure that an intake is pressure-tested with, Pa: 20 psi (common
/// practice, no source).
pub const USUAL_TEST: f64 = 20.0 * 6_894.757_293_168;

/// What a test at a pressure, Pa gauge, far below the car's normal boost, Pa gauge, leaves open.
pub fn gentle(pressure: f64, boost: Option<f64>) -> Option<String> {
    let gentle = boost.is_some_and(|boost| pressure > 0.0 && pressure < 0.5 * boost);
    gentle.then(|| say::gentle_test().into())
}

fn mistake(key: &str, message: impl Into<String>) -> Mistake {
    Mistake {
        key: key.into(),
        message: message.into(),
    }
}
