//! Rules for the turbocharger: wheels, shaft, wastegate.

use super::Refusal;
use super::draft::{Draft, Load, STROKE, SURGE_FLOW, SURROUNDINGS};
use super::part::{Notes, Part};
use super::root::root;
use crate::machine::compressor::{Compressor, Stage};
use crate::machine::shaft::Shaft;
use crate::machine::turbine::Turbine;
use crate::machine::wastegate::Wastegate;
use crate::medium::{GasState, Medium};

/// Where between surge (0) and zero head (1) the rated point should lie, how far right it may be
/// moved for the sake of surge with a common wheel, and how far with the widest map (common
/// practice, no source).
const RATED_PLACE: [f64; 3] = [0.55, 0.65, 0.80];
/// Surge margin wanted at the peak-torque point.
pub(super) const SURGE_ROOM: f64 = 1.25;
/// Least of it that is accepted.
pub(super) const LEAST_SURGE_ROOM: f64 = 1.10;
/// Highest tip speed of the wheel, m/s (cast aluminium: 520 to 560, from memory).
const TIP_SPEED: f64 = 530.0;
/// Wheel to which shaft rules refer, m.
const REFERENCE_WHEEL: f64 = 50e-3;

/// The compressor of a wheel `diameter`, m.
pub(super) fn compressor(
    diameter: f64,
    surge_flow: f64,
    notes: &mut Notes,
) -> Result<Compressor<f64>, Refusal> {
    const FAMILY: &str =
        "dixon2014: head, flow and work coefficients of a backswept wheel, common size";
    Part::new("compressor", notes)
        .set(
            "wheel_diameter",
            diameter,
            "rated point 55 % of the way from surge to zero head; farther right, to 80 %, until the \
             peak-torque point has 25 % more flow than at surge",
        )
        .set("peak_head", 1.15, FAMILY)
        .set(
            "surge_flow",
            surge_flow,
            "0.045 of that family; less, to 0.026, where torque so early beside such power takes a \
             wider map (bleed slot or inlet guide, watson1982)",
        )
        .set("choke_flow", 0.21, FAMILY)
        .set("choke_flow_mach", 0.015, "jensen1991 form, common size")
        .set("work", 0.86, FAMILY)
        .set("work_flow", 1.35, FAMILY)
        .set(
            "duct_area_over_length",
            4e-3 * diameter / REFERENCE_WHEEL,
            "4 mm for a 50 mm wheel, with its size (rule of thumb)",
        )
        .done()
}

/// The stage of a wheel that makes a load's pressure at its flow.
fn running(compressor: &Compressor<f64>, inlet: &GasState<f64>, load: &Load) -> (f64, Stage<f64>) {
    let tip = 2.0 / compressor.wheel_diameter;
    let miss = |u: f64| {
        let stage = compressor.stage(inlet, load.air, u * tip);
        Ok::<f64, Refusal>(stage.outlet_pressure / load.compressor[1] - 1.0)
    };
    // The function never fails; the fallback only satisfies the type.
    let speed = root([50.0, 900.0], 350.0, 1e-6, miss).map_or(350.0, |found| found.at);
    (speed, compressor.stage(inlet, load.air, speed * tip))
}

/// Place of a stage between surge (0) and zero head (1).
fn place(stage: &Stage<f64>) -> f64 {
    (stage.flow_coefficient - stage.surge_coefficient)
        / (stage.choke_coefficient - stage.surge_coefficient)
}

