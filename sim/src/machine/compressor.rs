//! Centrifugal compressor as head and work coefficients over flow coefficient.
//!
//! The wheel gives the gas the work `w U²` (Euler: linear in the flow
//! coefficient, backswept blades) and gets the isentropic head `ψ U²/2`; the
//! efficiency is their ratio, so pressure and power agree at every flow,
//! windmilling and reverse flow included. On the stable side the head is an
//! arc from the peak down through zero head (choke and windmilling); left of
//! the peak it is the cubic of surge dynamics; in reverse flow it rises again.
//!
//! Sources: dixon2014 (flow, head and work coefficients), jensen1991 (Mach
//! dependence), moore1986 (cubic left of the peak), gravdahl1999 (reverse flow,
//! work-based efficiency). Limits: one fixed geometry, no Reynolds correction.

use crate::medium::GasState;
use crate::quantities;
use crate::scalar::{Over, Scalar};

quantities! {
    /// Compressor wheel and its characteristic.
    pub struct Compressor {
        /// wheel outlet diameter
        wheel_diameter: Length [0.02, 0.15],
        /// head coefficient at the peak of a speed line, low tip speed
        peak_head: Ratio [0.5, 1.6],
        /// fall of the peak head coefficient per unit of tip Mach number
        peak_head_mach: Ratio [-0.5, 0.5] = 0.0,
        /// fall of the head from peak to zero flow, share of the peak at tip Mach number 1; it grows with its square
        surge_dip: Ratio [0.0, 0.7] = 0.25,
        /// flow coefficient at the peak (surge line) per unit of tip Mach number
        surge_flow: Ratio [0.005, 0.1],
        /// flow coefficient at zero head, low tip speed
        choke_flow: Ratio [0.03, 0.5],
        /// fall of the zero-head flow coefficient per unit of tip Mach number
        choke_flow_mach: Ratio [-0.1, 0.2] = 0.0,
        /// exponent of the arc from peak to zero head; 2 is a parabola
        arc_exponent: Ratio [1.5, 8.0] = 3.0,
        /// work coefficient at zero flow
        work: Ratio [0.4, 1.1],
        /// fall of the work coefficient per unit of flow coefficient (backsweep)
        work_flow: Ratio [0.0, 12.0],
        /// rise of the head with the square of reverse flow coefficient
        reverse_head: Ratio [0.0, 500.0] = 60.0,
        /// cross-section over length of the passage whose gas must be accelerated
        duct_area_over_length: Length [1e-4, 0.1] = 4e-3,
    }
}

/// What the compressor does to the gas at a given flow.
#[derive(Clone, Copy, Debug)]
pub struct Stage<S> {
    /// Outlet pressure the wheel sustains, Pa absolute.
    pub outlet_pressure: S,
    /// Work given to each kilogram of gas, J/kg.
    pub work: S,
    /// Torque on the wheel per unit of mass flow, N m s/kg.
    pub torque_per_flow: S,
    /// Flow coefficient `m/(ρ₁ D² U)`.
    pub flow_coefficient: S,
    /// Flow coefficient at the peak of this speed line (surge side to its left).
    pub surge_coefficient: S,
    /// Flow coefficient at zero head.
    pub choke_coefficient: S,
    /// Isentropic head, J/kg.
    pub head: S,
}

/// Tip Mach number beyond which the inducer is supersonic and the head falls away, and
/// how fast, per square (from memory, order of magnitude; a real wheel is near bursting).
const HIGHEST_MACH: f64 = 1.55;
const OVERSPEED_LOSS: f64 = 2.0;

/// Tip speed below which the coefficients fade out (the wheel hardly turns), m/s.
const STANDING_TIP_SPEED: f64 = 8.0;

