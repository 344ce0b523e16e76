//! O-ring and gasket choice for a joint that stands still: the question and its answers.

pub use super::fit::{FILL, Fit, Gland, SQUEEZE, STRETCH, nearest, stretched};
use super::mistake;
use super::rings::{self, INCH_SECTIONS, METRIC_SECTIONS, Ring};
use crate::scenario::Mistake;
use crate::tables;
use std::f64::consts::PI;

/// Compression set from which a ring is thrown away, share (judgement; common practice
/// ranges from 40 to 80 %).
pub const SPENT: f64 = 0.50;

/// Gasket sheet as commonly sold, m (common practice, no source).
pub const SHEETS: [f64; 8] = [
    0.25e-3, 0.4e-3, 0.5e-3, 0.8e-3, 1.0e-3, 1.5e-3, 2.0e-3, 3.0e-3,
];

/// Sheet thicker than this creeps and is blown out; the face is better flattened (P), m.
pub const THICKEST: f64 = 1.6e-3;

tables! {
    /// A joint to seal: an o-ring in its gland, a used ring (alone if nothing else is at hand), a bowed
    /// face; any of the three.
    pub struct SealQuestion {
        /// diameter that the ring sits on: the pipe, or the bottom of the pipe's groove
        pipe_diameter: Length [1e-3, 0.4] or None,
        /// diameter that squeezes it: bore or counterbore, or the bottom of the bore's groove
        bore_diameter: Length [1e-3, 0.5] or None,
        /// depth of the gland, instead of the bore: the room for the section
        gland_depth: Length [2e-4, 0.02] or None,
        /// how far the pipe stands off the middle of its bore, on one side
        off_centre: Length [0.0, 5e-3] = 0.0,
        /// width of the groove or counterbore along the pipe
        gland_width: Length [2e-4, 0.05] or None,
        /// section of a ring at hand
        section: Length [2e-4, 0.02] or None,
        /// inside diameter of a ring at hand
        inside_diameter: Length [5e-4, 0.4] or None,
        /// inside diameter of a larger ring that the section would be cut from and glued
        cut_from: Length [5e-4, 2.0] or None,
        /// used ring: section when new, if it is known; else what is sold is tried
        new_section: Length [2e-4, 0.02] or None,
        /// used ring: section now, taken out and left for half an hour
        used_section: Length [2e-4, 0.02] or None,
        /// bowed face: gap half-way between the fixings, gasket out (feeler gauge)
        bow: Length [0.0, 5e-3] or None,
        /// bowed face: a gasket at hand
        gasket_thickness: Length [5e-5, 0.01] or None,
        /// share of its thickness by which the gasket is crushed at the fixings
        crush_at_fixings: Ratio [0.02, 0.6] = 0.20,
        /// least share by which it must be crushed half-way between them to seal
        crush_to_seal: Ratio [0.0, 0.5] = 0.05,
    }
}

/// Compression set, share: `(h0 - h2)/(h0 - h1)`, h0 new, h1 compressed, h2 after
/// release. Source: `iso815` part 1. The section new is above that compressed, m.
///
/// # Examples
/// ```
/// // ISO 815: new 3.53 mm, squeezed to 2.65 mm, 3.09 mm when let go: half of it stays.
/// let set = sim::workshop::compression_set(3.53, 2.65, 3.09);
/// assert!((set - 0.5).abs() < 1e-12);
/// ```
pub fn compression_set(new: f64, compressed: f64, released: f64) -> f64 {
    (new - released) / (new - compressed)
}

/// Length of cord, m, for a ring cut and glued: along the middle of its section.
pub fn cord_length(inside: f64, section: f64) -> f64 {
    PI * (inside + section)
}

/// Least gasket thickness for a bow, m: the crush at the fixings less the bow must
/// still seal half-way, `t ≥ bow/(crush at fixings - crush to seal)` (geometry).
pub fn least_thickness(bow: f64, at_fixings: f64, to_seal: f64) -> f64 {
    bow / (at_fixings - to_seal)
}

/// Open area beside a ring of this section, m²: the room that it leaves round the pipe, with the pipe
/// off the middle a crescent (geometry; a gap thin beside the bore). None where the pipe is not known.
fn open_beside(gland: &Gland, section: f64) -> Option<f64> {
    const STEPS: usize = 720;
    let bore = 0.5 * gland.pipe? + gland.depth;
    let step = 2.0 * PI / STEPS as f64;
    let gap = |i: usize| {
        let towards = (step * i as f64).cos();
        (gland.depth + gland.off_centre * towards - section).max(0.0)
    };
    Some((0..STEPS).map(gap).sum::<f64>() * bore * step)
}

/// What is answered for a gland.
#[derive(Clone, Debug, PartialEq)]
pub struct RingAnswer {
    /// The gland.
    pub gland: Gland,
    /// The ring at hand, if one is stated.
    pub at_hand: Option<Fit>,
    /// Best metric size (common practice, no source).
    pub metric: Option<Fit>,
    /// Best inch size (M).
    pub inch: Option<Fit>,
    /// Length of cord for a ring cut and glued, and what the larger ring gives, m.
    pub cord: Option<(f64, f64)>,
}

