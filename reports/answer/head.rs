//! What stands at the top of every table about a case.

use crate::input::case::Case;
use crate::text::words::paragraph;

/// What stands at the top of every table.
pub fn head(case: &Case) -> String {
    let mut text = String::new();
    let (air, car) = (&case.network.ambient, &case.network.vehicle);
    paragraph(&mut text, "", &case.scenario.title);
    if !case.scenario.about.is_empty() {
        paragraph(&mut text, "", &case.scenario.about);
    }
    paragraph(&mut text, "car   ", &format!("{}: {}", car.name, car.about));
    let around = format!(
        "{:.1} kPa abs, {:.0} °C",
        air.pressure / 1e3,
        air.temperature - 273.15
    );
    paragraph(&mut text, "air   ", &around);
    if case.invented {
        let note = "the car is invented, and so is every number of its file";
        paragraph(&mut text, "note  ", note);
    }
    text
}
