//! Operating points, healthy beside faulty, for people and for programs.

use crate::answer::air_ledger;
use crate::answer::dangers::Danger;
use crate::answer::readings::{Beside, ByKey, Keyed};
use crate::answer::{Answers, Trouble, csv, head};
use crate::commands::simulate::drives::sides;
use crate::input::case::Case;
use crate::page::record::{WORDS, fixed};
use crate::page::{Block, Cell, Line, Page, Picture, Section, Table};
use crate::record;
use crate::say::simulate as say;
use crate::text::number::slug;
use schemars::JsonSchema;
use serde::Serialize;
use sim::control::Code;
use sim::control::watchdogs::Levels;
use sim::network::flows::FLOWS;
use sim::network::places::Account;
use sim::network::readings::{ALL, Reading as R};
use sim::network::{AirLedger, Network, Readings};
use sim::solve::Failure;
use sim::study::running::simulate::{LeakReading, PointResult, Side};

/// Smallest flow that three decimals show, g/s.
const LEAST_FLOW: f64 = 5e-4;
/// Level of a monitor from which it is worth naming.
const NEAR: f64 = 0.3;
/// Level from which its number says no more.
const FAR: f64 = 3.0;

/// On a terminal shown beside a leak only where they change.
const SECONDARY: [R; 17] = [
    R::CatalystTemperature,
    R::CatalystOut,
    R::Misfire,
    R::CompressorFlow,
    R::LambdaSensor,
    R::ShortTrim,
    R::LongTrim,
    R::BoostSensor,
    R::AbsoluteLoad,
    R::Pedal,
    R::RoadSpeed,
    R::ExhaustPressure,
    R::InletDepression,
    R::CrankcasePressure,
    R::SparkRetard,
    R::RecirculationValve,
    R::SurgeMargin,
];

/// Operating points of a case.
pub(crate) struct Points<'a> {
    pub case: &'a Case,
    pub points: Vec<Answered>,
}

/// An operating point with its answer.
pub struct Answered {
    /// Healthy and faulty.
    pub result: PointResult,
    /// Why they differ, in a few sentences; none where a side has no answer.
    pub why: Option<String>,
    /// What other histories come to, in words, where that is another answer.
    pub others: Vec<String>,
}

/// Operating points. What has no answer is null; why stands in `warnings` and `failures`.
#[derive(Serialize, JsonSchema)]
pub(crate) struct File<'a> {
    /// Title of the scenario.
    scenario: &'a str,
    /// Name of the car.
    vehicle: &'a str,
    /// In the order of the scenario.
    points: Vec<Point<'a>>,
}

/// An operating point.
#[derive(Serialize, JsonSchema)]
struct Point<'a> {
    /// What it is called.
    name: &'a str,
    /// Without leaks and faults.
    healthy: Option<Car<'a>>,
    /// With them, if there are any.
    faulty: Option<Car<'a>>,
    /// Why they differ.
    why: Option<&'a str>,
    /// What to beware of, or outside the model's or the engine's range.
    warnings: Vec<String>,
    /// What has no answer, and why.
    failures: Vec<String>,
}

/// A car at an operating point.
#[derive(Serialize, JsonSchema)]
struct Car<'a> {
    #[serde(flatten)]
    readings: Keyed<'a, Readings<f64>>,
    /// Where the air goes.
    ledger: Keyed<'a, AirLedger>,
    /// What passes every element.
    flows_g_s: Keyed<'a, [f64; FLOWS.len()]>,
    /// What the leaks do.
    leaks: Vec<Leak>,
    /// Trouble codes that are set when the point is held.
    codes: Vec<&'static str>,
    /// Level of each monitor: 1 sets its code; null where it is not enabled.
    code_levels: Keyed<'a, Levels<f64>>,
    /// Readings before a code reduced the torque, where one did.
    before_torque_reduction: Option<Keyed<'a, Readings<f64>>>,
}

record! {
    /// A leak at an operating point.
    struct Leak {
        /// Where.
        place: &'static str = "place" "" WORDS;
        /// Its shape.
        shape: &'static str = "shape" "" WORDS;
        /// Positive into the air path.
        flow_g_s: f64 = "flow" "g/s" fixed(3);
        /// Diameter of a sharp-edged hole that passes the same.
        equivalent_hole_mm: Option<f64> = "as a sharp-edged hole of" "mm" fixed(2);
        /// How the gas moves in it.
        regime: &'static str = "flow is" "" WORDS;
    }
}

impl<'a> Car<'a> {
    fn new(side: &'a Side) -> Self {
        Self {
            readings: Keyed(&side.readings),
            ledger: Keyed(&side.ledger),
            flows_g_s: Keyed(&side.flows),
            leaks: leaks(side),
            codes: side.codes.iter().map(|code| code.word()).collect(),
            code_levels: Keyed(&side.levels),
            before_torque_reduction: side.unreduced.as_ref().map(Keyed),
        }
    }
}

