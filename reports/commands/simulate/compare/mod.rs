//! Two scenarios beside each other, point by point: before and after, two cars, two places.

mod page;

use crate::answer::dangers::Danger;
use crate::answer::{Answers, Trouble, csv};
use crate::commands::simulate::answered::Answered;
use crate::commands::simulate::points::Point;
use crate::input::case::Case;
use crate::page::Page;
use crate::say::simulate_compare as say;
use schemars::JsonSchema;
use serde::Serialize;
use sim::network::readings::{ALL, FORMS, Reading as R};
use sim::study::asking::seen::Seen;
use sim::study::running::simulate::Side;
use std::collections::BTreeMap;

/// Two cases with the answers of their points.
pub(crate) struct Compared<'a> {
    cases: [&'a Case; 2],
    points: [Vec<Answered>; 2],
    /// Points of the same name, by their places in the two lists, in the first one's order.
    pairs: Vec<[usize; 2]>,
}

/// Two scenarios point by point. A and B each as their scenario has them, with what is wrong.
#[derive(Serialize, JsonSchema)]
pub(crate) struct File<'a> {
    /// What differs most, and where.
    says: String,
    /// Whether every reading is the same in both, to the decimals that are shown.
    same: bool,
    /// The first.
    a: Whose<'a>,
    /// The other.
    b: Whose<'a>,
    /// Points that both have, in the order of A.
    points: Vec<Pair<'a>>,
    /// Points that only A has.
    only_in_a: Vec<&'a str>,
    /// Points that only B has.
    only_in_b: Vec<&'a str>,
}

/// Which scenario it is.
#[derive(Serialize, JsonSchema)]
struct Whose<'a> {
    /// Title of the scenario.
    scenario: &'a str,
    /// Name of the car.
    vehicle: &'a str,
}

/// A point of both.
#[derive(Serialize, JsonSchema)]
struct Pair<'a> {
    /// What it is called.
    name: &'a str,
    /// B minus A, by reading; only where both have it.
    differences: BTreeMap<&'static str, f64>,
    /// A there.
    a: Point<'a>,
    /// B there.
    b: Point<'a>,
}

impl<'a> Compared<'a> {
    /// Both, each with the answers of its points in its own order.
    pub(super) fn new(cases: [&'a Case; 2], points: [Vec<Answered>; 2]) -> Self {
        let (first, other) = (points[0].iter().enumerate(), &points[1]);
        let pairs = first.filter_map(|(i, a)| {
            let j = other.iter().position(|b| b.result.name == a.result.name)?;
            Some([i, j])
        });
        Self {
            pairs: pairs.collect(),
            cases,
            points,
        }
    }

    /// The two answers at a point.
    fn both(&self, pair: &[usize; 2]) -> [&Answered; 2] {
        [&self.points[0][pair[0]], &self.points[1][pair[1]]]
    }

    /// Names of points that only one of them has: 0 for A, 1 for B.
    fn alone(&self, which: usize) -> Vec<&str> {
        let names = self.points[which].iter().enumerate();
        let alone = names.filter(|(i, _)| !self.pairs.iter().any(|pair| pair[which] == *i));
        alone.map(|(_, point)| point.result.name.as_str()).collect()
    }

    /// What of the difference people can see, point by point. Instrument and band count by the wider
    /// of the two, so that the same is said whichever stands first.
    fn seen(&self) -> Vec<Vec<Seen>> {
        let all = self.pairs.iter().map(|pair| {
            let [a, b] = self.both(pair);
            let (Some(first), Some(other)) = (a.itself(), b.itself()) else {
                return Vec::new();
            };
            let there = Seen::all(first, other, a.spread.as_ref());
            let back = Seen::all(other, first, b.spread.as_ref());
            let wider = there.into_iter().zip(back).map(|(there, back)| Seen {
                instrument: there.instrument.max(back.instrument),
                spread: there.spread.max(back.spread),
                ..there
            });
            wider.collect()
        });
        all.collect()
    }

    /// Whether every reading is the same in both, to the decimals that are shown.
    fn same(&self) -> bool {
        let alone = [0, 1].iter().any(|which| !self.alone(*which).is_empty());
        let mut pairs = self.pairs.iter();
        !alone
            && pairs.all(|pair| {
                ALL.iter()
                    .all(|reading| !differs(self.both(pair), *reading))
            })
    }

    /// The two as they are called in answers: `A (Split hose)`.
    fn called(&self) -> [String; 2] {
        [("A", 0), ("B", 1)].map(|(letter, i)| say::called(letter, &self.cases[i].scenario.title))
    }
}

impl Answered {
    /// The car as its scenario has it.
    pub(super) fn itself(&self) -> Option<&Side> {
        match &self.result.faulty {
            Some(faulty) => faulty.as_ref().ok(),
            None => self.result.healthy.as_ref().ok(),
        }
    }

