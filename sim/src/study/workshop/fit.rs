//! A ring in its gland.
//!
//! The ring sits on an inner diameter (the pipe, or the bottom of its groove) and is
//! squeezed by an outer one (the bore or counterbore, or the bottom of its groove).
//! Limits for static joints: squeeze 15 to 30 %, stretch up to 5 %, fill of the gland
//! up to 85 %. Source: `iso3601` part 2 and industry handbooks, from memory (M).

use super::rings::Ring;
use crate::say::sealing as say;
use std::f64::consts::PI;
use std::fmt;

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

/// What is wrong with a ring in its gland; shares of its section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Misfit {
    /// It does not reach across.
    NoSeal {
        /// On the far side only.
        off_centre: bool,
    },
    /// Squeezed too little.
    Loose {
        /// The least squeeze.
        squeeze: f64,
        /// On the far side only.
        off_centre: bool,
    },
    /// Squeezed too much.
    Tight {
        /// The most squeeze.
        squeeze: f64,
        /// On the near side only.
        off_centre: bool,
    },
    /// Stretched so far.
    Stretched(f64),
    /// So much too large for its seat.
    LooseOnSeat(f64),
    /// It fills so much of the gland.
    Overfilled(f64),
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let percent = |share: &f64| 100.0 * share;
        let said = match self {
            Misfit::NoSeal { off_centre: true } => say::no_seal_far_side().into(),
            Misfit::NoSeal { off_centre: false } => say::no_seal().into(),
            Misfit::Loose {
                squeeze,
                off_centre,
            } => match off_centre {
                true => say::loose_far_side(percent(squeeze)),
                false => say::loose(percent(squeeze)),
            },
            Misfit::Tight {
                squeeze,
                off_centre,
            } => match off_centre {
                true => say::tight_near_side(percent(squeeze)),
                false => say::tight(percent(squeeze)),
            },
            Misfit::Stretched(stretch) => say::stretched(percent(stretch)),
            Misfit::LooseOnSeat(by) => say::loose_on_seat(percent(by)),
            Misfit::Overfilled(fill) => say::overfilled(percent(fill)),
        };
        f.write_str(&said)
    }
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
        self.misfits().iter().map(ToString::to_string).collect()
    }

    /// The same with its numbers.
    pub fn misfits(&self) -> Vec<Misfit> {
        let mut found = Vec::new();
        let (least, most) = SQUEEZE;
        let (loosest, tightest) = self.squeezes;
        let off_centre = loosest < tightest;
        if loosest <= 0.0 {
            found.push(Misfit::NoSeal { off_centre });
        } else if loosest < least {
            found.push(Misfit::Loose {
                squeeze: loosest,
                off_centre,
            });
        }
        if tightest > most {
            found.push(Misfit::Tight {
                squeeze: tightest,
                off_centre,
            });
        }
        if self.stretch > STRETCH + 1e-9 {
            found.push(Misfit::Stretched(self.stretch));
        } else if self.stretch < LOOSE {
            found.push(Misfit::LooseOnSeat(-self.stretch));
        }
        found.extend(
            self.fill
                .filter(|fill| *fill > FILL)
                .map(Misfit::Overfilled),
        );
        found
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