/// What is answered for a used ring.
#[derive(Clone, Debug, PartialEq)]
pub struct UsedAnswer {
    /// Sections that it may have been sold with, m, each with the compression set it would then have
    /// taken (share; none without its gland, or where it is flatter than that): the stated one, or those
    /// that are sold.
    pub sold: Vec<(f64, Option<f64>)>,
    /// Compression set, share, where its section when new and its gland are stated.
    pub set: Option<f64>,
    /// Squeeze that is left, share of the section now; none without its gland.
    pub squeeze: Option<f64>,
    /// Widest gap beside it, m: 0 where it touches all round; none without its gland.
    pub gap: Option<f64>,
    /// Open area of that gap, m²; none where the pipe is not known.
    pub open: Option<f64>,
    /// Sections sold that this gland squeezes within limits, m.
    pub fitting: Vec<f64>,
}

impl UsedAnswer {
    /// Whether it is to be replaced; none where its gland is not known. Of the rings that it may have
    /// been the gland's own count.
    pub fn spent(&self) -> Option<bool> {
        let left = self.squeeze?;
        let fits = |section: f64| self.fitting.contains(&section);
        // Of the least squeeze that seals, half is left to a ring that has taken half of it.
        let weak = self.sold.is_empty() && left < SQUEEZE.0 * (1.0 - SPENT);
        let set = match self.set {
            Some(set) => set >= SPENT,
            None => {
                let sold = self.sold.iter().filter(|(section, _)| fits(*section));
                sold.filter_map(|(_, set)| *set).any(|set| set >= SPENT)
            }
        };
        Some(left <= 0.0 || self.gap.is_some_and(|gap| gap > 0.0) || weak || set)
    }
}

/// What is answered for a bowed face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GasketAnswer {
    /// Least thickness, m.
    pub least: f64,
    /// The next sheet as sold, m; none where none is thick enough.
    pub sheet: Option<f64>,
    /// Crush left half-way between the fixings with the gasket at hand, share of its thickness.
    pub at_hand: Option<f64>,
}

fn wrong<T>(key: &str, message: &str) -> Result<T, Mistake> {
    Err(mistake(key, message))
}

impl SealQuestion<f64> {
    fn gland(&self) -> Result<Option<Gland>, Mistake> {
        let depth = match (self.pipe_diameter, self.bore_diameter, self.gland_depth) {
            (None, None, None) => return Ok(None),
            (_, Some(_), Some(_)) => {
                let message = "give either `gland_depth` or `bore_diameter`, not both";
                return wrong("gland_depth", message);
            }
            (_, None, Some(depth)) => depth,
            (Some(pipe), Some(bore), None) if bore > pipe => 0.5 * (bore - pipe),
            (Some(_), Some(_), None) => {
                let message =
                    "the bore is not larger than what the ring sits on: no room for a ring";
                return wrong("bore_diameter", message);
            }
            (None, Some(_), None) => {
                return wrong("bore_diameter", "a bore needs a `pipe_diameter` inside it");
            }
            (Some(_), None, None) => {
                let message = "a pipe needs a `bore_diameter` around it, or a `gland_depth`";
                return wrong("pipe_diameter", message);
            }
        };
        if self.off_centre >= depth {
            let message = "so far off the middle the pipe would touch the bore: no room for a ring";
            return wrong("off_centre", message);
        }
        Ok(Some(Gland {
            off_centre: self.off_centre,
            pipe: self.pipe_diameter,
            depth,
            width: self.gland_width,
        }))
    }

    /// The ring for the gland.
    ///
    /// # Errors
    /// Measures that contradict each other.
    pub fn ring(&self) -> Result<Option<RingAnswer>, Mistake> {
        let Some(gland) = self.gland()? else {
            let alone = [
                ("section", self.section),
                ("inside_diameter", self.inside_diameter),
                ("gland_width", self.gland_width),
                ("cut_from", self.cut_from),
            ];
            return match alone.iter().find(|(_, given)| given.is_some()) {
                None => Ok(None),
                Some((key, _)) => wrong(
                    key,
                    "a ring needs its gland: `pipe_diameter` with `bore_diameter`, or `gland_depth`",
                ),
            };
        };
        if self.inside_diameter.is_some() && self.section.is_none() {
            let message = "an inside diameter needs the `section` of the same ring";
            return wrong("inside_diameter", message);
        }
        let at_hand = self.section.map(|section| {
            let ring = Ring {
                section,
                // Not known: taken as neither stretched nor loose.
                inside: self.inside_diameter.unwrap_or(f64::NAN),
                dash: None,
            };
            Fit::new(ring, &gland)
        });
        let size = |series: Vec<Ring>| gland.pipe.and_then(|_| nearest(&series, &gland));
        Ok(Some(RingAnswer {
            at_hand,
            metric: size(rings::metric()),
            inch: size(rings::inch()),
            cord: self.cord(&gland)?,
            gland,
        }))
    }

