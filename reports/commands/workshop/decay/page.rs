//! The page of a pressure-decay test.

use crate::commands::workshop::before::{Fact, Sheet, facts};
use crate::commands::workshop::decay::{File, Measured, Predicted};
use crate::commands::workshop::page::true_hole;
use crate::page::{Block, Page, Picture};
use sim::study::workshop::decay::DecayTest;

/// The page.
pub(super) fn page(test: &DecayTest, car: Option<&str>, file: &File, picture: Picture) -> Page {
    let mut blocks = vec![Block::Picture(picture)];
    if let Some(found) = &file.found {
        blocks.push(measured(test, found));
        blocks.extend(true_hole(
            &found.equivalent_hole_mm,
            "/found/equivalent_hole_mm",
        ));
    }
    blocks.extend(file.predicted.as_ref().map(predicted));
    let sheet = Sheet {
        title: "Pressure-decay test",
        car,
        dangers: &file.warnings.dangers,
        says: &file.says,
        blocks,
        in_car: file.in_car.as_ref(),
        warnings: &file.warnings.notes,
        cautions: &file.cautions,
        ..Sheet::default()
    };
    sheet.page()
}

/// What two readings find.
fn measured(test: &DecayTest, found: &Measured) -> Block {
    let start = format!("flow at {:.0} kPa gauge", test.start_pressure / 1e3);
    let mut all = vec![
        Fact::new("volume", "L", found.volume_l, "/found/volume_l"),
        Fact::spread(
            "effective area (Cd A)",
            "mm²",
            &found.effective_area_mm2,
            "/found/effective_area_mm2",
        ),
        Fact::new(
            "the same, if the walls gave no heat",
            "mm²",
            found.effective_area_adiabatic_mm2,
            "/found/effective_area_adiabatic_mm2",
        ),
        Fact::new(
            "the same, if air stayed at one temperature",
            "mm²",
            found.effective_area_isothermal_mm2,
            "/found/effective_area_isothermal_mm2",
        ),
        Fact::spread(
            "sharp hole that does the same",
            "mm",
            &found.equivalent_hole_mm,
            "/found/equivalent_hole_mm",
        ),
        Fact::spread(
            start,
            "g/s",
            &found.flow_at_start_g_s,
            "/found/flow_at_start_g_s",
        ),
    ];
    if let (Some(boost), Some(flow)) = (found.boost_kpa, &found.flow_at_boost_g_s) {
        let label = format!("flow at {boost:.0} kPa boost");
        all.push(Fact::spread(label, "g/s", flow, "/found/flow_at_boost_g_s"));
    }
    facts("What leaks, with the limits of 90 % confidence.", all)
}

/// What a leak leads to.
fn predicted(found: &Predicted) -> Block {
    let mut all = vec![
        Fact::new("volume", "L", found.volume_l, "/predicted/volume_l"),
        Fact::new(
            "flow at the start",
            "g/s",
            found.flow_at_start_g_s,
            "/predicted/flow_at_start_g_s",
        ),
    ];
    let times = [
        ("likely time", found.time_likely_s, "time_likely_s"),
        (
            "time if air stayed at one temperature",
            found.time_isothermal_s,
            "time_isothermal_s",
        ),
        (
            "time if the walls gave no heat",
            found.time_adiabatic_s,
            "time_adiabatic_s",
        ),
    ];
    for (label, time, key) in times {
        all.extend(time.map(|s| Fact::new(label, "s", s, &format!("/predicted/{key}"))));
    }
    facts("What this leak leads to.", all)
}
