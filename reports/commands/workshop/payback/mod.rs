//! `falseair workshop payback`.

mod page;
mod rank;
mod words;

use crate::answer::dangers::Danger;
use crate::answer::given::Given;
use crate::answer::{Answer, Asked, SchemaOf, Trouble, schema};
use crate::commands::workshop::cautions::Warnings;
use crate::input::case::mistake;
use crate::input::case::vehicle;
use crate::page::record::{Spread, Value, fixed, signed};
use crate::record;
use crate::say::{workshop, workshop_payback as say};
use rank::{Key, effort, key};
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;
use sim::network::Vehicle;
use sim::study::workshop::in_car::FULL_LOAD;
use sim::study::workshop::payback::{
    Gain, Gains, Job, Menace, Payback as Question, Repair as Named, Risk,
};
use sim::units::{round, show_to};
use std::cmp::Reverse;

pub(super) const HELP: &str = "\
Examples:
  falseair workshop payback scenarios/workshop/payback.toml
  falseair workshop payback --vehicle scenarios/vehicles/brindle-16.toml \\
      --repair '{ name = \"hose\", state = \"confirmed\", time = \"40 min\",
      leak = { place = \"cold_pipe\", round_hole = { diameter = \"4 mm\" } },
      doubt = \"1 mm\", parts = 30 }'

Leaks and faults are those of a scenario's [[leak]] and [[fault]];
`falseair schema scenario --format table` lists them. Sizes are the leak's gap
or diameter, or the fault's severity.

Exit codes: 0 an answer, 2 input that cannot be used, with the reason.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("workshop-payback", schema::<File>);

/// Options of `workshop payback`.
#[derive(Debug, clap::Args)]
pub struct Payback {
    #[command(flatten)]
    pub(super) given: Given<Question>,
    #[command(flatten)]
    pub(super) asked: Asked,
}

/// A gain with its 90 % limits; none where one of the cars does not run.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
struct Number {
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
}

impl From<&Number> for Value<'_> {
    fn from(number: &Number) -> Self {
        let [value, low, high] =
            [number.value, number.low, number.high].map(|x| x.unwrap_or(f64::NAN));
        Value::Spread(Spread { value, low, high })
    }
}

record! {
    /// Gains of a repair.
    struct Numbers {
        /// At full load, where it gains most.
        torque_nm: Number = "torque" "N m" signed(1);
        /// There.
        torque_at_rpm: f64;
        /// At full load, where it gains most.
        power_kw: Number = "power" "kW" signed(1);
        /// There.
        power_at_rpm: f64;
        /// Saved.
        fuel_l_100km: Number = "fuel saved" "L/100 km" signed(2);
        /// Saved.
        fuel_l_year: Number = "fuel saved a year" "L" signed(0);
        /// Points of trim gained.
        trim_margin_pct: Number = "trim margin" "%" signed(1);
    }

    /// What is removed.
    struct Removed {
        /// Where it was.
        point: &'static str;
        /// `danger`, `caution`, `does_not_run` or `code`.
        kind: &'static str;
        /// In words.
        what: String;
    }

    /// A repair.
    struct Row {
        /// From 1.
        rank: usize;
        /// As the file calls it.
        name: String;
        /// Whether it is confirmed.
        state: &'static str;
        /// That it is there, 0 to 1.
        chance: f64;
        /// What is wrong.
        what: String;
        /// How large.
        size: String;
        /// Its limit.
        size_low: String;
        /// Its limit.
        size_high: String;
        /// Of work.
        time_h: f64 = "work" "h" fixed(2);
        /// Their price.
        parts: f64;
        /// Parts and work; without a labour rate, parts only.
        price: f64 = "price" "" fixed(2);
        /// Working time, and what the parts cost in working time where the rate is known.
        effort_h: f64;
        /// With this fault alone in the car, mended.
        alone: Numbers;
        /// Chance times the gain alone; limits reach to 0 where it may not be there.
        expected: Numbers;
        /// Expected gain over the effort, an hour.
        per_hour: Numbers;
        /// In the car with all these faults, this one mended first.
        mended_first: Option<Numbers>;
        /// By fuel.
        money_a_year: Option<f64>;
        /// By fuel.
        years_to_pay: Option<f64> = "paid by fuel" "years" fixed(1);
        /// Dangers and codes.
        risks_removed: Vec<Removed>;
    }

