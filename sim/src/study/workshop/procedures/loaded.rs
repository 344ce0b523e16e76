//! Checks of the engine under load: on a roller or a closed road, a second person reading, with
//! limits at which the driver breaks off.

use super::row::Row;
use super::{Does, OfCar, Piece, Protection, Runs};
use crate::say::procedures as say;
use crate::units::round;
use Does::{Fit, SecondPerson, Start};
use std::f64::consts::PI;

const LOADED: [Does; 2] = [SecondPerson, Start(Runs::Loaded)];

fn loaded(row: Row, car: &OfCar) -> Row {
    row.safe(&[Protection::SecondPerson], &[say::road_dangers()])
        .stop(say::stop_at_load(
            round(car.abort_boost() / 1e3, 3),
            car.speed * 30.0 / PI,
            car.exhaust - 273.15,
        ))
}

fn pulled(row: Row, car: &OfCar) -> Row {
    let boost = round(car.abort_boost() / 1e3, 3);
    row.read(say::pull_and_read(boost), &LOADED)
}

pub(super) fn back_pressure(row: Row, car: &OfCar) -> Row {
    let row = loaded(row, car).first(say::gauge_before_catalyst(), &[Fit(Piece::Gauge)]);
    pulled(row, car).read(say::back_pressure_read(), &[])
}

pub(super) fn cooler(row: Row, car: &OfCar) -> Row {
    let gauges = [Fit(Piece::Gauge), Fit(Piece::SecondGauge)];
    let row = loaded(row, car).first(say::gauges_at_cooler(), &gauges);
    pulled(row, car).read(say::cooler_read(), &[])
}

pub(super) fn cruise(row: Row, car: &OfCar) -> Row {
    loaded(row, car)
        .first(say::fit_reader(), &[])
        .read(say::read_at_cruise(), &LOADED)
}

pub(super) fn pull(row: Row, car: &OfCar) -> Row {
    let row = loaded(row, car).first(say::fit_reader(), &[]);
    pulled(row, car)
}
