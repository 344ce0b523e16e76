//! Compressible flow through a narrow gap: entrance loss, wall friction, exit
//! loss and choking in closed form.
//!
//! Between the nozzle and the long duct. With r the pressure ratio, G the flux in
//! units of `p_up/sqrt(R T)`, K the entrance loss, F the friction `f L/D` and
//! E the gas's own expansion and exit head, each in dynamic heads,
//!
//! `G² (E + K + F) = 1 - r²`
//!
//! holds exactly for a nozzle (F = K = 0, `E = (1-r²)/ψ²`), and for a long duct
//! (`E = 1 + (γ+1)/γ ln 1/r`, the integral of the momentum equation along a Fanno
//! line). Between them E is weighted by `F/(1+F)`. Laminar friction is linear in
//! G, so one quadratic gives G; Reynolds number and weight come from a first
//! solution with laminar friction alone. Below the ratio at which the exit chokes,
//! found the same way, r no longer counts.
//!
//! Sources: `white2016` ch. 6 and 9.7; `naca1135`. Checked against
//! [`fanno`](super::fanno), which solves the same duct exactly, for gaps of 0.005
//! to 1 mm, depths of 0.5 to 20 mm, r 0.02 to 0.999, 20 to 300 kPa: at most 2.6 %
//! off, 0.2 % in the mean. Only `ENTRANCE_WEIGHT` is fitted, to that whole range.

use super::Regime;
use super::friction::{LAMINAR_UP_TO, TURBULENT_FROM, blasius, turbulent_share};
use super::isentropic::{choked_function_squared, critical_pressure_ratio, incipient, is_choked};
use super::orifice::Discharge;
use super::upwind::LAMINAR_BAND;
use crate::medium::GasState;
use crate::scalar::Scalar;

/// Entrance loss of a square edge, dynamic heads. Source: `white2016` fig. 6.21.
pub const SQUARE_ENTRANCE: f64 = 0.5;

/// How far an entrance loss moves E from the nozzle's to the long duct's, as if
/// it were friction. Fitted to the Fanno duct over the whole range stated above.
const ENTRANCE_WEIGHT: f64 = 0.35;

/// Relative half-width of the rounded corner at choking.
const CHOKING_CORNER: f64 = 0.1;

/// Land of up to this many hydraulic diameters does not catch the jet fully.
/// Source: `rennels2012` (thick-edged orifice).
const REATTACHMENT: f64 = 1.4;

/// What all strips of a gap share: upstream gas and outlet pressure.
#[derive(Clone, Copy, Debug)]
pub struct Across<T> {
    ratio: T,
    /// 1 - r².
    fall: T,
    /// ln 1/r; as at r = 1e-3 below that, where every gap is choked.
    log: T,
    /// E of a nozzle.
    nozzle: T,
    /// What the contraction of a free jet costs, in parts of the nozzle's E: `1/Cd² - 1`.
    contraction: T,
    gamma: T,
    choked_squared: T,
    critical_ratio: T,
    /// E of a nozzle at the critical ratio.
    critical: T,
    /// kg/(m² s): `p_up/sqrt(R T)`.
    unit: T,
    /// m: `24 μ sqrt(R T)/p_up`.
    viscous: T,
    viscosity: T,
}

/// What passes through one strip of a gap.
#[derive(Clone, Copy, Debug)]
pub struct Strip<T> {
    /// kg/(m² s).
    pub flux: T,
    /// Reynolds number on the hydraulic diameter.
    pub reynolds: T,
    /// Whether a lower outlet pressure would draw no more.
    pub choked: bool,
}

