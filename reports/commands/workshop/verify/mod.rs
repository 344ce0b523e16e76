//! `falseair workshop verify`.

mod form;
pub(super) mod page;
mod record;
mod shift;

use crate::answer::given::Given;
use crate::answer::{Answer, Asked, Trouble};
use crate::commands::workshop::before::give;
use crate::commands::workshop::car::InCar;
use crate::commands::workshop::cautions::{JOINT, TEST};
use crate::commands::workshop::kit::{at, vehicle};
use crate::text::write::OutFile;
use clap::ValueHint;
use serde::Serialize;
use sim::network::readings::FORMS;
use sim::network::{Defect, Vehicle};
use sim::study::workshop::in_car::{Car, with_boost};
use sim::study::workshop::verify::{Bench, Datum, Fitted, Quantity, Verify as Question, verdict};

pub(super) const HELP: &str = "\
Examples:
  falseair workshop verify scenarios/workshop/verify.toml
  falseair workshop verify scenarios/workshop/verify.toml --record record.html

A reading is given at a point (`idle`, `light cruise`, `full load 3500 rpm`, or
a [[point]] of the file), in its own unit, with its standard doubt.

Exit codes: 0 an answer, 2 input that cannot be used, with the reason.";

/// Options of `workshop verify`.
#[derive(Debug, clap::Args)]
pub struct Verify {
    #[command(flatten)]
    given: Given<Question>,
    #[command(flatten)]
    asked: Asked,
    /// Also write a one-page record for the customer into this HTML file.
    #[arg(long, value_name = "FILE.html", value_hint = ValueHint::FilePath)]
    record: Option<OutFile>,
}

/// A size, in its own unit as text and in SI.
#[derive(Serialize)]
pub(super) struct Size {
    pub si: f64,
    pub low_si: f64,
    pub high_si: f64,
    /// With its limits, in words.
    pub words: String,
}

/// One measurement against the model.
#[derive(Serialize)]
pub(super) struct Line {
    pub what: String,
    pub unit: &'static str,
    #[serde(skip)]
    pub decimals: usize,
    pub read: f64,
    /// Standard, instrument and model together.
    pub doubt: f64,
    /// Predicted with the size that fits.
    pub fitted: f64,
    /// Predicted for the sound car; none where that does not run.
    pub sound: Option<f64>,
    /// Reading less what fits, in doubts.
    pub off: f64,
}

#[derive(Serialize)]
pub(super) struct Side {
    pub size: Size,
    pub chi_square: f64,
    pub freedom: usize,
    /// Chance of a rest as large as this, doubts being as stated; none for one reading.
    pub chance_of_rest: Option<f64>,
    /// Whether the rest is explained by the doubts, at 5 %.
    pub explained: Option<bool>,
    pub sound_chi_square: Option<f64>,
    pub readings: Vec<Line>,
}

/// For the head of the record.
#[derive(Serialize)]
pub(super) struct Head {
    pub customer: String,
    pub car: String,
    pub date: String,
    pub workshop: String,
    pub technician: String,
    pub work: String,
}

#[derive(Serialize)]
pub(super) struct File {
    pub says: String,
    /// `gone`, `smaller`, `still_there`, `not_seen_before` or `open`.
    pub verdict: &'static str,
    pub left: String,
    pub rest: String,
    pub fault: String,
    pub vehicle: String,
    pub head: Head,
    pub before: Side,
    pub after: Side,
    /// The most that may be left, in the running car.
    pub in_car: Option<InCar>,
    pub warnings: Vec<String>,
    pub cautions: Vec<&'static str>,
}

/// Below this chance, doubts do not explain the rest.
const UNLIKELY: f64 = 0.05;

pub(super) const MODEL: &str = "The model is that of the vehicle file named here, not this very car: where it \
                     does not fit, its doubt (`model_doubt`) must say so.";
const ROAD: &str = "Before the car is handed over: no code may be left set, and no smell of fuel or \
                    exhaust; watch the mixture on a first run before full load is asked for.";

