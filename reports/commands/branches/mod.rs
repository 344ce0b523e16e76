//! `falseair branches`: every steady answer over the size of what is wrong, and where the engine
//! jumps from one to another.

mod page;

use crate::answer::dangers::Danger;
use crate::answer::{Answer, Answers, Asked, SchemaOf, Trouble, schema};
use crate::input::case::{Case, mistake, read};
use crate::page::Page;
use crate::page::record::{WORDS, digits, fixed};
use crate::record;
use crate::say::branches as say;
use rayon::prelude::*;
use sim::network::Reading;
use sim::solve::Failure;
use sim::study::asking::branches::{Map, map, with_lesson};
use sim::study::running::simulate::{Comparison, Side};
use sim::units::{Dimension, convert, natural_unit, round};
use std::path::PathBuf;

pub(crate) const HELP: &str = "\
Example:
  falseair branches scenarios/manifold-gasket.toml --report branches.html

Sizes run from nothing up to those in the scenario: give the largest you care about there.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("branches", schema::<Found>);

/// Options of `branches`.
#[derive(Debug, clap::Args)]
pub struct Branches {
    /// File that names the car, what is wrong at its largest, and operating points.
    pub scenario: PathBuf,
    /// Form, file, pictures.
    #[command(flatten)]
    pub asked: Asked,
}

/// What was found.
struct Found {
    case: Case,
    maps: Vec<Result<Map, (String, Failure)>>,
    size: Size,
}

/// How a size is told: of one defect its own, of several their share.
struct Size {
    healthy: f64,
    whole: f64,
    unit: String,
    dimension: Dimension,
}

impl Size {
    fn of(case: &Case) -> Self {
        let defects: Vec<_> = case.network.defects().collect();
        match defects.as_slice() {
            [one] => Self {
                healthy: one.healthy(),
                whole: one.size(),
                unit: natural_unit(one.size(), one.dimension()),
                dimension: one.dimension(),
            },
            _ => Self {
                healthy: 0.0,
                whole: 1.0,
                unit: "%".into(),
                dimension: Dimension::Ratio,
            },
        }
    }

    fn at(&self, share: f64) -> f64 {
        let si = self.healthy + share * (self.whole - self.healthy);
        convert(si, &self.unit, self.dimension).unwrap_or(si)
    }
}

record! {
    /// Every steady answer of a car.
    pub(super) struct BranchesFile {
        scenario: String;
        vehicle: String;
        /// Unit of the sizes.
        size_unit: String;
        points: Vec<AtPoint>;
        /// What has no answer, and why.
        failures: Vec<String>;
    }

    /// An operating point.
    pub(super) struct AtPoint {
        name: String;
        /// Curves of steady states.
        curves: Vec<Vec<Steady>>;
        jumps: Vec<Leap>;
        /// Sizes between which the engine swings away from a steady state.
        swings: Vec<Swinging>;
        histories: Vec<Came>;
    }

    /// A steady state.
    pub(super) struct Steady {
        /// Size of what is wrong, or per cent of it where that is several defects.
        size: f64 = "size" "" digits(4);
        /// `yes`, or how it leaves.
        stays: &'static str = "stays" "" WORDS;
        /// Growth of the fastest disturbance.
        growth_per_s: Option<f64> = "growth" "1/s" fixed(3);
        torque_nm: Option<f64> = "torque" "N m" fixed(1);
        engine_speed_rpm: Option<f64> = "speed" "rpm" fixed(0);
        lambda: Option<f64> = "lambda" "" fixed(3);
        boost_kpa: Option<f64> = "boost" "kPa" fixed(1);
        misfire_pct: Option<f64> = "cycles that do not burn" "%" fixed(1);
    }

    /// Sizes between which a steady state swings.
    pub(super) struct Swinging {
        from_size: f64 = "from" "" digits(3);
        to_size: f64 = "to" "" digits(3);
    }

    /// A jump.
    pub(super) struct Leap {
        size: f64 = "size" "" digits(5);
        /// `growing` or `mended`.
        way: &'static str = "while it is" "" WORDS;
        from_torque_nm: Option<f64> = "torque before" "N m" fixed(1);
        to_torque_nm: Option<f64> = "after" "N m" fixed(1);
        /// Mixture before.
        from_lambda: Option<f64> = "lambda before" "" fixed(3);
        to_lambda: Option<f64> = "after" "" fixed(3);
        /// Why the engine does not come to rest, where it does not.
        otherwise: String = "or" "" WORDS;
    }

    /// What a size comes to with one history.
    pub(super) struct Came {
        size: f64 = "size" "" digits(4);
        history: &'static str = "history" "" WORDS;
        torque_nm: Option<f64> = "torque" "N m" fixed(1);
        engine_speed_rpm: Option<f64> = "speed" "rpm" fixed(0);
        lambda: Option<f64> = "lambda" "" fixed(3);
        /// Why there is no steady answer, where there is none.
        otherwise: String = "or" "" WORDS;
    }
}

