//! Rules for the engine itself: cylinders, crankcase, filling, idle, the car around it.

use super::draft::Draft;
use super::part::{Notes, Part};
use super::{Refusal, Unheld};
use crate::curve::Curve;
use crate::machine::crankcase::Crankcase;
use crate::machine::cylinders::Cylinders;
use crate::machine::road::Road;

/// Filling over rated speed: shape of an engine tuned for the middle of its range,
/// exhaust at manifold pressure (common practice, no source).
const FILLING: [[f64; 2]; 6] = [
    [0.13, 0.77],
    [0.28, 0.91],
    [0.50, 0.985],
    [0.78, 1.0],
    [1.0, 0.95],
    [1.18, 0.84],
];
/// Highest filling of the worst and of the best breathing engine (common practice, no source).
const FILLING_LEVELS: [f64; 2] = [0.86, 1.06];
/// The same for the cycle quality, over that of the common engine.
const QUALITY_LEVELS: [f64; 2] = [0.92, 1.08];

fn between([low, high]: [f64; 2], share: f64) -> f64 {
    low + (high - low) * share
}

/// Litres, for rules that scale with displacement.
pub(super) fn litres(draft: &Draft) -> f64 {
    draft.numbers.displacement * 1e3
}

/// Highest filling of the shape.
pub(super) fn filling_level(draft: &Draft) -> f64 {
    between(FILLING_LEVELS, draft.level)
}

/// Share of the Otto efficiency that this draft's cylinders keep.
pub(super) fn cycle_quality(draft: &Draft) -> f64 {
    draft.quality * between(QUALITY_LEVELS, draft.level)
}

/// Filling over engine speed.
pub(super) fn filling(draft: &Draft, notes: &mut Notes) -> Result<Curve<f64>, Refusal> {
    notes.push((
        "filling".into(),
        format!(
            "common shape over rated speed (rule of thumb), highest value {:.3} so that the peak torque \
             is met at the peak boost, rated point {:.3} times the shape so that the rated power is met",
            filling_level(draft),
            draft.rated_filling
        ),
    ));
    let points = FILLING.map(|[share, filling]| {
        let late = (share - 0.78).clamp(0.0, 0.22) / 0.22;
        let shape = filling * (1.0 + (draft.rated_filling - 1.0) * late);
        [
            share * draft.numbers.rated_speed,
            filling_level(draft) * shape,
        ]
    });
    Curve::new(points.to_vec()).map_err(|why| Refusal::Part("filling".into(), Unheld::Curve(why)))
}

/// Speed from which the fuel is cut, rad/s: where the filling table ends (common practice, no source).
pub(super) fn speed_limit(draft: &Draft) -> f64 {
    FILLING[FILLING.len() - 1][0] * draft.numbers.rated_speed
}

/// Compression ratio: 10.6 less 0.9 for each bar of peak boost (common practice, no source).
pub(super) fn compression_ratio(draft: &Draft) -> f64 {
    (10.6 - 0.9 * draft.peak_boost / 1e5).clamp(8.5, 10.5)
}

