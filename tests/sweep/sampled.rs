//! Cases drawn at random, each in a study and alone: one answer to a case and its history.

use super::vehicle;
use rayon::prelude::*;
use sim::network::Network;
use sim::scenario::{History, Scenario};
use sim::solve::Failure;
use sim::study::asking::sweep::{Outcome, Plan, Row, Study, Sweep};
use sim::study::running::history::Branch;
use sim::study::running::simulate::{Comparison, Side};

/// What the cases of a study have in common.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Common {
    /// Car and history: they lend each other the way that a hole has grown.
    All,
    /// The car; histories differ.
    Car,
    /// Nothing: each has a meter, weather and a history of its own.
    Nothing,
}

/// Holes anywhere, at idle and full load.
fn study(count: u64, common: Common) -> String {
    let axis = |key: &str, values: &str| format!("[[axis]]\nkey = \"{key}\"\n{values}\n");
    let mut axes = vec![
        axis(
            "leak.0.place",
            "values = [\"manifold_gasket\", \"cold_pipe\", \"inlet_duct\", \"exhaust_manifold\", \
             \"wastegate_signal\", \"recirculation_cover\"]",
        ),
        axis(
            "leak.0.round_hole.diameter",
            "from = \"0.3 mm\"\nto = \"16 mm\"",
        ),
    ];
    let mut meter = "";
    if common != Common::All {
        axes.push(axis(
            "history",
            "values = [\"grown\", \"sudden\", \"restarted\"]",
        ));
    }
    if common == Common::Nothing {
        meter = "[[fault]]\nmeter_reads = 0.95\n";
        let air = "from = \"-10 degC\"\nto = \"40 degC\"";
        axes.push(axis("fault.0.meter_reads", "from = \"0.8\"\nto = \"1.1\""));
        axes.push(axis("ambient.temperature", air));
    }
    format!(
        "title = \"random\"\nvehicle = \"x\"\nsampling = \"sobol\"\ncount = {count}\nseed = 3\n\
         [[leak]]\nplace = \"manifold_gasket\"\nround_hole = {{ diameter = \"4 mm\" }}\n{meter}{}\
         [[point]]\nname = \"idle\"\nidle = true\n\
         [[point]]\nname = \"full\"\nspeed = \"4500 rpm\"\npedal = \"100 %\"\n",
        axes.concat()
    )
}

/// What was found about some rows.
#[derive(Default)]
struct Tally {
    rows: u64,
    /// Rows with an answer, by history; without one.
    answered: [u64; 3],
    none: u64,
    /// Rows of a branch that a growing fault does not lead to, or only by a jump.
    other: u64,
    jumped: u64,
    /// Rows whose answer, alone, is another one.
    mixed: Vec<String>,
    /// Largest difference of a reading, over its size, of all rows but those.
    worst: f64,
}

impl Tally {
    fn and(mut self, more: Self) -> Self {
        self.rows += more.rows;
        for (a, b) in self.answered.iter_mut().zip(more.answered) {
            *a += b;
        }
        self.none += more.none;
        self.other += more.other;
        self.jumped += more.jumped;
        self.mixed.extend(more.mixed);
        self.worst = self.worst.max(more.worst);
        self
    }

    /// One row; of every so many cases beside the same case alone, on a healthy car that has learnt.
    fn row(
        &mut self,
        row: &Row,
        (scenario, network): &(Scenario, Network<f64>),
        sound: &Comparison,
        every: u64,
    ) {
        self.rows += 1;
        let grown = scenario.history == History::Grown;
        match &row.outcome {
            Outcome::Point(_, _, branch) => {
                self.answered[scenario.history as usize] += 1;
                self.jumped += u64::from(*branch == Branch::Jumped);
                self.other += u64::from(*branch == Branch::Other);
                if grown && *branch == Branch::Other {
                    self.mixed
                        .push(format!("{}: grown, and yet other", row.case));
                }
            }
            _ => self.none += 1,
        }
        // Each point of a case is the other's witness of what was learnt: one of them is enough.
        if !row.case.is_multiple_of(every) || row.point as u64 != row.case / every % 2 {
            return;
        }
        let command = scenario.point[row.point].command().unwrap();
        let cars = sound.otherwise(scenario.history).instead(network);
        match differs(row, cars.point("", command).faulty.unwrap()) {
            Ok(far) => self.worst = self.worst.max(far),
            Err(why) => {
                let about = (row.case, row.point, &row.values);
                self.mixed.push(format!("{about:?}: {why}"));
            }
        }
    }
}