    fn cord(&self, gland: &Gland) -> Result<Option<(f64, f64)>, Mistake> {
        match (self.cut_from, self.section, gland.pipe) {
            (None, ..) => Ok(None),
            (Some(larger), Some(section), Some(pipe)) => {
                let (needed, there) = (cord_length(pipe, section), cord_length(larger, section));
                match there < needed {
                    false => Ok(Some((needed, there))),
                    true => Err(mistake(
                        "cut_from",
                        format!(
                            "the ring to cut from is too short: {:.1} mm of cord for the {:.1} mm needed",
                            1e3 * there,
                            1e3 * needed
                        ),
                    )),
                }
            }
            (Some(_), ..) => {
                let message = "a cut ring needs its `section` and the `pipe_diameter` it goes on";
                wrong("cut_from", message)
            }
        }
    }

    /// What is left of a used ring, what passes it now, and what it may have been. Its gland may be
    /// left out, and so may its section when new.
    ///
    /// # Errors
    /// Measures that contradict each other.
    pub fn used(&self) -> Result<Option<UsedAnswer>, Mistake> {
        let used = match (self.new_section, self.used_section) {
            (None, None) => return Ok(None),
            (_, Some(used)) => used,
            (Some(_), None) => {
                return wrong("new_section", "a new section needs its `used_section`");
            }
        };
        if self.new_section.is_some_and(|new| used > new) {
            let message = "the used section is above the new one: the ring has swollen (fuel, wrong \
                           oil), so compression set says nothing; replace it by one of the right \
                           rubber";
            return wrong("used_section", message);
        }
        let gland = self.gland()?;
        let depth = gland.map(|gland| gland.depth);
        if let (Some(new), Some(depth)) = (self.new_section, depth)
            && depth >= new
        {
            let message = "the gland is deeper than the new section: it never squeezed this ring";
            return wrong("new_section", message);
        }
        let sections = || INCH_SECTIONS.into_iter().chain(METRIC_SECTIONS);
        let squeezed = |section: f64| depth.map(|depth| (section - depth) / section);
        let within = |share: f64| SQUEEZE.0 <= share && share <= SQUEEZE.1;
        let mut fitting: Vec<f64> = sections()
            .filter(|section| squeezed(*section).is_some_and(within))
            .collect();
        let mut sold: Vec<f64> = match self.new_section {
            Some(new) => vec![new],
            // A ring squeezed as far as is allowed may have stayed as flat as its gland.
            None => sections()
                .filter(|section| (used..=used / (1.0 - SQUEEZE.1)).contains(section))
                .filter(|section| squeezed(*section).is_none_or(|share| share > 0.0))
                .collect(),
        };
        fitting.sort_by(f64::total_cmp);
        sold.sort_by(f64::total_cmp);
        let set = |new: f64| depth.map(|depth| compression_set(new, depth, used));
        // Rubber alone comes back to its gland at least: flatter is worn, torn, or of another gland.
        let taken = |new: f64| set(new).filter(|set| *set <= 1.0);
        Ok(Some(UsedAnswer {
            set: self.new_section.and_then(set),
            sold: sold.into_iter().map(|new| (new, taken(new))).collect(),
            squeeze: depth.map(|depth| (used - depth) / used),
            gap: gland.map(|gland| (gland.depth + gland.off_centre - used).max(0.0)),
            open: gland.and_then(|gland| open_beside(&gland, used)),
            fitting,
        }))
    }

    /// The gasket for a bowed face.
    ///
    /// # Errors
    /// Measures that contradict each other.
    pub fn gasket(&self) -> Result<Option<GasketAnswer>, Mistake> {
        let Some(bow) = self.bow else {
            return match self.gasket_thickness {
                None => Ok(None),
                Some(_) => wrong("gasket_thickness", "a gasket needs the `bow` it must fill"),
            };
        };
        let (most, least) = (self.crush_at_fixings, self.crush_to_seal);
        if least >= most {
            let message = "the crush needed to seal must be below the crush at the fixings";
            return wrong("crush_to_seal", message);
        }
        let thickness = least_thickness(bow, most, least);
        let enough = |sheet: &f64| *sheet >= thickness * (1.0 - 1e-9);
        Ok(Some(GasketAnswer {
            least: thickness,
            sheet: SHEETS.into_iter().find(enough),
            at_hand: self.gasket_thickness.map(|t| most - bow / t),
        }))
    }

    /// Refuses a question about nothing.
    ///
    /// # Errors
    /// Nothing is asked.
    pub fn asks_something(&self) -> Result<(), Mistake> {
        let any = self.ring()?.is_some() || self.used()?.is_some() || self.gasket()?.is_some();
        match any {
            true => Ok(()),
            false => wrong(
                "pipe_diameter",
                "nothing is asked\na ring: `pipe_diameter` and `bore_diameter` (or `gland_depth`); \
                 a used ring: `used_section`, and its gland if you have it; a bowed face: `bow`",
            ),
        }
    }
}
