//! `falseair workshop gap`.

use crate::answer::given::Given;
use crate::answer::{Answer, Answers, Asked, SchemaOf, Trouble, schema};
use crate::commands::workshop::car::InCar;
use crate::commands::workshop::kit::vehicle;
use crate::commands::workshop::page::{Sheet, true_holes};
use crate::input::case::mistake;
use crate::page::record::{WORDS, digits, fixed};
use crate::page::{Block, Cell, Fact, Page, Table, facts};
use crate::record;
use crate::say::{workshop, workshop_gap as say};
use crate::text::words::sentence;
use sim::leak::Shape;
use sim::study::workshop::AIR;
use sim::study::workshop::gap::{GapQuestion, Largest, Passed};
use sim::study::workshop::in_car::{Car, around, with_boost};
use sim::units::{Dimension, round};

pub(super) const HELP: &str = "\
Examples:
  falseair workshop gap scenarios/workshop/gap.toml
  falseair workshop gap --opening 'slot gap=15 thou, length=20 mm, depth=5 mm' \\
      --pressure '1 bar gauge'
  falseair workshop gap --opening \\
      'ring_gap pipe_diameter=10 mm, bore_diameter=10.6 mm, depth=3 mm' \\
      --vehicle scenarios/vehicles/brindle-16.toml --place breather_union \\
      --allowed-cruise-trim '2 %'

