//! Operating points, healthy beside faulty, for people and for programs.

use crate::answer::dangers::Danger;
use crate::answer::readings::{ByKey, Keyed};
use crate::answer::{Answers, Trouble, csv, head};
use crate::commands::simulate::answered::{Answered, Leak, leaks};
use crate::commands::simulate::summary;
use crate::input::case::Case;
use crate::page::Page;
use schemars::JsonSchema;
use serde::Serialize;
use sim::control::watchdogs::Levels;
use sim::network::flows::FLOWS;
use sim::network::readings::{ALL, FORMS};
use sim::network::{AirLedger, Readings};
use sim::study::running::simulate::Side;
use std::collections::BTreeMap;

/// Operating points of a case.
pub(crate) struct Points<'a> {
    pub case: &'a Case,
    pub points: Vec<Answered>,
    /// Whether nothing is folded away.
    pub full: bool,
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
pub(super) struct Point<'a> {
    /// What it is called.
    name: &'a str,
    /// Without leaks and faults.
    healthy: Option<Car<'a>>,
    /// With them, if there are any.
    faulty: Option<Car<'a>>,
    /// Lowest and highest that 95 % of healthy cars of the make read there.
    healthy_cars_95_pct: BTreeMap<&'static str, [f64; 2]>,
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
        Page {
            sections: summary::sections(&self.points, &self.case.network, self.full),
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
    fn bands(&self) -> BTreeMap<&'static str, [f64; 2]> {
        let bands = ALL.iter().zip(FORMS);
        let bands = bands.filter_map(|(reading, form)| Some((form.key, self.band(*reading)?)));
        bands.collect()
    }

    pub(super) fn data(&self) -> Point<'_> {
        let [healthy, faulty] = self.cars().map(|side| side.map(Car::new));
        let failures = self.failures();
        let warnings = self.warnings().into_iter();
        Point {
            name: &self.result.name,
            healthy,
            faulty,
            healthy_cars_95_pct: self.bands(),
            why: self.why.as_deref(),
            warnings: failures.iter().cloned().chain(warnings).collect(),
            failures,
        }
    }
}
