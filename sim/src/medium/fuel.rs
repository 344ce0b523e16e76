//! The fuel and the gas its combustion leaves.

use super::gri_mech_3::*;
use crate::quantities;
use crate::scalar::Scalar;

quantities! {
    /// A fuel by its atoms and its heat. The defaults are petrol: hydrogen as
    /// used for the check values, heating value of `heywood1988` table D.4 (from memory).
    ///
    /// # Examples
    /// ```
    /// use sim::{Fuel, Medium};
    /// let ethanol = Fuel {
    ///     hydrogen_per_carbon: 3.0,
    ///     oxygen_per_carbon: 0.5,
    ///     lower_heating_value: 26.9e6,
    /// };
    /// // From its atoms, C2H6O in dry air: 9.0 kg of air a kilogram.
    /// let air = Medium::new(&ethanol, 0.0).stoichiometric_air_fuel_ratio();
    /// assert!((air - 9.0).abs() < 0.05);
    /// ```
    pub struct Fuel {
        /// hydrogen atoms per carbon atom
        hydrogen_per_carbon: Ratio [0.5, 4.0] = 1.85,
        /// oxygen atoms per carbon atom
        oxygen_per_carbon: Ratio [0.0, 1.0] = 0.0,
        /// heat of complete combustion, products gaseous
        lower_heating_value: SpecificEnergy [10e6, 60e6] = 44.0e6,
    }
}

/// Dry air, mole fractions: `iso2533`; its 24 ppm of rare gases counted as argon.
pub const DRY_AIR: Amounts = [0.780_84, 0.209_476, 0.009_37, 0.000_314, 0.0, 0.0, 0.0];

/// Constant of the water-gas reaction, (H2O)(CO)/((CO2)(H2)), at which exhaust
/// freezes. Source: `heywood1988` section 4.9.
const WATER_GAS_CONSTANT: f64 = 3.5;

/// Air with this mole fraction of water vapour.
pub fn moist(water_mole_fraction: f64) -> Amounts {
    let mut air = DRY_AIR.map(|x| x * (1.0 - water_mole_fraction));
    air[H2O] = water_mole_fraction;
    air
}

/// Dry air and a fuel, as one knows them who knows no humidity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DryAir {
    /// Kilograms of dry air that burn a kilogram of the fuel completely.
    air_fuel_ratio: f64,
    /// Specific gas constant, J/(kg K).
    gas_constant: f64,
    /// Molar mass of water over that of dry air.
    water: f64,
}

impl DryAir {
    /// Dry air for `fuel`.
    pub fn of(fuel: &Fuel) -> Self {
        Self {
            air_fuel_ratio: fuel.air_fuel_ratio(&DRY_AIR),
            gas_constant: gas_constant(&DRY_AIR),
            water: mass(&moist(1.0)) / mass(&DRY_AIR),
        }
    }

    /// Kilograms of air with this mole fraction of water vapour that burn a kilogram of the fuel:
    /// masses of vapour and dry air add.
    pub fn air_fuel_ratio<P: Scalar>(&self, water: P) -> P {
        (water / (-water + 1.0) * self.water + 1.0) * self.air_fuel_ratio
    }

    /// Gas constant, J/(kg K), of air with this mole fraction of water vapour: `Ru` over the mean
    /// molar mass.
    pub fn gas_constant<P: Scalar>(&self, water: P) -> P {
        (water * (self.water - 1.0) + 1.0).recip() * self.gas_constant
    }
}

impl Fuel {
    /// Mass of fuel per mole of its carbon, kg/mol.
    fn molar_mass(&self) -> f64 {
        CARBON + self.hydrogen_per_carbon * HYDROGEN + self.oxygen_per_carbon * OXYGEN
    }

    /// Oxygen for complete combustion, mol O2 per mole of carbon. Source: `heywood1988` eq. 3.5.
    fn oxygen_need(&self) -> f64 {
        1.0 + self.hydrogen_per_carbon / 4.0 - self.oxygen_per_carbon / 2.0
    }

    /// Mass of this air that burns a unit mass of fuel completely.
    pub(super) fn air_fuel_ratio(&self, air: &Amounts) -> f64 {
        self.oxygen_need() / air[O2] * mass(air) / self.molar_mass()
    }

    /// What a mole of the fuel's carbon leaves at lambda = 1.
    pub(super) fn products(&self, air: &Amounts) -> Amounts {
        let mut gas = air.map(|x| x * self.oxygen_need() / air[O2]);
        gas[O2] = 0.0;
        gas[CO2] += 1.0;
        gas[H2O] += self.hydrogen_per_carbon / 2.0;
        gas
    }

    /// What a mole of the fuel's carbon leaves at `lambda` < 1: all oxygen used,
    /// carbon monoxide and hydrogen in water-gas balance.
    pub(super) fn rich_products(&self, air: &Amounts, lambda: f64) -> Amounts {
        let mut gas = air.map(|x| x * lambda * self.oxygen_need() / air[O2]);
        let carbon = 1.0 + gas[CO2];
        let hydrogen = self.hydrogen_per_carbon / 2.0 + gas[H2O];
        let oxygen = self.oxygen_per_carbon + 2.0 * gas[O2] + 2.0 * gas[CO2] + gas[H2O];
        // With x = CO2: CO = carbon - x, H2O = oxygen - carbon - x, H2 = hydrogen - H2O.
        let k = WATER_GAS_CONSTANT;
        let b = k * (hydrogen - oxygen + carbon) + oxygen;
        let c = carbon * (oxygen - carbon);
        gas[CO2] = 2.0 * c / (b + (b * b + 4.0 * (k - 1.0) * c).sqrt());
        gas[CO] = carbon - gas[CO2];
        gas[H2O] = oxygen - carbon - gas[CO2];
        gas[H2] = hydrogen - gas[H2O];
        gas[O2] = 0.0;
        gas
    }
}
