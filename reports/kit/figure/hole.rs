//! Round holes side by side, as large as they are.

use crate::figure::ink::Ink;
use crate::figure::measure;
use crate::figure::scene::{Scene, Side, Words};

/// CSS pixels of a millimetre on paper.
pub const MM: f64 = 96.0 / 25.4;
/// Largest hole drawn, mm.
const LARGEST: f64 = 40.0;

/// A ruler of 10 mm that ends there, with its name before it.
pub fn ruler(scene: &mut Scene, [to, y]: [f64; 2]) {
    let from = to - 10.0 * MM;
    scene.line(vec![[from, y], [to, y]], Ink::Text, 2.0);
    for end in [from, to] {
        scene.line(vec![[end, y - 4.0], [end, y + 4.0]], Ink::Text, 2.0);
    }
    scene.words(Words::new("10 mm", [from - 6.0, y], 11.0, Ink::Quiet).side(Side::Left));
}

/// Holes with their names, mm, and where each stands in the result for programs; none where one is
/// too large for the paper or is not known.
pub fn holes(all: &[(&str, f64, String)]) -> Option<Scene> {
    if all.iter().any(|(_, mm, _)| !(0.0..=LARGEST).contains(mm)) {
        return None;
    }
    let widest = all.iter().map(|(_, mm, _)| mm * MM).fold(0.0, f64::max);
    let names = all
        .iter()
        .map(|(name, ..)| measure::width(name, 12.0, false));
    let column = (widest + 16.0)
        .max(86.0)
        .max(names.fold(0.0, f64::max) + 24.0);
    let width = column * all.len() as f64;
    let mut scene = Scene::new(width.max(120.0), widest + 66.0);
    scene.true_scale = true;
    for (i, (name, mm, json)) in all.iter().enumerate() {
        let x = column * (i as f64 + 0.5);
        scene.number(json, *mm, |scene| {
            scene.dot([x, 6.0 + widest / 2.0], mm * MM / 2.0, Ink::Leak);
            let said = format!("{} mm", crate::text::number::digits(*mm, 3));
            for (words, y) in [(said, 18.0), (name.to_string(), 33.0)] {
                let words = Words::new(words, [x, widest + y], 12.0, Ink::Text);
                scene.words(words.side(Side::Middle));
            }
        });
    }
    ruler(&mut scene, [width.min(column * 1.5) + 20.0, widest + 54.0]);
    Some(scene)
}
