//! The table of a fitted machine as it stands in a vehicle file, with where it comes from.

use crate::commands::vehicle::gas_stand::{Fitted, Origin, Value};
use crate::input::gas_stand::Points;
use crate::say::vehicle_gas_stand as say;
use crate::text::words::WIDTH;
use crate::text::wrap::wrap;
use sim::units::{Dimension, show, show_to};
use std::fmt::Write;

/// Most points listed one by one.
pub(super) const MOST_LISTED: usize = 20;

/// Deviations of an efficiency are differences, of all else relative.
pub(super) fn unit(what: &str) -> &'static str {
    match what {
        "efficiency" => "points",
        _ => "%",
    }
}

impl Value {
    /// Where it comes from, in a few letters.
    pub(super) fn origin(&self) -> String {
        match self.origin {
            Origin::Stated => "stated".into(),
            Origin::Default => "default".into(),
            Origin::Fitted(0.0) => "at a limit".into(),
            Origin::Fitted(doubt) if doubt.is_finite() => {
                let doubt = show_to(doubt, self.field.dimension, 2);
                // The unit stands beside the value already.
                format!("± {}", doubt.split(' ').next().unwrap_or_default())
            }
            Origin::Fitted(_) => "not told".into(),
        }
    }
}

impl Fitted {
    pub(super) fn title(&self) -> String {
        match self.table.name.as_str() {
            "" => format!("a {} without a name", self.section()),
            name => format!("{} {name}", self.section()),
        }
    }

    pub(super) fn conditions(&self) -> String {
        let (temperature, pressure, wheel, hot) = match &self.table.points {
            Points::Compressor(t) => (
                t.reference_temperature,
                t.reference_pressure,
                t.wheel_diameter,
                None,
            ),
            Points::Turbine(t) => (
                t.reference_temperature,
                t.reference_pressure,
                t.wheel_diameter,
                Some(t.stand_temperature),
            ),
        };
        let mut said = say::conditions(
            show(temperature, Dimension::Temperature),
            show(pressure, Dimension::AbsolutePressure),
            show(wheel, Dimension::Length),
        );
        if let Some(hot) = hot {
            let _ = write!(said, ", stand at {}", show(hot, Dimension::Temperature));
        }
        said
    }

    pub(super) fn lines_outside(&self) -> Vec<usize> {
        let points = self.quality.outside.iter();
        points.map(|point| self.table.line(*point)).collect()
    }

    /// The `[compressor]` or `[turbine]` table of a vehicle file, with where it comes from.
    pub fn toml(&self) -> String {
        let path = self.table.path();
        let path = path.file_name().unwrap_or(path.as_os_str()).display();
        let mut about = vec![
            say::fitted_to(self.title()),
            say::table(path, self.quality.points, self.conditions()),
        ];
        about.extend(self.quality.deviations.iter().map(|d| {
            let (rms, worst) = (100.0 * d.rms, 100.0 * d.worst);
            say::off(
                d.what,
                rms,
                unit(d.what),
                worst,
                self.table.line(d.worst_point),
            )
        }));
        let lines = self.lines_outside();
        if !lines.is_empty() {
            let listed = lines.iter().take(MOST_LISTED).map(usize::to_string);
            let mut listed = listed.collect::<Vec<_>>().join(", ");
            if lines.len() > MOST_LISTED {
                listed += ", ...";
            }
            about.push(say::outside(self.outside_means(), listed));
        }
        let mut text = String::new();
        for line in about.iter().flat_map(|said| wrap(said, WIDTH - 2)) {
            let _ = writeln!(text, "# {line}");
        }
        let _ = writeln!(text, "[{}]", self.section());
        for value in &self.values {
            let written = match value.is_bare() {
                true => value.text.clone(),
                false => format!("\"{}\"", value.text),
            };
            let origin = match value.origin {
                Origin::Stated => say::STATED.into(),
                Origin::Default => say::DEFAULT.into(),
                _ => value.origin(),
            };
            let line = format!("{} = {written}", value.field.name);
            let _ = writeln!(text, "{line:38}# {origin}");
        }
        text
    }
}
