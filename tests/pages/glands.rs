//! Rings in their gland: no caption lies on another, however long, however odd the sizes.

use falseair::figure::gland::{Squeezed, glands};

fn ring(name: &str, said: &[&str], section: f64, width: f64) -> Squeezed {
    Squeezed {
        name: name.into(),
        said: said.iter().map(|line| line.to_string()).collect(),
        section,
        width,
        json: "/metric/section_in_place_mm".into(),
        fits: said.len() == 2,
    }
}

/// As the page of `workshop seal` writes them, and far longer.
const CAPTIONS: [(&str, &[&str]); 5] = [
    (
        "inch: 1234.56 x 12.345 mm (-475)",
        &["squeeze 10.0 to 30.0 %", "NOT within limits"],
    ),
    (
        "at hand: 1234.56 x 12.345 mm",
        &["squeeze \u{2212}123.4 to \u{2212}100.0 %", "within limits"],
    ),
    (
        "metric: WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW",
        &["MMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMMM"],
    ),
    (
        "a ring of a series with a name that nobody would print on a bag of rings, in two sizes",
        &[
            "squeeze 20 %",
            "within limits",
            "and a line more",
            "and yet one",
        ],
    ),
    ("", &[]),
];

#[test]
fn captions_have_room() {
    let all = CAPTIONS.iter().map(|(name, said)| (*name, *said));
    let all: Vec<(&str, &[&str])> = all.collect();
    // Depth, section, width, mm: usual, hair-thin, vast, flat and wide, deep and narrow.
    for (depth, section, width) in [
        (1.6, 2.0, 2.8),
        (0.01, 0.02, 0.02),
        (80.0, 120.0, 200.0),
        (0.1, 0.2, 500.0),
        (50.0, 0.5, 0.5),
        (0.5, 50.0, 0.5),
    ] {
        for count in 1..=3 {
            for first in 0..all.len() {
                let chosen = all.iter().cycle().skip(first).take(count);
                let rings: Vec<Squeezed> = chosen
                    .map(|(name, said)| ring(name, said, section, width))
                    .collect();
                let scene = glands(depth, &rings);
                let clashes = scene.clashes();
                assert!(clashes.is_empty(), "{depth} {section} {width}: {clashes:?}");
                // Broad captions are broken, not laid out without end.
                assert!(scene.width <= 220.0 * count as f64, "{}", scene.width);
            }
        }
    }
}
