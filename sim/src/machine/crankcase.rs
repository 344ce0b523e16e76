//! Crankcase: breather to the inlet duct and crankcase ventilation (PCV) valve to the manifold.
//!
//! Mean-value; the valve is a spring-loaded plunger that closes down as manifold
//! vacuum grows and shuts when the manifold is under boost (common practice, no
//! source for the shape of the curve; areas are the vehicle's own). A regulator keeps the
//! manifold from pulling the crankcase far below the air outside where the breather lets
//! too little in: it shuts the valve as the crankcase's vacuum grows (a few kPa; common
//! practice, no source).

use crate::flow::Flow;
use crate::flow::orifice::{Discharge, orifice};
use crate::medium::GasState;
use crate::quantities;
use crate::scalar::{Over, Scalar};
use crate::smooth::step;

quantities! {
    /// Crankcase and its ventilation.
    pub struct Crankcase {
        /// gas volume
        volume: Volume [0.5e-3, 0.03],
        /// bore of the breather to the inlet duct
        breather_bore: Length [2e-3, 0.05],
        /// flow area of the crankcase ventilation (PCV) valve at low manifold vacuum
        valve_area: Area [0.0, 2e-4],
        /// share of that area left at idle vacuum
        valve_idle_share: Ratio [0.0, 1.0] = 0.35,
        /// vacuum of the crankcase against the air outside at which its regulator has shut the valve by half: open at half of it, shut at one and a half times it; very large without a regulator
        regulated_vacuum: PressureDifference [5e2, 1e5] = 3e3,
        /// temperature of oil and walls
        wall_temperature: Temperature [253.15, 453.15] = 365.0,
        /// heat conductance from gas to oil and walls
        wall_conductance: Conductance [0.0, 100.0] = 5.0,
    }
}

/// Discharge coefficient of the breather and valve passages: short tubes with a
/// square edge (Weisbach, in britannica1911 "Hydraulics" §63: 0.81 to 0.84).
const PASSAGE_DISCHARGE: f64 = 0.82;

impl<P: Scalar> Crankcase<P> {
    /// Breather flow, crankcase to inlet duct.
    pub fn breather<S: Over<P>>(&self, crankcase: &GasState<S>, duct: &GasState<S>) -> Flow<S> {
        let area = self.breather_bore * self.breather_bore * (std::f64::consts::PI / 4.0);
        orifice(
            S::lift(area),
            Discharge::Constant(PASSAGE_DISCHARGE),
            crankcase,
            duct,
        )
    }

    /// Ventilation-valve flow, crankcase to manifold; shut against reverse flow, and by the
    /// regulator as the crankcase falls below `outside`, Pa.
    pub fn ventilation<S: Over<P>>(
        &self,
        crankcase: &GasState<S>,
        manifold: &GasState<S>,
        outside: f64,
    ) -> Flow<S> {
        let vacuum = crankcase.pressure - manifold.pressure;
        let open = step(vacuum, 0.0, 2e3);
        let narrowing = step(vacuum, 5e3, 60e3);
        let share = narrowing * (self.valve_idle_share - 1.0) + 1.0;
        let drawn = (-crankcase.pressure + outside) / self.regulated_vacuum;
        let regulated = -step(drawn, 0.5, 1.5) + 1.0;
        orifice(
            open * share * regulated * self.valve_area,
            Discharge::Constant(PASSAGE_DISCHARGE),
            crankcase,
            manifold,
        )
    }
}
