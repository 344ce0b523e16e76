//! `falseair workshop seal`.

mod page;

use crate::answer::given::Given;
use crate::answer::{Answer, Asked, SchemaOf, Trouble, schema};
use crate::commands::workshop::cautions::Warnings;
use crate::input::case::mistake;
use crate::page::record::{digits, fixed};
use crate::record;
use crate::say::{workshop, workshop_seal as say};
use crate::text::words::sentence;
use sim::study::workshop::seal::{Fit, SealQuestion, THICKEST, UsedAnswer};
use sim::units::round;
use std::f64::consts::PI;

pub(super) const HELP: &str = "\
Examples:
  falseair workshop seal scenarios/workshop/seal.toml
  falseair workshop seal --pipe-diameter '10 mm' --bore-diameter '13.2 mm' \\
      --gland-width '2.8 mm'
  falseair workshop seal --gland-depth '2.10 mm' --section '2.62 mm'
  falseair workshop seal --gland-depth '1.6 mm' --new-section '2 mm' \\
      --used-section '1.72 mm'
  falseair workshop seal --used-section '1.72 mm' --gland-depth '1.6 mm'
  falseair workshop seal --used-section '1.72 mm'
  falseair workshop seal --bow '6 thou'

Exit codes: 0 an answer, 2 input that cannot be used, with the reason.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("workshop-seal", schema::<File>);

/// Options of `workshop seal`.
#[derive(Debug, clap::Args)]
pub struct Seal {
    #[command(flatten)]
    pub(super) given: Given<SealQuestion>,
    #[command(flatten)]
    pub(super) asked: Asked,
}

record! {
    /// A ring in the gland.
    struct Ring {
        /// Of its section.
        section_mm: f64;
        /// None where only the section counts.
        inside_diameter_mm: Option<f64>;
        /// Number of the inch series.
        dash: Option<String>;
        /// On the pipe.
        stretch_pct: f64 = "stretch" "%" fixed(1);
        /// Thinned by the stretch.
        section_in_place_mm: f64;
        /// With the pipe in the middle.
        squeeze_pct: f64;
        /// Where the pipe stands furthest from the bore, and nearest to it.
        squeeze_limits_pct: [f64; 2];
        /// Of the gland.
        fill_pct: Option<f64> = "fill" "%" fixed(1);
        /// That the fill allows.
        least_gland_width_mm: f64 = "gland at least" "mm wide" fixed(2);
        /// What is not within limits.
        faults: Vec<String>;
    }

    /// A ring cut from a larger one.
    struct Cord {
        /// Along the middle of the section.
        needed_mm: f64 = "emergency: length to cut from the larger ring" "mm" digits(4);
        /// The same.
        in_larger_ring_mm: f64 = "length in the larger ring" "mm" digits(4);
        /// Always.
        emergency_only: bool;
    }

    /// A section that a used ring may have been sold with.
    struct Sold {
        /// When new.
        section_mm: f64 = "section when new" "mm" digits(3);
        /// That it would then have taken, as ISO 815 has it; none without its gland.
        compression_set_pct: Option<f64> = "set (ISO 815)" "%" digits(3);
    }

    /// A used ring.
    struct Used {
        /// As ISO 815 has it; none where its section when new, or its gland, is not known.
        compression_set_pct: Option<f64> = "used ring: compression set (ISO 815)" "%" digits(4);
        /// In this gland; none where that is not known.
        squeeze_left_pct: Option<f64> = "used ring: squeeze left" "%" digits(4);
        /// Widest gap beside it; 0 where it touches all round, none without its gland.
        gap_mm: Option<f64> = "used ring: widest gap beside it" "mm" digits(3);
        /// Open area of that gap; none where the pipe is not known.
        open_area_mm2: Option<f64> = "used ring: open area beside it" "mm²" digits(3);
        /// Diameter of a round hole of that area: the leak is no larger.
        hole_of_that_area_mm: Option<f64> = "used ring: leaks at most as a hole of" "mm" digits(3);
        /// What it may have been.
        sold: Vec<Sold>;
        /// Sections sold that this gland squeezes within limits.
        fitting_sections_mm: Vec<f64>;
        /// Whether it is to be replaced; none where its gland is not known.
        spent: Option<bool>;
    }

