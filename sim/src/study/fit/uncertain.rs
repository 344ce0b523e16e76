//! What is not known of a car that was described from outside: one table.

/// A number of the vehicle that is known only roughly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uncertain {
    /// Its dotted key, as `Network::map` gives it.
    pub key: &'static str,
    /// Standard deviation as a share of the number (of 1 for a scale).
    pub spread: f64,
    /// What it is, in plain words.
    pub name: &'static str,
}

const fn number(key: &'static str, spread: f64, name: &'static str) -> Uncertain {
    Uncertain { key, spread, name }
}

/// Every uncertain number with the spread among cars of one make.
///
/// Common practice, no source: filling 5 %, meter 3 %, turbine 5 %, cooler 8 % are stated
/// in the task that the program was made for; the others are of our own choice and wide
/// enough that a car is not called faulty for them.
pub const UNCERTAIN: &[Uncertain] = &[
    number("cylinders.filling_share", 0.05, "filling of the cylinders"),
    number("meter.meter_scale", 0.03, "scale of the air-flow meter"),
    number("fuelling.delivery", 0.03, "fuel delivery"),
    number("turbine.throat_area", 0.05, "turbine size"),
    number("turbine.peak_efficiency", 0.05, "turbine efficiency"),
    number("wastegate.preload", 0.05, "wastegate spring"),
    number("cooler_heat.conductance", 0.08, "charge cooler, heat"),
    number(
        "cooler.reference_loss",
        0.08,
        "charge cooler, pressure loss",
    ),
    number("filter.reference_loss", 0.15, "filter loss"),
    number("silencer.reference_loss", 0.10, "exhaust loss"),
    number("cylinders.friction_constant", 0.10, "engine friction"),
    number("throttle.discharge_coefficient", 0.05, "throttle flow"),
];
