//! Air, burned gas, their mixtures, and the atmosphere.
//!
//! A mixture is described by its **fuel fraction** F: the mass of fuel-derived
//! atoms per mass of gas (0 in air, 1/(1+A/F) in stoichiometric burned gas). F
//! is conserved by mixing, so one number carries the composition through the
//! whole network: lambda = (1-F)/(F A/F_stoich).
//!
//! Up to lambda = 1 the gas is air mixed by mass with stoichiometric burned gas
//! (exact for complete combustion); richer, stoichiometric burned gas mixed
//! with the gas of lambda 0.8, whose carbon monoxide and hydrogen stand in
//! water-gas balance. The corner at lambda = 1 is rounded over ±0.003 in
//! F/F_stoich. Composition is frozen: no dissociation, which matters above
//! about 1800 K only. Valid for lambda above 0.62; beyond, the properties stay
//! at those of lambda 0.6.

pub mod atmosphere;
mod fuel;
mod gri_mech_3;
mod pump;
pub mod real_air;
mod state;
mod thermo;

use crate::constants::REFERENCE_TEMPERATURE;
use crate::scalar::{Over, Scalar};
use thermo::{Blend, Point, Thermo};

pub use fuel::{DryAir, Fuel};
pub use pump::FuelKind;
pub use state::GasState;

/// Lambda of the rich reference gas.
const RICH_LAMBDA: f64 = 0.8;
/// Lambda below which the properties change no more.
const RICHEST_LAMBDA: f64 = 0.6;
/// F/F_stoich below which they change no more: room for round-off only.
const LEANEST_RATIO: f64 = -0.1;
/// Half-width in F/F_stoich of the rounding at lambda = 1, and at the two ends.
const CORNER: f64 = 0.003;
const END_CORNER: f64 = 0.05;
/// Least F for which lambda is told apart from that of pure air.
const LEAST_FUEL_FRACTION: f64 = 1e-6;

/// The gas of one scenario: ambient air (with its humidity) and the burned gas
/// that the chosen fuel makes with it.
///
/// Temperatures in K, 200 to 3500 K (beyond, heat capacity goes on in a straight
/// line); fuel fractions F in kg/kg. Enthalpies and energies are absolute: heats
/// of formation included, zero for the elements at 298.15 K.
///
/// # Examples
/// ```
/// use sim::{Fuel, Medium};
/// let petrol = Fuel {
///     hydrogen_per_carbon: 1.87,
///     oxygen_per_carbon: 0.0,
///     lower_heating_value: 44e6,
/// };
/// let gas = Medium::new(&petrol, 0.0);
/// // Heywood, Internal Combustion Engine Fundamentals: 14.6 for CH1.87 (from memory).
/// assert!((gas.stoichiometric_air_fuel_ratio() - 14.6).abs() < 0.05);
/// ```
#[derive(Clone, Debug)]
pub struct Medium {
    thermo: Thermo,
    air_fuel_ratio: f64,
    richest_ratio: f64,
    fuel_enthalpy: f64,
}

impl Medium {
    /// Ambient air with `water_mole_fraction` (0 to 0.1) of vapour, and `fuel`.
    pub fn new(fuel: &Fuel, water_mole_fraction: f64) -> Self {
        let air = fuel::moist(water_mole_fraction);
        let air_fuel_ratio = fuel.air_fuel_ratio(&air);
        let ratio = |lambda: f64| (1.0 + air_fuel_ratio) / (1.0 + lambda * air_fuel_ratio);
        let rich = fuel.rich_products(&air, RICH_LAMBDA);
        let thermo = Thermo::new(&air, &fuel.products(&air), &rich, ratio(RICH_LAMBDA));
        // Burning at the reference temperature releases the lower heating value.
        let [h_air, h_burned] = [0.0, 1.0].map(|ratio| {
            let pure = Blend {
                ratio,
                ..Blend::default()
            };
            thermo.at(REFERENCE_TEMPERATURE, &pure).h
        });
        Self {
            thermo,
            air_fuel_ratio,
            richest_ratio: ratio(RICHEST_LAMBDA),
            fuel_enthalpy: fuel.lower_heating_value + (1.0 + air_fuel_ratio) * h_burned
                - air_fuel_ratio * h_air,
        }
    }

