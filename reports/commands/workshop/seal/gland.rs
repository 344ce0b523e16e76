//! O-rings in their gland, in section: how much each is squeezed.

use crate::figure::ink::Ink;
use crate::figure::scene::{Scene, Side, Words};

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
const COLUMN: f64 = 152.0;
const LETTERS: f64 = 11.5;

/// Points of a circle.
fn circle([x, y]: [f64; 2], radius: f64) -> Vec<[f64; 2]> {
    let turn = |i: usize| i as f64 / 72.0 * std::f64::consts::TAU;
    (0..=72)
        .map(|i| [x + radius * turn(i).cos(), y + radius * turn(i).sin()])
        .collect()
}

/// Rings side by side in a gland of this depth, mm; all to one scale. What stands out of the gland
/// is squeezed.
pub fn glands(depth: f64, rings: &[Squeezed]) -> Scene {
    let deepest = rings.iter().map(|r| r.section).fold(depth, f64::max);
    let widest = rings.iter().map(|r| r.width).fold(deepest, f64::max);
    let scale = (TALL / deepest).min((COLUMN - 46.0) / widest);
    let lines = rings.iter().map(|ring| ring.said.len()).max().unwrap_or(0);
    let floor = 14.0 + deepest * scale;
    let height = floor + 26.0 + 15.0 * (lines + 1) as f64;
    let mut scene = Scene::new((COLUMN * rings.len() as f64).max(COLUMN), height);
    for (i, ring) in rings.iter().enumerate() {
        let x = COLUMN * (i as f64 + 0.5);
        let (half, lip) = (ring.width * scale / 2.0, floor - depth * scale);
        let radius = ring.section * scale / 2.0;
        let ink = if ring.fits { Ink::Faulty } else { Ink::Leak };
        scene.rectangle([x - half, lip, x + half, floor], Ink::Band);
        scene.number(&ring.json, ring.section, |scene| {
            scene.line(circle([x, floor - radius], radius), ink, 2.5);
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
        let mut y = floor + 20.0;
        scene.words(
            Words::new(&ring.name, [x, y], LETTERS, Ink::Text)
                .side(Side::Middle)
                .bold(),
        );
        for words in &ring.said {
            y += 15.0;
            scene.words(Words::new(words, [x, y], LETTERS, Ink::Text).side(Side::Middle));
        }
    }
    scene
}
