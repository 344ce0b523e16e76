//! Compressor bypass valve: a spring-loaded diaphragm that lets compressed air back
//! to the inlet duct (or out to atmosphere) when the throttle shuts.
//!
//! Force balance: boost under the seat opens, the spring closes, and the
//! manifold signal above the diaphragm closes under boost and opens under vacuum:
//! `A_seat (p_boost − p_out) − A_diaphragm (p_signal − p_out) − F_spring`.
//! The diaphragm's other side sees the valve's outlet, so a tear in it joins the chamber to
//! the outlet: the signal hose feeds the chamber, the tear bleeds it, and what stands
//! between decides how far boost opens the valve.
//!
//! A leak past the seat with boost held raises turbocharger speed by little. Of a
//! share q of the flow going round, the power rises by about q and what the hot air adds
//! to the inlet temperature T₁, `q (T₂ − T₁)/T₁`; speed does not follow the power (a turbine
//! on a fan law would give a third of it) but the head: `U² ψ(φ) = 2 c_p T₁ (π^((γ−1)/γ) − 1)`,
//! half of the rise of T₁ plus half of what the speed line falls towards the larger flow.
//! `tests/network/bypass.rs` holds the network to that balance.

use crate::quantities;
use crate::scalar::{Over, Scalar};
use crate::smooth::{clamp, held};

quantities! {
    /// Valve and its signal hose.
    pub struct RecirculationValve {
        /// seat diameter
        seat_diameter: Length [5e-3, 0.06],
        /// effective diaphragm area
        diaphragm_area: Area [2e-4, 1e-2],
        /// spring force on the closed valve
        preload: Force [0.0, 300.0],
        /// spring rate
        stiffness: Stiffness [200.0, 5e4],
        /// full lift
        travel: Length [1e-3, 0.02],
        /// opening below which the valve cannot close
        least_opening: Ratio [0.0, 1.0] = 0.0,
        /// opening beyond which it cannot open
        most_opening: Ratio [0.0, 1.0] = 1.0,
        /// discharge coefficient of the open valve
        discharge_coefficient: Ratio [0.3, 1.0] = 0.7,
        /// time constant of the valve
        time_constant: Time [0.003, 0.3] = 0.02,
        /// gas volume above the diaphragm and in the signal hose
        signal_volume: Volume [5e-6, 5e-4] = 5e-5,
        /// bore of the signal hose
        signal_bore: Length [1e-3, 8e-3],
    }
}

impl<P: Scalar> RecirculationValve<P> {
    /// Opening (0 to 1) at which the forces balance; pressures absolute, Pa.
    pub fn balance<S: Over<P>>(&self, boost: S, outlet: S, signal: S) -> S {
        let seat = self.seat_diameter * self.seat_diameter * (std::f64::consts::PI / 4.0);
        let force =
            (boost - outlet) * seat - (signal - outlet) * self.diaphragm_area - self.preload;
        let free = clamp(force / self.stiffness / self.travel, 0.0, 1.0, 0.01);
        held(free, self.least_opening, self.most_opening)
    }

    /// Curtain area `π D h`, never more than the seat bore, m².
    pub fn area<S: Over<P>>(&self, opening: S) -> S {
        let curtain = opening * self.travel * self.seat_diameter * std::f64::consts::PI;
        let bore = self.seat_diameter * self.seat_diameter * (std::f64::consts::PI / 4.0);
        // Smooth parallel of two areas in series: 1/A² = 1/A_curtain² + 1/A_bore².
        curtain / ((curtain / bore).squared() + 1.0).sqrt()
    }
}
