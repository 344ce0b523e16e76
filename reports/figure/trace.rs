//! A drive as stacked panels over one time axis: healthy solid and grey, faulty
//! dashed and dark, so that they part in greyscale too.

use crate::simulate::{Case, Drives};
use plotters::coord::Shift;
use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;
use plotters::series::DashedLineSeries;
use sim::network::Reading as R;
use sim::study::trace::Trace;

const WIDTH: u32 = 900;
const PANEL: u32 = 168;
const HEAD: u32 = 60;
const HEALTHY: RGBColor = RGBColor(150, 150, 150);
const FAULTY: RGBColor = RGBColor(20, 60, 120);

const PANELS: [(R, &str); 7] = [
    (R::Boost, "boost, kPa gauge"),
    (R::MeteredAir, "air as the engine computer counts it, g/s"),
    (R::EngineAir, "air into the engine, g/s"),
    (R::Lambda, "lambda in the cylinders (0.6 to 1.4 shown)"),
    (R::ShaftSpeed, "turbo speed, krpm"),
    (R::Torque, "torque, N m"),
    (R::EngineSpeed, "engine speed, rpm"),
];

/// Lambda as drawn: spikes of a closing throttle would flatten the rest.
const LAMBDA: (f64, f64) = (0.6, 1.4);

type Trouble = Box<dyn std::error::Error>;
type Area<'a> = DrawingArea<SVGBackend<'a>, Shift>;
type Chart<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;
type Line = Vec<(f64, f64)>;

/// The drive as SVG text.
///
/// # Errors
/// The drawing library refuses (never seen; passed on in words).
pub fn draw(case: &Case, drives: &Drives) -> Result<String, String> {
    let mut svg = String::new();
    paint(&mut svg, case, drives).map_err(|e| format!("cannot draw the drive: {e}"))?;
    Ok(svg)
}

fn paint(svg: &mut String, case: &Case, drives: &Drives) -> Result<(), Trouble> {
    let size = (WIDTH, HEAD + PANEL * PANELS.len() as u32);
    let root = SVGBackend::with_string(svg, size).into_drawing_area();
    root.fill(&WHITE)?;
    let (top, rest) = root.split_vertically(HEAD);
    let title = format!("{} - {}", case.scenario.title, case.network.vehicle.name);
    let title: String = title.chars().take(95).collect();
    top.draw(&Text::new(title, (12, 8), ("sans-serif", 18)))?;
    key(&top, 12, HEALTHY, &[(0, 32)], "healthy")?;
    if drives.faulty.is_some() {
        key(&top, 140, FAULTY, &[(0, 8), (12, 20), (24, 32)], "faulty")?;
    }
    let panels: Vec<Panel> = (PANELS.iter().enumerate())
        .map(|(i, _)| Panel::new(i, drives))
        .collect();
    let widest = panels.iter().max_by(|a, b| a.gap().total_cmp(&b.gap()));
    let widest = widest.map(|panel| panel.index);
    let areas = rest.split_evenly((PANELS.len(), 1));
    for (area, panel) in areas.iter().zip(&panels) {
        panel.draw(area, drives, widest == Some(panel.index))?;
    }
    root.present()?;
    Ok(())
}

/// A sample of a line and its name.
fn key(
    area: &Area,
    x: i32,
    colour: RGBColor,
    strokes: &[(i32, i32)],
    name: &str,
) -> Result<(), Trouble> {
    for (from, to) in strokes {
        let ends = vec![(x + from, 42), (x + to, 42)];
        area.draw(&PathElement::new(ends, colour.stroke_width(3)))?;
    }
    write(area, name, (x + 38, 34))
}

fn write(area: &Area, words: &str, at: (i32, i32)) -> Result<(), Trouble> {
    area.draw(&Text::new(words.to_string(), at, ("sans-serif", 13)))?;
    Ok(())
}

struct Panel {
    index: usize,
    healthy: Line,
    faulty: Line,
    low: f64,
    high: f64,
}

