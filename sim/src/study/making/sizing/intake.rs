//! Rules for the intake: filter, ducts, cooler, throttle, compressor bypass valve.

use super::Refusal;
use super::draft::{Draft, SURROUNDINGS};
use super::part::{Notes, Part};
use crate::control::{Meter, Metering};
use crate::flow::duct::DuctLoss;
use crate::machine::cooler::CoolerHeat;
use crate::machine::recirculation::RecirculationValve;
use crate::machine::throttle::Throttle;
use crate::network::RecirculationOutlet;
use crate::volume::{InletDuct, Pipe};
use std::f64::consts::PI;

/// Gas constant of air, J/(kg K) (iso2533).
const AIR: f64 = 287.05;
/// Charge behind the cooler, K (common practice, no source).
const CHARGE: f64 = 320.0;

/// Bore, m, in which `flow` (kg/s) of air at `pressure` (Pa) and `temperature` (K) runs at `speed` (m/s).
fn bore(flow: f64, pressure: f64, temperature: f64, speed: f64) -> f64 {
    (flow * AIR * temperature / pressure / speed * 4.0 / PI).sqrt()
}

/// Filter, air box and meter.
pub(super) fn filter(draft: &Draft, notes: &mut Notes) -> Result<DuctLoss<f64>, Refusal> {
    Part::new("filter", notes)
        .set(
            "reference_loss",
            3.0e3,
            "3 kPa at the rated air flow (rule of thumb)",
        )
        .set("reference_flow", draft.rated.air, "rated air flow")
        .done()
}

/// Duct from meter to compressor.
pub(super) fn inlet_duct(draft: &Draft, notes: &mut Notes) -> Result<InletDuct<f64>, Refusal> {
    let bore = bore(
        draft.rated.air,
        SURROUNDINGS.pressure,
        SURROUNDINGS.temperature,
        65.0,
    );
    Part::new("inlet_duct", notes)
        .set(
            "volume",
            1.85 * draft.numbers.displacement,
            "1.85 displacements (rule of thumb)",
        )
        .set(
            "union_bore",
            bore,
            "65 m/s at the rated air flow (rule of thumb)",
        )
        .done()
}

/// Pipe from compressor to cooler.
pub(super) fn hot_pipe(draft: &Draft, notes: &mut Notes) -> Result<Pipe<f64>, Refusal> {
    let v = draft.numbers.displacement;
    Part::new("hot_pipe", notes)
        .set("volume", v, "one displacement (rule of thumb)")
        .set(
            "wall_conductance",
            (v / 1.6e-3).powf(2.0 / 3.0),
            "1 W/K at 1.6 L, with surface (rule of thumb)",
        )
        .set(
            "wall_above_ambient",
            15.0,
            "warm engine bay (rule of thumb)",
        )
        .done()
}

/// Pressure loss of the cooler.
pub(super) fn cooler(draft: &Draft, notes: &mut Notes) -> Result<DuctLoss<f64>, Refusal> {
    let mean = draft.rated.compressor[1];
    Part::new("cooler", notes)
        .set(
            "reference_loss",
            0.038 * mean,
            "3.8 % of the charge pressure at rated power (rule of thumb)",
        )
        .set("reference_flow", draft.rated.air, "rated air flow")
        .set("reference_pressure", mean, "charge pressure at rated power")
        .set(
            "reference_temperature",
            353.0,
            "mean of inlet and outlet (rule of thumb)",
        )
        .done()
}

/// Heat transfer of the cooler.
pub(super) fn cooler_heat(draft: &Draft, notes: &mut Notes) -> Result<CoolerHeat<f64>, Refusal> {
    let air = draft.rated.air;
    Part::new("cooler_heat", notes)
        .set(
            "conductance",
            1.75 * 1005.0 * air,
            "1.75 transfer units at the rated air flow: effectiveness about 0.75 (kays1984)",
        )
        .set("reference_flow", air, "rated air flow")
        .set(
            "cooling_air",
            4.6 * air,
            "4.6 times the rated air flow (rule of thumb)",
        )
        .done()
}

