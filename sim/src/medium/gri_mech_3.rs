//! Thermodynamic polynomials of the seven gases.
//!
//! Source: `gri_mech_3` (thermo data of GRI-Mech 3.0, 200 to 3500 K), except
//! nitrogen below 1000 K: `mcbride1993`. The GRI fit of nitrogen begins at
//! 300 K, and the error of its heat capacity grows from 0.2 % there to 1.1 % at
//! 200 K, where cold intake air and every choked throat of it lies.

use crate::constants::MOLAR_GAS_CONSTANT;

/// Number of gases kept apart: N2, O2, Ar, CO2, H2O, CO, H2 in this order.
pub const GASES: usize = 7;
/// Oxygen.
pub const O2: usize = 1;
/// Carbon dioxide.
pub const CO2: usize = 3;
/// Water vapour.
pub const H2O: usize = 4;
/// Carbon monoxide.
pub const CO: usize = 5;
/// Hydrogen.
pub const H2: usize = 6;

/// Atomic mass of carbon, kg/mol. Source of all four: `iupac2021`.
pub const CARBON: f64 = 12.011e-3;
/// Atomic mass of hydrogen, kg/mol.
pub const HYDROGEN: f64 = 1.008e-3;
/// Atomic mass of oxygen, kg/mol.
pub const OXYGEN: f64 = 15.999e-3;
/// Atomic mass of nitrogen, kg/mol.
const NITROGEN: f64 = 14.007e-3;

/// Molar masses, kg/mol.
pub const MOLAR_MASS: [f64; GASES] = [
    2.0 * NITROGEN,
    2.0 * OXYGEN,
    39.95e-3,
    CARBON + 2.0 * OXYGEN,
    2.0 * HYDROGEN + OXYGEN,
    CARBON + OXYGEN,
    2.0 * HYDROGEN,
];

/// `cp/Ru = a1 + a2 T + a3 T² + a4 T³ + a5 T⁴`,
/// `h/(Ru T) = a1 + a2 T/2 + a3 T²/3 + a4 T³/4 + a5 T⁴/5 + a6/T`.
type Coefficients = [f64; 6];

/// For each gas: 200 to 1000 K, then 1000 to 3500 K.
#[rustfmt::skip]
const COEFFICIENTS: [[Coefficients; 2]; GASES] = [
    [[3.531_005_28, -1.236_609_87e-4, -5.029_994_37e-7, 2.435_306_12e-9, -1.408_812_35e-12, -1_046.976_28],
     [2.926_64, 1.487_976_8e-3, -5.684_76e-7, 1.009_703_8e-10, -6.753_351e-15, -922.797_7]],
    [[3.782_456_36, -2.996_734_16e-3, 9.847_302_01e-6, -9.681_295_09e-9, 3.243_728_37e-12, -1_063.943_56],
     [3.282_537_84, 1.483_087_54e-3, -7.579_666_69e-7, 2.094_705_55e-10, -2.167_177_94e-14, -1_088.457_72]],
    [[2.5, 0.0, 0.0, 0.0, 0.0, -745.375],
     [2.5, 0.0, 0.0, 0.0, 0.0, -745.375]],
    [[2.356_773_52, 8.984_596_77e-3, -7.123_562_69e-6, 2.459_190_22e-9, -1.436_995_48e-13, -48_371.969_7],
     [3.857_460_29, 4.414_370_26e-3, -2.214_814_04e-6, 5.234_901_88e-10, -4.720_841_64e-14, -48_759.166]],
    [[4.198_640_56, -2.036_434_1e-3, 6.520_402_11e-6, -5.487_970_62e-9, 1.771_978_17e-12, -30_293.726_7],
     [3.033_992_49, 2.176_918_04e-3, -1.640_725_18e-7, -9.704_198_7e-11, 1.682_009_92e-14, -30_004.297_1]],
    [[3.579_533_47, -6.103_536_8e-4, 1.016_814_33e-6, 9.070_058_84e-10, -9.044_244_99e-13, -14_344.086],
     [2.715_185_61, 2.062_527_43e-3, -9.988_257_71e-7, 2.300_530_08e-10, -2.036_477_16e-14, -14_151.872_4]],
    [[2.344_331_12, 7.980_520_75e-3, -1.947_815_1e-5, 2.015_720_94e-8, -7.376_117_61e-12, -917.935_173],
     [3.337_279_2, -4.940_247_31e-5, 4.994_567_78e-7, -1.795_663_94e-10, 2.002_553_76e-14, -950.158_922]],
];

/// Amounts of the gases, mol, in the order above.
pub type Amounts = [f64; GASES];

/// Mass of the amounts, kg.
pub fn mass(amounts: &Amounts) -> f64 {
    amounts.iter().zip(MOLAR_MASS).map(|(n, m)| n * m).sum()
}

/// Specific gas constant, J/(kg K).
pub fn gas_constant(amounts: &Amounts) -> f64 {
    MOLAR_GAS_CONSTANT * amounts.iter().sum::<f64>() / mass(amounts)
}

/// Absolute enthalpy in J/kg as a polynomial in T/(1000 K), for one of the two ranges.
pub fn enthalpy(amounts: &Amounts, range: usize) -> [f64; 6] {
    let scale = MOLAR_GAS_CONSTANT / mass(amounts);
    let mut sum = [0.0; 6];
    for (n, gas) in amounts.iter().zip(COEFFICIENTS) {
        let a = gas[range];
        sum[0] += n * scale * a[5];
        for k in 1..6 {
            sum[k] += n * scale * a[k - 1] * 1e3_f64.powi(k as i32) / k as f64;
        }
    }
    sum
}
