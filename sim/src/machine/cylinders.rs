//! The cylinders as a mean-value pump, burner and torque source.
//!
//! Filling: speed-density with a residual-gas term. Combustion: heat release
//! from the absolute enthalpies of what goes in and what comes out, so rich
//! mixtures release less without a separate rule, from the share of the cycles that burn. Work: the fuel-air cycle's share
//! of that heat (see [`combustion`]), less time loss, walls and late spark, less
//! pumping and Chen-Flynn friction. Exhaust: what energy is left, by the first law.
//!
//! Sources: heywood1988 (filling eq. 2.27, residual ch. 6, heat loss ch. 12),
//! taylor1985 (real over fuel-air cycle), chenflynn1965 (friction), guzzella2010
//! (mean-value form). Limits: warm engine, four-stroke, port or direct injection
//! without wall film; how cycles differ shows in the share that burns only ([`edge`](super::edge)).

use crate::machine::combustion;
use crate::machine::edge::{Edge, overlap_factor};
use crate::medium::{GasState, Medium};
use crate::quantities;
use crate::scalar::{Over, Scalar};
use crate::smooth::positive_part;
use std::f64::consts::PI;

quantities! {
    /// Cylinders, combustion and friction.
    pub struct Cylinders {
        /// total swept volume
        displacement: Volume [0.2e-3, 10e-3],
        /// compression ratio
        compression_ratio: Ratio [7.0, 15.0],
        /// volumetric efficiency over that of a healthy engine
        filling_share: Ratio [0.5, 1.1] = 1.0,
        /// stroke
        stroke: Length [0.04, 0.15],
        /// share of the fuel-air cycle's work that is kept, time loss apart, at the reference flow
        cycle_quality: Ratio [0.5, 1.0],
        /// share of the work lost to finite burning at the fastest mixture
        time_loss: Ratio [0.0, 0.15] = 0.06,
        /// spread of the fuel-air ratio in and between the cylinders, as a share of it
        mixture_scatter: Ratio [0.003, 0.1] = 0.02,
        /// lambda at which misfiring begins at light cruise, a tenth of the charge being burned gas
        lean_limit: Ratio [1.2, 1.6] = 1.35,
        /// lambda at which nothing burns any more there
        no_fire: Ratio [1.3, 2.5] = 1.55,
        /// share of burned gas left in the charge at which misfiring begins at lambda 1
        dilution_limit: Ratio [0.15, 0.35] = 0.25,
        /// share of the working cycles that never fire, their ignition having failed
        dead_share: Ratio [0.0, 0.9] = 0.0,
        /// crank angle for which intake and exhaust valves are open together, at 0.15 mm lift
        valve_overlap: Angle [0.0, std::f64::consts::FRAC_PI_2] = 0.1745,
        /// share of the heat released that goes to the coolant at the reference flow
        coolant_share: Ratio [0.1, 0.5],
        /// gas flow at which the coolant share is stated
        coolant_reference_flow: MassFlow [0.005, 1.0],
        /// constant friction mean effective pressure
        friction_constant: PressureDifference [0.0, 2e5],
        /// share of the peak cylinder pressure in the friction
        friction_pressure: Ratio [0.0, 0.02] = 0.004,
        /// peak cylinder pressure over manifold pressure
        peak_pressure_ratio: Ratio [15.0, 60.0] = 35.0,
        /// friction pressure at a mean piston speed of 10 m/s, linear part
        friction_speed: PressureDifference [0.0, 2e5],
        /// friction pressure at a mean piston speed of 10 m/s, square part
        friction_speed_square: PressureDifference [0.0, 2e5],
        /// torque taken by alternator, pumps and belts
        accessory_torque: Torque [0.0, 60.0],
        /// manifold pressure at which knock begins at best spark with 95 octane, 320 K charge and lambda 0.9
        knock_pressure: AbsolutePressure [5e4, 4e5],
        /// fall of the knock pressure's logarithm per unit of lambda
        knock_lambda: Ratio [0.0, 3.0] = 1.0,
        /// research octane number of the fuel in the tank
        octane_number: Ratio [85.0, 110.0] = 95.0,
        /// moment of inertia of crank train and flywheel
        inertia: Inertia [0.01, 3.0],
        /// blow-by past the rings, equivalent area that stays open to the manifold pressure
        blow_by_area: Area [0.0, 2e-5],
        /// temperature of blow-by gas after the cold walls
        blow_by_temperature: Temperature [283.15, 503.15] = 380.0,
    }
}

/// Work lost per unit of heat lost to the walls during expansion (about 0.4;
/// heywood1988 ch. 12, from memory).
const HEAT_WORK: f64 = 0.4;
/// Temperature, K, at which gas leaves a cylinder that does not fire: about that of head and exhaust port of
/// a warm engine (own choice; motored engines' exhaust stands at 100 to 200 °C, from memory).
const UNFIRED: f64 = 430.0;

