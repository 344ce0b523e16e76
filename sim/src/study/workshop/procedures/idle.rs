//! Checks of the idling engine, car parked.

use super::row::Row;
use super::{Does, Piece, Protection, Runs, Vent};
use crate::say::procedures as say;
use Does::{Fit, FuelOff, FuelOn, Open, OpenFuel, Shut, Start, TakeOff};

const IDLE: Does = Start(Runs::Idle);

fn idling(row: Row) -> Row {
    row.safe(&[Protection::IdleOnly], &[say::idle_dangers()])
        .stop(say::stop_at_idle())
}

pub(super) fn vacuum(row: Row) -> Row {
    let clamped = [Fit(Piece::ServoClamp), TakeOff(Piece::ServoClamp)];
    idling(row)
        .first(say::warm_idle(), &[IDLE])
        .read(say::clamp_one_by_one(), &clamped)
        .read(say::clamp_falls(), &[])
}

pub(super) fn ventilation(row: Row) -> Row {
    let clamped = [Fit(Piece::Clamp), TakeOff(Piece::Clamp)];
    idling(row)
        .safe(&[Protection::VentOpen], &[say::seals_of_crankcase()])
        .first(say::warm_idle(), &[IDLE])
        .read(say::clamp_ventilation(), &clamped)
        .read(say::clamp_falls(), &[])
}

pub(super) fn breather(row: Row) -> Row {
    idling(row)
        .safe(&[Protection::VentOpen], &[say::oil_and_gas_dangers()])
        .first(
            say::union_set_up(),
            &[Open(Vent::Breather), Fit(Piece::Union)],
        )
        .first(say::crankcase_stays_open(), &[])
        .first(say::start_idle(), &[IDLE])
        .read(say::union_read(), &[])
}

pub(super) fn meter(row: Row) -> Row {
    idling(row)
        .first(say::swap_set_up(), &[])
        .first(say::start_idle(), &[IDLE])
        .read(say::swap_read(), &[])
}

pub(super) fn fuel(row: Row) -> Row {
    idling(row)
        .safe(&[], &[say::fuel_dangers(), say::rail_dangers()])
        .first(
            say::fuel_set_up(),
            &[FuelOff, OpenFuel, Fit(Piece::FuelGauge)],
        )
        .first(say::fuel_fuse_in(), &[FuelOn])
        .first(say::start_idle(), &[IDLE])
        .read(say::fuel_read(), &[])
        .stop(say::stop_at_fuel())
        .back(say::fuel_back(), &[FuelOff])
}

pub(super) fn analyser(row: Row) -> Row {
    idling(row)
        .first(say::analyser_set_up(), &[Fit(Piece::Probe), IDLE])
        .read(say::analyser_read(), &[])
}

pub(super) fn spark(row: Row) -> Row {
    row.safe(
        &[Protection::IdleOnly],
        &[say::idle_dangers(), say::spark_dangers()],
    )
    .first(say::spark_set_up(), &[Open(Vent::SparkPlugs)])
    .first(say::spark_swapped(), &[Shut(Vent::SparkPlugs)])
    .first(say::start_idle(), &[IDLE])
    .read(say::spark_read(), &[])
    .stop(say::stop_at_misfire())
}

pub(super) fn known_hole(row: Row) -> Row {
    idling(row)
        .first(
            say::hole_set_up(),
            &[Open(Vent::Port), Fit(Piece::Hole), Fit(Piece::Stopper)],
        )
        .first(say::start_idle(), &[IDLE])
        .read(
            say::hole_read(),
            &[TakeOff(Piece::Stopper), Fit(Piece::Stopper)],
        )
        .read(say::hole_meaning(), &[])
}

pub(super) fn read(row: Row) -> Row {
    idling(row)
        .first(say::fit_reader(), &[])
        .read(say::read_at_idle(), &[IDLE])
}
