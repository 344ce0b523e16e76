//! O-ring sizes of the published series.
//!
//! Inch sizes: `iso3601` part 1 (the dash numbers of `as568`), from memory (M): each
//! series has one section, and its inside diameters rise in even steps of 1/16, 1/8,
//! 1/4 or 1/2 inch, so they are computed, not listed; the first few uneven ones of the
//! two smallest sections are listed. Metric sizes: sections and whole-millimetre inside
//! diameters as they are commonly sold (common practice, no source).

/// A ring as sold, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ring {
    /// Section (d2).
    pub section: f64,
    /// Inside diameter (d1); not a number where it is not known.
    pub inside: f64,
    /// Dash number of an inch size.
    pub dash: Option<u16>,
}

const INCH: f64 = 0.0254;

/// Sections of the inch series, m.
pub const INCH_SECTIONS: [f64; 5] = [1.78e-3, 2.62e-3, 3.53e-3, 5.33e-3, 6.99e-3];

/// Metric sections as commonly sold, m (P).
pub const METRIC_SECTIONS: [f64; 9] = [
    1.0e-3, 1.5e-3, 2.0e-3, 2.5e-3, 3.0e-3, 3.5e-3, 4.0e-3, 5.0e-3, 6.0e-3,
];

/// Largest metric inside diameter in whole millimetres, mm.
const METRIC_UP_TO: u16 = 200;

/// Uneven inside diameters: section, first dash number, thousandths of an inch.
const UNEVEN: [(usize, u16, [f64; 7]); 2] = [
    (0, 4, [70.0, 101.0, 114.0, 145.0, 176.0, 208.0, 239.0]),
    (1, 102, [49.0, 81.0, 112.0, 143.0, 174.0, 206.0, 237.0]),
];

/// A run of even steps: section, first dash number, its inside diameter and the step in
/// inches, last dash number.
const EVEN_RUNS: [(usize, u16, f64, f64, u16); 15] = [
    (0, 11, 0.301, 0.0625, 28),
    (0, 29, 1.489, 0.125, 41),
    (0, 42, 3.239, 0.25, 50),
    (1, 109, 0.299, 0.0625, 150),
    (1, 151, 2.987, 0.25, 178),
    (2, 201, 0.171, 0.0625, 222),
    (2, 223, 1.609, 0.125, 258),
    (2, 259, 6.234, 0.25, 274),
    (3, 309, 0.412, 0.0625, 324),
    (3, 325, 1.475, 0.125, 349),
    (3, 350, 4.600, 0.125, 361),
    (3, 362, 6.225, 0.25, 376),
    (4, 425, 4.475, 0.125, 437),
    (4, 438, 6.225, 0.25, 445),
    (4, 446, 8.475, 0.5, 460),
];

/// Every inch size, with its inside diameter to a thousandth of an inch.
pub fn inch() -> Vec<Ring> {
    let ring = |series: usize, dash: u16, thousandths: f64| Ring {
        section: INCH_SECTIONS[series],
        inside: thousandths.round() * 1e-3 * INCH,
        dash: Some(dash),
    };
    let mut all = Vec::new();
    for (series, first, list) in UNEVEN {
        all.extend((first..).zip(list).map(|(dash, t)| ring(series, dash, t)));
    }
    for (series, first, start, step, last) in EVEN_RUNS {
        let run = (first..=last).map(|dash| {
            // A half is rounded up: the steps of 1/16 inch end in 0.0005.
            let inches = start + f64::from(dash - first) * step;
            ring(series, dash, 1e3 * inches + 1e-6)
        });
        all.extend(run);
    }
    all
}

/// Every metric size.
pub fn metric() -> Vec<Ring> {
    let sizes = METRIC_SECTIONS.iter().flat_map(|section| {
        // A ring is wider inside than its section is thick.
        let from = (section * 1e3).ceil() as u16 + 1;
        (from..=METRIC_UP_TO).map(move |mm| Ring {
            section: *section,
            inside: f64::from(mm) * 1e-3,
            dash: None,
        })
    });
    sizes.collect()
}
