//! A gauge trace: the likely one dark and solid, between that of walls that give no
//! heat (grey, dotted) and that of air at one temperature (grey, dashed).

use plotters::prelude::*;
use plotters::series::DashedLineSeries;

/// What is drawn.
pub struct Picture<'a> {
    /// A sentence over the picture.
    pub title: &'a str,
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

const SIZE: (u32, u32) = (900, 480);
const GREY: RGBColor = RGBColor(130, 130, 130);
const DARK: RGBColor = RGBColor(20, 60, 120);
/// Characters of a title line, and lines.
const TITLE: (usize, usize) = (118, 3);
/// Pixels of a title line.
const LINE: u32 = 18;

type Trouble = Box<dyn std::error::Error>;

/// A name in the key: where, how its line looks.
type Key = (&'static str, RGBColor, i32, &'static [(i32, i32)]);

const KEYS: [Key; 3] = [
    ("likely: heat by natural convection", DARK, 12, &[(0, 34)]),
    (
        "air at one temperature",
        GREY,
        310,
        &[(0, 8), (13, 21), (26, 34)],
    ),
    (
        "no heat from the walls",
        GREY,
        525,
        &[(0, 3), (8, 11), (16, 19), (24, 27), (32, 34)],
    ),
];

/// The trace as SVG text.
///
/// # Errors
/// The drawing library refuses (never seen; passed on in words).
pub fn draw(picture: &Picture) -> Result<String, String> {
    let mut svg = String::new();
    paint(&mut svg, picture).map_err(|e| format!("cannot draw the trace: {e}"))?;
    Ok(svg)
}

fn paint(svg: &mut String, picture: &Picture) -> Result<(), Trouble> {
    let root = SVGBackend::with_string(svg, SIZE).into_drawing_area();
    root.fill(&WHITE)?;
    let lines = wrapped(picture.title);
    for (i, line) in lines.iter().enumerate() {
        let at = (12, 8 + (LINE as usize * i) as i32);
        root.draw(&Text::new(line.clone(), at, ("sans-serif", 14)))?;
    }
    let head = LINE * lines.len() as u32;
    let y = 14 + head as i32;
    for (name, colour, x, strokes) in KEYS {
        for (from, to) in strokes {
            let ends = vec![(x + from, y + 8), (x + to, y + 8)];
            root.draw(&PathElement::new(ends, colour.stroke_width(3)))?;
        }
        root.draw(&Text::new(name, (x + 42, y), ("sans-serif", 13)))?;
    }
    if !picture.dots.is_empty() {
        root.draw(&Circle::new((742, y + 8), 5, BLACK.filled()))?;
        root.draw(&Text::new(
            "read on the gauge",
            (754, y),
            ("sans-serif", 13),
        ))?;
    }
    let all = [picture.likely, picture.isothermal, picture.adiabatic].concat();
    let ys = all.into_iter().chain(picture.dots.iter().map(|dot| dot.1));
    let (low, high) = ys.fold((0.0, 0.0), |(low, high): (f64, f64), y| {
        (low.min(y), high.max(y))
    });
    let margin = 0.05 * (high - low).max(1e-3);
    let last = picture.time.last().copied().unwrap_or(1.0);
    let mut chart = ChartBuilder::on(&root)
        .margin_top(46 + head)
        .margin_right(30)
        .x_label_area_size(44)
        .y_label_area_size(64)
        .build_cartesian_2d(0.0..1.02 * last, low - margin..high + margin)?;
    chart
        .configure_mesh()
        .light_line_style(WHITE)
        .label_style(("sans-serif", 13))
        .axis_desc_style(("sans-serif", 14))
        .x_desc("time, s")
        .y_desc("gauge, kPa")
        .draw()?;
    let line = |ys: &[f64]| -> Vec<(f64, f64)> {
        picture
            .time
            .iter()
            .copied()
            .zip(ys.iter().copied())
            .collect()
    };
    let grey = GREY.stroke_width(2);
    chart.draw_series(DashedLineSeries::new(line(picture.isothermal), 7, 4, grey))?;
    chart.draw_series(DashedLineSeries::new(line(picture.adiabatic), 2, 4, grey))?;
    chart.draw_series(LineSeries::new(line(picture.likely), DARK.stroke_width(3)))?;
    let dots = picture.dots.iter();
    chart.draw_series(dots.map(|dot| Circle::new(*dot, 5, BLACK.filled())))?;
    root.present()?;
    Ok(())
}

/// The title in at most so many lines.
fn wrapped(title: &str) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in title.split_whitespace() {
        let last = lines.len() - 1;
        if lines[last].chars().count() + 1 + word.chars().count() > TITLE.0 {
            lines.push(word.to_string());
        } else if lines[last].is_empty() {
            lines[last] += word;
        } else {
            lines[last] += &format!(" {word}");
        }
    }
    if lines.len() > TITLE.1 {
        lines.truncate(TITLE.1);
        lines[TITLE.1 - 1] += " …";
    }
    lines
}
