//! `falseair workshop verify`.

mod page;
mod record;
mod shift;
mod words;

use crate::answer::dangers::Danger;
use crate::answer::given::Given;
use crate::answer::write::OutFile;
use crate::answer::{Answer, Asked, SchemaOf, Trouble, schema};
use crate::commands::workshop::car::InCar;
use crate::commands::workshop::cautions::Warnings;
use crate::input::case::mistake;
use crate::input::case::vehicle;
use crate::page::record::{OWN, WORDS, digits, fixed};
use crate::record;
use crate::say::{workshop, workshop_verify as say};
use clap::ValueHint;
use sim::network::readings::FORMS;
use sim::network::{Defect, Vehicle};
use sim::study::workshop::in_car::{Car, normal_boost, with_boost};
use sim::study::workshop::verify::{Bench, Datum, Fitted, Quantity, Verify as Question, verdict};

pub(super) const HELP: &str = "\
Examples:
  falseair workshop verify scenarios/workshop/verify.toml
  falseair workshop verify scenarios/workshop/verify.toml --record record.html

A reading is given at a point (`idle`, `light cruise`, `full load 3500 rpm`, or
a [[point]] of the file), in its own unit, with its standard uncertainty.

Exit codes: 0 an answer, 2 input that cannot be used, with the reason.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("workshop-verify", schema::<File>);

/// Options of `workshop verify`.
#[derive(Debug, clap::Args)]
pub struct Verify {
    #[command(flatten)]
    pub(super) given: Given<Question>,
    #[command(flatten)]
    pub(super) asked: Asked,
    /// Also write a one-page record for the customer into this HTML file.
    #[arg(long, value_name = "FILE.html", value_hint = ValueHint::FilePath)]
    pub(super) record: Option<OutFile>,
}

record! {
    /// A size, in its own unit as text and in SI.
    struct Size {
        /// Likeliest.
        si: f64;
        /// Its limit.
        low_si: f64;
        /// Its limit.
        high_si: f64;
        /// With its limits, in words.
        words: String;
    }

    /// One measurement against the model.
    struct Line by decimals {
        /// What was read.
        what: String = "reading" "" WORDS;
        /// In which unit.
        unit: &'static str = "unit" "" WORDS;
        #[serde(skip)]
        decimals: usize;
        /// The reading.
        read: f64 = "read" "" OWN;
        /// Standard, instrument and model together.
        doubt: f64 = "uncertainty" "" digits(2);
        /// Predicted with the size that fits.
        fitted: f64 = "fitted" "" OWN;
        /// Predicted for the healthy car; none where that does not run.
        sound: Option<f64> = "healthy car" "" OWN;
        /// Reading less what fits, in standard uncertainties.
        off: f64 = "off" "" fixed(1);
    }

    /// Before or after.
    struct Side {
        /// That fits best.
        size: Size;
        /// Of the rest.
        chi_square: f64;
        /// Of the rest.
        freedom: usize;
        /// Chance of a rest as large as this, uncertainties being as stated; none for one reading.
        chance_of_rest: Option<f64>;
        /// Whether the rest is explained by the uncertainties, at 5 %.
        explained: Option<bool>;
        /// With the healthy car.
        sound_chi_square: Option<f64>;
        /// Each by itself.
        readings: Vec<Line>;
    }

    /// For the head of the record.
    struct Head {
        /// Whose car.
        customer: String;
        /// Which car.
        car: String;
        /// Of the repair.
        date: String;
        /// Where.
        workshop: String;
        /// By whom.
        technician: String;
        /// What was done.
        work: String;
    }

    /// What a repair did.
    struct File {
        /// The answer in a sentence.
        says: String;
        /// `gone`, `smaller`, `still_there`, `not_seen_before` or `open`.
        verdict: &'static str;
        /// What is left, in words.
        left: String;
        /// Whether the rest is explained, in words.
        rest: String;
        /// What was mended.
        fault: String;
        /// Whose model it is compared with.
        vehicle: String;
        /// Who, what and when.
        head: Head;
        /// The repair.
        before: Side;
        /// The repair.
        after: Side;
        /// The most that may be left, in the running car.
        in_car: Option<InCar>;
        /// What is dangerous, then what stays open.
        warnings: Warnings;
        #[serde(skip)]
        dangers: Vec<Danger>;
        /// Of the work and the tests.
        cautions: Vec<&'static str>;
    }
}

/// Below this chance, doubts do not explain the rest.
const UNLIKELY: f64 = 0.05;

pub(super) fn run(options: &Verify) -> Result<Answer, Trouble> {
    let (question, source) = options.given.read()?;
    let wrong = |m| mistake(&source, &m);
    let defect = question.defect().map_err(wrong)?;
    let car: Vehicle = vehicle(&source, &question.vehicle)?.parse()?;
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
        says: words::says(judged, &defect, &earlier, &later),
        verdict: words::word(judged),
        left: words::left(judged, &defect, &later, in_car.as_ref()),
        rest: words::rest(&bench, [&before, &after], [&earlier, &later]),
        fault: match &defect {
            Defect::Leak(leak) => {
                let shape = leak.shape.name().replace('_', " ");
                format!("{}, as a {shape}", words::name(&defect))
            }
            Defect::Fault(_) => words::name(&defect),
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
        warnings: warnings(&question, normal_boost(&car), [&before, &after], &later),
        // What was dangerous before the repair is past.
        dangers: bench.dangers(&after).iter().map(Danger::from).collect(),
        cautions: cautions(&question),
        before: Side::new(&bench, &before, &earlier),
        after: Side::new(&bench, &after, &later),
    };
    let handed = options.record.as_ref();
    let record = handed.filter(|_| cfg!(feature = "program")).map(|record| {
        let page = record::page(&file).map_err(Trouble::Other)?;
        Ok::<_, Trouble>(record.holding(page))
    });
    Ok(options.asked.answer(&file)?.with(record.transpose()?))
}

fn cautions(question: &Question) -> Vec<&'static str> {
    let tested = question.before_decay.is_some() || question.after_decay.is_some();
    let test = if tested { &workshop::TEST[..5] } else { &[] };
    let all = test.iter().chain(&workshop::JOINT[1..]).copied();
    all.chain([say::ROAD, say::MODEL]).collect()
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
            Quantity::Area(..) => ("pressure test, open area".into(), "mm²", 2, 1e6),
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
                words: words::words(bench.defect(), fit),
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

fn warnings(
    question: &Question,
    boost: f64,
    [before, after]: [&[Datum]; 2],
    later: &Fitted,
) -> Warnings {
    let mut warnings = Warnings::default();
    for excess in question.dangers(boost) {
        let said = excess.to_string();
        if !warnings.dangers.contains(&said) {
            warnings.dangers.push(said);
        }
    }
    let alike = before.len() == after.len()
        && (before.iter().zip(after)).all(|(a, b)| match (&a.quantity, &b.quantity) {
            (Quantity::Area(..), Quantity::Area(..)) => true,
            (a, b) => a == b,
        });
    if !alike {
        warnings.notes.push(say::NOT_ALIKE.into());
    }
    if later.open {
        warnings.notes.push(say::NO_LIMIT.into());
    }
    warnings
}
