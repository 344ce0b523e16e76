//! O-rings in their gland, in section: how much each is squeezed.

use crate::figure::ink::Ink;
use crate::figure::measure;
use crate::figure::scene::{Scene, Side, Words, held_width};
use std::f64::consts::FRAC_1_SQRT_2;

/// A ring in the gland.
pub struct Squeezed {
    /// Its name.
    pub name: String,
    /// Lines under the name.
    pub said: Vec<String>,
    /// Section, stretched over its pipe, mm.
    pub section: f64,
    /// Width of the gland, mm.
    pub width: f64,
    /// Where the section stands in the result for programs.
    pub json: String,
    /// Whether it fits.
    pub fits: bool,
}

/// px for the deepest ring.
const TALL: f64 = 84.0;
/// Least width of a ring's column, px.
const COLUMN: f64 = 152.0;
/// Where a caption is broken into lines, px.
const BROAD: f64 = 190.0;
/// Between the captions of two rings, px: room too for a reader's face that is wider than the
/// one measured.
const APART: f64 = 24.0;
const LETTERS: f64 = 11.5;
const LINE: f64 = 15.0;

/// Points of a circle.
fn circle([x, y]: [f64; 2], radius: f64) -> Vec<[f64; 2]> {
    let turn = |i: usize| i as f64 / 72.0 * std::f64::consts::TAU;
    (0..=72)
        .map(|i| [x + radius * turn(i).cos(), y + radius * turn(i).sin()])
        .collect()
}

/// Lines under a ring, each with whether it is bold.
fn caption(ring: &Squeezed) -> Vec<(String, bool)> {
    let of = |text: &str, bold| {
        let lines = measure::lines(text, LETTERS, bold, BROAD).into_iter();
        lines.map(move |line| (line, bold)).collect::<Vec<_>>()
    };
    let said = ring.said.iter().flat_map(|text| of(text, false));
    of(&ring.name, true).into_iter().chain(said).collect()
}

/// Rings side by side in a gland of this depth, mm; all to one scale. What stands out of the gland
/// is squeezed.
pub fn glands(depth: f64, rings: &[Squeezed]) -> Scene {
    // Below one another where two would not stand side by side.
    drawn(depth, rings, None).with_held(drawn(depth, rings, Some(held_width(LETTERS))))
}

/// In columns side by side, or one below another in a column of this width.
fn drawn(depth: f64, rings: &[Squeezed], below: Option<f64>) -> Scene {
    let deepest = rings.iter().map(|r| r.section).fold(depth, f64::max);
    let widest = rings.iter().map(|r| r.width).fold(deepest, f64::max);
    let scale = (TALL / deepest).min((COLUMN - 46.0) / widest);
    let captions: Vec<_> = rings.iter().map(caption).collect();
    let lines = captions.iter().map(Vec::len).max().unwrap_or(0);
    let texts = captions.iter().flatten();
    let longest = texts
        .map(|(text, bold)| measure::width(text, LETTERS, *bold))
        .fold(0.0, f64::max);
    let column = COLUMN.max((longest + APART).ceil());
    let floor = 14.0 + deepest * scale;
    let height = floor + 26.0 + LINE * lines as f64;
    let many = rings.len().max(1) as f64;
    let mut scene = match below {
        Some(width) => Scene::new(width, height * many),
        None => Scene::new(column * many, height),
    };
    for (i, (ring, caption)) in rings.iter().zip(captions).enumerate() {
        let i = i as f64;
        let (x, floor) = match below {
            Some(width) => (width / 2.0, floor + height * i),
            None => (column * (i + 0.5), floor),
        };
        let (half, lip) = (ring.width * scale / 2.0, floor - depth * scale);
        let radius = ring.section * scale / 2.0;
        let ink = if ring.fits { Ink::Faulty } else { Ink::Text };
        scene.rectangle([x - half, lip, x + half, floor], Ink::Band);
        scene.number(&ring.json, ring.section, |scene| {
            let middle = [x, floor - radius];
            scene.line(circle(middle, radius), ink, 2.5);
            // One that does not fit is struck out: told apart without its colour.
            if !ring.fits {
                let arm = radius * FRAC_1_SQRT_2;
                let [x, y] = middle;
                scene.line(vec![[x - arm, y + arm], [x + arm, y - arm]], ink, 1.5);
            }
        });
        let wall = [
            [x - half - 18.0, lip],
            [x - half, lip],
            [x - half, floor],
            [x + half, floor],
            [x + half, lip],
            [x + half + 18.0, lip],
        ];
        scene.line(wall.to_vec(), Ink::Text, 2.0);
        for (j, (text, bold)) in caption.into_iter().enumerate() {
            let at = [x, floor + 20.0 + LINE * j as f64];
            let words = Words::new(text, at, LETTERS, Ink::Text).side(Side::Middle);
            scene.words(if bold { words.bold() } else { words });
        }
    }
    scene
}
