//! Wastegate: a flap behind a spring-loaded capsule fed from the boost signal
//! through a restrictor and bled by a duty-cycled valve.
//!
//! Force balance on the rod; the signal line is a small volume held at ambient
//! temperature. Sources: force balance; eriksson2014 ch. 8 for the arrangement.

use crate::quantities;
use crate::scalar::{Over, Scalar};
use crate::smooth::{clamp, held};

quantities! {
    /// Flap, capsule and signal line.
    pub struct Wastegate {
        /// flow area when fully open (discharge included)
        open_area: Area [2e-5, 2e-3],
        /// exhaust pressure difference on the flap acts on this area
        flap_area: Area [0.0, 2e-3],
        /// capsule diaphragm area
        capsule_area: Area [2e-4, 2e-2],
        /// spring force on the closed flap
        preload: Force [0.0, 500.0],
        /// spring rate
        stiffness: Stiffness [500.0, 1e5],
        /// rod travel from closed to fully open
        travel: Length [2e-3, 0.03],
        /// opening below which the flap cannot close
        least_opening: Ratio [0.0, 1.0] = 0.0,
        /// opening beyond which it cannot open
        most_opening: Ratio [0.0, 1.0] = 1.0,
        /// time constant of the rod (friction, inertia)
        time_constant: Time [0.005, 0.5] = 0.04,
        /// gas volume of capsule and signal line
        signal_volume: Volume [5e-6, 5e-4] = 6e-5,
        /// bore of the restrictor between boost and capsule
        restrictor_bore: Length [3e-4, 4e-3],
        /// bore of the bleed valve, fully on, to the inlet duct
        bleed_bore: Length [3e-4, 6e-3],
    }
}

impl<P: Scalar> Wastegate<P> {
    /// Opening (0 to 1) at which the forces balance.
    ///
    /// `capsule` is the signal over ambient, `across` the exhaust pressure over
    /// the flap, both Pa; `rest` is the opening at which the actuator holds the flap where they
    /// do not move it.
    pub fn balance<S: Over<P>>(&self, capsule: S, across: S, rest: S) -> S {
        let force = capsule * self.capsule_area + across * self.flap_area - self.preload;
        let free = clamp(force / self.stiffness / self.travel, 0.0, 1.0, 0.01);
        let free = free + rest * (-free + 1.0);
        held(free, self.least_opening, self.most_opening)
    }

    /// Flow area, m², at `opening`.
    pub fn area<S: Over<P>>(&self, opening: S) -> S {
        opening * self.open_area
    }
}
