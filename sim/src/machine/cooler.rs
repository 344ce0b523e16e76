//! Charge-air cooler: pressure loss and heat to the ambient air.
//!
//! Source: kays1984 (effectiveness and number of transfer units, cross-flow,
//! both streams unmixed). The charge-side film follows flow^0.8 (turbulent
//! duct); the ambient stream is what fan and airstream bring.

use crate::flow::duct::DuctLoss;
use crate::heat::crossflow_effectiveness;
use crate::medium::{GasState, Medium};
use crate::quantities;
use crate::scalar::{Over, Scalar};
use crate::smooth::positive_part;

quantities! {
    /// Heat-transfer side of the cooler.
    pub struct CoolerHeat {
        /// conductance (UA) at the reference flow
        conductance: Conductance [10.0, 3000.0],
        /// charge flow at which the conductance is stated
        reference_flow: MassFlow [0.01, 1.0],
        /// share of the thermal resistance on the charge side at that flow
        charge_share: Ratio [0.0, 1.0] = 0.5,
        /// cooling-air mass flow at the cooling-air speed
        cooling_air: MassFlow [0.02, 5.0],
        /// share of it that only road speed brings, so that the standing car lacks it; 0 where the flow is the same at any road speed
        ram_share: Ratio [0.0, 0.98] = 0.0,
        /// road speed at which the cooling-air flow is stated
        cooling_air_speed: Speed [5.0, 80.0] = 27.78,
    }
}

/// Charge-air cooler.
#[derive(Clone, Copy, Debug)]
pub struct Cooler<P> {
    /// Pressure loss of the core and tanks.
    pub loss: DuctLoss<P>,
    /// Heat transfer.
    pub heat: CoolerHeat<P>,
}

impl<P: Scalar> CoolerHeat<P> {
    /// Cooling air, kg/s, at a road speed, m/s: `√(s² + (1 − s²)(v/v₀)²)` of that at v₀, s what
    /// the standing car has. Ram air goes with road speed, what a fan draws does not
    /// (common practice, no source).
    pub fn cooling_air_at<S: Over<P>>(&self, road_speed: S) -> S {
        let standing = -self.ram_share + 1.0;
        let still = standing * standing;
        let speed = road_speed / self.cooling_air_speed;
        (speed * speed * (-still + 1.0) + still).sqrt() * self.cooling_air
    }

    /// Temperature, K, of charge that leaves the core: `T − ε (C_min/C_charge)(T − T_cold)`.
    ///
    /// Flow in kg/s forward; in reverse nothing is cooled. `cooling_air` in kg/s
    /// ([`cooling_air_at`](Self::cooling_air_at)).
    pub fn outlet_temperature<S: Over<P>>(
        &self,
        medium: &Medium,
        charge: &GasState<S>,
        cold: &GasState<S>,
        flow: S,
        cooling_air: S,
    ) -> S {
        // A floor of 0.2 g/s keeps NTU finite when the flow stops.
        let flow = positive_part(flow, 4e-4);
        let charge_rate = flow * medium.cp(charge.temperature, charge.fuel_fraction);
        let cold_rate = medium.cp(cold.temperature, cold.fuel_fraction) * cooling_air;
        let least = charge_rate.min(cold_rate);
        let most = charge_rate.max(cold_rate);
        let film = (flow / self.reference_flow).powf(0.8);
        let resistance = film.recip() * self.charge_share - self.charge_share + 1.0;
        let units = S::lift(self.conductance) / resistance / least;
        let effectiveness = crossflow_effectiveness(units, least / most);
        charge.temperature
            - effectiveness * least / charge_rate * (charge.temperature - cold.temperature)
    }
}
