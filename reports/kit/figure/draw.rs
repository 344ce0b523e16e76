//! A scene as SVG text and as pixels.

use crate::figure::ink::Ink;
use crate::figure::measure;
use crate::figure::scene::{Point, Scene, Shape, Side, Words};
use plotters::coord::Shift;
use plotters::prelude::*;
use plotters::style::FontStyle;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use std::fmt::Write;

/// The drawing library counts whole pixels: four of them make one of the picture's.
const FINE: f64 = 4.0;
/// How a backend of the library sets letters.
struct Letters {
    /// Size that it must be told for an em of 1.
    scale: f64,
    /// How much lower than it would words must stand to be centred as in SVG, em.
    drop: f64,
}
/// SVG: a point is not its pixel.
const TEXT: Letters = Letters {
    scale: 1.24,
    drop: 0.0,
};
/// Pixels: told the height from the lowest to the highest letter of the face, DejaVu's 1.164 em.
/// Words stand on a line a tenth of that below the middle; in SVG on half an x-height.
const PIXELS: Letters = Letters {
    scale: 1.164,
    drop: 0.16,
};

type Area<DB> = DrawingArea<DB, Shift>;

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
        let cannot = |e: String| format!("cannot draw the picture: {e}");
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
    /// The drawing or encoding library refuses (never seen; passed on in words).
    pub fn png(&self) -> Result<Vec<u8>, String> {
        measure::register();
        let (width, height) = (fine(self.width), fine(self.height));
        let mut fine = vec![0; 3 * (width * height) as usize];
        let root = BitMapBackend::with_buffer(&mut fine, (width, height)).into_drawing_area();
        let cannot = |e: &dyn std::fmt::Display| format!("cannot make the picture: {e}");
        root.fill(&Ink::Paper.rgb()).map_err(|e| cannot(&e))?;
        for shape in &self.shapes {
            stroke(&root, shape, &PIXELS).map_err(|e| cannot(&e))?;
        }
        root.present().map_err(|e| cannot(&e))?;
        drop(root);
        let mut file = Vec::new();
        let mut picture = png::Encoder::new(&mut file, width / 2, height / 2);
        picture.set_color(png::ColorType::Rgb);
        let mut picture = picture.write_header().map_err(|e| cannot(&e))?;
        let pixels = halved(&fine, width as usize);
        picture.write_image_data(&pixels).map_err(|e| cannot(&e))?;
        picture.finish().map_err(|e| cannot(&e))?;
        Ok(file)
    }
}

/// RGB pixels at half the size, each the mean of four: edges become smooth.
fn halved(fine: &[u8], width: usize) -> Vec<u8> {
    let mut pixels = Vec::with_capacity(fine.len() / 4);
    for rows in fine.chunks_exact(6 * width) {
        let (upper, lower) = rows.split_at(3 * width);
        for (above, below) in upper.chunks_exact(6).zip(lower.chunks_exact(6)) {
            for i in 0..3 {
                let sum: u16 = [above[i], above[i + 3], below[i], below[i + 3]]
                    .map(u16::from)
                    .iter()
                    .sum();
                pixels.push(((sum + 2) / 4) as u8);
            }
        }
    }
    pixels
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
fn strokes(shapes: &[Shape], size: (u32, u32)) -> Result<String, String> {
    let mut svg = String::new();
    let root = SVGBackend::with_string(&mut svg, size).into_drawing_area();
    for shape in shapes {
        stroke(&root, shape, &TEXT)?;
    }
    root.present().map_err(|e| e.to_string())?;
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

fn stroke<DB: DrawingBackend>(
    root: &Area<DB>,
    shape: &Shape,
    letters: &Letters,
) -> Result<(), String> {
    let pen = |ink: Ink, width: f64| ink.rgb().stroke_width(fine(width).max(1));
    let drawn = match shape {
        Shape::Line(points, ink, width) => {
            let points: Vec<_> = points.iter().copied().map(at).collect();
            root.draw(&PathElement::new(points, pen(*ink, *width)))
        }
        Shape::Area(points, ink) => {
            let points: Vec<_> = points.iter().copied().map(at).collect();
            root.draw(&Polygon::new(points, ink.rgb().filled()))
        }
        Shape::Dot(centre, radius, ink, width) => {
            let style = match width {
                None => ink.rgb().filled(),
                Some(width) => pen(*ink, *width),
            };
            root.draw(&Circle::new(at(*centre), fine(*radius), style))
        }
        Shape::Words(words) => write(root, words, letters),
        Shape::Open(_) | Shape::Close => Ok(()),
    };
    drawn.map_err(|e| e.to_string())
}

fn write<DB: DrawingBackend>(
    root: &Area<DB>,
    words: &Words,
    letters: &Letters,
) -> Result<(), DrawingAreaErrorKind<DB::ErrorType>> {
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
    let style = TextStyle::from(("sans-serif", words.size * FINE * letters.scale, style))
        .pos(Pos::new(horizontal, VPos::Center))
        .color(&ink);
    let [x, y] = words.at;
    let place = at([x, y + letters.drop * words.size]);
    root.draw(&Text::new(words.text.clone(), place, style))
}