fn leaks(side: &Side) -> Vec<Leak> {
    let leaks = side.leaks.iter().map(|leak| Leak {
        place: leak.place.word(),
        shape: leak.shape,
        flow_g_s: leak.flow,
        equivalent_hole_mm: leak.equivalent_hole,
        regime: leak.regime.word(),
    });
    leaks.collect()
}

impl<'a> Answers for Points<'a> {
    type Data<'b>
        = File<'b>
    where
        Self: 'b;

    fn data(&self) -> File<'_> {
        File {
            scenario: &self.case.scenario.title,
            vehicle: &self.case.network.vehicle.name,
            points: self.points.iter().map(Answered::data).collect(),
        }
    }

    fn page(&self) -> Page {
        let points = self.points.iter().enumerate();
        Page {
            sections: (points.map(|(i, point)| point.section(i, &self.case.network))).collect(),
            ..head::page(self.case)
        }
    }

    /// One row a point and side; what has no answer says why in `answer`.
    fn csv(&self) -> Result<String, Trouble> {
        let start = ["point", "side", "answer", "dangers", "warnings", "codes"].map(String::from);
        let heads = start.into_iter().chain(Readings::keys());
        let heads: Vec<String> = heads.chain(AirLedger::keys()).collect();
        let columns = heads.len();
        let rows = self.points.iter().flat_map(|point| {
            let name = &point.result.name;
            point.sides().into_iter().map(move |(which, side)| {
                let mut row = vec![name.clone(), which.into()];
                match side {
                    Ok(side) => {
                        let codes: Vec<&str> = side.codes.iter().map(|code| code.word()).collect();
                        let warnings = side.warnings.iter().map(ToString::to_string);
                        let warnings = warnings.collect::<Vec<_>>().join("; ");
                        let dangers = side.dangers.iter().map(|danger| danger.hazard.word());
                        let dangers = dangers.collect::<Vec<_>>().join(" ");
                        row.extend(["ok".into(), dangers, warnings, codes.join(" ")]);
                        row.extend(side.readings.cells().chain(side.ledger.cells()));
                    }
                    Err(e) => row.push(e.to_string()),
                }
                row.resize(columns, String::new());
                row
            })
        });
        csv::rows(&heads, rows)
    }

    fn dangers(&self) -> Vec<Danger> {
        self.points.iter().flat_map(Answered::dangers).collect()
    }

    fn cautions(&self) -> Option<Vec<String>> {
        let all = self.points.iter().flat_map(|point| {
            let name = &point.result.name;
            let warnings = point.warnings().into_iter();
            warnings.map(move |warning| format!("{name}, {warning}"))
        });
        Some(all.collect())
    }

    fn failures(&self) -> Vec<String> {
        self.points.iter().flat_map(Answered::failures).collect()
    }
}

impl Answered {
    fn sides(&self) -> Vec<(&'static str, &Result<Side, Failure>)> {
        sides(&self.result.healthy, self.result.faulty.as_ref())
    }

    /// Healthy and faulty, where they have an answer.
    fn cars(&self) -> [Option<&Side>; 2] {
        let faulty = self.result.faulty.as_ref();
        let faulty = faulty.and_then(|side| side.as_ref().ok());
        [self.result.healthy.as_ref().ok(), faulty]
    }

    fn failures(&self) -> Vec<String> {
        let failed = self.sides().into_iter();
        failed
            .filter_map(|(which, side)| Some((which, side.as_ref().err()?)))
            .map(|(which, e)| format!("{}, {which}: {e}", self.result.name))
            .collect()
    }

    /// Dangers of both cars.
    fn dangers(&self) -> Vec<Danger> {
        let mut all = Vec::new();
        for (which, side) in self.sides() {
            let found = side.as_ref().map_or(&[][..], |side| &side.dangers);
            all.extend(Danger::all(which, &self.result.name, found));
        }
        all
    }

    /// Cautions of both cars.
    fn warnings(&self) -> Vec<String> {
        let mut all = Vec::new();
        for (which, side) in self.sides() {
            let said = side.as_ref().map_or(&[][..], |side| &side.warnings);
            all.extend(said.iter().map(|w| format!("{which}: {w}")));
        }
        all.extend(self.others.iter().map(|other| format!("faulty: {other}")));
        all
    }

