//! Checks of the standing engine.

use super::row::Row;
use super::{Does, OfCar, Piece, Protection, Vent};
use crate::say::{plan, procedures as say};
use Does::{Crank, Fit, LetOff, Open, Raise, Turn};

/// Off, up again: what a turn by hand needs.
const TURN: [Does; 4] = [LetOff, Fit(Piece::SparkOff), Turn, Raise];
/// Off, a part sealed, up again.
const SEALED: [Does; 3] = [LetOff, Fit(Piece::Seal), Raise];

/// By compressed air, plugs secured.
fn pressed(row: Row, more: &[Protection]) -> Row {
    let kpa = row.kpa();
    let row = row.safe(
        &[Protection::Regulator],
        &[say::plugs_fly(), say::standing_cold()],
    );
    row.safe(more, &[]).stop(say::stop_at_pressure(kpa))
}

fn raised(row: Row) -> Row {
    let says = say::raise_to(row.kpa());
    row.first(says, &[Raise])
}

/// What passes the rings has a way out.
const VENTED: [Protection; 2] = [Protection::CapOff, Protection::VentOpen];
const BOTH_VENTS: [Does; 2] = [Open(Vent::FillerCap), Open(Vent::Breather)];

/// Dangers of smoke in an engine.
fn of_smoke() -> [&'static str; 3] {
    [
        say::smoke_and_fuel(),
        say::standing_cold(),
        say::seals_of_crankcase(),
    ]
}

pub(super) fn smoke(row: Row) -> Row {
    let kpa = row.kpa();
    row.safe(&[Protection::MachineRelief], &of_smoke())
        .first(
            plan::smoke_into_air_box(),
            &[Fit(Piece::AirBox), Fit(Piece::Smoke)],
        )
        .first(plan::nothing_else_blanked(), &[])
        .first(say::raise_to(&kpa), &[Raise])
        .read(plan::fill_until_smoke(), &[])
        .read(plan::smoke_from_exhaust(), &[])
        .read(say::turn_by_hand(say::until_no_way_through()), &TURN)
        .stop(say::stop_at_pressure(kpa))
        .stop(say::stop_at_oil())
}

pub(super) fn charge(row: Row, car: &OfCar) -> Row {
    let limit = row.0.pressure();
    let plugs = [
        Open(Vent::ChargeHose),
        Fit(Piece::Compressor),
        Fit(Piece::ThrottleHose),
    ];
    let signal = match car.valve_opens < limit {
        true => plan::valve_opens_by_itself(car.valve_opens / 1e3),
        false => plan::valve_stays_shut().into(),
    };
    let seat = match car.vents {
        true => plan::seat_heard_outside(),
        false => plan::seat_heard_inside(),
    };
    let row = pressed(row, &[])
        .first(plan::plug_charge_pipes(), &plugs)
        .first(signal, &[])
        .first(plan::wastegate_hose_stays(), &[]);
    raised(row)
        .read(plan::wait_then_read(), &[])
        .read(plan::soapy_water(), &[])
        .read(seat, &[])
}

pub(super) fn manifold(row: Row) -> Row {
    let row = pressed(row, &VENTED)
        .safe(&[], &[say::seals_of_crankcase()])
        .first(
            plan::throttle_held_open(),
            &[
                Open(Vent::ChargeHose),
                Fit(Piece::Compressor),
                Fit(Piece::ThrottleHold),
            ],
        )
        .first(plan::filler_cap_out(), &BOTH_VENTS)
        .first(
            plan::blank_servo_and_purge(),
            &[Fit(Piece::Servo), Fit(Piece::Purge)],
        )
        .first(plan::ventilation_hose_in_sight(), &[]);
    raised(row)
        .read(say::turn_by_hand(say::to_least()), &TURN)
        .read(plan::wait_then_read(), &[])
        .read(plan::read_again_sealed_off(), &SEALED)
        .stop(say::stop_at_oil())
}

pub(super) fn inlet(row: Row) -> Row {
    let row = pressed(row, &VENTED)
        .safe(&[], &[say::seals_of_crankcase()])
        .first(
            plan::plug_behind_meter(),
            &[Open(Vent::Duct), Fit(Piece::Duct)],
        )
        .first(
            plan::breather_hose_plugged(),
            &[
                Open(Vent::Breather),
                Fit(Piece::Breather),
                Open(Vent::FillerCap),
            ],
        )
        .first(
            plan::throttle_as_before(),
            &[
                Fit(Piece::ThrottleHold),
                Fit(Piece::Servo),
                Fit(Piece::Purge),
            ],
        );
    raised(row)
        .read(say::turn_by_hand(say::to_least()), &TURN)
        .read(plan::rings_pass_here_too(), &SEALED)
        .stop(say::stop_at_oil())
}

/// By hand pump.
fn pumped(row: Row, says: &'static str, does: &[Does]) -> Row {
    let kpa = row.kpa();
    row.safe(&[Protection::HandPump], &[say::standing_cold()])
        .first(says, does)
        .first(say::pump_to(&kpa), &[Raise])
        .stop(say::stop_at_pressure(kpa))
}

