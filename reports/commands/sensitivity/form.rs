//! Sensitivities for programs and spreadsheets.

use crate::answer::Trouble;
use crate::answer::csv::{number, rows};
use crate::answer::dangers::Danger;
use crate::commands::sensitivity::{Of, Shown};
use crate::page::Page;
use crate::record;
use sim::network::readings::FORMS;
use sim::solve::Failure;
use sim::study::asking::sensitivity::{PointSlopes, Stop, spelled};
use sim::study::knowing::doubt::instrument;
use sim::units::{convert, si_unit};

record! {
    /// What moves the readings of a car.
    pub(super) struct SensitivityFile {
        scenario: String;
        vehicle: String;
        points: Vec<Point>;
        #[serde(skip)]
        head: Page;
        /// Rows of a table.
        #[serde(skip)]
        top: usize;
        /// Whether nothing is folded away.
        #[serde(skip)]
        full: bool;
    }

    /// An operating point.
    pub(super) struct Point {
        name: String;
        /// Why there is no answer.
        failure: Option<String>;
        /// What stands at or near its stop, so that derivatives hold to one side.
        one_sided: Vec<String>;
        #[serde(skip)]
        stops: Vec<String>;
        /// Whether a trouble code has reduced the torque.
        reduced: bool;
        readings: Vec<Explained>;
        #[serde(skip)]
        dangers: Vec<Danger>;
    }

    /// A reading, or the level of a trouble code, and what moves it most.
    pub(super) struct Explained {
        reading: &'static str;
        unit: &'static str;
        value: Option<f64>;
        by: Vec<Effect>;
        #[serde(skip)]
        label: &'static str;
        #[serde(skip)]
        decimals: usize;
        /// Standard deviation of the instrument that takes it.
        #[serde(skip)]
        instrument: f64;
        /// What each quantity does, most moving first, however many are asked for.
        #[serde(skip)]
        moves: Vec<Move>;
    }

    /// A quantity and what it does to a reading.
    pub(super) struct Effect {
        quantity: String;
        /// The same in words.
        name: String;
        value_si: f64;
        si_unit: String;
        value: f64;
        unit: String;
        slope_per_si: f64;
        slope_per_unit: f64;
        percent_per_percent: Option<f64>;
        /// Change of the reading by 1 % of the quantity (of its range, where it is zero).
        by_1_pct: f64;
    }
}

/// What 1 % of a quantity does to a reading.
#[derive(Clone, Debug)]
pub(super) struct Move {
    /// Its dotted key.
    pub key: String,
    /// In words.
    pub name: String,
    /// As it is, with its unit.
    pub now: String,
    /// Whether it is a number of what is wrong with the car.
    pub wrong: bool,
    /// Whether it is zero, so that 1 % is of its range.
    pub zero: bool,
    /// The reading's own unit.
    pub change: f64,
}

impl Point {
    pub(super) fn new(name: String, readings: Vec<Explained>, point: &PointSlopes) -> Self {
        Self {
            name,
            failure: None,
            one_sided: point.stops.iter().map(Stop::to_string).collect(),
            stops: point.stops.iter().map(|stop| stop.what.clone()).collect(),
            reduced: point.side.unreduced.is_some(),
            readings,
            dangers: Danger::all("", &point.name, &point.side.dangers).collect(),
        }
    }

    pub(super) fn failed(name: String, why: &Failure) -> Self {
        Self {
            name,
            failure: Some(why.to_string()),
            one_sided: Vec::new(),
            stops: Vec::new(),
            reduced: false,
            readings: Vec::new(),
            dangers: Vec::new(),
        }
    }
}

impl Explained {
    /// The quantities that move `of` at a point, most moving first, at most `top`.
    pub(super) fn new(of: Of, by: &[Shown], point: &PointSlopes, top: usize) -> Self {
        let value = of.value(point);
        let effects = by.iter().enumerate().map(|(j, by)| {
            let (slope, elasticity) = match of {
                Of::Reading(reading) => (
                    point.slope(reading, j).unwrap_or(0.0),
                    point.elasticity(reading, j, by.quantity.value),
                ),
                Of::Level(code) => (point.slopes.levels[(code as usize, j)], None),
            };
            (slope * by.step, by, slope, elasticity)
        });
        // A thousandth of the last digit shown: below it is nothing, or round-off.
        let least = match of {
            Of::Reading(reading) => 1e-3 * 10f64.powi(-(FORMS[reading as usize].decimals as i32)),
            Of::Level(_) => 1e-6,
        };
        let moving = effects.filter(|(change, ..)| value.is_some() && change.abs() > least);
        let mut ranked: Vec<_> = moving.collect();
        ranked.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
        let moves = ranked.iter().map(|(change, by, ..)| Move::new(by, *change));
        let (label, decimals, instrument) = match of {
            Of::Reading(reading) => {
                let form = &FORMS[reading as usize];
                let off = instrument(reading).deviation(value.unwrap_or(0.0));
                (form.label, form.decimals, off)
            }
            // Of a monitor that sets its code at 1.
            Of::Level(code) => (code.word(), 2, 0.1),
        };
        Self {
            reading: of.key(),
            unit: of.unit(),
            value,
            label,
            decimals,
            instrument,
            moves: moves.collect(),
            by: (ranked.into_iter().take(top))
                .map(|(change, by, slope, elasticity)| Effect {
                    by_1_pct: change,
                    percent_per_percent: elasticity,
                    ..Effect::new(by, slope)
                })
                .collect(),
        }
    }
}

impl Effect {
    fn new(by: &Shown, slope: f64) -> Self {
        let (value, dimension) = (by.quantity.value, by.dimension);
        Self {
            quantity: spelled(&by.quantity.key),
            name: by.name.clone(),
            value_si: value,
            si_unit: si_unit(dimension),
            value: convert(value, &by.unit, dimension).unwrap_or(value),
            unit: by.unit.clone(),
            slope_per_si: slope,
            slope_per_unit: slope * by.one,
            percent_per_percent: None,
            by_1_pct: f64::NAN,
        }
    }
}

impl Move {
    fn new(by: &Shown, change: f64) -> Self {
        let key = &by.quantity.key;
        Self {
            key: spelled(key),
            name: by.name.clone(),
            now: by.now(),
            wrong: matches!(key.split('.').next(), Some("leak" | "fault")),
            zero: by.quantity.value == 0.0,
            change,
        }
    }
}

impl SensitivityFile {
    /// One row a point, reading and quantity.
    pub(super) fn rows(&self) -> Result<String, Trouble> {
        const HEADS: [&str; 13] = [
            "point",
            "reading",
            "reading_unit",
            "reading_value",
            "quantity",
            "quantity_si",
            "si_unit",
            "quantity_value",
            "quantity_unit",
            "slope_per_si",
            "slope_per_unit",
            "percent_per_percent",
            "one_sided",
        ];
        let readings = self.points.iter();
        let readings = readings.flat_map(|point| point.readings.iter().map(move |r| (point, r)));
        let lines = readings.flat_map(|(point, reading)| {
            reading.by.iter().map(move |effect| {
                [
                    point.name.clone(),
                    reading.reading.into(),
                    reading.unit.into(),
                    number(reading.value),
                    effect.quantity.clone(),
                    number(effect.value_si),
                    effect.si_unit.clone(),
                    number(effect.value),
                    effect.unit.clone(),
                    number(effect.slope_per_si),
                    number(effect.slope_per_unit),
                    number(effect.percent_per_percent),
                    point.stops.join("; "),
                ]
            })
        });
        rows(HEADS, lines)
    }
}
