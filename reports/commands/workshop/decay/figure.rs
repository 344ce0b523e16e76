//! A gauge trace: the likely one between that of walls that give no heat and that of air
//! at one temperature.

use crate::figure::axis::Axis;
use crate::figure::chart::{Chart, Series};
use crate::figure::ink::Ink;
use crate::figure::scene::{Point, Scene};

/// What is drawn.
pub struct Trace<'a> {
    /// s.
    pub time: &'a [f64],
    /// Gauge, kPa, at those times.
    pub likely: &'a [f64],
    /// Gauge, kPa, with air at one temperature.
    pub isothermal: &'a [f64],
    /// Gauge, kPa, with walls that give no heat.
    pub adiabatic: &'a [f64],
    /// Readings: time, s, and gauge, kPa.
    pub dots: &'a [(f64, f64)],
}

/// The trace as a picture; its numbers stand under `/trace` of the result for programs.
pub fn trace(trace: &Trace) -> Scene {
    let line = |name: &str, ink, width, key: &str, gauge: &[f64]| {
        let points = trace.time.iter().zip(gauge).map(|(t, p)| [*t, *p]);
        Series::new(name, ink, width, points.collect())
            .from_json("/trace/time_s/*", format!("/trace/{key}/*"))
    };
    let mut chart = Chart::new(Axis::new("time", "s"), Axis::new("gauge", "kPa"));
    chart.series = vec![
        line(
            "air at one temperature",
            Ink::Sound,
            1.5,
            "isothermal_kpa",
            trace.isothermal,
        ),
        line(
            "no heat from the walls",
            Ink::Quiet,
            1.0,
            "adiabatic_kpa",
            trace.adiabatic,
        ),
        line("likely", Ink::Faulty, 2.5, "likely_kpa", trace.likely),
    ];
    if !trace.dots.is_empty() {
        let points: Vec<Point> = trace.dots.iter().map(|dot| [dot.0, dot.1]).collect();
        let read = Series::new("read on the gauge", Ink::Leak, 0.0, points);
        chart.series.push(Series { dots: 4.5, ..read });
    }
    chart.scene(620.0, 320.0)
}
