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
use sim::study::workshop::seal::{Fit, SPENT, SealQuestion, THICKEST};
use sim::units::round;

pub(super) const HELP: &str = "\
Examples:
  falseair workshop seal scenarios/workshop/seal.toml
  falseair workshop seal --pipe-diameter '10 mm' --bore-diameter '13.2 mm' \\
      --gland-width '2.8 mm'
  falseair workshop seal --gland-depth '2.10 mm' --section '2.62 mm'
  falseair workshop seal --gland-depth '1.6 mm' --new-section '2 mm' \\
      --used-section '1.72 mm'
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

    /// A used ring.
    struct Used {
        /// As ISO 815 has it.
        compression_set_pct: f64 = "used ring: compression set (ISO 815)" "%" digits(4);
        /// In this gland.
        squeeze_left_pct: f64 = "used ring: squeeze left" "%" digits(4);
        /// Whether it is to be replaced.
        spent: bool;
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
        used: used.map(|answer| Used {
            compression_set_pct: answer.set * 100.0,
            squeeze_left_pct: answer.squeeze * 100.0,
            spent: answer.set >= SPENT || answer.squeeze <= 0.0,
        }),
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
    if let Some(used) = &file.used {
        let verdict = match used.spent {
            true => say::REPLACE,
            false => say::SPRINGS_BACK,
        };
        let (set, left) = (used.compression_set_pct, used.squeeze_left_pct.max(0.0));
        said.push(say::used(set, left, verdict));
    }
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