/// How far a row is from the case alone, over the sizes of the readings; why it is another answer.
fn differs(row: &Row, alone: Result<Side, Failure>) -> Result<f64, String> {
    match (&row.outcome, alone) {
        (Outcome::Point(side, ..), Ok(alone)) => {
            let far = side.readings.values.iter().zip(alone.readings.values);
            let far = far.map(|(a, b)| match (a.is_nan(), b.is_nan()) {
                (true, true) => 0.0,
                (false, false) => (a - b).abs() / b.abs().max(1.0),
                _ => f64::INFINITY,
            });
            let far = far.fold(0.0, f64::max);
            match far < 1e-6 && side.codes == alone.codes {
                true => Ok(far),
                false => Err(format!(
                    "{far:.1e}, codes {:?} {:?}",
                    side.codes, alone.codes
                )),
            }
        }
        (Outcome::None(_), Err(_)) => Ok(0.0),
        (Outcome::None(failed), Ok(_)) => Err(failed.why.clone()),
        (_, Err(why)) => Err(why.to_string()),
        (Outcome::Drive(_), _) => Err("a drive".into()),
    }
}

/// Runs a study whose cases, at most ten thousand of them, stand alone, too: none is another answer.
fn alike(common: Common, usual: u64) {
    let count = std::env::var("FALSEAIR_CASES").map_or(usual, |text| text.parse().unwrap());
    let study: Study = toml::from_str(&study(count, common)).unwrap();
    let car: sim::Vehicle = falseair::input::read_toml(&vehicle()).unwrap();
    let plan = Plan::new(&study, car).unwrap();
    let every = count.div_ceil(10_000);
    let cases = Sweep::new(&plan);
    let healthy = |network: &Network<f64>| Comparison::new(&network.healthy());
    let first = healthy(&plan.built(&plan.values(0)).unwrap().1);
    let chunks = (0..plan.chunks()).into_par_iter();
    let tallies = chunks.map(|chunk| {
        let mut tally = Tally::default();
        cases.chunk(chunk, &mut |row| {
            let built = plan.built(&row.values).unwrap();
            let stands = row.case.is_multiple_of(every);
            let own = (stands && common == Common::Nothing).then(|| healthy(&built.1));
            tally.row(&row, &built, own.as_ref().unwrap_or(&first), every);
        });
        if count > 1000 {
            println!(
                "chunk {chunk} of {}: {} rows, {:.1e}, {:?}",
                plan.chunks(),
                tally.rows,
                tally.worst,
                tally.mixed
            );
        }
        tally
    });
    let all = tallies.reduce(Tally::default, Tally::and);
    println!(
        "{count} cases, in common {common:?}: rows grown, sudden, restarted {:?}, without answer {}; \
         jumped {}, other {}; mixed {}; the rest within {:.1e}",
        all.answered,
        all.none,
        all.jumped,
        all.other,
        all.mixed.len(),
        all.worst
    );
    assert!(all.mixed.is_empty(), "{}", all.mixed.join("\n"));
    assert!(all.worst < 1e-9, "{}", all.worst);
}

// A sample's cases, run beside others, are those of a comparison of each alone; a row says of which
// branch it is. C: consistency of two ways. `FALSEAIR_CASES` says how many; more than a test has
// time for are for `benches/records.md`.

/// They lend each other the way that they have grown.
#[test]
fn cases_that_lend_each_other_their_way_are_those_of_each_alone() {
    alike(Common::All, 160);
}

/// No history lends another its answer.
#[test]
fn cases_of_mixed_histories_are_those_of_each_alone() {
    alike(Common::Car, 10);
}

/// Neither does a neighbour of another meter and weather.
#[test]
fn cases_in_their_own_weather_are_those_of_each_alone() {
    alike(Common::Nothing, 4);
}