    /// Kilograms of this (moist) air that burn a kilogram of fuel completely.
    pub fn stoichiometric_air_fuel_ratio(&self) -> f64 {
        self.air_fuel_ratio
    }

    /// Fuel fraction of stoichiometric burned gas.
    pub fn stoichiometric_fuel_fraction(&self) -> f64 {
        self.fuel_fraction_at(1.0)
    }

    /// Absolute enthalpy of the fuel at 298.15 K, J/kg, such that complete
    /// combustion releases the lower heating value.
    pub fn fuel_enthalpy(&self) -> f64 {
        self.fuel_enthalpy
    }

    /// Fuel fraction of gas with air-fuel ratio `lambda` (relative to stoichiometric, > 0).
    pub fn fuel_fraction_at<S: Scalar>(&self, lambda: S) -> S {
        (lambda * self.air_fuel_ratio + 1.0).recip()
    }

    /// Relative air-fuel ratio; air reads as the lambda of F = 1e-6, some 7e4.
    pub fn lambda<S: Scalar>(&self, fuel_fraction: S) -> S {
        let f = fuel_fraction.max(S::constant(LEAST_FUEL_FRACTION));
        (f.recip() - 1.0) / self.air_fuel_ratio
    }

    /// Share of the mass that is air with its oxygen unburned: `1 - F/F_stoich`,
    /// above lambda = 1 smoothly 0.
    #[inline]
    pub fn burnable_air_fraction<S: Scalar>(&self, fuel_fraction: S) -> S {
        let blend = self.blend(fuel_fraction.value());
        fuel_fraction.chain(
            1.0 - blend.ratio + blend.excess,
            blend.excess_slope - blend.ratio_slope,
        )
    }

    /// Specific gas constant, J/(kg K).
    #[inline]
    pub fn gas_constant<S: Scalar>(&self, fuel_fraction: S) -> S {
        let (r, r_f) = self.thermo.gas_constant(&self.blend(fuel_fraction.value()));
        fuel_fraction.chain(r, r_f)
    }

    /// Absolute specific enthalpy, J/kg.
    #[inline]
    pub fn enthalpy<S: Scalar>(&self, temperature: S, fuel_fraction: S) -> S {
        let at = self.point(temperature, fuel_fraction);
        of_two(temperature, fuel_fraction, at.h, at.cp, at.h_f)
    }

    /// Absolute specific internal energy `h - R T`, J/kg.
    #[inline]
    pub fn internal_energy<S: Scalar>(&self, temperature: S, fuel_fraction: S) -> S {
        let at = self.point(temperature, fuel_fraction);
        let u = at.h - at.r * at.temperature;
        let u_f = at.h_f - at.r_f * at.temperature;
        of_two(temperature, fuel_fraction, u, at.cp - at.r, u_f)
    }

    /// Specific heat capacity at constant pressure, J/(kg K).
    #[inline]
    pub fn cp<S: Scalar>(&self, temperature: S, fuel_fraction: S) -> S {
        let at = self.point(temperature, fuel_fraction);
        of_two(temperature, fuel_fraction, at.cp, at.cp_t, at.cp_f)
    }

    /// Ratio of specific heats.
    #[inline]
    pub fn gamma<S: Scalar>(&self, temperature: S, fuel_fraction: S) -> S {
        gamma(
            &self.point(temperature, fuel_fraction),
            temperature,
            fuel_fraction,
        )
    }

    /// Temperature, K, at absolute internal energy `energy`, J/kg; held within 50 to 6000 K.
    #[inline]
    pub fn temperature_from_energy<S: Scalar>(&self, energy: S, fuel_fraction: S) -> S {
        let blend = self.blend(fuel_fraction.value());
        let at = self.thermo.solve(energy.value(), 1.0, &blend);
        temperature_of_energy(&at, energy, fuel_fraction)
    }

    /// Temperature, K, at absolute enthalpy `enthalpy`, J/kg; held within 50 to 6000 K.
    #[inline]
    pub fn temperature_from_enthalpy<S: Scalar>(&self, enthalpy: S, fuel_fraction: S) -> S {
        let blend = self.blend(fuel_fraction.value());
        let at = self.thermo.solve(enthalpy.value(), 0.0, &blend);
        of_two(
            enthalpy,
            fuel_fraction,
            at.temperature,
            1.0 / at.cp,
            -at.h_f / at.cp,
        )
    }