pub(super) fn run(options: &Verify) -> Result<Answer, Trouble> {
    let (question, source) = options.given.read()?;
    let wrong = |m| at(&source, m);
    let defect = question.defect().map_err(wrong)?;
    let Some(car) = vehicle(&source, Some(&question.vehicle))? else {
        return Err(Trouble::Other("no vehicle".into()));
    };
    let car = with_boost(car, question.boost_control, question.fixed_duty).map_err(wrong)?;
    let ambient = question.ambient.ambient();
    let bench = Bench::new(car.clone(), ambient, defect, |network| {
        question.points(network)
    });
    let bench = bench.map_err(wrong)?;
    let before = question.data(&bench, false).map_err(wrong)?;
    let after = question.data(&bench, true).map_err(wrong)?;
    let none = |list: &str| {
        let message = "the model of this car does not run with any size of this fault at the points \
                       that were measured, or a reading has no meaning there";
        source.error_at(list, message)
    };
    let (earlier, later) = rayon::join(|| bench.fit(&before), || bench.fit(&after));
    let earlier = earlier.ok_or_else(|| none("before"))?;
    let later = later.ok_or_else(|| none("after"))?;
    let judged = verdict(&earlier, &later, defect.healthy());
    let in_car = in_car(&car, &question, &defect, &later);
    let file = File {
        says: form::says(judged, &defect, &earlier, &later),
        verdict: form::word(judged),
        left: form::left(judged, &defect, &later, in_car.as_ref()),
        rest: form::rest(&bench, [&before, &after], [&earlier, &later]),
        fault: match &defect {
            Defect::Leak(leak) => {
                format!(
                    "{}, as a {}",
                    form::name(&defect),
                    leak.shape.name().replace('_', " ")
                )
            }
            Defect::Fault(_) => form::name(&defect),
        },
        vehicle: car.name.clone(),
        head: Head {
            customer: question.customer.clone(),
            car: question.car.clone(),
            date: question.date.clone(),
            workshop: question.workshop.clone(),
            technician: question.technician.clone(),
            work: question.work.clone(),
        },
        in_car,
        warnings: warnings(&before, &after, &later),
        cautions: cautions(&question),
        before: Side::new(&bench, &before, &earlier),
        after: Side::new(&bench, &after, &later),
    };
    let record = options.record.as_ref().map(|record| {
        let page = record::page(&file).map_err(Trouble::Other)?;
        Ok::<_, Trouble>(record.holding(page))
    });
    let record = record.transpose()?;
    let answer = give(
        &options.asked,
        || page::page(&file),
        || form::table(&file),
        &file,
    )?;
    Ok(answer.with(record))
}

fn cautions(question: &Question) -> Vec<&'static str> {
    let tested = question.before_decay.is_some() || question.after_decay.is_some();
    let test = if tested { &TEST[..5] } else { &[] };
    let all = test.iter().chain(&JOINT[1..]).copied();
    all.chain([ROAD, MODEL]).collect()
}

fn lines(bench: &Bench, data: &[Datum], fit: &Fitted) -> Vec<Line> {
    let points: Vec<&str> = bench.points().collect();
    let lines = data.iter().zip(&fit.predicted).enumerate();
    let lines = lines.map(|(i, (datum, fitted))| {
        let (what, unit, decimals, factor) = match datum.quantity {
            Quantity::Reading(point, reading) => {
                let form = &FORMS[reading as usize];
                let what = format!("{}, {}", points[point], form.label);
                (what, form.unit, form.decimals, 1.0)
            }
            Quantity::Area(..) => ("decay test, open area".into(), "mm²", 2, 1e6),
        };
        Line {
            what,
            unit,
            decimals,
            read: datum.value * factor,
            doubt: datum.doubt * factor,
            fitted: fitted * factor,
            sound: fit.sound.get(i).map(|sound| sound * factor),
            off: (datum.value - fitted) / datum.doubt,
        }
    });
    lines.collect()
}

impl Side {
    fn new(bench: &Bench, data: &[Datum], fit: &Fitted) -> Self {
        let chance = fit.chance_of_rest();
        Self {
            size: Size {
                si: fit.size,
                low_si: fit.low,
                high_si: fit.high,
                words: form::words(bench.defect(), fit),
            },
            chi_square: fit.chi_square,
            freedom: fit.freedom,
            chance_of_rest: chance,
            explained: chance.map(|chance| chance >= UNLIKELY),
            sound_chi_square: fit
                .sound_chi_square
                .is_finite()
                .then_some(fit.sound_chi_square),
            readings: lines(bench, data, fit),
        }
    }
}

/// The largest leak that may be left, in the running car.
fn in_car(
    vehicle: &Vehicle,
    question: &Question,
    defect: &Defect,
    after: &Fitted,
) -> Option<InCar> {
    let at = |size: f64| match defect.within(size) {
        Defect::Leak(leak) => Some(leak),
        Defect::Fault(_) => None,
    };
    let place = at(after.high)?.place;
    let car = Car::new(vehicle.clone(), question.ambient.ambient(), place);
    let effects = |size: f64| {
        let shape = at(size)?.shape;
        car.effects(&[shape]).ok()
    };
    let largest = effects(after.high)?;
    Some(InCar::new(&car, &vehicle.name, &largest, None))
}

fn warnings(before: &[Datum], after: &[Datum], later: &Fitted) -> Vec<String> {
    let mut said = Vec::new();
    let alike = before.len() == after.len()
        && (before.iter().zip(after)).all(|(a, b)| match (&a.quantity, &b.quantity) {
            (Quantity::Area(..), Quantity::Area(..)) => true,
            (a, b) => a == b,
        });
    if !alike {
        said.push(
            "before and after were not read alike: take the same readings at the same points, then \
             what the model has wrong about this car shows in both"
                .into(),
        );
    }
    if later.open {
        said.push(
            "the readings after set no upper limit to what is left: read something that it moves"
                .into(),
        );
    }
    said
}
