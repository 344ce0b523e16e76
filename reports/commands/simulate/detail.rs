//! One operating point, whole: readings, air ledger, leaks, codes.

use crate::answer::air_ledger;
use crate::answer::readings::Beside;
use crate::commands::simulate::answered::{Answered, leaks};
use crate::figure::scene::Scene;
use crate::page::{Block, Cell, Column, Line, Picture, Section, Table};
use crate::say::simulate as say;
use crate::text::number::{difference, number, slug};
use sim::control::Code;
use sim::network::Network;
use sim::network::places::Account;
use sim::network::readings::{ALL, FORMS, Reading as R};
use sim::study::running::simulate::{LeakReading, Side};

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

impl Answered {
    /// All of one operating point, its drawing with a band of the same width for `most` g/s as at the
    /// other points; without it where it stands above.
    pub(super) fn section(
        &self,
        index: usize,
        network: &Network<f64>,
        drawn: Option<f64>,
    ) -> Section {
        let json = format!("/points/{index}");
        let name = &self.result.name;
        let [healthy, faulty] = self.cars();
        let failures = self.failures().into_iter().map(say::no_answer);
        let mut blocks: Vec<Block> = self.why.iter().cloned().map(Block::Says).collect();
        blocks.extend(failures.chain(self.warnings()).map(Block::Caution));
        blocks.extend(drawn.and_then(|most| self.drawing(index, network, most)));
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
        Section::new(name, blocks)
    }

    /// Where the air goes.
    pub(super) fn drawing(&self, index: usize, network: &Network<f64>, most: f64) -> Option<Block> {
        let name = &self.result.name;
        Some(Block::Picture(Picture {
            name: format!("air-ledger-{}-{}", index + 1, slug(name)),
            caption: match self.result.faulty {
                Some(_) => say::where_the_air_goes(name),
                None => say::where_it_goes_healthy(name),
            },
            scene: self.ledger(&format!("/points/{index}"), network, most)?,
        }))
    }

    /// The same as a scene; `json` is where the point stands in the result for programs, `most` the
    /// flow of the widest band, g/s.
    pub(super) fn ledger(&self, json: &str, network: &Network<f64>, most: f64) -> Option<Scene> {
        let [healthy, faulty] = self.cars();
        let picture = air_ledger::Picture {
            sound: healthy?,
            faulty,
            json,
            most,
            valve_outlet: network.valve_outlet(),
        };
        Some(air_ledger::ledger(&picture))
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
        let banded = all && self.spread.is_some();
        let mut rows: Vec<_> = readings
            .map(|(reading, beside)| {
                let mut row = beside.row(both, at);
                row.extend(banded.then(|| Cell::words(self.band_in_words(*reading))));
                row
            })
            .collect();
        rows.push(vec![Cell::words("air ledger")]);
        // Ways that no air takes are left out.
        let least = if all { 0.0 } else { LEAST_FLOW };
        let ledger = Beside::all(cars.map(|car| car.map(|side| &side.ledger)));
        let ledger = ledger.iter().filter(|beside| beside.reaches(least));
        let at = |car: &str| format!("{json}/{car}/ledger");
        rows.extend(ledger.map(|beside| {
            let mut row = beside.row(both, at);
            row.extend(banded.then(|| Cell::words("")));
            row
        }));
        let mut head = Beside::head(both);
        head.extend(banded.then(|| Column::numbers(say::HEALTHY_CARS, "")));
        Table {
            caption: say::READINGS.into(),
            head,
            rows,
        }
    }

    /// Lowest and highest that 95 % of healthy cars of the make read.
    pub(super) fn band_in_words(&self, reading: R) -> String {
        let decimals = FORMS[reading as usize].decimals;
        let band = self
            .band(reading)
            .map(|band| band.map(|end| number(end, decimals)));
        band.map_or("\u{2013}".into(), |[low, high]| match low == high {
            true => low,
            false => say::from_to(low, high),
        })
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

pub(super) fn leak_words(network: &Network<f64>, leak: &LeakReading) -> String {
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
    // Where the words say which way, a sign would say it twice, and a minus the other way round.
    let flow = match account {
        Account::Internal => difference(leak.flow, 3),
        _ => number(leak.flow.abs(), 3),
    };
    say::leak(what, flow, way, hole, leak.regime.word())
}
