//! A drive as stacked panels over one time axis: healthy solid and grey, faulty
//! dashed and dark, so that they part in greyscale too.

use crate::simulate::{Case, Drives};
use plotters::prelude::*;
use plotters::series::DashedLineSeries;
use sim::network::Reading as R;
use sim::study::trace::Trace;

const SIZE: (u32, u32) = (900, 1080);
const HEALTHY: RGBColor = RGBColor(150, 150, 150);
const FAULTY: RGBColor = RGBColor(20, 60, 120);

const PANELS: [(R, &str); 6] = [
    (R::Boost, "boost, kPa gauge"),
    (R::EngineAir, "air into engine, g/s"),
    (R::Lambda, "lambda in cylinders"),
    (R::ShaftSpeed, "turbo speed, krpm"),
    (R::Torque, "torque, N m"),
    (R::EngineSpeed, "engine speed, rpm"),
];

/// The drive as SVG text.
///
/// # Errors
/// The drawing library refuses (never seen; passed on in words).
pub fn draw(case: &Case, drives: &Drives) -> Result<String, String> {
    let mut svg = String::new();
    paint(&mut svg, case, drives).map_err(|e| format!("cannot draw the trace: {e}"))?;
    Ok(svg)
}

fn paint(svg: &mut String, case: &Case, drives: &Drives) -> Result<(), Box<dyn std::error::Error>> {
    let root = SVGBackend::with_string(svg, SIZE).into_drawing_area();
    root.fill(&WHITE)?;
    let (top, rest) = root.split_vertically(56);
    let title = format!("{} - {}", case.scenario.title, case.network.vehicle.name);
    let title: String = title.chars().take(95).collect();
    top.draw(&Text::new(title, (12, 8), ("sans-serif", 18)))?;
    let key = |x: i32,
               colour: RGBColor,
               dashed: bool,
               name: &str|
     -> Result<(), Box<dyn std::error::Error>> {
        for (from, to) in if dashed {
            vec![(0, 8), (12, 20), (24, 32)]
        } else {
            vec![(0, 32)]
        } {
            top.draw(&PathElement::new(
                vec![(x + from, 40), (x + to, 40)],
                colour.stroke_width(3),
            ))?;
        }
        top.draw(&Text::new(
            name.to_string(),
            (x + 38, 32),
            ("sans-serif", 14),
        ))?;
        Ok(())
    };
    key(12, HEALTHY, false, "healthy")?;
    if drives.faulty.is_some() {
        key(140, FAULTY, true, "faulty")?;
    }
    let panels = rest.split_evenly((PANELS.len(), 1));
    for (i, (area, (reading, label))) in panels.iter().zip(PANELS).enumerate() {
        panel(area, drives, reading, label, i == 0, i + 1 == PANELS.len())?;
    }
    root.present()?;
    drop(panels);
    Ok(())
}

type Area<'a> = DrawingArea<SVGBackend<'a>, plotters::coord::Shift>;

fn panel(
    area: &Area,
    drives: &Drives,
    reading: R,
    label: &str,
    first: bool,
    last: bool,
) -> Result<(), Box<dyn std::error::Error>> {
    let line = |trace: &Trace| -> Vec<(f64, f64)> {
        let points = trace
            .samples
            .iter()
            .filter_map(|s| Some((s.time, s.readings.get(reading)?)));
        points.collect()
    };
    let healthy = line(&drives.healthy);
    let faulty = drives.faulty.as_ref().map(line).unwrap_or_default();
    let all = healthy.iter().chain(&faulty);
    let (low, high) = all
        .clone()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), (_, y)| {
            (l.min(*y), h.max(*y))
        });
    let end = all.map(|(t, _)| *t).fold(1e-3, f64::max);
    let (low, high) = if low.is_finite() {
        (low, high)
    } else {
        (0.0, 1.0)
    };
    let margin = 0.08 * (high - low).max(1e-3 * high.abs()).max(1e-3);
    let mut chart = ChartBuilder::on(area)
        .margin_right(20)
        .margin_top(16)
        .x_label_area_size(if last { 40 } else { 14 })
        .y_label_area_size(64)
        .build_cartesian_2d(0.0..end, low - margin..high + 1.6 * margin)?;
    let decimals = if high - low > 10.0 { 0 } else { 1 };
    let number = move |v: &f64| format!("{v:.decimals$}");
    let mut mesh = chart.configure_mesh();
    mesh.light_line_style(WHITE)
        .label_style(("sans-serif", 13))
        .y_labels(5)
        .y_label_formatter(&number);
    if last {
        mesh.x_desc("time, s").axis_desc_style(("sans-serif", 14));
    } else {
        mesh.x_label_formatter(&|_| String::new());
    }
    mesh.draw()?;
    for (from, name) in &drives.healthy.pieces {
        chart.draw_series(LineSeries::new(
            [(*from, low - margin), (*from, high + 1.6 * margin)],
            BLACK.mix(0.35),
        ))?;
        if first {
            let at = chart.backend_coord(&(*from, high + 1.6 * margin));
            let (x0, y0) = area.get_base_pixel();
            area.draw(&Text::new(
                name.clone(),
                (at.0 - x0 + 4, at.1 - y0 - 14),
                ("sans-serif", 13),
            ))?;
        }
    }
    chart.draw_series(LineSeries::new(healthy, HEALTHY.stroke_width(3)))?;
    if !faulty.is_empty() {
        chart.draw_series(DashedLineSeries::new(faulty, 7, 4, FAULTY.stroke_width(2)))?;
    }
    let (width, _) = area.dim_in_pixel();
    area.draw(&Text::new(
        label,
        (width as i32 - 190, 20),
        ("sans-serif", 14),
    ))?;
    Ok(())
}