Shapes and their keys are those of a scenario's [[leak]]; `falseair schema
scenario --format table` lists them.

Exit codes: 0 an answer, 2 input that cannot be used, with the reason.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("workshop-gap", schema::<File>);

/// Options of `workshop gap`.
#[derive(Debug, clap::Args)]
pub struct Gap {
    #[command(flatten)]
    pub(super) given: Given<GapQuestion>,
    #[command(flatten)]
    pub(super) asked: Asked,
}

record! {
    /// An opening by itself.
    pub(super) struct Opening {
        /// Its shape.
        shape: &'static str = "opening" "" WORDS;
        /// As a feeler gauge has it.
        gap_mm: Option<f64> = "gap" "mm" fixed(3);
        /// Open area.
        area_mm2: Option<f64> = "area" "mm²" fixed(3);
        /// What it passes.
        flow_g_s: f64 = "flow" "g/s" fixed(3);
        /// How the air moves in it.
        regime: &'static str = "flow is" "" WORDS;
    }

    /// The largest opening that keeps a limit.
    pub(super) struct Allowed {
        /// Which limit.
        limit: &'static str;
        /// `found`, `never_reached` or `engine_stops_first`.
        answer: &'static str;
        /// The largest openings that keep the limit, or that were tried.
        gaps_mm: Vec<Option<f64>>;
    }

    /// What openings pass, and what they do.
    pub(super) struct File {
        /// The answer in a sentence.
        says: String;
        #[serde(skip)]
        car: Option<String>;
        /// Across the openings.
        pressure_kpa: f64;
        /// Each by itself.
        openings: Vec<Opening>;
        /// Of all together.
        area_mm2: Option<f64>;
        /// Of all together.
        flow_g_s: f64 = "flow" "g/s" digits(4);
        /// Of a nozzle without losses.
        ideal_flow_g_s: Option<f64> = "flow of an ideal nozzle of that area" "g/s" digits(4);
        /// At the 90 % limits of what was felt.
        flow_limits_g_s: [f64; 2];
        /// Diameter of a sharp-edged hole that passes the same.
        equivalent_hole_mm: f64 = "sharp-edged hole that does the same" "mm" digits(4);
        /// What they do in the car, where one is named.
        in_car: Option<InCar>;
        /// How large they may be for what is allowed.
        largest: Vec<Allowed>;
        /// What stays open.
        warnings: Vec<String>;
        /// Of work on joints.
        cautions: [&'static str; 4];
    }
}

pub(super) fn run(options: &Gap) -> Result<Answer, Trouble> {
    let (question, source) = options.given.read()?;
    let wrong = |m| mistake(&source, &m);
    let passed = question.passed().map_err(wrong)?;
    let missing = |key: &str, message: &str| Err(source.error_at(key, message).into());
    let car = match (vehicle(&source, question.vehicle.as_ref())?, question.place) {
        (None, None) => None,
        (Some(vehicle), Some(place)) => {
            let vehicle = with_boost(vehicle, question.boost_control, question.fixed_duty);
            let vehicle = vehicle.map_err(wrong)?;
            let ambient = around(question.ambient_pressure, question.temperature);
            Some((vehicle.name.clone(), Car::new(vehicle, ambient, place)))
        }
        (Some(_), None) => {
            return missing(
                "vehicle",
                "a vehicle needs the `place` where the openings are",
            );
        }
        (None, Some(_)) => return missing("place", "a place needs a `vehicle`"),
    };
    let in_car = match &car {
        None => None,
        Some((name, car)) => {
            let effects = car.effects(&question.opening).map_err(wrong)?;
            let least = car.effects(&question.at_limit(false)).map_err(wrong)?;
            let most = car.effects(&question.at_limit(true)).map_err(wrong)?;
            Some(InCar::new(car, name, &effects, Some([&least, &most])))
        }
    };
    let mut largest = Vec::new();
    for (key, limit) in question.limits() {
        let Some((_, car)) = &car else {
            return missing(
                key,
                "an allowed effect needs a `vehicle` and a `place` to have it in",
            );
        };
        let found = limit.largest(car, &question.opening).map_err(wrong)?;
        largest.push(Allowed::new(key, &found));
    }
    let openings = question.opening.iter();
    let file = File {
        says: says(&question, &passed, in_car.as_ref(), &largest),
        car: car.map(|(name, _)| name),
        pressure_kpa: question.pressure / 1e3,
        openings: openings
            .map(|shape| Opening::new(shape, &question))
            .collect(),
        area_mm2: passed.area.map(|a| a * 1e6),
        flow_g_s: passed.mass_flow * 1e3,
        ideal_flow_g_s: passed.ideal_flow.map(|m| m * 1e3),
        flow_limits_g_s: passed.flow_limits.map(|m| m * 1e3),
        equivalent_hole_mm: passed.equivalent_hole * 1e3,
        in_car,
        largest,
        warnings: Vec::new(),
        cautions: workshop::JOINT,
    };
    options.asked.answer(&file)
}

/// A length, mm; a porous wall has none.
fn gap_mm(shape: &Shape) -> Option<f64> {
    (shape.measure().dimension == Dimension::Length).then(|| shape.size() * 1e3)
}

impl Opening {
    fn new(shape: &Shape, question: &GapQuestion) -> Self {
        let (ambient, kelvin) = (question.ambient_pressure, question.temperature);
        let outside = AIR.state(ambient, kelvin);
        let inside = AIR.state(ambient + question.pressure, kelvin);
        Self {
            shape: shape.name(),
            gap_mm: gap_mm(shape),
            area_mm2: shape.area(question.pressure).map(|a| a * 1e6),
            flow_g_s: shape.flow(&outside, &inside).mass.abs() * 1e3,
            regime: shape.regime(&outside, &inside).word(),
        }
    }
}

/// A length in millimetres and thou.
fn both(mm: f64) -> String {
    format!("{} mm ({} thou)", round(mm, 3), round(mm / 0.0254, 3))
}

impl Allowed {
    fn new(limit: &'static str, found: &Largest) -> Self {
        let (answer, shapes) = match found {
            Largest::Found(shapes) => ("found", shapes),
            Largest::Never(shapes) => ("never_reached", shapes),
            Largest::Stalls(shapes) => ("engine_stops_first", shapes),
        };
        Self {
            limit,
            answer,
            gaps_mm: shapes.iter().map(gap_mm).collect(),
        }
    }

    fn words(&self) -> String {
        let gaps = self.gaps_mm.iter();
        let gaps = gaps.map(|gap| gap.map_or("a porous wall".into(), both));
        let gaps = gaps.collect::<Vec<_>>().join(" with ");
        let limit = self.limit.replace('_', " ");
        match self.answer {
            "found" => say::largest(limit, gaps),
            "never_reached" => say::never_reached(gaps, limit),
            _ => say::stops_first(limit, gaps),
        }
    }
}

/// ` (2.1 to 2.4)`, where the limits are apart.
fn within([low, high]: [f64; 2]) -> String {
    match (round(low, 3), round(high, 3)) {
        (low, high) if low == high => String::new(),
        (low, high) => format!(" ({low} to {high})"),
    }
}

fn says(
    question: &GapQuestion,
    passed: &Passed,
    car: Option<&InCar>,
    largest: &[Allowed],
) -> String {
    let what = match question.opening.len() {
        1 => "this opening passes",
        _ => "these openings pass",
    };
    let limits = within(passed.flow_limits.map(|m| m * 1e3));
    let [pressure, flow, hole] = [
        round(question.pressure / 1e3, 4),
        round(passed.mass_flow * 1e3, 3),
        round(passed.equivalent_hole * 1e3, 3),
    ];
    let mut said = say::pass(pressure, what, flow, limits, hole);
    if let Some(car) = car {
        said += &format!("; {}", car.says());
    }
    for allowed in largest {
        said += &format!("; {}", allowed.words());
    }
    said + "."
}

impl Answers for File {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn cautions(&self) -> Option<Vec<String>> {
        None
    }

    fn page(&self) -> Page {
        let at = format!("at {} kPa gauge", round(self.pressure_kpa, 4));
        let openings = Table::of(&format!("Openings {at}."), "/openings", &self.openings, &[]);
        let mut together = Fact::all(self, "");
        let ends = [("small", 0), ("large", 1)].map(|(which, i)| {
            let cell = Cell::digits(self.flow_limits_g_s[i], 4, format!("/flow_limits_g_s/{i}"));
            Fact::new(
                format!("flow at the {which} limit of the gaps"),
                "g/s",
                cell,
            )
        });
        together.splice(1..1, ends);
        let together = facts(&format!("Together {at}."), together);
        let mm = self.equivalent_hole_mm;
        let hole = true_holes(&[("does the same", mm, "/equivalent_hole_mm".into())]);
        let mut blocks = vec![Block::Table(openings), together];
        blocks.extend(hole);
        let said = self.largest.iter();
        blocks.extend(Block::list(said.map(|allowed| sentence(&allowed.words()))));
        let sheet = Sheet {
            title: "Gaps by feeler gauge",
            car: self.car.as_deref(),
            says: &self.says,
            blocks,
            in_car: self.in_car.as_ref(),
            cautions: &self.cautions,
            ..Sheet::default()
        };
        sheet.page()
    }
}
