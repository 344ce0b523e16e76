//! What stands at the top of every answer about a case.

use crate::input::case::Case;
use crate::page::{CAUTION, Line, Page};
use crate::say::head as say;
use sim::scenario::History;
use sim::study::running::learnt::CRUISE;
use std::f64::consts::PI;

/// How what is wrong has come about, where that is not as elsewhere.
pub fn history(case: &Case) -> Option<Line> {
    let history = case.scenario.history;
    let other = history != History::Grown && !case.network.is_healthy();
    other.then(|| Line::new("fault", say::came(history)))
}

/// Where light cruise lies.
pub fn cruise() -> Line {
    let (speed, mean_pressure) = CRUISE;
    let said = say::cruise(speed * 30.0 / PI, mean_pressure / 1e5);
    Line::new("light cruise", said)
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
    lead.extend(history(case));
    if case.invented {
        lead.push(Line::new("note", say::INVENTED));
    }
    Page {
        title: case.scenario.title.clone(),
        lead,
        sections: Vec::new(),
        notes: vec![CAUTION.into()],
        ..Page::default()
    }
}
