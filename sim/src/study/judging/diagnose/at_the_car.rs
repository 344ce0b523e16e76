//! What can be measured at the car beside the workshop's checks: sections shut off, readings.

use crate::network::{Place, Reading};
use crate::say::judging as say;
use crate::study::workshop::procedures::Test;

/// Doubt of a section test's hole: share, and m.
pub(super) const SECTION_DOUBT: (f64, f64) = (0.12, 0.5e-3);

/// Sections that can be shut off and tested by pressure decay.
pub const SECTIONS: [(Test, &str, &[Place]); 3] = [
    (
        Test::Duct,
        say::decay_inlet_duct(),
        &[Place::InletDuct, Place::BreatherUnion],
    ),
    (
        Test::Charge,
        say::decay_boost_side(),
        &[
            Place::HotPipe,
            Place::CoolerTank,
            Place::ColdPipe,
            Place::RecirculationSeat,
            Place::RecirculationCover,
            Place::WastegateSignal,
        ],
    ),
    (
        Test::ManifoldFlow,
        say::flow_manifold(),
        &[
            Place::ManifoldGasket,
            Place::VacuumLine,
            Place::RecirculationDiaphragm,
        ],
    ),
];

/// Readings that take an instrument which is not in every car.
pub(super) const EXTRA: [(Reading, &str); 4] = [
    (Reading::ShaftSpeed, say::by_speed_sensor()),
    (Reading::ExhaustPressure, say::turbine_pressure()),
    (Reading::InletDepression, say::duct_depression()),
    (Reading::CrankcasePressure, say::crankcase_pressure()),
];

/// Readings that every diagnostic plug gives.
pub(super) const PLUG: [Reading; 7] = [
    Reading::MeteredAir,
    Reading::ShortTrim,
    Reading::LongTrim,
    Reading::LambdaSensor,
    Reading::Manifold,
    Reading::BoostSensor,
    Reading::WastegateDuty,
];