/// Answers `falseair branches`.
///
/// # Errors
/// The scenario cannot be used, has no points or nothing wrong; the answer cannot be written.
pub fn branches(options: &Branches) -> Result<Answer, Trouble> {
    let (case, source) = read(&options.scenario)?;
    if case.network.is_healthy() {
        let message = "nothing is wrong with this car: a map needs a leak or a fault that grows";
        return Err(source.error_at("title", message).into());
    }
    let points = case.scenario.point.iter().enumerate().map(|(i, point)| {
        let command = point.command().map_err(|m| {
            let key = format!("point.{i}.{}", m.key);
            mistake(&source, &sim::scenario::Mistake { key, ..m })
        });
        Ok::<_, Trouble>((point.name.clone(), command?))
    });
    let points = points.collect::<Result<Vec<_>, _>>()?;
    let cars = Comparison::new(&case.network);
    let maps = with_lesson(&case.network, points).into_par_iter();
    let maps = maps.map(|(name, command)| map(&cars, &name, command).map_err(|why| (name, why)));
    options.asked.answer(&Found {
        maps: maps.collect(),
        size: Size::of(&case),
        case,
    })
}

fn reading(side: &Side, reading: Reading) -> Option<f64> {
    side.readings.get(reading)
}

impl AtPoint {
    fn new(map: &Map, size: &Size) -> Self {
        let curves = map.curves.iter().map(|curve| {
            let places = curve.places.iter().map(|here| Steady {
                size: size.at(here.share),
                stays: match (here.stays(), here.swing == 0.0) {
                    (true, _) => "yes",
                    (false, true) => "drifts away",
                    (false, false) => "swings away",
                },
                growth_per_s: here.growth.is_finite().then_some(here.growth),
                torque_nm: reading(&here.side, Reading::Torque),
                engine_speed_rpm: reading(&here.side, Reading::EngineSpeed),
                lambda: reading(&here.side, Reading::Lambda),
                boost_kpa: reading(&here.side, Reading::Boost),
                misfire_pct: reading(&here.side, Reading::Misfire),
            });
            places.collect()
        });
        let jumps = map.jumps.iter().map(|jump| {
            let to = jump.to.as_ref();
            let after = |of| to.ok().and_then(|side| reading(side, of));
            Leap {
                size: size.at(jump.share),
                way: if jump.growing { "growing" } else { "mended" },
                from_torque_nm: reading(&jump.from, Reading::Torque),
                to_torque_nm: after(Reading::Torque),
                from_lambda: reading(&jump.from, Reading::Lambda),
                to_lambda: after(Reading::Lambda),
                otherwise: to.err().map_or(String::new(), ToString::to_string),
            }
        });
        let swings = map.curves.iter().flat_map(|curve| curve.swings());
        let swings = swings.map(|(from, to)| Swinging {
            from_size: size.at(from.min(to)),
            to_size: size.at(from.max(to)),
        });
        let came = map.ends.iter().map(|(share, history, side)| {
            let side = side.as_ref();
            let of = |what| side.ok().and_then(|side| reading(side, what));
            Came {
                size: size.at(*share),
                history: history.word(),
                torque_nm: of(Reading::Torque),
                engine_speed_rpm: of(Reading::EngineSpeed),
                lambda: of(Reading::Lambda),
                otherwise: side.err().map_or(String::new(), ToString::to_string),
            }
        });
        Self {
            name: map.name.clone(),
            curves: curves.collect(),
            jumps: jumps.collect(),
            swings: swings.collect(),
            histories: came.collect(),
        }
    }
}

impl Answers for Found {
    type Data<'a> = BranchesFile;

    fn data(&self) -> BranchesFile {
        let maps = self.maps.iter().filter_map(|map| map.as_ref().ok());
        BranchesFile {
            scenario: self.case.scenario.title.clone(),
            vehicle: self.case.network.vehicle.name.clone(),
            size_unit: self.size.unit.clone(),
            points: maps.map(|map| AtPoint::new(map, &self.size)).collect(),
            failures: self.failures(),
        }
    }

    fn page(&self) -> Page {
        page::page(&self.data())
    }

    /// The worst of each kind at each point, of all states at which an engine can be: those that it
    /// stays in, and those that it comes to.
    fn dangers(&self) -> Vec<Danger> {
        let maps = self.maps.iter().filter_map(|map| map.as_ref().ok());
        let all = maps.flat_map(|map| {
            let states = map.curves.iter().flat_map(|curve| &curve.places);
            let states = states.filter(|here| here.stays());
            let states = states.map(|here| (here.share, &here.side));
            let leapt = map.jumps.iter().map(|jump| (jump.share, jump.to.as_ref()));
            let came = map
                .ends
                .iter()
                .map(|(share, _, side)| (*share, side.as_ref()));
            let came = leapt.chain(came);
            let came = came.filter_map(|(share, side)| Some((share, side.ok()?)));
            let found = states.chain(came).flat_map(|(share, side)| {
                let size = round(self.size.at(share), 3);
                let at = say::at_size(&map.name, size, &self.size.unit);
                let dangers = side.dangers.iter().cloned();
                dangers.map(move |danger| danger.at(at.trim_end()))
            });
            sim::Danger::worst(found)
        });
        all.map(|danger| Danger::from(&danger)).collect()
    }

    fn failures(&self) -> Vec<String> {
        let failed = self.maps.iter().filter_map(|map| map.as_ref().err());
        let said = failed.map(|(name, why)| format!("{name}, healthy: {why}"));
        said.collect()
    }
}