/// What the cylinders do at one moment.
#[derive(Clone, Copy, Debug)]
pub struct Cycle<S> {
    /// Gas taken from the manifold, kg/s.
    pub intake: S,
    /// Fuel injected, kg/s.
    pub fuel: S,
    /// Air taken in whose oxygen is still unburned, kg/s.
    pub air: S,
    /// Share of the working cycles that get fuel.
    pub fired: S,
    /// Mixture in these, air over stoichiometric air.
    pub lambda: S,
    /// Gas past the rings into the crankcase, kg/s.
    pub blow_by: S,
    /// Enthalpy of the blow-by, W.
    pub blow_by_enthalpy: S,
    /// Gas into the exhaust manifold, kg/s.
    pub exhaust: S,
    /// Enthalpy into the exhaust manifold, W.
    pub exhaust_enthalpy: S,
    /// Fuel fraction of what leaves.
    pub fuel_fraction: S,
    /// Spark retard from the best torque timing, degrees of crank angle.
    pub spark_retard: S,
    /// Torque at the crankshaft after friction and accessories, N m.
    pub torque: S,
    /// Work taken from the gas (indicated, pumping included), W.
    pub gas_work: S,
    /// Heat from gas to coolant, W.
    pub coolant_heat: S,
    /// Heat released by the combustion, W.
    pub heat_release: S,
    /// Share of the working cycles with fuel that burn it.
    pub burned: S,
    /// What the others could have released, W: it leaves with the exhaust as fuel and air.
    pub unburned: S,
}

/// Volumetric filling of the engine per cycle, residual term included.
///
/// `base` is the filling with exhaust at manifold pressure; residual gas left at
/// exhaust pressure expands and takes room:
/// `base (r_c − (p_e/p_m)^(1/γ))/(r_c − 1)`, γ = 1.3 (heywood1988 ch. 6, from memory).
pub fn filling<P: Scalar, S: Over<P>>(base: S, compression_ratio: P, manifold: S, exhaust: S) -> S {
    let residual = (exhaust / manifold).powf(1.0 / 1.3);
    let clearance = compression_ratio - 1.0;
    // Ten per cent of the room is the floor: valves never shut the flow altogether.
    let share = (-residual + compression_ratio) / clearance;
    base * (positive_part(share - 0.1, 0.02) + 0.1)
}

/// Speed-density flow of a four-stroke engine, kg/s:
/// `η_v ρ V_d n/2`, `speed` in rad/s (heywood1988 eq. 2.27, from memory).
pub fn speed_density_flow<P: Scalar, S: Over<P>>(
    filling: S,
    density: S,
    displacement: P,
    speed: S,
) -> S {
    filling * density * displacement * speed / (4.0 * PI)
}

/// Torque, N m, of a mean effective pressure, Pa, in a four-stroke engine:
/// `p V_d/(4π)` (heywood1988 eq. 2.19).
pub fn torque_of_mean_pressure<P: Scalar, S: Over<P>>(pressure: S, displacement: P) -> S {
    pressure * displacement / (4.0 * PI)
}

/// What the engine computer asks of the cylinders.
#[derive(Clone, Copy, Debug)]
pub struct Orders<S> {
    /// Base filling at this speed (before the residual term).
    pub filling: S,
    /// Fuel, kg/s, were every working cycle to get it.
    pub fuel: S,
    /// Share of the working cycles that get it.
    pub fired: S,
    /// Spark retard asked for, degrees.
    pub spark_retard: S,
}

impl<P: Scalar> Cylinders<P> {
    /// Friction mean effective pressure, Pa (chenflynn1965):
    /// `A + B p_max + C S + D S²`, S the mean piston speed over 10 m/s.
    pub fn friction_pressure<S: Over<P>>(&self, manifold: S, speed: S) -> S {
        let piston = speed * self.stroke / (PI * 10.0);
        let peak = manifold * self.peak_pressure_ratio;
        peak * self.friction_pressure
            + piston * self.friction_speed
            + piston * piston * self.friction_speed_square
            + self.friction_constant
    }

    /// Spark retard forced by knock, degrees: hot charge, weak mixture and low
    /// octane lower the pressure at which it begins.
    ///
    /// The mixture's effect, some 1 % of the pressure per 0.01 lambda, is common
    /// practice without a source; engine speed and residual gas are left out.
    pub fn knock_retard<S: Over<P>>(&self, manifold: &GasState<S>, lambda: S) -> S {
        let heating = combustion::end_gas_heating(S::lift(self.peak_pressure_ratio));
        let (end_gas, reference) = (heating * manifold.temperature, heating * 320.0);
        let ratio = combustion::knock_onset_ratio(self.octane_number, end_gas, reference);
        let weaker = (combustion::knocking_lambda(lambda) - 0.9) * self.knock_lambda;
        let onset = ratio * (-weaker).exp() * self.knock_pressure;
        combustion::knock_retard(manifold.pressure / onset, end_gas)
    }

    /// Where burning ends. The bore is taken to be the stroke.
    fn edge(&self) -> Edge<P> {
        Edge {
            compression_ratio: self.compression_ratio,
            overlap_factor: overlap_factor(self.valve_overlap, self.stroke),
            lean_limit: self.lean_limit,
            no_fire: self.no_fire,
            dilution_limit: self.dilution_limit,
        }
    }

