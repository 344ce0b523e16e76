//! What stands at the top of every answer about a case.

use crate::input::case::Case;
use crate::page::{CAUTION, Line, Page};
use crate::say::head as say;
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

/// A page about a case, without parts yet.
pub fn page(case: &Case) -> Page {
    let (air, car) = (&case.network.ambient, &case.network.vehicle);
    let about = Some(&case.scenario.about).filter(|about| !about.is_empty());
    let around = format!(
        "{:.1} kPa abs, {:.0} °C",
        air.pressure / 1e3,
        air.temperature - 273.15
    );
    let mut lead: Vec<Line> = about.into_iter().cloned().map(Into::into).collect();
    lead.push(Line::new("car", format!("{}: {}", car.name, car.about)));
    lead.push(Line::new("air", around));
    if [&car.name, &car.about]
        .iter()
        .any(|t| t.contains("invented"))
    {
        lead.push(Line::new("note", say::INVENTED));
    }
    Page {
        title: case.scenario.title.clone(),
        lead,
        sections: Vec::new(),
        notes: vec![CAUTION.into()],
    }
}