impl Panel {
    fn new(index: usize, drives: &Drives) -> Self {
        let (reading, _) = PANELS[index];
        let line = |trace: &Trace| -> Line {
            let points = trace.samples.iter();
            let points = points.filter_map(|s| Some((s.time, s.readings.get(reading)?)));
            match reading {
                R::Lambda => points
                    .map(|(t, y)| (t, y.clamp(LAMBDA.0, LAMBDA.1)))
                    .collect(),
                _ => points.collect(),
            }
        };
        let healthy = drives.healthy.as_ref().map(line).unwrap_or_default();
        let faulty = drives.faulty.as_ref().and_then(|trace| trace.as_ref().ok());
        let faulty = faulty.map(line).unwrap_or_default();
        let ys = healthy.iter().chain(&faulty).map(|(_, y)| *y);
        let (low, high) = ys.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| {
            (low.min(y), high.max(y))
        });
        let (low, high) = if low <= high { (low, high) } else { (0.0, 1.0) };
        let margin = 0.08 * (high - low).max(1e-2 * high.abs()).max(1e-2);
        Self {
            index,
            healthy,
            faulty,
            low: low - margin,
            high: high + margin,
        }
    }

    /// Where the lines are farthest apart: the distance over the panel's height, and the sample.
    fn farthest(&self) -> (f64, usize) {
        let apart = self.healthy.iter().zip(&self.faulty).enumerate();
        let apart = apart.map(|(i, (h, f))| ((f.1 - h.1).abs() / (self.high - self.low), i));
        apart.fold(
            (0.0, 0),
            |best, next| if next.0 > best.0 { next } else { best },
        )
    }

    fn gap(&self) -> f64 {
        self.farthest().0
    }

    fn draw(&self, area: &Area, drives: &Drives, named: bool) -> Result<(), Trouble> {
        let (first, last) = (self.index == 0, self.index + 1 == PANELS.len());
        let mut chart = ChartBuilder::on(area)
            .margin_right(20)
            .margin_top(if first { 44 } else { 24 })
            .x_label_area_size(if last { 40 } else { 8 })
            .y_label_area_size(64)
            .build_cartesian_2d(0.0..drives.duration, self.low..self.high)?;
        let decimals = match self.high - self.low {
            range if range > 10.0 => 0,
            range if range > 2.0 => 1,
            _ => 2,
        };
        let number = move |v: &f64| format!("{v:.decimals$}");
        let mut mesh = chart.configure_mesh();
        mesh.light_line_style(WHITE)
            .label_style(("sans-serif", 13))
            .y_labels(6)
            .y_label_formatter(&number);
        if last {
            mesh.x_desc("time, s").axis_desc_style(("sans-serif", 14));
        } else {
            mesh.x_labels(0);
        }
        mesh.draw()?;
        for (from, _) in drives.pieces.iter().skip(1) {
            let ends = [(*from, self.low), (*from, self.high)];
            chart.draw_series(LineSeries::new(ends, BLACK.mix(0.45)))?;
        }
        let healthy = self.healthy.iter().copied();
        chart.draw_series(LineSeries::new(healthy, HEALTHY.stroke_width(3)))?;
        let faulty = self.faulty.iter().copied();
        chart.draw_series(DashedLineSeries::new(faulty, 7, 4, FAULTY.stroke_width(2)))?;
        write(area, PANELS[self.index].1, (64, if first { 26 } else { 6 }))?;
        if first {
            self.pieces(area, &chart, drives)?;
        }
        if named && self.gap() > 0.05 {
            self.names(area, &chart)?;
        }
        Ok(())
    }

    /// A point of the chart in the pixels of its panel.
    fn pixel(area: &Area, chart: &Chart, point: (f64, f64)) -> (i32, i32) {
        let (at, base) = (chart.backend_coord(&point), area.get_base_pixel());
        (at.0 - base.0, at.1 - base.1)
    }

    /// Names of the drive's pieces where each begins; one that would run into the
    /// name before it is left out.
    fn pieces(&self, area: &Area, chart: &Chart, drives: &Drives) -> Result<(), Trouble> {
        let mut free = 0;
        for (from, name) in &drives.pieces {
            let (x, _) = Self::pixel(area, chart, (*from, self.high));
            if x >= free {
                write(area, name, (x + 3, 6))?;
                free = x + 9 + 8 * name.chars().count() as i32;
            }
        }
        Ok(())
    }

    /// The lines' names where they are farthest apart.
    fn names(&self, area: &Area, chart: &Chart) -> Result<(), Trouble> {
        let at = self.farthest().1;
        let (h, f) = (self.healthy[at], self.faulty[at]);
        let over = |h: f64, f: f64| if h > f { -18 } else { 6 };
        for (point, name, dy) in [
            (h, "healthy", over(h.1, f.1)),
            (f, "faulty", over(f.1, h.1)),
        ] {
            let (x, y) = Self::pixel(area, chart, point);
            write(area, name, (x.min(WIDTH as i32 - 80) + 6, y + dy))?;
        }
        Ok(())
    }
}