    /// A flat gasket on a bowed face.
    struct Gasket {
        /// That still seals half-way.
        least_thickness_mm: f64 = "gasket on the bowed face: at least" "mm" digits(4);
        /// The next thickness that is sold.
        sheet_mm: Option<f64> = "sheet as sold" "mm" digits(4);
        /// Of the gasket at hand; below zero it does not touch.
        crush_half_way_at_hand_pct: Option<f64> = "gasket at hand: crushed half-way by" "%" digits(4);
    }

    /// Seals that fit.
    struct File {
        /// The answer in a sentence.
        says: String;
        /// From the pipe to the bore.
        gland_depth_mm: Option<f64> = "gland depth" "mm" digits(4);
        /// Along the pipe.
        gland_width_mm: Option<f64> = "gland width" "mm" digits(4);
        /// The ring at hand.
        at_hand: Option<Ring>;
        /// The nearest that is sold.
        metric: Option<Ring>;
        /// The nearest that is sold.
        inch: Option<Ring>;
        /// As an emergency measure.
        cord: Option<Cord>;
        /// The used ring.
        used: Option<Used>;
        /// For a bowed face.
        gasket: Option<Gasket>;
        /// What to beware of.
        warnings: Warnings;
        /// Of work on joints.
        cautions: [&'static str; 4];
    }
}

impl Used {
    fn new(answer: &UsedAnswer) -> Self {
        let percent = |share: f64| 100.0 * share;
        let sold = answer.sold.iter().map(|(section, set)| Sold {
            section_mm: section * 1e3,
            compression_set_pct: set.map(percent),
        });
        let open = answer.open.filter(|open| *open > 0.0);
        Self {
            compression_set_pct: answer.set.map(percent),
            squeeze_left_pct: answer.squeeze.map(percent),
            gap_mm: answer.gap.map(|gap| gap * 1e3),
            open_area_mm2: answer.open.map(|open| open * 1e6),
            hole_of_that_area_mm: open.map(|open| 2e3 * (open / PI).sqrt()),
            sold: sold.collect(),
            fitting_sections_mm: answer.fitting.iter().map(|d| d * 1e3).collect(),
            spent: answer.spent(),
        }
    }

    /// In sentences; `named` where rings that fit are named already.
    fn says(&self, named: bool) -> Vec<String> {
        let sections = |all: &mut dyn Iterator<Item = f64>| {
            let all: Vec<String> = all.map(|mm| round(mm, 3)).collect();
            all.join(" or ")
        };
        let sold = sections(&mut self.sold.iter().map(|sold| sold.section_mm));
        let fitting = sections(&mut self.fitting_sections_mm.iter().copied());
        let Some(left) = self.squeeze_left_pct else {
            return vec![match sold.is_empty() {
                true => say::USED_ALONE_UNSOLD.into(),
                false => say::used_alone(sold),
            }];
        };
        let verdict = match self.spent {
            Some(true) => say::REPLACE,
            _ => say::SPRINGS_BACK,
        };
        let left = left.max(0.0);
        let mut said = vec![match (self.compression_set_pct, sold.is_empty()) {
            (Some(set), _) => say::used(set, left, verdict),
            (None, true) => say::used_unsold(left, verdict),
            (None, false) => say::used_sold(left, sold, verdict),
        }];
        match (self.gap_mm, self.hole_of_that_area_mm) {
            (Some(gap), Some(hole)) if gap > 0.0 => {
                said.push(say::leaks(round(gap, 2), round(hole, 2)))
            }
            (Some(gap), None) if gap > 0.0 => said.push(say::gapes(round(gap, 2))),
            _ => said.push(say::TOUCHES.into()),
        }
        if !named {
            said.push(match fitting.is_empty() {
                true => say::NO_SECTION.into(),
                false => say::sections(fitting),
            });
        }
        said
    }
}

impl Ring {
    fn new(fit: &Fit) -> Self {
        let inside = fit.ring.inside * 1e3;
        Self {
            section_mm: fit.ring.section * 1e3,
            inside_diameter_mm: inside.is_finite().then_some(inside),
            dash: fit.ring.dash.map(|dash| format!("-{dash:03}")),
            stretch_pct: fit.stretch * 100.0,
            section_in_place_mm: fit.stretched_section * 1e3,
            squeeze_pct: fit.squeeze * 100.0,
            squeeze_limits_pct: [fit.squeezes.0 * 100.0, fit.squeezes.1 * 100.0],
            fill_pct: fit.fill.map(|fill| fill * 100.0),
            least_gland_width_mm: fit.least_width * 1e3,
            faults: fit.faults(),
        }
    }

