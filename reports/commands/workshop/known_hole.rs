//! `falseair workshop known-hole`.

use crate::answer::given::Given;
use crate::answer::how::How;
use crate::answer::{Answer, Answers, Asked, SchemaOf, Trouble, schema};
use crate::commands::workshop::cautions::Warnings;
use crate::commands::workshop::kit::spread;
use crate::commands::workshop::page::Sheet;
use crate::figure::bars::{Bar, bars};
use crate::figure::ink::Ink;
use crate::input::case::{mistake, vehicle};
use crate::page::record::{OWN, Spread, WORDS, digits};
use crate::page::{Block, Fact, Page, Picture, Section, Table, facts};
use crate::record;
use crate::say::{workshop, workshop_known_hole as say};
use crate::text::words::capital;
use sim::control::Metering;
use sim::network::Vehicle;
use sim::study::workshop::Span;
use sim::study::workshop::known_hole::{Answered, KnownHole, Means, Predicted};
use sim::study::workshop::procedures::{OfCar, Test};
use sim::units::round;

pub(super) const HELP: &str = "\
Examples:
  falseair workshop known-hole --vehicle scenarios/vehicles/brindle-16.toml \\
      --diameter '1.5 mm'
  falseair workshop known-hole scenarios/workshop/known-hole.toml
  falseair workshop known-hole --vehicle my-car.toml --diameter '1.5 mm' \\
      --before 'trim=4 %, metered_air=2.1 g/s' \\
      --after 'trim=21 %, metered_air=1.8 g/s'

Exit codes: 0 an answer, 2 input that cannot be used, with the reason.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("workshop-known-hole", schema::<File>);

/// Options of `workshop known-hole`.
#[derive(Debug, clap::Args)]
pub struct Hole {
    #[command(flatten)]
    pub(super) given: Given<KnownHole>,
    #[command(flatten)]
    pub(super) asked: Asked,
}

record! {
    /// A reading, hole open less hole shut.
    struct Change by decimals {
        /// Of what.
        reading: &'static str = "reading" "" WORDS;
        /// Of the numbers.
        unit: &'static str = "unit" "" WORDS;
        #[serde(skip)]
        decimals: usize;
        /// Hole shut.
        shut: f64 = "shut" "" OWN;
        /// Hole open.
        open: f64 = "open" "" OWN;
        /// The likeliest change.
        change: f64 = "change" "" OWN;
        /// Its lower limit.
        low: f64 = "at least" "" OWN;
        /// Its upper limit.
        high: f64 = "at most" "" OWN;
        /// What was read to change.
        read: Option<f64> = "read" "" OWN;
    }

    /// What readings say.
    struct Found {
        /// Rise of the trim read, over that predicted.
        trim_over_predicted: Option<Spread> = "rise of the trim, read over predicted" "" digits(3);
        /// Fall of the air counted, over that predicted.
        air_over_predicted: Option<Spread> = "fall of the air counted, read over predicted" "" digits(3);
        /// By the fall of the air counted.
        meter_scale: Option<Spread> = "meter's reading over true air" "" digits(3);
        /// By the trims.
        through_meter_g_s: Option<Spread> = "air through the meter by the trims" "g/s" digits(3);
        /// Rise of the manifold pressure less that predicted.
        manifold_off_kpa: Option<Spread> = "rise of manifold pressure beyond that predicted" "kPa" digits(3);
    }

