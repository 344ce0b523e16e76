//! `falseair workshop seal`.

mod page;

use crate::answer::given::Given;
use crate::answer::{Answer, Asked, Trouble};
use crate::commands::workshop::before::ending;
use crate::commands::workshop::before::give;
use crate::commands::workshop::cautions::JOINT;
use crate::commands::workshop::kit::at;
use crate::text::words::{heading, paragraph, sentence};
use serde::Serialize;
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

/// Options of `workshop seal`.
#[derive(Debug, clap::Args)]
pub struct Seal {
    #[command(flatten)]
    given: Given<SealQuestion>,
    #[command(flatten)]
    asked: Asked,
}

#[derive(Serialize)]
struct Ring {
    section_mm: f64,
    inside_diameter_mm: Option<f64>,
    dash: Option<String>,
    stretch_pct: f64,
    section_in_place_mm: f64,
    squeeze_pct: f64,
    /// Where the pipe stands furthest from the bore, and nearest to it.
    squeeze_limits_pct: [f64; 2],
    fill_pct: Option<f64>,
    least_gland_width_mm: f64,
    faults: Vec<String>,
}

#[derive(Serialize)]
struct Cord {
    needed_mm: f64,
    in_larger_ring_mm: f64,
    emergency_only: bool,
}

#[derive(Serialize)]
struct Used {
    compression_set_pct: f64,
    squeeze_left_pct: f64,
    spent: bool,
}

#[derive(Serialize)]
struct Gasket {
    least_thickness_mm: f64,
    sheet_mm: Option<f64>,
    crush_half_way_at_hand_pct: Option<f64>,
}

#[derive(Serialize)]
struct File {
    says: String,
    gland_depth_mm: Option<f64>,
    gland_width_mm: Option<f64>,
    at_hand: Option<Ring>,
    metric: Option<Ring>,
    inch: Option<Ring>,
    cord: Option<Cord>,
    used: Option<Used>,
    gasket: Option<Gasket>,
    warnings: Vec<String>,
    cautions: [&'static str; 4],
}

const EMERGENCY: &str = "a ring cut and glued from a larger one is an emergency measure to get home: \
                         cut at a slant, glue with the rubber's own cement, joint away from load; \
                         replace it by a moulded ring. Not for fuel, not for exhaust.";
const TOO_THICK: &str = "so thick a gasket creeps and is blown out: flatten the face (or fit a formed \
                         seal) instead of filling it";
const LIMITS: &str = "static joints: squeeze 15 to 30 %, stretch up to 5 %, fill up to 85 % (ISO \
                      3601-2 and handbooks, from memory); metric sizes as commonly sold, inch sizes \
                      by dash number";

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

    fn words(&self) -> String {
        let fill = match self.fill_pct {
            Some(fill) => format!("fill {fill:.1} %"),
            None => format!(
                "gland at least {} mm wide",
                round(self.least_gland_width_mm, 3)
            ),
        };
        let faults = match self.faults.is_empty() {
            true => String::new(),
            false => format!("; NOT WITHIN LIMITS: {}", self.faults.join("; ")),
        };
        // Without a minus before zero.
        let stretch = match self.stretch_pct.abs() < 0.05 {
            true => 0.0,
            false => self.stretch_pct,
        };
        let (size, squeeze) = (self.size(), self.squeeze());
        format!("{size}: squeeze {squeeze}, stretch {stretch:.1} %, {fill}{faults}")
    }
}

pub(super) fn run(options: &Seal) -> Result<Answer, Trouble> {
    let (question, source) = options.given.read()?;
    let wrong = |m| at(&source, m);
    question.asks_something().map_err(wrong)?;
    let ring = question.ring().map_err(wrong)?;
    let used = question.used().map_err(wrong)?;
    let gasket = question.gasket().map_err(wrong)?;
    let mut warnings = Vec::new();
    if ring.as_ref().is_some_and(|ring| ring.cord.is_some()) {
        warnings.push(EMERGENCY.into());
    }
    if gasket.is_some_and(|answer| answer.least > THICKEST) {
        warnings.push(TOO_THICK.into());
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
        cautions: JOINT,
    };
    file.says = says(&file);
    give(&options.asked, || page::page(&file), || table(&file), &file)
}

