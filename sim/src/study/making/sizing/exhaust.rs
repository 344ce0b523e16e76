//! Rules for the exhaust: manifold, pipe with the oxygen sensor, silencer.

use super::Refusal;
use super::draft::Draft;
use super::part::{Notes, Part};
use crate::flow::duct::DuctLoss;
use crate::volume::ExhaustPipe;

/// Exhaust manifold.
pub(super) fn manifold(draft: &Draft, notes: &mut Notes) -> Result<ExhaustPipe<f64>, Refusal> {
    let v = draft.numbers.displacement;
    Part::new("exhaust_manifold", notes)
        .set("volume", v, "one displacement (rule of thumb)")
        .set(
            "wall_conductance",
            2.5 * (v / 1.6e-3).powf(2.0 / 3.0),
            "2.5 W/K at 1.6 L, with surface (rule of thumb)",
        )
        .set(
            "bore",
            38e-3 * (draft.rated.air / 0.13).sqrt(),
            "38 mm at 130 g/s, with the root of the rated flow (rule of thumb)",
        )
        .set(
            "pulsation",
            0.6,
            "share of the firing pulsation that a short pipe keeps (rule of thumb)",
        )
        .done()
}

/// Pipe behind the turbine.
pub(super) fn downpipe(draft: &Draft, notes: &mut Notes) -> Result<ExhaustPipe<f64>, Refusal> {
    let v = draft.numbers.displacement;
    Part::new("downpipe", notes)
        .set("volume", 1.85 * v, "1.85 displacements (rule of thumb)")
        .set(
            "wall_conductance",
            3.0 * (v / 1.6e-3).powf(2.0 / 3.0),
            "3 W/K at 1.6 L, with surface (rule of thumb)",
        )
        .set(
            "bore",
            55e-3 * (draft.rated.air / 0.13).sqrt(),
            "55 mm at 130 g/s, with the root of the rated flow (rule of thumb)",
        )
        .set(
            "pulsation",
            0.25,
            "share of the firing pulsation left behind the turbine (rule of thumb)",
        )
        .done()
}

/// Catalyst and silencer.
pub(super) fn silencer(draft: &Draft, notes: &mut Notes) -> Result<DuctLoss<f64>, Refusal> {
    Part::new("silencer", notes)
        .set(
            "reference_loss",
            22e3,
            "22 kPa at the rated exhaust flow (rule of thumb)",
        )
        .set(
            "reference_flow",
            1.075 * draft.rated.air,
            "rated air and its fuel",
        )
        .set(
            "reference_pressure",
            110e3,
            "mean pressure in it (rule of thumb)",
        )
        .set(
            "reference_temperature",
            973.0,
            "mean temperature in it (rule of thumb)",
        )
        .done()
}