    fn data(&self) -> Point<'_> {
        let [healthy, faulty] = self.cars().map(|side| side.map(Car::new));
        let failures = self.failures();
        let warnings = self.warnings().into_iter();
        Point {
            name: &self.result.name,
            healthy,
            faulty,
            why: self.why.as_deref(),
            warnings: failures.iter().cloned().chain(warnings).collect(),
            failures,
        }
    }

    fn section(&self, index: usize, network: &Network<f64>) -> Section {
        let json = format!("/points/{index}");
        let name = &self.result.name;
        let [healthy, faulty] = self.cars();
        let failures = self.failures().into_iter().map(say::no_answer);
        let mut blocks: Vec<Block> = self.why.iter().cloned().map(Block::Says).collect();
        blocks.extend(failures.chain(self.warnings()).map(Block::Caution));
        blocks.extend(healthy.map(|sound| {
            let picture = air_ledger::Picture {
                sound,
                faulty,
                json: &json,
            };
            Block::Picture(Picture {
                name: format!("air-ledger-{}-{}", index + 1, slug(name)),
                caption: say::where_the_air_goes(name),
                scene: air_ledger::ledger(&picture),
            })
        }));
        if healthy.or(faulty).is_some() {
            blocks.push(Block::Table(self.table(&json, true)).on_page());
            blocks.push(Block::Table(self.table(&json, false)).on_terminal());
        }
        for side in faulty.iter().filter(|side| !side.leaks.is_empty()) {
            let at = format!("{json}/faulty/leaks");
            blocks.push(Block::Table(Table::of(say::LEAKS, &at, &leaks(side), &[])).on_page());
            let said = side.leaks.iter().map(|leak| leak_words(network, leak));
            blocks.extend(said.map(|said| Block::Labelled(Line::new("leak", said)).on_terminal()));
        }
        for (which, side) in self.sides() {
            let said = side
                .as_ref()
                .map(|side| format!("{which}: {}", code_words(side)));
            blocks.extend(said.map(|said| Block::Labelled(Line::new("codes", said))));
        }
        Section {
            heading: name.clone(),
            blocks,
        }
    }

    /// Readings that have a meaning, then the ledger: all of them, or those that tell something.
    fn table(&self, json: &str, all: bool) -> Table {
        let (cars, both) = (self.cars(), self.result.faulty.is_some());
        let readings = Beside::all(cars.map(|car| car.map(|side| &side.readings)));
        let readings = ALL.iter().zip(readings).filter(|(reading, beside)| {
            let tells = all || !SECONDARY.contains(reading) || beside.changes();
            tells && beside.reaches(0.0)
        });
        let at = |car: &str| format!("{json}/{car}");
        let mut rows: Vec<_> = readings.map(|(_, beside)| beside.row(both, at)).collect();
        rows.push(vec![Cell::words("air ledger")]);
        // Ways that no air takes are left out.
        let least = if all { 0.0 } else { LEAST_FLOW };
        let ledger = Beside::all(cars.map(|car| car.map(|side| &side.ledger)));
        let ledger = ledger.iter().filter(|beside| beside.reaches(least));
        let at = |car: &str| format!("{json}/{car}/ledger");
        rows.extend(ledger.map(|beside| beside.row(both, at)));
        Table {
            caption: say::READINGS.into(),
            head: Beside::head(both),
            rows,
        }
    }
}

/// Trouble codes that are set, and how close the nearest other one is.
fn code_words(side: &Side) -> String {
    let level = |code: Code| side.levels[code as usize].unwrap_or(0.0);
    let near = |code: Code| say::near(100.0 * level(code));
    let set = side.codes.iter().map(|code| {
        let far = match level(*code) >= FAR {
            true => say::FAR.into(),
            false => near(*code),
        };
        say::code_set(code, code.name(), far)
    });
    let set: Vec<String> = set.collect();
    let mut said = match set.is_empty() {
        true => "none".into(),
        false => set.join(", "),
    };
    let others = Code::WORDS.iter().map(|(_, code, _)| *code);
    let nearest = others
        .filter(|code| !side.codes.contains(code))
        .max_by(|a, b| level(*a).total_cmp(&level(*b)))
        .filter(|code| level(*code) >= NEAR);
    said += &nearest.map_or(String::new(), |code| match set.is_empty() {
        true => say::nearest(code, code.name(), near(code)),
        false => say::nearest_other(code, code.name(), near(code)),
    });
    if let Some(before) = &side.unreduced {
        let [boost, torque] = [R::Boost, R::Torque].map(|r| before.get(r).unwrap_or(0.0));
        said += &say::unreduced(boost, torque);
    }
    said
}

fn leak_words(network: &Network<f64>, leak: &LeakReading) -> String {
    let account = leak.place.nodes(network.valve_outlet()).2;
    let way = match (account, leak.flow >= 0.0) {
        (Account::Recirculated, false) => say::BACK_TO_INLET,
        (Account::Recirculated, true) => say::FROM_INLET,
        (Account::Internal, _) => say::INSIDE,
        (_, true) => "in",
        (_, false) => "out",
    };
    let shape = leak.shape.to_string().replace('_', " ");
    let what = format!("{} ({shape})", leak.place.label());
    if leak.flow.abs() < LEAST_FLOW {
        return say::leak_at_rest(what);
    }
    let hole = leak.equivalent_hole.map_or(String::new(), say::as_hole);
    say::leak(what, leak.flow, way, hole, leak.regime.word())
}