    fn read(&self, reading: R) -> Option<f64> {
        self.itself().and_then(|side| side.readings.get(reading))
    }
}

/// B minus A.
fn difference([a, b]: [&Answered; 2], reading: R) -> Option<f64> {
    Some(b.read(reading)? - a.read(reading)?)
}

/// Whether two readings differ in what is shown, or only one of the cars has it.
fn differs(both: [&Answered; 2], reading: R) -> bool {
    let half = 0.5 * 10f64.powi(-(FORMS[reading as usize].decimals as i32));
    match difference(both, reading) {
        Some(difference) => difference.abs() >= half,
        None => both[0].read(reading).is_some() != both[1].read(reading).is_some(),
    }
}

impl Answers for Compared<'_> {
    type Data<'b>
        = File<'b>
    where
        Self: 'b;

    fn data(&self) -> File<'_> {
        let [a, b] = self.cases.map(|case| Whose {
            scenario: &case.scenario.title,
            vehicle: &case.network.vehicle.name,
        });
        let points = self.pairs.iter().map(|pair| {
            let both = self.both(pair);
            let differences = ALL.iter().filter_map(|reading| {
                let key = FORMS[*reading as usize].key;
                Some((key, difference(both, *reading)?))
            });
            Pair {
                name: &both[0].result.name,
                differences: differences.collect(),
                a: both[0].data(),
                b: both[1].data(),
            }
        });
        File {
            says: page::says(self, &self.seen()),
            same: self.same(),
            points: points.collect(),
            only_in_a: self.alone(0),
            only_in_b: self.alone(1),
            a,
            b,
        }
    }

    fn page(&self) -> Page {
        page::page(self)
    }

    /// One row a point and reading.
    fn csv(&self) -> Result<String, Trouble> {
        let heads = [
            "point",
            "reading",
            "unit",
            "a",
            "b",
            "difference",
            "a_healthy_low",
            "a_healthy_high",
            "b_healthy_low",
            "b_healthy_high",
            "a_dangers",
            "b_dangers",
        ];
        let heads: Vec<String> = heads.map(String::from).into();
        let rows = self.pairs.iter().flat_map(|pair| {
            let both = self.both(pair);
            ALL.iter().map(move |reading| {
                let form = &FORMS[*reading as usize];
                let mut row = vec![
                    both[0].result.name.clone(),
                    form.key.into(),
                    form.unit.into(),
                ];
                let read = both.map(|one| one.read(*reading));
                let read = read.into_iter().chain([difference(both, *reading)]);
                row.extend(read.map(csv::number));
                let bands = both.map(|one| one.band(*reading));
                let ends = bands.iter().flat_map(|band| match band {
                    Some([low, high]) => [Some(*low), Some(*high)],
                    None => [None; 2],
                });
                row.extend(ends.map(csv::number));
                row.extend(both.map(|one| {
                    let found = one.itself().map_or(&[][..], |side| &side.dangers);
                    let words = found.iter().map(|danger| danger.hazard.word());
                    words.collect::<Vec<_>>().join(" ")
                }));
                row
            })
        });
        csv::rows(&heads, rows)
    }

    /// Those of either, told of which.
    fn dangers(&self) -> Vec<Danger> {
        let called = self.called();
        let both = self.points.iter().zip(&called);
        let all = both.flat_map(|(points, called)| {
            points.iter().flat_map(move |point| {
                let found = point.itself().map_or(&[][..], |side| &side.dangers);
                Danger::all(called, &point.result.name, found)
            })
        });
        all.collect()
    }

    fn cautions(&self) -> Option<Vec<String>> {
        let both = self.points.iter().zip(["A", "B"]);
        let all = both.flat_map(|(points, letter)| {
            points.iter().flat_map(move |point| {
                let warned = point.itself().map_or(&[][..], |side| &side.warnings);
                let name = &point.result.name;
                warned
                    .iter()
                    .map(move |warning| say::caution(letter, name, warning))
            })
        });
        Some(all.collect())
    }

    fn failures(&self) -> Vec<String> {
        let both = self.points.iter().zip(["A", "B"]);
        let all = both.flat_map(|(points, letter)| {
            let failed = points.iter().flat_map(Answered::failures);
            failed.map(move |why| format!("{letter}, {why}"))
        });
        all.collect()
    }
}
