//! Round holes side by side, as large as they are.

use crate::figure::ink::Ink;
use crate::figure::measure;
use crate::figure::scene::{Scene, Side, Words};

/// CSS pixels of a millimetre on paper.
pub const MM: f64 = 96.0 / 25.4;
/// Largest hole drawn, mm.
const LARGEST: f64 = 40.0;

/// Letters, px; on a screen that is held, where nothing is drawn larger or smaller, the larger.
pub const LETTERS: [f64; 2] = [12.0, 17.0];

/// A ruler of 10 mm that ends there, with its name before it.
pub fn ruler(scene: &mut Scene, [to, y]: [f64; 2], letters: f64) {
    let from = to - 10.0 * MM;
    scene.line(vec![[from, y], [to, y]], Ink::Text, 2.0);
    for end in [from, to] {
        scene.line(vec![[end, y - 4.0], [end, y + 4.0]], Ink::Text, 2.0);
    }
    scene.words(Words::new("10 mm", [from - 6.0, y], letters - 1.0, Ink::Quiet).side(Side::Left));
}

/// Holes with their names, mm, and where each stands in the result for programs; none where one is
/// too large for the paper or is not known.
pub fn holes(all: &[(&str, f64, String)]) -> Option<Scene> {
    if all.iter().any(|(_, mm, _)| !(0.0..=LARGEST).contains(mm)) {
        return None;
    }
    let [wide, held] = LETTERS.map(|letters| drawn(all, letters));
    Some(wide.with_held(held))
}

fn drawn(all: &[(&str, f64, String)], letters: f64) -> Scene {
    let widest = all.iter().map(|(_, mm, _)| mm * MM).fold(0.0, f64::max);
    let line = 1.25 * letters;
    let names = all
        .iter()
        .map(|(name, ..)| measure::width(name, letters, false));
    let column = (widest + 16.0)
        .max(86.0)
        .max(names.fold(0.0, f64::max) + 2.0 * letters);
    let width = column * all.len() as f64;
    let mut scene = Scene::new(width.max(10.0 * letters), widest + 36.0 + 2.0 * line);
    scene.true_scale = true;
    for (i, (name, mm, json)) in all.iter().enumerate() {
        let x = column * (i as f64 + 0.5);
        scene.number(json, *mm, |scene| {
            scene.dot([x, 6.0 + widest / 2.0], mm * MM / 2.0, Ink::Leak);
            let said = format!("{} mm", crate::text::number::digits(*mm, 3));
            for (words, y) in [(said, 3.0 + line), (name.to_string(), 3.0 + 2.0 * line)] {
                let words = Words::new(words, [x, widest + y], letters, Ink::Text);
                scene.words(words.side(Side::Middle));
            }
        });
    }
    let to = width.min(column * 1.5) + 20.0;
    ruler(&mut scene, [to, widest + 24.0 + 2.0 * line], letters);
    scene
}