pub(super) fn capsule(row: Row, car: &OfCar) -> Row {
    let does = [
        Open(Vent::Signal),
        Fit(Piece::HandPump),
        Fit(Piece::Solenoid),
    ];
    let kpa = car.rod_moves / 1e3;
    let rod = match car.rod_moves < row.0.pressure() {
        true => plan::rod_moves(kpa),
        false => plan::rod_stays(kpa),
    };
    pumped(row, plan::pump_at_boost_pipe(), &does).read(rod, &[])
}

pub(super) fn chamber(row: Row) -> Row {
    let does = [
        Open(Vent::Signal),
        Open(Vent::ChargeHose),
        Fit(Piece::HandPump),
    ];
    pumped(row, plan::pump_at_manifold(), &does).read(plan::gauge_stands_still(), &[])
}

pub(super) fn crankcase(row: Row) -> Row {
    let kpa = row.kpa();
    row.safe(&[Protection::MachineRelief], &of_smoke())
        .first(
            plan::smoke_through_breather(),
            &[Open(Vent::Breather), Fit(Piece::Smoke)],
        )
        .first(plan::ventilation_hose_off(), &[Open(Vent::Ventilation)])
        .first(say::raise_to(&kpa), &[Raise])
        .read(plan::look_at_crankcase(), &[])
        .stop(say::stop_at_pressure(kpa))
        .stop(say::stop_at_oil())
}

pub(super) fn exhaust(row: Row) -> Row {
    let cautions = [say::smoke_and_fuel(), say::seals_of_crankcase()];
    let row = pressed(row, &VENTED)
        .safe(&[], &cautions)
        .first(plan::exhaust_cold(), &[Fit(Piece::Cone), Fit(Piece::Smoke)])
        .first(
            plan::crankcase_open(),
            &[
                Open(Vent::FillerCap),
                Open(Vent::Breather),
                Open(Vent::AirBox),
            ],
        );
    raised(row)
        .read(say::turn_by_hand(say::until_smoke_stays()), &TURN)
        .read(plan::look_at_exhaust(), &[])
        .stop(say::stop_at_oil())
}

pub(super) fn duct(row: Row) -> Row {
    let plugs = [
        Open(Vent::Duct),
        Fit(Piece::Duct),
        Fit(Piece::DuctEnd),
        Open(Vent::Breather),
        Fit(Piece::Union),
    ];
    let row = pressed(row, &[Protection::VentOpen])
        .first(say::duct_set_up(), &plugs)
        .first(say::crankcase_vented(), &[Open(Vent::FillerCap)]);
    raised(row)
        .read(plan::wait_then_read(), &[])
        .read(plan::soapy_water(), &[])
}

pub(super) fn manifold_flow(row: Row) -> Row {
    let row = pressed(row, &VENTED)
        .safe(&[], &[say::seals_of_crankcase()])
        .first(
            say::throttle_plugged(),
            &[Open(Vent::ChargeHose), Fit(Piece::Throttle)],
        )
        .first(plan::filler_cap_out(), &BOTH_VENTS)
        .first(
            plan::blank_servo_and_purge(),
            &[Fit(Piece::Servo), Fit(Piece::Purge)],
        );
    raised(row)
        .read(say::turn_by_hand(say::to_least()), &TURN)
        .read(say::flow_or_fall(), &[])
        .stop(say::stop_at_oil())
}

pub(super) fn filter(row: Row) -> Row {
    row.safe(&[Protection::Standing], &[say::standing_cold()])
        .first(say::filter_set_up(), &[Open(Vent::AirBox)])
        .read(say::filter_read(), &[])
}

pub(super) fn sensors(row: Row) -> Row {
    row.safe(&[Protection::Standing], &[])
        .first(say::sensors_set_up(), &[])
        .read(say::sensors_read(), &[])
}

pub(super) fn turbo(row: Row) -> Row {
    row.safe(&[Protection::Standing], &[say::standing_cold()])
        .first(say::turbo_set_up(), &[Open(Vent::Duct)])
        .read(say::turbo_read(), &[])
}

pub(super) fn compression(row: Row) -> Row {
    let set_up = [
        Open(Vent::FillerCap),
        Fit(Piece::SparkOff),
        Open(Vent::SparkPlugs),
        Fit(Piece::CylinderGauge),
        Fit(Piece::ThrottleHold),
    ];
    row.safe(&[Protection::CapOff], &[say::cranking_dangers()])
        .first(say::compression_set_up(), &set_up)
        .read(say::compression_read(), &[Crank])
        .stop(say::stop_at_fuel())
        .back(say::compression_back(), &[])
}

pub(super) fn breather_free(row: Row) -> Row {
    let off = [Open(Vent::Breather), Open(Vent::Ventilation)];
    row.safe(&[Protection::Standing], &[say::standing_cold()])
        .first(say::breather_set_up(), &off)
        .read(say::breather_read(), &[])
}