/// Cooler outlet tank and pipe to the throttle.
pub(super) fn cold_pipe(draft: &Draft, notes: &mut Notes) -> Result<Pipe<f64>, Refusal> {
    Part::new("cold_pipe", notes)
        .set(
            "volume",
            2.0 * draft.numbers.displacement,
            "two displacements (rule of thumb)",
        )
        .done()
}

/// Throttle.
pub(super) fn throttle(draft: &Draft, notes: &mut Notes) -> Result<Throttle<f64>, Refusal> {
    let bore = bore(
        draft.rated.air,
        SURROUNDINGS.pressure + draft.rated.boost,
        CHARGE,
        30.0,
    );
    Part::new("throttle", notes)
        .set(
            "bore",
            bore,
            "30 m/s at rated power: far from choking, Mach number below 0.1 (heywood1988 ch. 7)",
        )
        .set("closed_angle", 6f64.to_radians(), "rule of thumb")
        .set("open_angle", 88f64.to_radians(), "rule of thumb")
        .set(
            "discharge_coefficient",
            0.85,
            "heywood1988 ch. 7, common size",
        )
        .set(
            "closed_area",
            2.2e-3 * draft.numbers.displacement,
            "2.2 mm2 per litre, below what idle needs (rule of thumb)",
        )
        .set("time_constant", 0.04, "rule of thumb")
        .done()
}

/// Intake manifold.
pub(super) fn manifold(draft: &Draft, notes: &mut Notes) -> Result<Pipe<f64>, Refusal> {
    let v = draft.numbers.displacement;
    Part::new("manifold", notes)
        .set("volume", 1.5 * v, "1.5 displacements (rule of thumb)")
        .set(
            "wall_conductance",
            1.2 * (v / 1.6e-3).powf(2.0 / 3.0),
            "1.2 W/K at 1.6 L, with surface (rule of thumb)",
        )
        .set("wall_above_ambient", 45.0, "warm engine (rule of thumb)")
        .done()
}

/// Compressor bypass valve.
pub(super) fn recirculation_valve(
    draft: &Draft,
    notes: &mut Notes,
) -> Result<RecirculationValve<f64>, Refusal> {
    let seat = 30e-3 * (draft.rated.air / 0.13).sqrt();
    // Smaller than the seat: boost helps it open, and closes it again under load.
    let diaphragm = 0.79 * PI / 4.0 * seat * seat;
    // A valve that vents must stay shut at idle, or counted air is lost there.
    let (vacuum, rule) = match draft.numbers.valve {
        RecirculationOutlet::InletDuct => (
            68e3,
            "opens at 68 kPa of manifold vacuum without boost, before surge at lift-off (rule of thumb)",
        ),
        RecirculationOutlet::Atmosphere => (
            82e3,
            "opens at 82 kPa of manifold vacuum without boost: shut at idle (rule of thumb)",
        ),
    };
    Part::new("recirculation_valve", notes)
        .set(
            "seat_diameter",
            seat,
            "30 mm at 130 g/s, with the root of the rated air flow (rule of thumb)",
        )
        .set(
            "diaphragm_area",
            diaphragm,
            "0.79 seat areas: boost helps to open it (rule of thumb)",
        )
        .set("preload", vacuum * diaphragm, rule)
        .set(
            "stiffness",
            2.5e3 * diaphragm / 560e-6,
            "2.5 N/mm at 560 mm2 of diaphragm (rule of thumb)",
        )
        .set(
            "travel",
            0.235 * seat,
            "lift of 0.235 seat diameters: curtain nearly as large as the bore",
        )
        .set("time_constant", 0.01, "light valve (rule of thumb)")
        .set("signal_bore", 3.5e-3, "common hose")
        .done()
}

/// Sensors and tables the air is counted with.
pub(super) fn meter(draft: &Draft, notes: &mut Notes) -> Result<Meter<f64>, Refusal> {
    let part = Part::new("meter", notes);
    match draft.numbers.metering {
        Metering::AirFlowMeter => part.done(),
        Metering::SpeedDensity => part
            .set(
                "assumed_back_pressure",
                draft.back_pressure,
                "matched: counted air equals real air of the healthy engine at full load",
            )
            .done(),
    }
}
