//! Adiabatic flow with wall friction in a duct of constant section: the exact
//! reference for [`gap`](super::gap). Solved by bisection, plain numbers only.
//!
//! Reservoir, entrance loss, duct, then a free exit: the exit pressure is the
//! outlet pressure, or higher when the duct is choked. Friction factor and
//! viscosity are those of the inlet temperature, constant along the duct.
//! Source: `white2016` ch. 9.7 (Fanno flow); `naca1135`.

use super::friction::friction_factor;
use crate::medium::GasState;
use crate::root::border;

/// A duct of constant section.
#[derive(Clone, Copy, Debug)]
pub struct Duct {
    /// Four times the section over the wetted perimeter, m: twice the height of a wide gap.
    pub hydraulic_diameter: f64,
    /// Length along the flow, m.
    pub depth: f64,
    /// Loss of the entrance in dynamic heads of the duct's inlet: 0 rounded, 0.5 square.
    pub entrance_loss: f64,
}

/// What passes through a [`Duct`].
#[derive(Clone, Copy, Debug)]
pub struct FannoFlow {
    /// kg/(m² s).
    pub flux: f64,
    /// Reynolds number on the hydraulic diameter.
    pub reynolds: f64,
    /// Mach number behind the entrance.
    pub mach_in: f64,
    /// Mach number at the exit; 1 when choked.
    pub mach_out: f64,
}

/// Friction length `4fL*/D` (f: Fanning) from a Mach number (0 to 1) to choking.
pub fn friction_length(mach: f64, gamma: f64) -> f64 {
    let m2 = mach * mach;
    let log = ((gamma + 1.0) * m2 / (2.0 + (gamma - 1.0) * m2)).ln();
    (1.0 - m2) / (gamma * m2) + (gamma + 1.0) / (2.0 * gamma) * log
}

/// p/p*, static pressure over that at choking, along a Fanno duct.
pub fn static_pressure_ratio(mach: f64, gamma: f64) -> f64 {
    ((gamma + 1.0) / (2.0 + (gamma - 1.0) * mach * mach)).sqrt() / mach
}

/// Flow from upstream gas at rest through a narrow duct to a lower pressure, Pa
/// abs (> 0, below the upstream pressure).
pub fn fanno_gap_flow(duct: &Duct, up: &GasState<f64>, pressure_down: f64) -> FannoFlow {
    let gamma = up.gamma;
    // Higher inlet Mach numbers than this do not pass: the duct would choke inside.
    let choking = falling(1e-9, 1.0, |m| {
        friction_length(m, gamma) - inlet(duct, up, m).friction
    });
    let exit = |m: f64| {
        let inlet = inlet(duct, up, m);
        let left = (friction_length(m, gamma) - inlet.friction).max(0.0);
        let mach_out = falling(m, 1.0, |out| friction_length(out, gamma) - left);
        let fall = static_pressure_ratio(mach_out, gamma) / static_pressure_ratio(m, gamma);
        (inlet.pressure * fall, mach_out)
    };
    let mach_in = if exit(choking).0 >= pressure_down {
        choking
    } else {
        falling(1e-9, choking, |m| exit(m).0 - pressure_down)
    };
    let Inlet { flux, reynolds, .. } = inlet(duct, up, mach_in);
    let mach_out = if mach_in == choking {
        1.0
    } else {
        exit(mach_in).1
    };
    FannoFlow {
        flux,
        reynolds,
        mach_in,
        mach_out,
    }
}

struct Inlet {
    pressure: f64,
    flux: f64,
    reynolds: f64,
    friction: f64,
}

/// State behind the entrance: stagnation pressure lower by K dynamic heads.
fn inlet(duct: &Duct, up: &GasState<f64>, mach: f64) -> Inlet {
    let (gamma, m2) = (up.gamma, mach * mach);
    let warm = 1.0 + (gamma - 1.0) / 2.0 * m2;
    let head = gamma * m2 / 2.0;
    let pressure = up.pressure / (warm.powf(gamma / (gamma - 1.0)) + duct.entrance_loss * head);
    let flux = pressure * mach * (gamma * warm / (up.gas_constant * up.temperature)).sqrt();
    let reynolds = flux * duct.hydraulic_diameter / up.viscosity();
    let friction = friction_factor(reynolds) * duct.depth / duct.hydraulic_diameter;
    Inlet {
        pressure,
        flux,
        reynolds,
        friction,
    }
}

/// Root of a function that falls from positive to negative over `low` to `high`,
/// to round-off; `high` if it stays positive.
fn falling(low: f64, high: f64, f: impl Fn(f64) -> f64) -> f64 {
    border((low, high), 60, |x| f(x) > 0.0).1
}