/// Cylinders, combustion and friction.
pub(super) fn cylinders(draft: &Draft, notes: &mut Notes) -> Result<Cylinders<f64>, Refusal> {
    let n = &draft.numbers;
    let charge = super::SURROUNDINGS.pressure + draft.peak_boost;
    let knock = 0.80 * charge;
    Part::new("cylinders", notes)
        .set("displacement", n.displacement, "given")
        .set(
            "compression_ratio",
            compression_ratio(draft),
            "10.6 less 0.9 for each bar of peak boost, 8.5 to 10.5 (rule of thumb)",
        )
        .set(
            "stroke",
            n.stroke(),
            format!("1.08 bores; bore {:.1} mm from displacement and cylinders (rule of thumb)", n.bore() * 1e3),
        )
        .set(
            "cycle_quality",
            cycle_quality(draft),
            "matched: brake share of the fuel's heat 29 % at full load, then peak torque",
        )
        .set(
            "coolant_share",
            draft.coolant_share,
            "matched: exhaust temperature before the turbine at rated power",
        )
        .set("coolant_reference_flow", 0.83 * draft.rated.air, "83 % of the rated air flow")
        .set(
            "octane_number",
            if n.fuel.ethanol() > 0.5 { 105.0 } else { 95.0 },
            "95 of common petrol, 105 of E85 (rule of thumb)",
        )
        .set("friction_constant", 32e3, "chenflynn1965 form, common size")
        .set("friction_speed", 35e3, "chenflynn1965 form, common size")
        .set("friction_speed_square", 18e3, "chenflynn1965 form, common size")
        .set(
            "accessory_torque",
            draft.accessories * (2.0 + 3.0 * litres(draft)),
            "2 N m and 3 N m per litre (rule of thumb), corrected for the manifold pressure at idle",
        )
        .set(
            "knock_pressure",
            knock,
            "80 % of the absolute peak boost, so that full boost costs a few degrees of spark (rule of thumb)",
        )
        .set("inertia", 0.03 + 0.085e3 * n.displacement, "0.03 and 0.085 kg m2 per litre (rule of thumb)")
        .set("blow_by_area", 0.345e-3 * n.displacement, "0.345 mm2 per litre (rule of thumb)")
        .done()
}

/// Crankcase and its ventilation.
pub(super) fn crankcase(draft: &Draft, notes: &mut Notes) -> Result<Crankcase<f64>, Refusal> {
    let v = draft.numbers.displacement;
    Part::new("crankcase", notes)
        .set("volume", 3.6 * v, "3.6 displacements (rule of thumb)")
        .set(
            "breather_bore",
            12e-3 * (v / 1e-3).sqrt().clamp(0.9, 1.6),
            "12 mm for 1 L, with the root of displacement (rule of thumb)",
        )
        .set(
            "valve_area",
            3.6e-3 * v,
            "3.6 mm2 per litre (rule of thumb)",
        )
        .done()
}

/// Idle speed, rad/s: fewer and smaller cylinders idle faster (common practice, no source).
pub(super) fn idle_speed(draft: &Draft) -> (f64, String) {
    if let Some(speed) = draft.numbers.idle_speed {
        return (speed, "given".into());
    }
    let rpm = match draft.numbers.cylinders {
        c if c <= 3.0 => 850.0,
        c if c <= 4.0 => 800.0,
        c if c <= 5.0 => 750.0,
        _ => 680.0,
    };
    let rule =
        "850 rpm with three cylinders, 800 with four, 750 with five, 680 with more (rule of thumb)";
    (rpm * std::f64::consts::PI / 30.0, rule.into())
}

/// The car: heavier with power (common practice, no source).
pub(super) fn road(draft: &Draft, notes: &mut Notes) -> Result<Road<f64>, Refusal> {
    let n = &draft.numbers;
    let rules = [
        ("mass", "1050 kg and 2.5 kg per kilowatt (rule of thumb)"),
        ("wheel_radius", "common tyre"),
        (
            "drag_area",
            "0.62 m2 and 0.04 m2 for each 100 kW (rule of thumb)",
        ),
        (
            "gears",
            "third gear: 115 km/h at the rated speed; the others in common steps (rule of thumb)",
        ),
        ("clutch_torque", "2.5 peak torques (rule of thumb)"),
    ];
    notes.extend(rules.map(|(key, rule)| (format!("road.{key}"), rule.to_string())));
    let third = 5.6 * n.rated_speed / 576.0;
    let gears = [2.5, 1.48, 1.0, 0.75, 0.61, 0.5].into_iter().zip(1..);
    let gears = gears.map(|(step, gear)| [f64::from(gear), third * step]);
    Ok(Road {
        mass: 1050.0 + 2.5e-3 * n.rated_power,
        wheel_radius: 0.31,
        rolling: 0.011,
        drag_area: 0.62 + 4e-7 * n.rated_power,
        gears: Curve::new(gears.collect())
            .map_err(|why| Refusal::Part("road.gears".into(), Unheld::Curve(why)))?,
        driveline_efficiency: 0.93,
        clutch_torque: 2.5 * n.peak_torque,
    })
}
