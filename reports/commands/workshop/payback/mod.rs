//! `falseair workshop payback`.

mod form;
mod page;

use crate::answer::given::Given;
use crate::answer::{Answer, Asked, Trouble};
use crate::commands::workshop::before::give;
use crate::commands::workshop::cautions::JOINT;
use crate::commands::workshop::kit::{at, vehicle};
use rayon::prelude::*;
use serde::Serialize;
use sim::study::workshop::in_car::FULL_LOAD;
use sim::study::workshop::payback::{
    Gain, Gains, Job, Measure, Menace, Payback as Question, Repair as Named, Risk,
};
use sim::units::{round, show};
use std::cmp::Reverse;

pub(super) const HELP: &str = "\
Examples:
  falseair workshop payback scenarios/workshop/payback.toml
  falseair workshop payback --vehicle scenarios/vehicles/brindle-16.toml \\
      --repair '{ name = \"hose\", state = \"confirmed\", time = \"40 min\",
      leak = { place = \"cold_pipe\", round_hole = { diameter = \"4 mm\" } },
      doubt = \"1 mm\", parts = 30 }'

Leaks and faults are those of a scenario's [[leak]] and [[fault]];
`falseair schema scenario --format table` lists them. Sizes are the leak's gap or
diameter, or the fault's severity.

Exit codes: 0 an answer, 2 input that cannot be used, with the reason.";

/// Options of `workshop payback`.
#[derive(Debug, clap::Args)]
pub struct Payback {
    #[command(flatten)]
    given: Given<Question>,
    #[command(flatten)]
    asked: Asked,
}

/// A gain with its 90 % limits; none where one of the cars does not run.
#[derive(Clone, Copy, Serialize)]
struct Number {
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
}

#[derive(Serialize)]
struct Numbers {
    torque_nm: Number,
    torque_at_rpm: f64,
    power_kw: Number,
    power_at_rpm: f64,
    fuel_l_100km: Number,
    fuel_l_year: Number,
    trim_margin_pct: Number,
}

#[derive(Serialize)]
struct Danger {
    point: &'static str,
    /// `danger`, `does_not_run` or `code`.
    kind: &'static str,
    what: String,
}

#[derive(Serialize)]
struct Row {
    rank: usize,
    name: String,
    state: &'static str,
    chance: f64,
    what: String,
    size: String,
    size_low: String,
    size_high: String,
    time_h: f64,
    parts: f64,
    /// Parts and work; without a labour rate, parts only.
    price: f64,
    /// Working time, and what the parts cost in working time where the rate is known.
    effort_h: f64,
    /// With this fault alone in the car, mended.
    alone: Numbers,
    /// Chance times the gain alone; limits reach to 0 where it may not be there.
    expected: Numbers,
    /// Expected gain over the effort, an hour.
    per_hour: Numbers,
    /// In the car with all these faults, this one mended first.
    mended_first: Option<Numbers>,
    money_a_year: Option<f64>,
    years_to_pay: Option<f64>,
    risks_removed: Vec<Danger>,
}

#[derive(Serialize)]
struct File {
    says: String,
    vehicle: String,
    currency: String,
    ranked_by: &'static str,
    repairs: Vec<Row>,
    /// All mended, in the car with all of them.
    together: Numbers,
    risks_removed_together: Vec<Danger>,
    /// What the gains alone add up to.
    sum_of_alone: Sum,
    /// Where the sum differs from all together, in words; empty where it does not.
    sum_differs: Vec<String>,
    warnings: Vec<String>,
    cautions: Vec<&'static str>,
}

/// At the speeds at which all together change most.
#[derive(Serialize)]
struct Sum {
    torque_nm: Option<f64>,
    power_kw: Option<f64>,
    fuel_l_100km: Option<f64>,
    fuel_l_year: Option<f64>,
    trim_margin_pct: Option<f64>,
}

const LEAN: &str = "Do not run an engine that is lean, over its boost or over the turbo's speed at \
                    full load to find out more: it can destroy itself within seconds.";

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
    let wrong = |m| at(&source, m);
    let jobs = question.jobs().map_err(wrong)?;
    let Some(car) = vehicle(&source, Some(&question.vehicle))? else {
        return Err(Trouble::Other("no vehicle".into()));
    };
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
    let mut file = File {
        says: String::new(),
        vehicle: name,
        currency: question.currency.clone(),
        ranked_by: question.rank_by.word(),
        sum_differs: if several {
            sum.differs(&together)
        } else {
            Vec::new()
        },
        sum_of_alone: sum,
        together: Numbers::new(&together, |gain| gain),
        risks_removed_together: risks.iter().map(Danger::new).collect(),
        warnings: Vec::new(),
        cautions: JOINT.into_iter().chain([LEAN]).collect(),
        repairs,
    };
    file.says = form::says(&file);
    file.warnings = form::warnings(&file);
    let page = || page::page(&form::about(&question, &file), &file);
    give(
        &options.asked,
        page,
        || form::table(&question, &file),
        &file,
    )
}