/// Wheel diameter, m, and surge flow coefficient for the two loads: a smaller wheel first, then
/// a wider map, then a smaller wheel still.
///
/// # Errors
/// None but those of a table that cannot be filled.
pub(super) fn wheel(draft: &Draft, medium: &Medium) -> Result<(f64, f64), Refusal> {
    let inlet = |load: &Load| medium.state(load.compressor[0], SURROUNDINGS.temperature, 0.0);
    let at = |[diameter, surge]: [f64; 2], load: &Load| {
        let wheel = compressor(diameter, surge, &mut Notes::new())?;
        Ok::<_, Refusal>(running(&wheel, &inlet(load), load))
    };
    let range = [0.021, 0.145];
    let rated = |wheel: [f64; 2]| Ok::<f64, Refusal>(place(&at(wheel, &draft.rated)?.1));
    let room = |wheel: [f64; 2]| {
        let (_, stage) = at(wheel, &draft.torque)?;
        Ok::<f64, Refusal>(stage.flow_coefficient / stage.surge_coefficient)
    };
    let guess = REFERENCE_WHEEL * (draft.rated.air / 0.13).sqrt();
    // A smaller wheel runs farther right: both fall with diameter.
    let solve = |flow: f64, want: f64, get: &dyn Fn([f64; 2]) -> Result<f64, Refusal>| {
        let miss = |d| Ok::<f64, Refusal>(want - get([d, flow])?);
        root(range, guess, 1e-5, miss).map(|found| found.at)
    };
    let [widest, common] = SURGE_FLOW;
    let clear = |flow: f64, wanted: f64, least: f64| {
        let wanted = solve(flow, wanted, &rated)?;
        let least = solve(flow, least, &rated)?;
        Ok::<f64, Refusal>(wanted.min(solve(flow, SURGE_ROOM, &room)?).max(least))
    };
    let diameter = clear(common, RATED_PLACE[0], RATED_PLACE[1])?;
    if room([diameter, common])? >= 0.999 * SURGE_ROOM {
        return Ok((diameter, common));
    }
    // The narrowest map that is wide enough, with the rated point where it was.
    let miss = |flow: f64| {
        let diameter = solve(flow, RATED_PLACE[1], &rated)?;
        Ok::<f64, Refusal>(SURGE_ROOM - room([diameter, flow])?)
    };
    let flow = root(SURGE_FLOW, common, 1e-4, miss)?.at;
    if flow > widest {
        return Ok((solve(flow, RATED_PLACE[1], &rated)?, flow));
    }
    Ok((clear(widest, RATED_PLACE[1], RATED_PLACE[2])?, widest))
}

/// The turbine.
pub(super) fn turbine(draft: &Draft, notes: &mut Notes) -> Result<Turbine<f64>, Refusal> {
    Part::new("turbine", notes)
        .set(
            "throat_area",
            draft.throat,
            "matched: at the peak-torque speed the peak boost is held with a tenth of the exhaust past the turbine",
        )
        .set("wheel_diameter", 0.9 * draft.wheel, "0.9 compressor wheels (rule of thumb)")
        .set(
            "peak_efficiency",
            draft.stretched(EFFICIENCY),
            "0.70, common size for a small radial turbine; to 0.80, pulses counted in, the earlier the torque \
             beside the power (watson1982)",
        )
        .done()
}

/// Best efficiency of a common turbine, and with the pulses that help it early.
const EFFICIENCY: [f64; 2] = [0.70, 0.80];

/// Shaft and bearings.
pub(super) fn shaft(draft: &Draft, notes: &mut Notes) -> Result<Shaft<f64>, Refusal> {
    let size = draft.wheel / REFERENCE_WHEEL;
    Part::new("shaft", notes)
        .set(
            "inertia",
            2.0e-5 * size.powi(5),
            "2e-5 kg m2 for a 50 mm wheel, with the fifth power of diameter (watson1982)",
        )
        .set(
            "bearing_loss",
            510.0 * size,
            "510 W for a 50 mm wheel; at one tip speed an oil film's loss goes with size",
        )
        .set(
            "reference_speed",
            2.0 * 385.0 / draft.wheel,
            "tip speed 385 m/s",
        )
        .set(
            "speed_limit",
            2.0 * speed_limit(draft) / draft.wheel,
            "tip speed 530 m/s (cast wheels stand 520 to 560, typical values); less, to 430, where the \
             rated point needs less than 1 / 1.8 of it",
        )
        .done()
}

