//! Constants of nature and of the standards, with their source.

/// Molar gas constant, J/(mol K). Source: `codata2018`, exact by definition of the SI.
pub const MOLAR_GAS_CONSTANT: f64 = 8.314_462_618_153_24;

/// Standard acceleration of free fall, m/s². Source: `iso2533`.
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// Standard sea-level pressure, Pa. Source: `iso2533`.
pub const STANDARD_PRESSURE: f64 = 101_325.0;

/// Temperature at which heats of formation and heating values are stated, K.
pub const REFERENCE_TEMPERATURE: f64 = 298.15;

/// The ice point, K: 0 °C.
pub const ICE_POINT: f64 = 273.15;