    /// Work per unit of heat released (indicated, pumping not included).
    ///
    /// Fuel-air cycle times the cycle quality, less uneven mixture and time loss; heat lost to the
    /// walls beyond the reference share costs [`HEAT_WORK`] of it in work.
    fn work_share<S: Over<P>>(&self, lambda: S, retard: S, coolant: S) -> S {
        let cycle = combustion::fuel_air_efficiency(self.compression_ratio, lambda);
        let burning = -(combustion::time_loss_ratio(lambda) * self.time_loss) + 1.0;
        let mixed = -combustion::unmixed_share(self.mixture_scatter, lambda) + 1.0;
        let spark = combustion::spark_efficiency(retard).max(S::constant(0.3));
        let walls = -((coolant - self.coolant_share) * HEAT_WORK) + 1.0;
        cycle * self.cycle_quality * mixed * burning * spark * walls
    }

    /// One moment of the cylinders between `manifold` and `exhaust` gas at crank
    /// speed `speed` (rad/s).
    pub fn cycle<S: Over<P>>(
        &self,
        medium: &Medium,
        manifold: &GasState<S>,
        exhaust: S,
        speed: S,
        orders: &Orders<S>,
    ) -> Cycle<S> {
        let volumetric = filling(
            orders.filling * self.filling_share,
            self.compression_ratio,
            manifold.pressure,
            exhaust,
        );
        let intake = speed_density_flow(volumetric, manifold.density(), self.displacement, speed);
        let fuel = orders.fuel * orders.fired;
        let air = intake * medium.burnable_air_fraction(manifold.fuel_fraction);
        let lambda = air / (orders.fuel + 1e-9) / medium.stoichiometric_air_fuel_ratio();
        let fuel_fraction = (intake * manifold.fuel_fraction + fuel) / (intake + fuel);

        let room = S::constant(298.15);
        let total = intake + fuel;
        // As if every cycle got fuel; those without release nothing and pump air.
        let charge = intake + orders.fuel;
        let burned_fraction = (intake * manifold.fuel_fraction + orders.fuel) / charge;
        let reactants = intake * medium.enthalpy(room, manifold.fuel_fraction)
            + orders.fuel * medium.fuel_enthalpy();
        let releasable =
            (reactants - charge * medium.enthalpy(room, burned_fraction)) * orders.fired;
        let burned = (self.edge()).burned(lambda, manifold.pressure, exhaust, speed);
        let burned = burned * (-self.dead_share + 1.0);
        let heat_release = releasable * burned;
        let spark_retard = orders.spark_retard + self.knock_retard(manifold, lambda);
        // Nusselt ∝ Re^0.8: the share lost to the walls falls with flow^(−0.2) (heywood1988 ch. 12).
        let slow = (S::lift(self.coolant_reference_flow) / (intake + 1e-5)).powf(0.2);
        let coolant = slow * self.coolant_share;
        let indicated = heat_release * self.work_share(lambda, spark_retard, coolant);
        let cycles = speed / (4.0 * PI) * self.displacement;
        let gas_work = indicated - (-manifold.pressure + exhaust) * cycles;
        let friction = self.friction_pressure(manifold.pressure, speed) * cycles;
        let torque = (gas_work - friction) / speed - self.accessory_torque;

        let coolant = heat_release * coolant;
        let blow_by = manifold.pressure / (manifold.gas_constant * manifold.temperature).sqrt()
            * self.blow_by_area;
        let blow_by_enthalpy =
            blow_by * medium.enthalpy(S::lift(self.blow_by_temperature), fuel_fraction);
        let supplied = intake * manifold.enthalpy + fuel * medium.fuel_enthalpy();
        // Blow-by leaves with its share of the exhaust energy; what the walls keep of it is coolant heat.
        // What did not burn is still in the gas: it leaves no warmer for it.
        let unburned = releasable - heat_release;
        // A cycle without fuel is warmed by the pumping work only, and is so little gas for two turns among
        // hot walls that it leaves as warm as they are.
        let pumped = manifold.enthalpy + (-manifold.pressure + exhaust) * cycles / (intake + 1e-5);
        let walls = medium.enthalpy(S::constant(UNFIRED), manifold.fuel_fraction);
        let cooled = (pumped - walls) * (-orders.fired + 1.0) * intake;
        let coolant = coolant + cooled;
        let leaving = (supplied - gas_work - coolant - unburned) / total;
        Cycle {
            intake,
            fuel,
            air,
            fired: orders.fired,
            lambda,
            blow_by,
            blow_by_enthalpy,
            exhaust: total - blow_by,
            exhaust_enthalpy: leaving * (total - blow_by),
            fuel_fraction,
            spark_retard,
            torque,
            gas_work,
            coolant_heat: coolant + leaving * blow_by - blow_by_enthalpy,
            heat_release,
            burned,
            unburned,
        }
    }
}