    /// What a known hole does, and what a departure says.
    pub(super) struct File {
        /// The answer in a sentence.
        says: String;
        /// What the readings mean, in one word.
        means: &'static str;
        /// The car's name.
        vehicle: String;
        /// Of the hole.
        diameter_mm: f64;
        /// Through it.
        flow_g_s: Spread;
        /// What should change.
        changes: Vec<Change>;
        /// From readings, where they are given.
        found: Option<Found>;
        /// How it is done.
        procedure: How;
        /// What stays open.
        warnings: Warnings;
        /// For every such test.
        cautions: [&'static str; 3];
    }
}

pub(super) fn run(options: &Hole) -> Result<Answer, Trouble> {
    let (question, source) = options.given.read()?;
    let vehicle: Vehicle = vehicle(&source, &question.vehicle)?.parse()?;
    let of_car = OfCar::new(&vehicle);
    let car = question.car(vehicle);
    let predicted = question.predict(&car).map_err(|m| mistake(&source, &m))?;
    let answered = question.answered(&predicted);
    let means = question.means(&car, &predicted, &answered);
    let metering = car.vehicle.metering;
    let mut warnings = Warnings::default();
    warnings.notes.extend(predicted.remark(metering));
    let read = question.before.is_some() && question.after.is_some();
    let file = File {
        says: says(&question, &predicted, metering, means),
        means: means.word(),
        vehicle: car.vehicle.name.clone(),
        diameter_mm: question.diameter * 1e3,
        flow_g_s: spread(predicted.flow, 1e3),
        changes: changes(&question, &predicted),
        found: read.then(|| Found::new(&answered)),
        procedure: How::new(&Test::KnownHole.procedure(&of_car)),
        warnings,
        cautions: [say::IDLE_ONLY, workshop::TEST[4], workshop::TEST[5]],
    };
    options.asked.answer(&file)
}

/// Points of trim for a relative rise, from the trim with the hole shut.
fn points(question: &KnownHole, predicted: &Predicted) -> Span {
    let given = question.before.as_ref().and_then(|before| before.trim);
    let shut = given.unwrap_or(predicted.shown.trim[0]);
    predicted.trim.through(|rise| 100.0 * (1.0 + shut) * rise)
}

fn says(question: &KnownHole, predicted: &Predicted, metering: Metering, means: Means) -> String {
    let hole = round(question.diameter * 1e3, 3);
    let flow = spread(predicted.flow, 1e3).words("g/s");
    let said = match metering {
        Metering::AirFlowMeter => say::predicted(
            hole,
            flow,
            spread(points(question, predicted), 1.0).words("%"),
        ),
        Metering::SpeedDensity => say::predicted_by_pressure(hole, flow),
    };
    capital(&match means {
        Means::Unread => say::only(said),
        means => say::and_means(said, means),
    })
}

/// As it is shown: what rounds to nothing is nothing.
fn shown(value: f64, decimals: usize) -> f64 {
    let least = 0.5 * 0.1_f64.powi(decimals as i32);
    if value.abs() < least { 0.0 } else { value }
}

fn changes(question: &KnownHole, predicted: &Predicted) -> Vec<Change> {
    let likely = &predicted.shown;
    let read = |of: fn(&sim::study::workshop::known_hole::OneReading) -> Option<f64>| {
        let side = |side: &Option<_>| side.as_ref().and_then(of);
        side(&question.before)
            .zip(side(&question.after))
            .map(|(before, after)| after - before)
    };
    let fall = Span {
        value: -predicted.air.value,
        low: -predicted.air.high,
        high: -predicted.air.low,
    };
    let all = [
        (
            "fuel trim",
            "%",
            1,
            100.0,
            likely.trim,
            points(question, predicted).through(|x| 0.01 * x),
            read(|r| r.trim),
        ),
        (
            "metered air",
            "g/s",
            3,
            1e3,
            likely.air,
            fall,
            read(|r| r.metered_air),
        ),
        (
            "manifold pressure",
            "kPa",
            2,
            1e-3,
            likely.manifold,
            predicted.manifold,
            read(|r| r.manifold),
        ),
    ];
    type Row = (
        &'static str,
        &'static str,
        usize,
        f64,
        [f64; 2],
        Span,
        Option<f64>,
    );
    let change = |(reading, unit, decimals, factor, [shut, open], span, read): Row| Change {
        reading,
        unit,
        decimals,
        shut: shown(shut * factor, decimals),
        open: shown(open * factor, decimals),
        change: shown(span.value * factor, decimals),
        low: shown(span.low * factor, decimals),
        high: shown(span.high * factor, decimals),
        read: read.map(|read| shown(read * factor, decimals)),
    };
    all.into_iter().map(change).collect()
}

impl Found {
    fn new(answered: &Answered) -> Self {
        let plain = |span: Option<Span>, factor| span.map(|span| spread(span, factor));
        Self {
            trim_over_predicted: plain(answered.trim, 1.0),
            air_over_predicted: plain(answered.air, 1.0),
            meter_scale: plain(answered.meter_scale, 1.0),
            through_meter_g_s: plain(answered.through_meter, 1e3),
            manifold_off_kpa: plain(answered.manifold, 1e-3),
        }
    }

    fn picture(&self) -> Option<Picture> {
        let both = [
            ("fuel trim", self.trim_over_predicted, "trim_over_predicted"),
            ("air counted", self.air_over_predicted, "air_over_predicted"),
        ];
        let both = both.into_iter().filter_map(|(name, span, key)| {
            let span = span?;
            Some(Bar {
                name: name.into(),
                value: span.value,
                said: span.words(""),
                json: format!("/found/{key}/value"),
                interval: Some((span.low, span.high)),
                ink: Ink::Faulty,
            })
        });
        let both: Vec<Bar> = both.collect();
        let scene = (!both.is_empty()).then(|| bars(say::OVER, &both, 464.0))?;
        Some(Picture::new("known-hole", say::ANSWERED, scene))
    }
}

impl Answers for File {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn page(&self) -> Page {
        let table = Table::of(say::CHANGES, "/changes", &self.changes, &[]);
        let mut blocks = vec![Block::Caution(say::IDLE_ONLY.into()), Block::Table(table)];
        if let Some(found) = &self.found {
            blocks.extend(found.picture().map(Block::Picture));
            blocks.push(facts(say::CALIBRATES, Fact::all(found, "/found")));
        }
        let sheet = Sheet {
            title: "A known hole",
            car: Some(&self.vehicle),
            says: &self.says,
            blocks,
            sections: vec![Section::new(say::HOW, self.procedure.blocks())],
            warnings: Some(&self.warnings),
            cautions: &self.cautions,
            ..Sheet::default()
        };
        sheet.page()
    }
}