impl<P: Scalar> Compressor<P> {
    /// The stage at mass flow `flow` (kg/s, negative = reverse) and wheel speed
    /// `speed` (rad/s) with inlet gas `inlet`.
    pub fn stage<S: Over<P>>(&self, inlet: &GasState<S>, flow: S, speed: S) -> Stage<S> {
        let tip = speed * self.wheel_diameter * 0.5;
        let tip_squared = tip * tip + STANDING_TIP_SPEED * STANDING_TIP_SPEED;
        let tip_speed = tip_squared.sqrt();
        let cp = inlet.gas_constant * inlet.gamma / (inlet.gamma - 1.0);
        let sound = (inlet.gamma * inlet.gas_constant * inlet.temperature).sqrt();
        let mach = tip_speed / sound;
        let phi =
            flow / (inlet.density() * tip_speed) / (self.wheel_diameter * self.wheel_diameter);
        let surge = mach * self.surge_flow;
        let choke = (-(mach * self.choke_flow_mach) + self.choke_flow).max(surge * 1.2);
        let peak = -(mach * self.peak_head_mach) + self.peak_head;
        let beyond = (mach - HIGHEST_MACH).max(S::constant(0.0));
        let peak = peak * (-(beyond * beyond * OVERSPEED_LOSS)).exp();
        let head = self.head_coefficient(phi, surge, choke, peak, mach) * tip_squared;
        // A standing wheel makes no head: what the floor on the tip speed would add is taken off.
        let head = (head - peak * (STANDING_TIP_SPEED * STANDING_TIP_SPEED)) * 0.5;
        let coefficient = -(phi.abs() * self.work_flow) + self.work;
        Stage {
            outlet_pressure: inlet.pressure
                * pressure_ratio(head / (cp * inlet.temperature), inlet.gamma),
            work: coefficient * tip * tip,
            torque_per_flow: coefficient * tip * self.wheel_diameter * 0.5,
            flow_coefficient: phi,
            surge_coefficient: surge,
            choke_coefficient: choke,
            head,
        }
    }

    /// Head coefficient; C1 in the flow coefficient.
    fn head_coefficient<S: Over<P>>(&self, phi: S, surge: S, choke: S, peak: S, mach: S) -> S {
        // Slow wheels do not surge: the dip that drives the cycle goes with the wheel's own pressure rise.
        let dip = (mach * mach * self.surge_dip).min(S::constant(0.7));
        let shut_off = peak * (-dip + 1.0);
        if phi.value() < 0.0 {
            shut_off + phi * phi * self.reverse_head
        } else if phi.value() < surge.value() {
            let s = phi / surge;
            shut_off + (peak - shut_off) * s * s * (-(s * 2.0) + 3.0)
        } else {
            let s = (phi - surge) / (choke - surge);
            if s.value() < 1e-9 {
                return peak;
            }
            peak * (-s.pow(S::lift(self.arc_exponent)) + 1.0)
        }
    }

    /// Rate of the mass flow, kg/s²: the passage gas is pushed by the difference
    /// between what the wheel sustains and what stands behind it (greitzer1976).
    pub fn acceleration<S: Over<P>>(&self, stage: &Stage<S>, behind: S) -> S {
        (stage.outlet_pressure - behind) * self.duct_area_over_length
    }
}

/// `(1 + head/(cp T))^(γ/(γ−1))`, the isentropic pressure ratio; below a tenth of
/// the inlet enthalpy left, its logarithm goes on straight: positive and C1.
fn pressure_ratio<S: Scalar>(relative_head: S, gamma: S) -> S {
    const FLOOR: f64 = 0.1;
    let base = relative_head + 1.0;
    let log = if base.value() > FLOOR {
        base.ln()
    } else {
        (base - FLOOR) / FLOOR + FLOOR.ln()
    };
    (log * gamma / (gamma - 1.0)).exp()
}

/// Isentropic head of a pressure ratio, J/kg: `cp T ((p₂/p₁)^((γ−1)/γ) − 1)`.
///
/// Perfect gas with constant cp between the two states; dixon2014 ch. 7.
pub fn isentropic_head<S: Scalar>(cp: S, temperature: S, pressure_ratio: S, gamma: S) -> S {
    cp * temperature * ((pressure_ratio.ln() * (gamma - 1.0) / gamma).exp() - 1.0)
}

/// Corrected mass flow `m √(T/T_ref)/(p/p_ref)`, kg/s (SAE J1826, from memory).
///
/// `temperature`, `pressure`: inlet total state, K and Pa absolute; the
/// reference conditions belong to the map and are stored with it.
pub fn corrected_flow<S: Scalar>(
    flow: S,
    temperature: S,
    pressure: S,
    reference_temperature: f64,
    reference_pressure: f64,
) -> S {
    flow * (temperature / reference_temperature).sqrt() / (pressure / reference_pressure)
}

/// Corrected speed `n √(T_ref/T)`, in the unit of `speed` (SAE J1826, from memory).
pub fn corrected_speed<S: Scalar>(speed: S, temperature: S, reference_temperature: f64) -> S {
    speed * (temperature.recip() * reference_temperature).sqrt()
}
