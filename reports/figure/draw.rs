//! A scene as SVG text and as pixels.

use crate::figure::ink::Ink;
use crate::figure::measure::FACE;
use crate::figure::scene::{Point, Scene, Shape, Side, Words};
use plotters::coord::Shift;
use plotters::prelude::*;
use plotters::style::FontStyle;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use std::fmt::Write;

/// The drawing library counts whole pixels: four of them make one of the picture's.
const FINE: f64 = 4.0;
/// The library divides sizes of letters by this (a point is not its pixel).
const LETTERS: f64 = 1.24;

type Area<'a> = DrawingArea<SVGBackend<'a>, Shift>;
type Trouble = Box<dyn std::error::Error>;

impl Scene {
    /// The picture as SVG text; `about` says in words what it shows.
    ///
    /// # Errors
    /// The drawing library refuses (never seen; passed on in words).
    pub fn svg(&self, about: &str) -> Result<String, String> {
        let (width, height) = (fine(self.width), fine(self.height));
        let mut svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"{}\" height=\"{}\" \
             viewBox=\"0 0 {width} {height}\" aria-label=\"{}\" font-family=\"sans-serif\">\n",
            self.width,
            self.height,
            escaped(about)
        );
        let paper = [
            [0.0, 0.0],
            [self.width, 0.0],
            [self.width, self.height],
            [0.0, self.height],
        ];
        let paper = [Shape::Area(paper.to_vec(), Ink::Paper)];
        let cannot = |e| format!("cannot draw the picture: {e}");
        svg += &strokes(&paper, (width, height)).map_err(cannot)?;
        let mut rest = &self.shapes[..];
        while let Some(first) = rest.first() {
            let plain =
                (rest.iter()).position(|shape| matches!(shape, Shape::Open(_) | Shape::Close));
            let plain = plain.unwrap_or(rest.len());
            match first {
                Shape::Open(attributes) => svg += &opened(attributes),
                Shape::Close => svg += "</g>\n",
                _ => svg += &strokes(&rest[..plain], (width, height)).map_err(cannot)?,
            }
            rest = &rest[plain.max(1)..];
        }
        svg += "</svg>\n";
        Ok(svg)
    }

    /// The picture in pixels, two for each of its own, as a PNG file.
    ///
    /// # Errors
    /// The rendering library refuses (never seen; passed on in words).
    pub fn png(&self, about: &str) -> Result<Vec<u8>, String> {
        use resvg::{tiny_skia, usvg};
        let cannot = |e: &dyn std::fmt::Display| format!("cannot make the picture: {e}");
        let mut options = usvg::Options::default();
        let fonts = options.fontdb_mut();
        fonts.load_font_data(dejavu::sans::regular().to_vec());
        fonts.load_font_data(dejavu::sans::bold().to_vec());
        fonts.set_sans_serif_family(FACE);
        options.font_family = FACE.into();
        let tree = usvg::Tree::from_str(&self.svg(about)?, &options).map_err(|e| cannot(&e))?;
        let (width, height) = (2.0 * self.width, 2.0 * self.height);
        let pixels = tiny_skia::Pixmap::new(width as u32, height as u32);
        let mut pixels = pixels.ok_or_else(|| cannot(&"it has no size"))?;
        let twice = tiny_skia::Transform::from_scale(2.0, 2.0);
        resvg::render(&tree, twice, &mut pixels.as_mut());
        pixels.encode_png().map_err(|e| cannot(&e))
    }
}

fn fine(px: f64) -> u32 {
    (px * FINE).round() as u32
}

fn at(point: Point) -> (i32, i32) {
    let [x, y] = point.map(|px| (px * FINE).round() as i32);
    (x, y)
}

fn escaped(text: &str) -> String {
    maud::html! { (text) }.into_string()
}

fn opened(attributes: &[(&'static str, String)]) -> String {
    let mut tag = String::from("<g");
    for (name, value) in attributes {
        // Writing into a string cannot fail.
        let _ = write!(tag, " {name}=\"{}\"", escaped(value));
    }
    tag + ">\n"
}

/// Shapes as the drawing library writes them, without its frame.
fn strokes(shapes: &[Shape], size: (u32, u32)) -> Result<String, Trouble> {
    let mut svg = String::new();
    let root = SVGBackend::with_string(&mut svg, size).into_drawing_area();
    for shape in shapes {
        stroke(&root, shape)?;
    }
    root.present()?;
    drop(root);
    let inner = svg.split_once('\n').map_or("", |(_, rest)| rest);
    let inner = inner.trim_end().strip_suffix("</svg>").unwrap_or(inner);
    // What the frame says for all, or what is so anyway.
    let mut short = inner.to_string();
    for said in [
        " opacity=\"1\"",
        " stroke-opacity=\"1\"",
        " fill-opacity=\"1\"",
        " font-family=\"sans-serif\"",
        " text-anchor=\"start\"",
    ] {
        short = short.replace(said, "");
    }
    Ok(short)
}

fn stroke(root: &Area, shape: &Shape) -> Result<(), Trouble> {
    let pen = |ink: Ink, width: f64| ink.rgb().stroke_width(fine(width).max(1));
    match shape {
        Shape::Line(points, ink, width) => {
            let points: Vec<_> = points.iter().copied().map(at).collect();
            root.draw(&PathElement::new(points, pen(*ink, *width)))?;
        }
        Shape::Area(points, ink) => {
            let points: Vec<_> = points.iter().copied().map(at).collect();
            root.draw(&Polygon::new(points, ink.rgb().filled()))?;
        }
        Shape::Dot(centre, radius, ink, width) => {
            let style = match width {
                None => ink.rgb().filled(),
                Some(width) => pen(*ink, *width),
            };
            root.draw(&Circle::new(at(*centre), fine(*radius), style))?;
        }
        Shape::Words(words) => write(root, words)?,
        Shape::Open(_) | Shape::Close => {}
    }
    Ok(())
}

fn write(root: &Area, words: &Words) -> Result<(), Trouble> {
    let horizontal = match words.side {
        Side::Right => HPos::Left,
        Side::Middle => HPos::Center,
        Side::Left => HPos::Right,
    };
    let style = match words.bold {
        true => FontStyle::Bold,
        false => FontStyle::Normal,
    };
    let ink = words.ink.rgb();
    let style = TextStyle::from(("sans-serif", words.size * FINE * LETTERS, style))
        .pos(Pos::new(horizontal, VPos::Center))
        .color(&ink);
    root.draw(&Text::new(words.text.clone(), at(words.at), style))?;
    Ok(())
}
