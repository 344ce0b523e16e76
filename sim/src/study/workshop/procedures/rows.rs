//! The table: one row a test.

use super::row::Row;
use super::{OfCar, Procedure, Test, idle, loaded, standing};
use crate::study::workshop::limits::Limit;

/// The row of a test, without its end.
pub(super) fn row(test: Test, car: &OfCar, limit: Option<Limit>) -> Procedure {
    let row = Row(Procedure {
        test,
        limit,
        protection: Vec::new(),
        cautions: Vec::new(),
        set_up: Vec::new(),
        read: Vec::new(),
        stop: Vec::new(),
        back: Vec::new(),
    });
    let row = match test {
        Test::Smoke => standing::smoke(row),
        Test::Charge => standing::charge(row, car),
        Test::Manifold => standing::manifold(row),
        Test::Inlet => standing::inlet(row),
        Test::Capsule => standing::capsule(row, car),
        Test::Chamber => standing::chamber(row),
        Test::Crankcase => standing::crankcase(row),
        Test::Exhaust => standing::exhaust(row),
        Test::Duct => standing::duct(row),
        Test::ManifoldFlow => standing::manifold_flow(row),
        Test::Filter => standing::filter(row),
        Test::Sensors => standing::sensors(row),
        Test::TurboPlay => standing::turbo(row),
        Test::Compression => standing::compression(row),
        Test::BreatherFree => standing::breather_free(row),
        Test::PinchVacuum => idle::vacuum(row),
        Test::PinchVentilation => idle::ventilation(row),
        Test::BlankBreather => idle::breather(row),
        Test::SwapMeter => idle::meter(row),
        Test::Fuel => idle::fuel(row),
        Test::Analyser => idle::analyser(row),
        Test::KnownHole => idle::known_hole(row),
        Test::SwapSpark => idle::spark(row),
        Test::ReadIdle => idle::read(row),
        Test::BackPressure => loaded::back_pressure(row, car),
        Test::Cooler => loaded::cooler(row, car),
        Test::ReadCruise => loaded::cruise(row, car),
        Test::ReadLoad => loaded::pull(row, car),
    };
    row.0
}
