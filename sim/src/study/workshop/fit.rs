//! A ring in its gland.
//!
//! The ring sits on an inner diameter (the pipe, or the bottom of its groove) and is
//! squeezed by an outer one (the bore or counterbore, or the bottom of its groove).
//! Limits for static joints: squeeze 15 to 30 %, stretch up to 5 %, fill of the gland
//! up to 85 %. Source: `iso3601` part 2 and industry handbooks, from memory (M).

use super::rings::Ring;
use std::f64::consts::PI;

/// Squeeze of a static joint, share of the section (M).
pub const SQUEEZE: (f64, f64) = (0.15, 0.30);
/// Largest stretch of the inside diameter (M).
pub const STRETCH: f64 = 0.05;
/// Largest share of the gland that the ring may fill (M).
pub const FILL: f64 = 0.85;
/// Looser than this a ring does not stay on its seat (judgement).
const LOOSE: f64 = -0.02;

/// A gland, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gland {
    /// What the ring sits on; none where only the depth is known.
    pub pipe: Option<f64>,
    /// Room for the section, across.
    pub depth: f64,
    /// Room for the section, along the pipe; none if not known.
    pub width: Option<f64>,
    /// How far the pipe's middle stands off that of the bore: so much less room on one
    /// side, so much more on the other.
    pub off_centre: f64,
}

/// A ring in a gland. Shares: 0.2 for 20 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// The ring.
    pub ring: Ring,
    /// Inside diameter in place over that as sold, less 1; negative for a loose ring.
    pub stretch: f64,
    /// Section in place, m.
    pub stretched_section: f64,
    /// Part of the section in place that the gland takes.
    pub squeeze: f64,
    /// The same where the pipe stands furthest from the bore, and nearest to it.
    pub squeezes: (f64, f64),
    /// Ring's section over the gland's.
    pub fill: Option<f64>,
    /// Narrowest gland that the limit of fill allows, m.
    pub least_width: f64,
}

/// Section of a ring stretched by a share, m: its volume stays, `1/sqrt(1 + stretch)`.
/// A loose ring keeps its section.
pub fn stretched(section: f64, stretch: f64) -> f64 {
    section / (1.0 + stretch.max(0.0)).sqrt()
}

/// Share of a section that a gland of a depth takes, m.
fn squeeze(section: f64, depth: f64) -> f64 {
    (section - depth) / section
}

impl Fit {
    /// A ring in a gland.
    pub fn new(ring: Ring, gland: &Gland) -> Self {
        let stretch = match gland.pipe {
            Some(pipe) if ring.inside.is_finite() => pipe / ring.inside - 1.0,
            _ => 0.0,
        };
        let section = stretched(ring.section, stretch);
        let area = PI / 4.0 * section * section;
        Self {
            ring,
            stretch,
            stretched_section: section,
            squeeze: squeeze(section, gland.depth),
            squeezes: (
                squeeze(section, gland.depth + gland.off_centre),
                squeeze(section, gland.depth - gland.off_centre),
            ),
            fill: gland.width.map(|width| area / (gland.depth * width)),
            least_width: area / (gland.depth * FILL),
        }
    }

    /// What is outside its limits, in words.
    pub fn faults(&self) -> Vec<String> {
        let mut said = Vec::new();
        let percent = |share: f64| format!("{:.1} %", 100.0 * share);
        let (least, most) = SQUEEZE;
        let (loosest, tightest) = self.squeezes;
        let side = match loosest < tightest {
            true => (" on the far side", " on the near side"),
            false => ("", ""),
        };
        if loosest <= 0.0 {
            let far = side.0;
            said.push(format!(
                "the ring does not reach across{far}: it does not seal at all"
            ));
        } else if loosest < least {
            let (squeeze, far) = (percent(loosest), side.0);
            said.push(format!(
                "squeeze {squeeze}{far} is below 15 %: seals poorly once set"
            ));
        }
        if tightest > most {
            let (squeeze, near) = (percent(tightest), side.1);
            said.push(format!(
                "squeeze {squeeze}{near} is above 30 %: hard to fit, sets early"
            ));
        }
        if self.stretch > STRETCH + 1e-9 {
            let stretch = percent(self.stretch);
            said.push(format!("stretch {stretch} is above 5 %: thins and cracks"));
        } else if self.stretch < LOOSE {
            said.push(format!(
                "the ring is {} loose on its seat",
                percent(-self.stretch)
            ));
        }
        if let Some(fill) = self.fill.filter(|fill| *fill > FILL) {
            let fill = percent(fill);
            said.push(format!(
                "fill {fill} is above 85 %: no room to swell or grow warm"
            ));
        }
        said
    }

    /// How far it is from its limits, and within them from their middle.
    fn distance(&self) -> f64 {
        let beyond = |x: f64, low: f64, high: f64| (low - x).max(x - high).max(0.0);
        let (least, most) = SQUEEZE;
        let fill = self.fill.map_or(0.0, |fill| beyond(fill, 0.0, FILL));
        let (loosest, tightest) = self.squeezes;
        let squeeze = beyond(loosest, least, most).max(beyond(tightest, least, most));
        let outside = squeeze + beyond(self.stretch, 0.0, STRETCH) + fill;
        let inside = (self.squeeze - 0.22).abs() + 0.5 * (self.stretch - 0.01).abs();
        100.0 * outside + inside
    }
}

/// The size of a series that fits a gland best.
pub fn nearest(series: &[Ring], gland: &Gland) -> Option<Fit> {
    let fits = series.iter().map(|ring| Fit::new(*ring, gland));
    fits.min_by(|a, b| a.distance().total_cmp(&b.distance()))
}