impl<T: Scalar> Across<T> {
    /// Upstream gas, and the pressure (Pa abs, not above the upstream one) it flows to.
    #[inline]
    pub fn new(up: &GasState<T>, pressure_down: T) -> Self {
        let gamma = up.gamma;
        let ratio = (pressure_down / up.pressure).max(T::constant(0.0));
        let choked_squared = choked_function_squared(gamma);
        let critical_ratio = critical_pressure_ratio(gamma);
        let critical = (-(critical_ratio * critical_ratio) + 1.0) / choked_squared;
        let drop = (up.pressure - pressure_down) / up.pressure;
        let (fall, log, nozzle) = expansion(ratio, drop, gamma, choked_squared);
        let coefficient = Discharge::SharpEdged.coefficient(ratio);
        let contraction = (coefficient * coefficient).recip() - 1.0;
        let speed = (up.gas_constant * up.temperature).sqrt();
        let unit = up.pressure / speed;
        let viscosity = up.viscosity();
        let viscous = viscosity * 24.0 / unit;
        Self {
            ratio,
            fall,
            log,
            nozzle,
            contraction,
            gamma,
            choked_squared,
            critical_ratio,
            critical,
            unit,
            viscous,
            viscosity,
        }
    }

    /// Flow through a strip with this hydraulic diameter (m, >= 0: twice the gap
    /// when it is wide), depth along the flow (m, > 0) and entrance loss (>= 0;
    /// [`SQUARE_ENTRANCE`]).
    ///
    /// On a land shorter than 1.4 hydraulic diameters the jet does not reattach,
    /// and the loss goes over to that of a sharp-edged hole (`perry1949`), in
    /// proportion to the entrance loss: a rounded entrance has no contraction.
    #[inline]
    pub fn strip(&self, hydraulic_diameter: T, depth: T, entrance_loss: T) -> Strip<T> {
        let free = jet_share(depth, hydraulic_diameter);
        let attached = entrance_loss * (-free + 1.0);
        let jet = entrance_loss * free * self.contraction / SQUARE_ENTRANCE;
        self.strip_with(hydraulic_diameter, depth, attached, jet)
    }

    /// [`strip`](Self::strip) with the stated entrance loss however short the land.
    pub fn attached_strip(&self, hydraulic_diameter: T, depth: T, entrance_loss: T) -> Strip<T> {
        self.strip_with(hydraulic_diameter, depth, entrance_loss, T::constant(0.0))
    }

    /// Entrance loss `attached`, and `jet` times the nozzle's E.
    #[inline]
    fn strip_with(&self, diameter: T, depth: T, attached: T, jet: T) -> Strip<T> {
        // G is carried as G/h², h half the diameter: finite as the gap closes.
        let h2 = diameter * diameter * 0.25;
        let land = Land {
            diameter,
            depth,
            attached,
            jet: jet + 1.0,
            h2,
            h4: h2 * h2,
        };
        let mut open = (self.fall, self.log, self.nozzle);
        let mut choked = false;
        let r = self.ratio.value();
        if r < self.critical_ratio.value() * (1.0 + CHOKING_CORNER) {
            let limit = self.choking_ratio(&land);
            choked = r <= limit.value();
            if r < limit.value() * (1.0 + CHOKING_CORNER) {
                let ratio = rounded_max(self.ratio, limit);
                open = expansion(ratio, -ratio + 1.0, self.gamma, self.choked_squared);
            }
        }
        let (fall, log, nozzle) = open;
        let heads = land.jet * nozzle + attached;
        let friction = self.friction(&land, root(self.viscous * depth, fall, heads * land.h4));
        let long = log * (self.gamma.recip() + 1.0) + 1.0;
        let between = (-friction.nozzle_share + 1.0) * (long - nozzle);
        let inertia = heads + between + friction.turbulent;
        let solution = root(friction.viscous, fall, inertia * land.h4);
        Strip {
            flux: self.unit * h2 * solution,
            reynolds: friction.reynolds,
            choked,
        }
    }

    /// Pressure ratio below which the strip passes no more: the flux choked at the
    /// exit, over the root of its sonic head. That is `γ(γ+1)/2` for a nozzle; for a
    /// long duct `2γ/(γ+1)`, where `1 - r²` over its E peaks, so that the flow never falls.
    #[inline]
    fn choking_ratio(&self, land: &Land<T>) -> T {
        let one = T::constant(1.0);
        let heads = land.jet * self.critical + land.attached;
        let sonic = self.gamma * (self.gamma + 1.0) * 0.5;
        let first = root(
            self.viscous * land.depth,
            one,
            (heads + sonic.recip()) * land.h4,
        );
        let friction = self.friction(land, first);
        let peak = self.gamma * 2.0 / (self.gamma + 1.0);
        let sonic = peak + friction.nozzle_share * (sonic - peak);
        let heads = heads + friction.turbulent + sonic.recip();
        root(friction.viscous, one, heads * land.h4) * land.h2 / sonic.sqrt()
    }