/// Highest tip speed, m/s: a wheel for little boost is not made for the highest.
fn speed_limit(draft: &Draft) -> f64 {
    let [inlet, outlet] = draft.rated.compressor;
    // Head coefficient 1, cold air: the speed of the rated point within a few per cent.
    let head = 1005.0 * SURROUNDINGS.temperature * ((outlet / inlet).powf(2.0 / 7.0) - 1.0);
    (1.8 * (2.0 * head).sqrt()).clamp(430.0, TIP_SPEED)
}

/// Capsule size, and flap: reference areas, m², rod travel, m.
const CAPSULE: f64 = 1600e-6;
const FLAP: f64 = 150e-6;
const TRAVEL: f64 = 12e-3;
/// Gas volume of capsule and hose, m³, and bores of restrictor and bleed, m: small
/// and wide enough that the capsule follows within 0.15 s.
const SIGNAL: f64 = 4e-5;
const BORES: [f64; 2] = [1.5e-3, 2.0e-3];
/// Duty that should hold the rated boost: the capsule alone would hold less.
const RATED_DUTY: f64 = 0.25;
/// Least duty that must be left to hold the rated boost.
const LEAST_DUTY: f64 = 0.05;
/// Largest duty that may be needed at the peak-torque speed.
const PEAK_DUTY: f64 = 0.75;

/// Share of the boost left in the capsule at `duty`: flow in through the
/// restrictor equals flow out through the bleed, both `A√Δp`.
fn capsule_share(duty: f64) -> f64 {
    1.0 / (1.0 + (duty * (BORES[1] / BORES[0]).powi(2)).powi(2))
}

/// Spring force on the closed wastegate, N: the capsule at [`PEAK_DUTY`] lets the
/// peak boost stand, at [`RATED_DUTY`] holds the boosts wanted above that speed,
/// and at [`LEAST_DUTY`] still does.
pub(super) fn preload(draft: &Draft) -> f64 {
    let spring = |load: &Load, duty: f64| {
        load.signal * capsule_share(duty) * CAPSULE + load.across * FLAP * flap_size(draft)
            - stiffness(draft) * TRAVEL * load.gate
    };
    let least = |duty: f64| {
        let above = draft.middle.iter().chain([&draft.rated]);
        above
            .map(|load| spring(load, duty))
            .fold(f64::MAX, f64::min)
    };
    let wanted = least(RATED_DUTY).max(spring(&draft.torque, PEAK_DUTY));
    wanted.min(least(LEAST_DUTY)).clamp(5.0, 480.0)
}

/// Spring rate, N/m: the full stroke takes its share of the peak boost, at least 25 kPa.
fn stiffness(draft: &Draft) -> f64 {
    (draft.stroke * draft.peak_boost).max(25e3) * CAPSULE / TRAVEL
}

/// Flap over the reference one.
fn flap_size(draft: &Draft) -> f64 {
    (draft.rated.air / 0.13).clamp(0.6, 2.0)
}

/// Wastegate.
pub(super) fn wastegate(draft: &Draft, notes: &mut Notes) -> Result<Wastegate<f64>, Refusal> {
    Part::new("wastegate", notes)
        .set("open_area", draft.gate_area, "matched: 60 % open holds the rated boost")
        .set("flap_area", FLAP * flap_size(draft), "150 mm2 at 130 g/s, with the rated air flow (rule of thumb)")
        .set("capsule_area", CAPSULE, "common capsule")
        .set(
            "preload",
            draft.preload,
            "force balance: a quarter of the duty holds the rated boost, three quarters are enough at the peak boost",
        )
        .set("stiffness", stiffness(draft), format!("the full stroke takes {:.0} % of the peak boost; softer, the gate hunts", 100.0 * draft.stroke))
        .set("travel", TRAVEL, "common capsule")
        .set("signal_volume", SIGNAL * STROKE[0] / draft.stroke, "small capsule, short hose (rule of thumb)")
        .set("restrictor_bore", BORES[0], "fills the capsule within 0.15 s (rule of thumb)")
        .set("bleed_bore", BORES[1], "1.33 restrictors: full duty leaves a quarter of the boost in the capsule")
        .done()
}
