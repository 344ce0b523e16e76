//! The healthy twin: what this car, or sisters of its make, showed while healthy, on another day,
//! in other weather and at other loads, tells what is in doubt about it now.
//!
//! A healthy car's readings are linear in the doubts, which are normal; once they are read, the
//! doubts are normal again, with another mean and covariance (rasmussen_williams2006, eq. A.6). So
//! a twin is judged as a difference through the model, not as one reading less another.

use super::evidence::Read;
use super::ladders::{Ladders, Rung};
use super::twin::{Match, Of, Twin};
use crate::study::knowing::doubt::CarDoubt;
use crate::study::knowing::unlike::{Driven, Shift, likeness};
use crate::study::running::condition::Condition;
use nalgebra::{DMatrix, DVector};
use statrs::function::gamma::gamma_ur;

/// How alike what a car has of its own is on two days, and in two cars of one make. Own choice:
/// an engine computer goes on learning, and no two cars were kept alike.
const DAYS: f64 = 0.99;
const SISTERS: f64 = 0.9;
/// Added to a correlation matrix that rounding may have made singular.
const JITTER: f64 = 1e-9;

/// Readings of a healthy car.
#[derive(Clone, Debug)]
pub struct Record {
    /// Whose.
    pub of: Of,
    /// How far what was so then still holds, 0 to 1.
    pub holds: f64,
    /// How it was driven.
    pub conditions: Vec<Condition>,
    /// What the model's healthy car shows there.
    pub sound: Rung,
    /// What was read.
    pub reads: Vec<Read>,
}

/// One reading of a record, and how it hangs on what is in doubt.
struct Row<'a> {
    record: usize,
    of: Of,
    holds: f64,
    read: &'a Read,
    condition: &'a Condition,
    mean: f64,
    numbers: DVector<f64>,
    demand: f64,
    shifts: Vec<Shift>,
}

impl<'a> Row<'a> {
    /// None for a reading that has no meaning there.
    fn new(ladders: &Ladders, record: &'a Record, number: usize, read: &'a Read) -> Option<Self> {
        let spot = record.sound.spots[read.condition].as_ref()?;
        let mean = spot.readings.get(read.reading)?;
        let slopes = spot.slopes.readings.row(read.reading as usize);
        let mut numbers = DVector::zeros(ladders.doubt.count());
        for (k, j, factor) in &ladders.links {
            numbers[*j] += slopes[*k] * factor;
        }
        let condition = &record.conditions[read.condition];
        let driven = Driven::of(&condition.command);
        Some(Self {
            record: number,
            of: record.of,
            holds: record.holds,
            read,
            condition,
            mean,
            numbers,
            demand: slopes[ladders.columns().0],
            shifts: (ladders.doubt.unlike)
                .shifts(read.reading, mean, driven)
                .collect(),
        })
    }

    /// How alike two records are in number `k` of the car.
    fn same(of: [Of; 2], doubt: &CarDoubt, k: usize) -> f64 {
        match of {
            [Of::ThisCar, Of::ThisCar] => doubt.of_car[k],
            _ => doubt.of_make[k].min(doubt.of_car[k]),
        }
    }

    /// And in what is no number.
    fn alike(of: [Of; 2]) -> f64 {
        match of {
            [Of::ThisCar, Of::ThisCar] => DAYS,
            _ => SISTERS,
        }
    }

    fn covariance(&self, other: &Self, ladders: &Ladders, displacement: f64) -> f64 {
        let doubt = &ladders.doubt;
        let numbers = self.numbers.iter().zip(&other.numbers).enumerate();
        let one = self.record == other.record;
        let of = [self.of, other.of];
        let both = |alike: f64| match one {
            true => 1.0,
            false => self.holds * other.holds * alike,
        };
        let numbers = numbers.map(|(k, (a, b))| both(Self::same(of, doubt, k)) * a * b);
        let together = one && self.read.condition == other.read.condition;
        let demand = f64::from(u8::from(together)) * self.demand * other.demand;
        let kernel = likeness(
            &self.condition.command,
            &other.condition.command,
            displacement,
        );
        let mut shifts = 0.0;
        for a in &self.shifts {
            for b in other.shifts.iter().filter(|b| b.aspect == a.aspect) {
                shifts += a.common * b.common + kernel * a.alone * b.alone;
            }
        }
        numbers.sum::<f64>() + demand + both(Self::alike(of)) * shifts
    }

    /// Covariance with the doubts of this car now.
    fn across(&self, ladders: &Ladders, displacement: f64) -> DVector<f64> {
        let mut all = DVector::zeros(ladders.doubts());
        for (k, own) in self.numbers.iter().enumerate() {
            all[k] = self.holds * Self::same([Of::ThisCar, self.of], &ladders.doubt, k) * own;
        }
        let alike = self.holds * Self::alike([Of::ThisCar, self.of]);
        let now = ladders.conditions.iter();
        let kernel = now.map(|now| likeness(&self.condition.command, &now.command, displacement));
        let kernel = ladders.near.along(&kernel.collect::<Vec<f64>>());
        let first = ladders.doubt.count() + ladders.conditions.len();
        let unlike = ladders.doubt.unlike;
        for shift in &self.shifts {
            all[first + shift.aspect] += alike * shift.common;
            for (c, kernel) in kernel.iter().enumerate() {
                all[first + unlike.alone(shift.aspect, c)] += alike * shift.alone * kernel;
            }
        }
        all
    }
}

/// What `records` tell about the car of `ladders`, and how well they fit a healthy one; none
/// where they hold no reading that the model has.
pub(super) fn told(ladders: &Ladders, records: &[Record]) -> Option<(Twin, Match)> {
    let displacement = ladders.car.network.vehicle.cylinders.displacement;
    let rows = records.iter().enumerate().flat_map(|(number, record)| {
        let reads = record.reads.iter();
        reads.filter_map(move |read| Row::new(ladders, record, number, read))
    });
    let rows: Vec<Row> = rows.collect();
    if rows.is_empty() {
        return None;
    }
    let count = rows.len();
    let covariance = DMatrix::from_fn(count, count, |i, j| {
        let own = f64::from(u8::from(i == j)) * rows[i].read.deviation.powi(2);
        rows[i].covariance(&rows[j], ladders, displacement) + own
    });
    let apart = DVector::from_fn(count, |i, _| rows[i].read.value - rows[i].mean);
    let law = covariance.cholesky()?;
    let across: Vec<_> = (rows.iter())
        .map(|row| row.across(ladders, displacement).transpose())
        .collect();
    let across = DMatrix::from_rows(&across);
    let weighted = law.solve(&apart);
    let mean = across.tr_mul(&weighted);
    let doubts = ladders.doubts();
    let left =
        DMatrix::identity(doubts, doubts) * (1.0 + JITTER) - across.tr_mul(&law.solve(&across));
    let factor = left.cholesky()?.l();
    let inverse = law.inverse();
    let off = |i: usize| weighted[i] / inverse[(i, i)].sqrt();
    let worst = (0..count).max_by(|a, b| off(*a).abs().total_cmp(&off(*b).abs()))?;
    let fit = gamma_ur(count as f64 / 2.0, apart.dot(&weighted) / 2.0);
    let name = rows[worst].condition.name.clone();
    let matched = Match {
        count: [records.len(), count],
        fit,
        worst: (rows[worst].read.reading, name, off(worst)),
    };
    Some((Twin { mean, factor }, matched))
}