fn says(file: &File) -> String {
    let mut said = Vec::new();
    if let Some(ring) = &file.at_hand {
        said.push(match ring.faults.is_empty() {
            true => format!("the ring at hand fits: squeeze {}", ring.squeeze()),
            false => format!("the ring at hand does not fit: {}", ring.faults.join("; ")),
        });
    }
    if let (Some(metric), Some(inch)) = (&file.metric, &file.inch) {
        let sound = [metric, inch]
            .into_iter()
            .filter(|ring| ring.faults.is_empty());
        let sound: Vec<String> = sound.map(Ring::size).collect();
        said.push(match sound.is_empty() {
            true => format!(
                "no size of the series is within the limits; nearest are {} and {}",
                metric.size(),
                inch.size()
            ),
            false => format!("of the sizes sold, {} fits this gland", sound.join(" or ")),
        });
    } else if file.gland_depth_mm.is_some() && file.at_hand.is_none() && file.used.is_none() {
        said.push("with a `pipe_diameter` the sizes that fit would be named".into());
    }
    if let Some(cord) = &file.cord {
        let needed = cord.needed_mm;
        said.push(format!(
            "as an emergency measure, {needed:.1} mm of the larger ring are needed"
        ));
    }
    if let Some(used) = &file.used {
        let verdict = match used.spent {
            true => "replace it",
            false => "it still springs back",
        };
        said.push(format!(
            "the used ring has taken a set of {:.0} % and keeps {:.1} % squeeze: {verdict}",
            used.compression_set_pct,
            used.squeeze_left_pct.max(0.0)
        ));
    }
    if let Some(gasket) = &file.gasket {
        let sheet = match gasket.sheet_mm {
            Some(mm) => format!("the next sheet is {} mm", round(mm, 3)),
            None => "no sheet as sold is thick enough".into(),
        };
        let least = round(gasket.least_thickness_mm, 3);
        said.push(format!(
            "this bow needs a gasket of at least {least} mm: {sheet}"
        ));
        if let Some(crush) = gasket.crush_half_way_at_hand_pct {
            said.push(match crush > 0.0 {
                true => format!("the gasket at hand is crushed by {crush:.1} % half-way"),
                false => "the gasket at hand does not touch half-way".into(),
            });
        }
    }
    sentence(&said.join("; "))
}

fn table(file: &File) -> String {
    let mut text = String::new();
    paragraph(&mut text, "", &file.says);
    if let Some(depth) = file.gland_depth_mm {
        heading(
            &mut text,
            &format!("o-ring, gland {} mm deep", round(depth, 4)),
        );
        let rings = [
            ("at hand  ", &file.at_hand),
            ("metric   ", &file.metric),
            ("inch     ", &file.inch),
        ];
        for (label, ring) in rings {
            if let Some(ring) = ring {
                paragraph(&mut text, label, &ring.words());
            }
        }
        if let Some(cord) = &file.cord {
            let words = format!(
                "{:.1} mm of the {:.1} mm in the larger ring, along the middle of its section",
                cord.needed_mm, cord.in_larger_ring_mm
            );
            paragraph(&mut text, "cut      ", &words);
        }
        if let Some(used) = &file.used {
            let words = format!(
                "compression set {:.0} % (ISO 815), squeeze left {:.1} %",
                used.compression_set_pct, used.squeeze_left_pct
            );
            paragraph(&mut text, "used     ", &words);
        }
        paragraph(&mut text, "limits   ", LIMITS);
    }
    if let Some(gasket) = &file.gasket {
        heading(&mut text, "flat gasket on a bowed face");
        let sheet = gasket
            .sheet_mm
            .map_or("none".into(), |mm| format!("{} mm", round(mm, 3)));
        let least = round(gasket.least_thickness_mm, 3);
        paragraph(
            &mut text,
            "thickness  ",
            &format!("at least {least} mm; sheet as sold: {sheet}"),
        );
        if let Some(crush) = gasket.crush_half_way_at_hand_pct {
            let words = format!("crushed by {crush:.1} % half-way between the fixings");
            paragraph(&mut text, "at hand    ", &words);
        }
    }
    ending(&mut text, &file.warnings, &file.cautions);
    text
}