    /// Gas at a pressure (Pa abs), temperature (K) and fuel fraction.
    #[inline]
    pub fn state<S: Scalar>(&self, pressure: S, temperature: S, fuel_fraction: S) -> GasState<S> {
        let at = self.point(temperature, fuel_fraction);
        assemble(&at, pressure, temperature, fuel_fraction)
    }

    /// Gas that fills `volume` (m³) with `mass` (kg, > 0), absolute internal
    /// `energy` (J) and `fuel_mass` (kg of fuel-derived mass).
    ///
    /// Finite input gives a finite state, its temperature within 50 to 6000 K.
    #[inline]
    pub fn state_in_volume<P, S: Over<P>>(
        &self,
        volume: P,
        mass: S,
        energy: S,
        fuel_mass: S,
    ) -> GasState<S> {
        let fuel_fraction = fuel_mass / mass;
        let energy = energy / mass;
        let blend = self.blend(fuel_fraction.value());
        let at = self.thermo.solve(energy.value(), 1.0, &blend);
        let temperature = temperature_of_energy(&at, energy, fuel_fraction);
        let work = fuel_fraction.chain(at.r, at.r_f) * temperature;
        assemble(&at, mass / volume * work, temperature, fuel_fraction)
    }

    #[inline(always)]
    fn point<S: Scalar>(&self, temperature: S, fuel_fraction: S) -> Point {
        let blend = self.blend(fuel_fraction.value());
        self.thermo.at(temperature.value(), &blend)
    }

    #[inline(always)]
    fn blend(&self, fuel_fraction: f64) -> Blend {
        let slope = 1.0 + self.air_fuel_ratio;
        let ratio = fuel_fraction * slope;
        let (excess, excess_slope) = above(ratio - 1.0, CORNER);
        let (over, over_slope) = above(ratio - self.richest_ratio, END_CORNER);
        let (under, under_slope) = above(LEANEST_RATIO - ratio, END_CORNER);
        Blend {
            ratio: ratio - over + under,
            excess: excess - over,
            ratio_slope: slope * (1.0 - over_slope - under_slope),
            excess_slope: slope * (excess_slope - over_slope),
        }
    }
}

/// `max(x, 0)` and its slope, the corner rounded by a parabola within `±width`.
#[inline(always)]
fn above(x: f64, width: f64) -> (f64, f64) {
    if x <= -width {
        (0.0, 0.0)
    } else if x >= width {
        (x, 1.0)
    } else {
        let t = x + width;
        (t * t / (4.0 * width), t / (2.0 * width))
    }
}

/// A function of two numbers whose value and slopes are known.
#[inline(always)]
fn of_two<S: Scalar>(x: S, y: S, value: f64, by_x: f64, by_y: f64) -> S {
    x.chain(value, by_x) + y.chain(0.0, by_y)
}

#[inline(always)]
fn temperature_of_energy<S: Scalar>(at: &Point, energy: S, fuel_fraction: S) -> S {
    let inverse = 1.0 / (at.cp - at.r);
    let u_f = at.h_f - at.r_f * at.temperature;
    of_two(
        energy,
        fuel_fraction,
        at.temperature,
        inverse,
        -u_f * inverse,
    )
}

#[inline(always)]
fn gamma<S: Scalar>(at: &Point, temperature: S, fuel_fraction: S) -> S {
    let inverse = 1.0 / (at.cp - at.r);
    let by_temperature = -at.r * at.cp_t * inverse * inverse;
    let by_fuel = (at.cp * at.r_f - at.r * at.cp_f) * inverse * inverse;
    of_two(
        temperature,
        fuel_fraction,
        at.cp * inverse,
        by_temperature,
        by_fuel,
    )
}

#[inline(always)]
fn assemble<S: Scalar>(at: &Point, pressure: S, temperature: S, fuel_fraction: S) -> GasState<S> {
    GasState {
        pressure,
        temperature,
        fuel_fraction,
        gas_constant: fuel_fraction.chain(at.r, at.r_f),
        gamma: gamma(at, temperature, fuel_fraction),
        enthalpy: of_two(temperature, fuel_fraction, at.h, at.cp, at.h_f),
    }
}