    /// Repairs, best first.
    struct File {
        /// The answer in a sentence.
        says: String;
        /// The car's name.
        vehicle: String;
        #[serde(skip)]
        about: String;
        /// Of the prices.
        currency: String;
        /// After dangers and codes.
        ranked_by: &'static str;
        /// Best first.
        repairs: Vec<Row>;
        /// All mended, in the car with all of them.
        together: Numbers;
        /// Dangers and codes.
        risks_removed_together: Vec<Removed>;
        /// What the gains alone add up to.
        sum_of_alone: Sum;
        /// Where the sum differs from all together, in words; empty where it does not.
        sum_differs: Vec<String>;
        /// What is dangerous as the car is.
        warnings: Warnings;
        #[serde(skip)]
        dangers: Vec<Danger>;
        /// Of work on joints.
        cautions: Vec<&'static str>;
    }

    /// At the speeds at which all together change most.
    struct Sum {
        /// At full load.
        torque_nm: Option<f64> = "torque" "N m" signed(1);
        /// At full load.
        power_kw: Option<f64> = "power" "kW" signed(1);
        /// Saved.
        fuel_l_100km: Option<f64> = "fuel saved" "L/100 km" signed(2);
        /// Saved.
        fuel_l_year: Option<f64> = "fuel saved a year" "L" signed(0);
        /// Points of trim gained.
        trim_margin_pct: Option<f64> = "trim margin" "%" signed(1);
    }
}

/// A repair with its answers.
struct Found<'a> {
    asked: &'a Named,
    job: Job,
    gains: Gains,
    risks: Vec<Risk>,
    first: Option<Gains>,
}

pub(super) fn run(options: &Payback) -> Result<Answer, Trouble> {
    let (question, source) = options.given.read()?;
    let wrong = |m| mistake(&source, &m);
    let jobs = question.jobs().map_err(wrong)?;
    let car: Vehicle = vehicle(&source, &question.vehicle)?.parse()?;
    let name = car.name.clone();
    let bench = question.bench(car).map_err(wrong)?;
    let several = jobs.len() > 1;
    let found = (0..jobs.len()).into_par_iter().map(|i| {
        let (gains, risks) = bench.mend(&jobs[i..=i], &[]);
        let others: Vec<Job> = [&jobs[..i], &jobs[i + 1..]].concat();
        Found {
            asked: &question.repair[i],
            job: jobs[i],
            gains,
            risks,
            first: several.then(|| bench.mend(&jobs[i..=i], &others).0),
        }
    });
    let found: Vec<Found> = found.collect();
    let (together, risks) = bench.mend(&jobs, &[]);
    let sum = Sum::new(&found, &together);
    let mut rows: Vec<(Key, Row)> = (found.iter())
        .map(|one| (key(&question, one), row(&question, one)))
        .collect();
    rows.sort_by_key(|(key, _)| Reverse(*key));
    let mut repairs: Vec<Row> = rows.into_iter().map(|(_, row)| row).collect();
    for (i, row) in repairs.iter_mut().enumerate() {
        row.rank = i + 1;
    }
    let differs = several.then(|| sum.differs(&together));
    let mut file = File {
        says: String::new(),
        about: words::about(&question.duty),
        vehicle: name,
        currency: question.currency.clone(),
        ranked_by: question.rank_by.word(),
        sum_differs: differs.unwrap_or_default(),
        sum_of_alone: sum,
        together: Numbers::new(&together, |gain| gain),
        risks_removed_together: risks.iter().map(Removed::new).collect(),
        warnings: Warnings::default(),
        dangers: found.iter().flat_map(dangers).collect(),
        cautions: workshop::JOINT.into_iter().chain([say::LEAN]).collect(),
        repairs,
    };
    file.says = words::says(&file);
    file.warnings.dangers = words::dangers(&file);
    options.asked.answer(&file)
}

/// What is dangerous as the car is, by the repair that takes it away.
fn dangers(one: &Found) -> Vec<Danger> {
    let of = say::with(&one.asked.name);
    let all = one.risks.iter().flat_map(|risk| match &risk.what {
        Menace::Danger(danger) => {
            Danger::all(&of, risk.point, std::slice::from_ref(danger)).collect()
        }
        _ => Vec::new(),
    });
    all.collect()
}

