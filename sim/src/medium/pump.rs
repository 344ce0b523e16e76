//! Fuels as they are sold.

use super::Fuel;
use crate::words;

words! {
    /// Fuel at the pump.
    pub enum FuelKind {
        /// Petrol without alcohol.
        Petrol = "petrol",
        /// Petrol with 10 % of ethanol by volume.
        E10 = "e10",
        /// Petrol with 85 % of ethanol by volume.
        E85 = "e85",
    }
}

/// Density of petrol and of ethanol near 15 °C, kg/m³ (common practice, no source).
const DENSITIES: [f64; 2] = [745.0, 794.0];
/// Molar mass per carbon atom: CH1.85 and C2H6O, kg/kmol (iupac2021 atoms).
const MASSES: [f64; 2] = [13.876, 23.034];
/// Lower heating values, J/kg: petrol 42.9 MJ/kg and ethanol 26.9 MJ/kg
/// (heywood1988 table D.4, from memory).
const HEATS: [f64; 2] = [42.9e6, 26.9e6];

impl FuelKind {
    /// Share of ethanol by volume.
    pub fn ethanol(self) -> f64 {
        match self {
            FuelKind::Petrol => 0.0,
            FuelKind::E10 => 0.10,
            FuelKind::E85 => 0.85,
        }
    }

    /// Atoms and heat of the blend: masses add, petrol taken as CH1.85.
    pub fn fuel(self) -> Fuel<f64> {
        let ethanol = self.ethanol();
        let masses = [(1.0 - ethanol) * DENSITIES[0], ethanol * DENSITIES[1]];
        let carbons = [masses[0] / MASSES[0], masses[1] / MASSES[1]];
        let carbon = carbons[0] + carbons[1];
        Fuel {
            hydrogen_per_carbon: (1.85 * carbons[0] + 3.0 * carbons[1]) / carbon,
            oxygen_per_carbon: 0.5 * carbons[1] / carbon,
            lower_heating_value: (masses[0] * HEATS[0] + masses[1] * HEATS[1])
                / (masses[0] + masses[1]),
        }
    }
}
