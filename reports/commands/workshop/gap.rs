//! `falseair workshop gap`.

use crate::answer::given::Given;
use crate::answer::{Answer, Asked, Trouble};
use crate::commands::workshop::car::InCar;
use crate::commands::workshop::cautions::{JOINT, ending};
use crate::commands::workshop::kit::{at, give, vehicle};
use crate::commands::workshop::page::{Fact, Sheet, facts, true_holes};
use crate::page::{Block, Cell, Column, Page, Table};
use crate::text::words::{heading, paragraph, sentence};
use serde::Serialize;
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

/// Options of `workshop gap`.
#[derive(Debug, clap::Args)]
pub struct Gap {
    #[command(flatten)]
    given: Given<GapQuestion>,
    #[command(flatten)]
    asked: Asked,
}

#[derive(Serialize)]
struct Opening {
    shape: &'static str,
    gap_mm: Option<f64>,
    area_mm2: Option<f64>,
    flow_g_s: f64,
    regime: &'static str,
}

#[derive(Serialize)]
struct Allowed {
    limit: &'static str,
    /// `found`, `never_reached` or `engine_stops_first`.
    answer: &'static str,
    /// The largest openings that keep the limit, or that were tried.
    gaps_mm: Vec<Option<f64>>,
}

#[derive(Serialize)]
struct File {
    says: String,
    pressure_kpa: f64,
    openings: Vec<Opening>,
    area_mm2: Option<f64>,
    flow_g_s: f64,
    ideal_flow_g_s: Option<f64>,
    /// At the 90 % limits of what was felt.
    flow_limits_g_s: [f64; 2],
    equivalent_hole_mm: f64,
    in_car: Option<InCar>,
    largest: Vec<Allowed>,
    warnings: Vec<String>,
    cautions: [&'static str; 4],
}

pub(super) fn run(options: &Gap) -> Result<Answer, Trouble> {
    let (question, source) = options.given.read()?;
    let wrong = |m| at(&source, m);
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
        cautions: JOINT,
    };
    let name = car.as_ref().map(|(name, _)| name.as_str());
    give(&options.asked, || page(name, &file), || table(&file), &file)
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

    fn words(&self) -> String {
        let gap = self
            .gap_mm
            .map_or(String::new(), |mm| format!("{}, ", both(mm)));
        let area = self.area_mm2;
        let area = area.map_or(String::new(), |a| format!("{} mm², ", round(a, 4)));
        format!(
            "{gap}{area}{} g/s, {}",
            round(self.flow_g_s, 4),
            self.regime
        )
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
            "found" => format!("the largest gap for the {limit} is {gaps}"),
            "never_reached" => format!("no gap up to {gaps} reaches the {limit}"),
            _ => format!(
                "the engine stops running before the {limit} is reached; it runs up to {gaps}"
            ),
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
    let mut said = format!(
        "At {} kPa gauge {what} {} g/s{}, as much as a sharp {} mm hole",
        round(question.pressure / 1e3, 4),
        round(passed.mass_flow * 1e3, 3),
        within(passed.flow_limits.map(|m| m * 1e3)),
        round(passed.equivalent_hole * 1e3, 3),
    );
    if let Some(car) = car {
        said += &format!("; {}", car.says());
    }
    for allowed in largest {
        said += &format!("; {}", allowed.words());
    }
    said + "."
}

fn page(car: Option<&str>, file: &File) -> Page {
    let at = format!("at {} kPa gauge", round(file.pressure_kpa, 4));
    let rows = file.openings.iter().enumerate().map(|(i, opening)| {
        let cell = |value: Option<f64>, decimals, key: &str| {
            let json = format!("/openings/{i}/{key}");
            Cell::number(value.unwrap_or(f64::NAN), decimals, json)
        };
        vec![
            Cell::words(opening.shape.replace('_', " ")),
            cell(opening.gap_mm, 3, "gap_mm"),
            cell(opening.area_mm2, 3, "area_mm2"),
            cell(Some(opening.flow_g_s), 3, "flow_g_s"),
            Cell::words(opening.regime),
        ]
    });
    let openings = Block::Table(Table {
        caption: format!("Openings {at}."),
        head: vec![
            Column::words("opening"),
            Column::numbers("gap", "mm"),
            Column::numbers("area", "mm²"),
            Column::numbers("flow", "g/s"),
            Column::words("flow is"),
        ],
        rows: rows.collect(),
    });
    let [low, high] = file.flow_limits_g_s;
    let mut together = vec![
        Fact::new("flow", "g/s", file.flow_g_s, "/flow_g_s"),
        Fact::new(
            "flow at the small limit of the gaps",
            "g/s",
            low,
            "/flow_limits_g_s/0",
        ),
        Fact::new(
            "flow at the large limit of the gaps",
            "g/s",
            high,
            "/flow_limits_g_s/1",
        ),
    ];
    together.extend(file.ideal_flow_g_s.map(|ideal| {
        let label = "flow of an ideal nozzle of that area";
        Fact::new(label, "g/s", ideal, "/ideal_flow_g_s")
    }));
    let mm = file.equivalent_hole_mm;
    together.push(Fact::new(
        "sharp hole that does the same",
        "mm",
        mm,
        "/equivalent_hole_mm",
    ));
    let together = facts(&format!("Together {at}."), together);
    let hole = true_holes(&[("does the same", mm, "/equivalent_hole_mm".into())]);
    let mut blocks: Vec<Block> = [openings, together].into_iter().chain(hole).collect();
    if !file.largest.is_empty() {
        let said = file
            .largest
            .iter()
            .map(|allowed| sentence(&allowed.words()));
        blocks.push(Block::List(said.collect()));
    }
    let sheet = Sheet {
        title: "Gaps by feeler gauge",
        car,
        says: &file.says,
        blocks,
        in_car: file.in_car.as_ref(),
        warnings: &file.warnings,
        cautions: &file.cautions,
        ..Sheet::default()
    };
    sheet.page()
}

fn table(file: &File) -> String {
    let mut text = String::new();
    paragraph(&mut text, "", &file.says);
    heading(
        &mut text,
        &format!("at {} kPa gauge", round(file.pressure_kpa, 4)),
    );
    for opening in &file.openings {
        let label = format!("{:16}", opening.shape.replace('_', " "));
        paragraph(&mut text, &label, &opening.words());
    }
    if let Some(ideal) = file.ideal_flow_g_s {
        let words = format!(
            "{} g/s, {:.0} % of an ideal nozzle of that area; sharp hole {} mm",
            round(file.flow_g_s, 4),
            100.0 * file.flow_g_s / ideal,
            round(file.equivalent_hole_mm, 3)
        );
        paragraph(&mut text, "together        ", &words);
    }
    for allowed in &file.largest {
        paragraph(&mut text, "LARGEST  ", &allowed.words());
    }
    if let Some(car) = &file.in_car {
        car.table(&mut text);
    }
    ending(&mut text, &file.warnings, &file.cautions);
    text
}
