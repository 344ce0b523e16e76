//! The part of a page that says what a leak does in the running car.

use crate::commands::workshop::car::{InCar, Point};
use crate::commands::workshop::kit::label;
use crate::figure::bars::{Bar, bars_within};
use crate::figure::ink::Ink;
use crate::page::record::{Figure, Record, known};
use crate::page::{Block, Picture, Section, Table};
use crate::say::workshop as say;
use crate::text::number::{difference, slug};

const DRAWN: [&str; 3] = known::<Point, 3>(["trim_pct", "boost_kpa", "torque_pct"]);

/// What is not shown by one decimal.
const NOTHING: f64 = 0.05;

impl Point {
    /// Limits of a figure that is drawn.
    fn limits(&self, key: &str) -> Option<[f64; 2]> {
        match key {
            "trim_pct" => self.trim_limits_pct,
            "boost_kpa" => self.boost_limits_kpa,
            _ => self.torque_limits_pct,
        }
    }
}

impl InCar {
    /// Table and bars, point by point.
    pub fn section(&self) -> Section {
        let place = label(self.place);
        let drawn = Point::chosen(&DRAWN).into_iter();
        let pictures = drawn.filter_map(|figure| self.picture(figure)).collect();
        let pictures: Vec<Picture> = pictures;
        let shows = !pictures.is_empty();
        let mut blocks = match shows {
            true => vec![Block::Row(pictures)],
            false => vec![Block::Words(say::NOTHING_IN_CAR.into())],
        };
        let table = Table::of(say::IN_CAR, "/in_car/points", &self.points, &[]);
        blocks.push(Block::Table(table));
        let mut said = Vec::new();
        for point in &self.points {
            if !point.codes.is_empty() {
                said.push(format!("{}: codes {}.", point.name, point.codes.join(", ")));
            }
            if let Some(why) = &point.failure {
                said.push(format!("{}: no answer, {why}.", point.name));
            }
        }
        blocks.extend(Block::list(said));
        // Codes and points without an answer are never folded away.
        let quiet = !shows && blocks.len() == 2;
        Section::new(format!("In the car: {place}"), blocks).folded(quiet)
    }

    /// None where no bar would have a length.
    fn picture(&self, figure: &Figure<Point>) -> Option<Picture> {
        let (name, unit, key) = (figure.label, figure.unit, figure.key);
        let all = self.points.iter().enumerate();
        let all = all.filter_map(|(i, point)| {
            let (json, value) = figure.cell(point, &format!("/in_car/points/{i}")).number?;
            Some(Bar {
                name: point.name.clone(),
                value,
                said: format!("{} {unit}", difference(value, 1)),
                json,
                interval: point.limits(key).map(|[low, high]| (low, high)),
                ink: Ink::Faulty,
            })
        });
        let all: Vec<Bar> = all.collect();
        let nothing = |bar: &Bar| {
            let (low, high) = bar.interval.unwrap_or((bar.value, bar.value));
            [bar.value, low, high]
                .iter()
                .all(|value| value.abs() < NOTHING)
        };
        if all.iter().all(nothing) {
            return None;
        }
        let scene = bars_within(&format!("{name}, {unit}"), &all, 340.0, 2.0);
        Some(Picture::new(
            format!("in-car-{}", slug(name)),
            say::CHANGE,
            scene,
        ))
    }
}