/// What a repair is ranked by: dangers gone, then codes gone, then the gains of the hour in
/// steps that are worth a word.
type Key = (usize, usize, [i64; 4]);

fn key(question: &Question, one: &Found) -> Key {
    let count = |wanted: fn(&Menace) -> bool| {
        let here = one.risks.iter().filter(|risk| wanted(&risk.what));
        usize::from(here.count() > 0 && one.job.chance > 0.0)
    };
    let others = [
        Measure::Power,
        Measure::Torque,
        Measure::Fuel,
        Measure::TrimMargin,
    ];
    let rest = others.into_iter().filter(|m| *m != question.rank_by);
    let mut steps = [0; 4];
    for (step, by) in steps
        .iter_mut()
        .zip([question.rank_by].into_iter().chain(rest))
    {
        let gain = one.gains.measure(by).expected(one.job.chance).value / effort(question, one);
        let worth = match by {
            Measure::Power => 0.05,
            Measure::Torque => 0.1,
            Measure::Fuel => 1.0,
            Measure::TrimMargin => 0.5,
        };
        // A car that does not run with the fault has no number: its danger has ranked it.
        *step = if gain.is_finite() {
            (gain / worth).round() as i64
        } else {
            0
        };
    }
    (
        count(Menace::is_danger),
        count(|menace| !menace.is_danger()),
        steps,
    )
}

fn effort(question: &Question, one: &Found) -> f64 {
    let hours = one.asked.time / 3600.0;
    match question.labour_rate.filter(|rate| *rate > 0.0) {
        Some(rate) => hours + one.asked.parts / rate,
        None => hours,
    }
}

fn row(question: &Question, one: &Found) -> Row {
    let (job, effort) = (&one.job, effort(question, one));
    let hours = one.asked.time / 3600.0;
    let size = |value: f64| show(value, job.defect.dimension());
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
        risks_removed: one.risks.iter().map(Danger::new).collect(),
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

impl Danger {
    fn new(risk: &Risk) -> Self {
        let (kind, what) = match &risk.what {
            Menace::Danger(what) => ("danger", what.to_string()),
            Menace::Stops(why) => ("does_not_run", why.to_string()),
            Menace::Code(code) if risk.what.is_danger() => {
                ("danger", format!("{}: {}", code.word(), code.name()))
            }
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
        let pairs = [
            ("torque", "N m", self.torque_nm, together.torque, 0.5),
            ("power", "kW", self.power_kw, together.power, 0.2),
            (
                "fuel",
                "L a year",
                self.fuel_l_year,
                together.fuel_year,
                3.0,
            ),
            (
                "trim margin",
                "%",
                self.trim_margin_pct,
                together.trim_margin,
                0.5,
            ),
        ];
        let said = pairs
            .into_iter()
            .filter_map(|(name, unit, sum, all, worth)| {
                let (sum, all) = (sum?, known(all.value)?);
                let apart = (sum - all).abs();
                let much = apart > worth && apart > 0.1 * sum.abs().max(all.abs());
                let (sum, all) = (round(sum, 3), round(all, 3));
                much.then(|| {
                    format!("{name}: alone they add up to {sum} {unit}, together it is {all}")
                })
            });
        said.collect()
    }
}