    /// Friction at a flux G/h².
    #[inline]
    fn friction(&self, land: &Land<T>, flux: T) -> Friction<T> {
        let reynolds = land.diameter * self.unit * land.h2 * flux / self.viscosity;
        let mut viscous = self.viscous * land.depth;
        let mut turbulent = T::constant(0.0);
        if reynolds.value() > LAMINAR_UP_TO {
            let share = turbulent_share(reynolds);
            viscous = viscous * (-share + 1.0);
            turbulent = share * blasius(reynolds) * land.depth / land.diameter;
        }
        let g = flux * land.h4;
        let like_friction = turbulent + land.attached * ENTRANCE_WEIGHT + 1.0;
        Friction {
            reynolds,
            viscous,
            turbulent,
            nozzle_share: g / (g * like_friction + viscous),
        }
    }
}

/// One strip's measures.
struct Land<T> {
    diameter: T,
    depth: T,
    /// Entrance loss, dynamic heads.
    attached: T,
    /// Factor on the nozzle's E: 1, and the contraction of a free jet.
    jet: T,
    h2: T,
    h4: T,
}

/// Friction of a strip at one flux.
struct Friction<T> {
    reynolds: T,
    /// Laminar part, times h²: a loss in proportion to G.
    viscous: T,
    /// Turbulent part, dynamic heads.
    turbulent: T,
    /// 1/(1+F), F laminar and turbulent.
    nozzle_share: T,
}

impl Strip<f64> {
    /// How the gas moves through the strip.
    pub fn regime(&self) -> Regime {
        match self.reynolds {
            _ if self.choked => Regime::Choked,
            re if re <= LAMINAR_UP_TO => Regime::Laminar,
            re if re < TURBULENT_FROM => Regime::Transitional,
            _ => Regime::Turbulent,
        }
    }
}

/// Positive root of `inertia g² + viscous g = fall`, without loss of digits.
#[inline]
fn root<T: Scalar>(viscous: T, fall: T, inertia: T) -> T {
    fall * 2.0 / (viscous + (viscous * viscous + fall * inertia * 4.0).sqrt())
}

/// `1 - r²`, `ln 1/r` and a nozzle's `(1 - r²)/ψ²`, finite as r -> 1, from r and 1 - r.
#[inline]
fn expansion<T: Scalar>(ratio: T, drop: T, gamma: T, choked_squared: T) -> (T, T, T) {
    let fall = drop * (ratio + 1.0);
    let log = ratio.max(T::constant(1e-3)).ln();
    let nozzle = if drop.value() < LAMINAR_BAND {
        (ratio + 1.0) / incipient(drop, gamma)
    } else if is_choked(ratio.value(), gamma.value()) {
        fall / choked_squared
    } else {
        let e = (log / gamma).exp();
        fall * (gamma - 1.0) / (gamma * 2.0 * e * (e - ratio))
    };
    (fall, -log, nozzle)
}

/// The larger of two ratios, the corner rounded by a parabola.
#[inline]
fn rounded_max<T: Scalar>(ratio: T, limit: T) -> T {
    let corner = limit * CHOKING_CORNER;
    let past = ratio - limit + corner;
    if past.value() <= 0.0 {
        limit
    } else {
        limit + past * past / (corner * 4.0)
    }
}

/// Share of the jet that passes a land without touching it again: 1 for a thin
/// edge, 0 from 1.4 hydraulic diameters; C1. Source: `rennels2012`,
/// `C_th = (1 - (t/1.4d)^2.5/2 - (t/1.4d)³/2)^4.5`, stated for round holes.
#[inline]
fn jet_share<T: Scalar>(depth: T, diameter: T) -> T {
    if depth.value() >= REATTACHMENT * diameter.value() {
        return T::constant(0.0);
    }
    let t = depth / diameter / REATTACHMENT;
    let base = -(t * t * (t.sqrt() + t) * 0.5) + 1.0;
    let squared = base * base;
    squared * squared * base.sqrt()
}
