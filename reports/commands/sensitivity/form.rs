//! Sensitivities for programs, spreadsheets and people.

use crate::answer::csv::{number, rows};
use crate::answer::{Answers, Trouble};
use crate::commands::sensitivity::{Of, Shown};
use crate::figure::bars::{Bar, bars};
use crate::figure::ink::Ink;
use crate::page::{Block, Cell, Column, Page, Picture, Section};
use crate::record;
use crate::say::sensitivity as say;
use crate::text::number::slug;
use sim::network::readings::FORMS;
use sim::solve::Failure;
use sim::study::asking::sensitivity::{PointSlopes, Stop};
use sim::units::{convert, round, si_unit};

record! {
    /// What moves the readings of a car.
    pub(super) struct SensitivityFile {
        scenario: String;
        vehicle: String;
        points: Vec<Point>;
        #[serde(skip)]
        head: Page;
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
    }

    /// A reading, or the level of a trouble code, and what moves it most.
    pub(super) struct Explained {
        reading: &'static str;
        unit: &'static str;
        value: Option<f64>;
        by: Vec<Effect>;
    }

    /// A quantity and what it does to a reading.
    pub(super) struct Effect {
        quantity: String;
        value_si: f64;
        si_unit: String;
        value: f64;
        unit: String;
        slope_per_si: f64;
        slope_per_unit: f64;
        percent_per_percent: Option<f64>;
    }
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
            ((slope * by.step).abs(), by, slope, elasticity)
        });
        // A thousandth of the last digit shown: below it is nothing, or round-off.
        let least = match of {
            Of::Reading(reading) => 1e-3 * 10f64.powi(-(FORMS[reading as usize].decimals as i32)),
            Of::Level(_) => 1e-6,
        };
        let moving = effects.filter(|(size, ..)| value.is_some() && *size > least);
        let mut ranked: Vec<_> = moving.collect();
        ranked.sort_by(|a, b| b.0.total_cmp(&a.0));
        let ranked = ranked.into_iter().take(top);
        Self {
            reading: of.key(),
            unit: of.unit(),
            value,
            by: ranked
                .map(|(_, by, slope, elasticity)| Effect::new(by, slope, elasticity))
                .collect(),
        }
    }

    /// `boost_kpa, now 11.81 kPa`, to so many digits.
    fn now(&self, value: f64, digits: usize) -> String {
        let value = if value.abs() < 1e-6 { 0.0 } else { value };
        let value = format!("{} {}", signless(value, digits), self.unit);
        say::now(self.reading, value.trim_end())
    }

    fn picture(&self, at: &str, json: &str) -> Option<Picture> {
        let value = self.value.filter(|_| !self.by.is_empty())?;
        let bar = |(k, effect): (usize, &Effect)| {
            let slope = signed(effect.slope_per_unit, 3);
            // What 1 % of the quantity does (of its range, where it is zero).
            let percent = effect.percent_per_percent;
            Bar {
                name: effect.quantity.clone(),
                value: percent.unwrap_or(0.0),
                said: format!("{slope} {} per {}", self.unit, effect.per()),
                json: percent.map_or(String::new(), |_| {
                    format!("{json}/by/{k}/percent_per_percent")
                }),
                interval: None,
                ink: if k == 0 { Ink::Faulty } else { Ink::Sound },
            }
        };
        let all: Vec<Bar> = self.by.iter().enumerate().map(bar).collect();
        let now = self.now(value, 3);
        let name = format!("sensitivity-{}-{}", slug(at), slug(self.reading));
        Some(Picture::new(name, say::bars(&now), bars(&now, &all, 460.0)))
    }

    /// Rows of a table under a heading.
    fn rows(&self, value: f64) -> Vec<Vec<Cell>> {
        let now = self.now(value, 4);
        let heading = match self.by.is_empty() {
            true => say::nothing_moves(now),
            false => now,
        };
        let row = |effect: &Effect| {
            let value = format!("{} {}", signless(effect.value, 4), effect.unit);
            let percent = effect.percent_per_percent;
            let percent = percent.map_or("\u{2013}".into(), |percent| signed(percent, 3));
            let slope = signed(effect.slope_per_unit, 4);
            let cells = [
                effect.quantity.clone(),
                format!("{:>10}", value.trim_end()),
                format!("{slope:>10} per {}", effect.per()),
                format!("{percent:>8}"),
            ];
            cells.map(Cell::words).into()
        };
        let rows = self.by.iter().map(row);
        [vec![Cell::words(heading)]]
            .into_iter()
            .chain(rows)
            .collect()
    }
}

impl Effect {
    fn new(by: &Shown, slope: f64, elasticity: Option<f64>) -> Self {
        let (value, dimension) = (by.quantity.value, by.dimension);
        Self {
            quantity: by.quantity.key.clone(),
            value_si: value,
            si_unit: si_unit(dimension),
            value: convert(value, &by.unit, dimension).unwrap_or(value),
            unit: by.unit.clone(),
            slope_per_si: slope,
            slope_per_unit: slope * by.one,
            percent_per_percent: elasticity,
        }
    }

    /// The unit without the word that says from where a pressure counts.
    fn per(&self) -> &str {
        match self.unit.as_str() {
            "" => "1",
            unit => unit.trim_end_matches(" abs").trim_end_matches(" gauge"),
        }
    }
}

fn signless(value: f64, digits: usize) -> String {
    round(value, digits).replace('-', "\u{2212}")
}

fn signed(value: f64, digits: usize) -> String {
    let plus = if value > 0.0 { "+" } else { "" };
    plus.to_string() + &signless(value, digits)
}

impl Answers for SensitivityFile {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn page(&self) -> Page {
        let mut page = self.head.clone();
        page.title = say::title(&self.scenario);
        page.lead.push(say::ABOUT.into());
        let points = self.points.iter().enumerate();
        page.sections = points.map(|(i, point)| point.section(i)).collect();
        page
    }

    /// One row a point, reading and quantity.
    fn csv(&self) -> Result<String, Trouble> {
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

    fn failures(&self) -> Vec<String> {
        let failed = self.points.iter();
        let failed = failed.filter_map(|p| Some(format!("{}: {}", p.name, p.failure.as_ref()?)));
        failed.collect()
    }
}

impl Point {
    fn section(&self, index: usize) -> Section {
        let mut blocks = Vec::new();
        if let Some(why) = &self.failure {
            blocks.push(Block::Caution(say::no_answer(why)));
        } else {
            let readings = self.readings.iter().enumerate();
            let pictures = readings.filter_map(|(j, reading)| {
                reading.picture(&self.name, &format!("/points/{index}/readings/{j}"))
            });
            let pictures: Vec<Picture> = pictures.collect();
            let named = self.readings.iter().filter_map(|r| Some((r, r.value?)));
            let rows: Vec<Vec<Cell>> = named.flat_map(|(r, value)| r.rows(value)).collect();
            let heads = ["quantity", "     value", "    change", "     %/%"];
            let nothing = Block::Words(say::NOTHING_MOVES_THESE.into());
            if rows.is_empty() {
                blocks.push(nothing);
            } else {
                blocks.push(match pictures.is_empty() {
                    true => nothing.on_page(),
                    false => Block::Row(pictures),
                });
                blocks.push(Block::table("", heads.map(Column::words), rows).on_terminal());
            }
        }
        let stops = self.one_sided.iter().map(say::one_sided);
        blocks.extend(stops.map(Block::Caution));
        blocks.extend(self.reduced.then(|| Block::Caution(say::REDUCED.into())));
        Section::new(&self.name, blocks)
    }
}