fn row(question: &Question, one: &Found) -> Row {
    let (job, effort) = (&one.job, effort(question, one));
    let hours = one.asked.time / 3600.0;
    let size = |value: f64| show_to(value, job.defect.dimension(), 3);
    let expected = |gain: Gain| gain.expected(job.chance);
    let per_hour = |gain: Gain| {
        let gain = expected(gain);
        Gain {
            value: gain.value / effort,
            low: gain.low / effort,
            high: gain.high / effort,
        }
    };
    let price = one.asked.parts + hours * question.labour_rate.unwrap_or(0.0);
    let litres = expected(one.gains.fuel_year).value;
    let money = question.fuel_price.map(|litre| litre * litres);
    let money = money.filter(|money| money.is_finite());
    Row {
        rank: 0,
        name: one.asked.name.clone(),
        state: one.asked.state.word(),
        chance: job.chance,
        what: job.defect.words(),
        size: size(job.known.size),
        size_low: size(job.known.low),
        size_high: size(job.known.high),
        time_h: hours,
        parts: one.asked.parts,
        price,
        effort_h: effort,
        alone: Numbers::new(&one.gains, |gain| gain),
        expected: Numbers::new(&one.gains, expected),
        per_hour: Numbers::new(&one.gains, per_hour),
        mended_first: one.first.map(|gains| Numbers::new(&gains, |gain| gain)),
        years_to_pay: money
            .filter(|money| *money > 0.0)
            .map(|money| price / money),
        money_a_year: money,
        risks_removed: one.risks.iter().map(Removed::new).collect(),
    }
}

fn known(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

impl Numbers {
    fn new(gains: &Gains, of: impl Fn(Gain) -> Gain) -> Self {
        let number = |gain: Gain| {
            let gain = of(gain);
            Number {
                value: known(gain.value),
                low: known(gain.low),
                high: known(gain.high),
            }
        };
        Self {
            torque_nm: number(gains.torque),
            torque_at_rpm: gains.torque_at,
            power_kw: number(gains.power),
            power_at_rpm: gains.power_at,
            fuel_l_100km: number(gains.fuel_100km),
            fuel_l_year: number(gains.fuel_year),
            trim_margin_pct: number(gains.trim_margin),
        }
    }
}

impl Removed {
    fn new(risk: &Risk) -> Self {
        let (kind, what) = match &risk.what {
            Menace::Danger(danger) => ("danger", danger.finding()),
            Menace::Caution(what) => ("caution", what.to_string()),
            Menace::Stops(why) => ("does_not_run", why.to_string()),
            Menace::Code(code) => ("code", format!("{}: {}", code.word(), code.name())),
        };
        Self {
            point: risk.point,
            kind,
            what,
        }
    }
}

/// Where a speed stands among those of full load.
fn index(rpm: f64) -> usize {
    FULL_LOAD
        .iter()
        .position(|speed| *speed == rpm)
        .unwrap_or(0)
}

impl Sum {
    fn new(found: &[Found], together: &Gains) -> Self {
        let (torque, power) = (index(together.torque_at), index(together.power_at));
        let sum = |of: &dyn Fn(&Gains) -> f64| known(found.iter().map(|one| of(&one.gains)).sum());
        Self {
            torque_nm: sum(&|g| g.torque_by_speed[torque]),
            power_kw: sum(&|g| g.power_by_speed[power]),
            fuel_l_100km: sum(&|g| g.fuel_100km.value),
            fuel_l_year: sum(&|g| g.fuel_year.value),
            trim_margin_pct: sum(&|g| g.trim_margin.value),
        }
    }

    /// Where it is more than a tenth, and more than is worth a word, from all together.
    fn differs(&self, together: &Gains) -> Vec<String> {
        let (fuel, margin) = (self.fuel_l_year, self.trim_margin_pct);
        let pairs = [
            ("torque", "N m", self.torque_nm, together.torque, 0.5),
            ("power", "kW", self.power_kw, together.power, 0.2),
            ("fuel", "L a year", fuel, together.fuel_year, 3.0),
            ("trim margin", "%", margin, together.trim_margin, 0.5),
        ];
        let said = pairs.into_iter();
        said.filter_map(|(name, unit, sum, all, worth)| {
            let (sum, all) = (sum?, known(all.value)?);
            let apart = (sum - all).abs();
            let much = apart > worth && apart > 0.1 * sum.abs().max(all.abs());
            much.then(|| say::not_the_sum(name, round(sum, 3), unit, round(all, 3)))
        })
        .collect()
    }
}