    /// `10 x 2 mm`.
    fn size(&self) -> String {
        let section = round(self.section_mm, 3);
        let size = match self.inside_diameter_mm {
            Some(inside) => format!("{} x {section} mm", round(inside, 4)),
            None => format!("section {section} mm"),
        };
        match &self.dash {
            Some(dash) => format!("{size} ({dash})"),
            None => size,
        }
    }

    /// `20.0 %`; with the pipe off centre, `10.0 to 30.0 %`.
    fn squeeze(&self) -> String {
        let [low, high] = self.squeeze_limits_pct;
        match high - low < 0.05 {
            true => format!("{:.1} %", self.squeeze_pct),
            false => format!("{low:.1} to {high:.1} %"),
        }
    }
}

pub(super) fn run(options: &Seal) -> Result<Answer, Trouble> {
    let (question, source) = options.given.read()?;
    let wrong = |m| mistake(&source, &m);
    question.asks_something().map_err(wrong)?;
    let ring = question.ring().map_err(wrong)?;
    let used = question.used().map_err(wrong)?;
    let gasket = question.gasket().map_err(wrong)?;
    let mut warnings = Warnings::default();
    if ring.as_ref().is_some_and(|ring| ring.cord.is_some()) {
        warnings.notes.push(say::EMERGENCY.into());
    }
    if gasket.is_some_and(|answer| answer.least > THICKEST) {
        warnings.notes.push(say::TOO_THICK.into());
    }
    let fit = |fit: Option<Fit>| fit.as_ref().map(Ring::new);
    let ring = ring.as_ref();
    let mut file = File {
        says: String::new(),
        gland_depth_mm: ring.map(|ring| ring.gland.depth * 1e3),
        gland_width_mm: ring
            .and_then(|ring| ring.gland.width)
            .map(|width| width * 1e3),
        at_hand: fit(ring.and_then(|ring| ring.at_hand)),
        metric: fit(ring.and_then(|ring| ring.metric)),
        inch: fit(ring.and_then(|ring| ring.inch)),
        cord: ring.and_then(|ring| ring.cord).map(|(needed, there)| Cord {
            needed_mm: needed * 1e3,
            in_larger_ring_mm: there * 1e3,
            emergency_only: true,
        }),
        used: used.as_ref().map(Used::new),
        gasket: gasket.map(|answer| Gasket {
            least_thickness_mm: answer.least * 1e3,
            sheet_mm: answer.sheet.map(|sheet| sheet * 1e3),
            crush_half_way_at_hand_pct: answer.at_hand.map(|crush| crush * 100.0),
        }),
        warnings,
        cautions: workshop::JOINT,
    };
    file.says = says(&file);
    options.asked.answer(&file)
}

fn says(file: &File) -> String {
    let mut said = Vec::new();
    if let Some(ring) = &file.at_hand {
        said.push(match ring.faults.is_empty() {
            true => say::at_hand_fits(ring.squeeze()),
            false => say::at_hand_does_not(ring.faults.join("; ")),
        });
    }
    if let (Some(metric), Some(inch)) = (&file.metric, &file.inch) {
        let fit = [metric, inch].into_iter();
        let fit = fit.filter(|ring| ring.faults.is_empty());
        let fit: Vec<String> = fit.map(Ring::size).collect();
        said.push(match fit.is_empty() {
            true => say::none_fits(metric.size(), inch.size()),
            false => say::fits(fit.join(" or ")),
        });
    } else if file.gland_depth_mm.is_some() && file.at_hand.is_none() && file.used.is_none() {
        said.push(say::PIPE_NEEDED.into());
    }
    said.extend(file.cord.as_ref().map(|cord| say::cord(cord.needed_mm)));
    let named = file.metric.is_some() && file.inch.is_some();
    said.extend(file.used.iter().flat_map(|used| used.says(named)));
    if let Some(gasket) = &file.gasket {
        let sheet = match gasket.sheet_mm {
            Some(mm) => say::next_sheet(round(mm, 3)),
            None => say::NO_SHEET.into(),
        };
        said.push(say::gasket(round(gasket.least_thickness_mm, 3), sheet));
        said.extend(gasket.crush_half_way_at_hand_pct.map(|crush| match crush {
            crush if crush > 0.0 => say::crushed(crush),
            _ => say::NOT_TOUCHING.into(),
        }));
    }
    sentence(&said.join("; "))
}
