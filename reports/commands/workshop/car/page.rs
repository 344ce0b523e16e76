//! The part of a page that says what a leak does in the running car.

use crate::commands::workshop::car::{InCar, Point};
use crate::figure::bars::{Bar, bars_within};
use crate::figure::ink::Ink;
use crate::page::{Block, Picture, Section, Table};
use crate::text::number::{difference, slug};

/// A reading drawn: name, unit, key, decimals, value, limits.
type Drawn = (
    &'static str,
    &'static str,
    &'static str,
    usize,
    fn(&Point) -> Option<f64>,
    fn(&Point) -> Option<[f64; 2]>,
);

const DRAWN: [Drawn; 3] = [
    (
        "fuel trim",
        "%",
        "trim_pct",
        1,
        |point| point.trim_pct,
        |point| point.trim_limits_pct,
    ),
    (
        "boost",
        "kPa",
        "boost_kpa",
        1,
        |point| point.boost_kpa,
        |point| point.boost_limits_kpa,
    ),
    (
        "torque",
        "%",
        "torque_pct",
        1,
        |point| point.torque_pct,
        |point| point.torque_limits_pct,
    ),
];

impl InCar {
    /// Table and bars, point by point.
    pub fn section(&self) -> Section {
        let place = self.place.replace('_', " ");
        let pictures = DRAWN.iter().map(|drawn| self.picture(drawn)).collect();
        let mut blocks = vec![
            Block::Row(pictures),
            Block::Table(Table::of(
                "The leaking car less the sound one; pressure across the leak is that of the sound \
                 car, lambda that of the leaking one; air into the path counts as positive.",
                "/in_car/points",
                &self.points,
                &[],
            )),
        ];
        let mut said = Vec::new();
        for point in &self.points {
            if !point.codes.is_empty() {
                said.push(format!("{}: codes {}.", point.name, point.codes.join(", ")));
            }
            if let Some(why) = &point.failure {
                said.push(format!("{}: no answer, {why}.", point.name));
            }
        }
        if !said.is_empty() {
            blocks.push(Block::List(said));
        }
        Section {
            heading: format!("In the car: {place}"),
            blocks,
        }
    }

    fn picture(&self, (name, unit, key, decimals, value, limits): &Drawn) -> Picture {
        let all = self.points.iter().enumerate();
        let all = all.filter_map(|(i, point)| {
            let value = value(point)?;
            Some(Bar {
                name: point.name.clone(),
                value,
                said: format!("{} {unit}", difference(value, *decimals)),
                json: format!("/in_car/points/{i}/{key}"),
                interval: limits(point).map(|[low, high]| (low, high)),
                ink: Ink::Faulty,
            })
        });
        let all: Vec<Bar> = all.collect();
        Picture {
            name: format!("in-car-{}", slug(name)),
            caption: format!(
                "Change of {name} by the leak; thin lines: the smallest and the largest leak that the \
                 measurement allows."
            ),
            scene: bars_within(&format!("{name}, {unit}"), &all, 340.0, 2.0),
        }
    }
}
