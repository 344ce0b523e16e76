//! What is wrong with cars of the other model.

use super::engine::Wrong;

/// What is wrong in turn, and the suspects that mean it.
pub const WRONGS: [(Wrong, &[&str]); 22] = [
    (Wrong::Hole(0, 3e-3), DUCT),
    (Wrong::Hole(0, 5e-3), DUCT),
    (Wrong::Hole(0, 8e-3), DUCT),
    (Wrong::Hole(1, 3e-3), PIPES),
    (Wrong::Hole(1, 5e-3), PIPES),
    (Wrong::Hole(1, 8e-3), PIPES),
    (Wrong::Hole(2, 3e-3), PIPES),
    (Wrong::Hole(2, 5e-3), PIPES),
    (Wrong::Hole(2, 8e-3), PIPES),
    (Wrong::Hole(3, 3e-3), MANIFOLD),
    (Wrong::Hole(3, 5e-3), MANIFOLD),
    (Wrong::Hole(3, 8e-3), MANIFOLD),
    (Wrong::Hole(4, 3e-3), &["exhaust_manifold"]),
    (Wrong::Hole(4, 5e-3), &["exhaust_manifold"]),
    (Wrong::Hole(4, 8e-3), &["exhaust_manifold"]),
    (
        Wrong::Meter(0.86),
        &["meter_reads_low", "manifold_sensor_low"],
    ),
    (
        Wrong::Meter(1.14),
        &["meter_reads_high", "manifold_sensor_high"],
    ),
    (Wrong::Fuel(0.86), &["fuel_delivery_low"]),
    (Wrong::GateOpen(0.7), &["wastegate_stuck_open"]),
    (
        // Its diaphragm torn, the valve opens as well: one part, one repair.
        Wrong::Recirculation(1.5e-4),
        &[
            "recirculation_stuck_open",
            "recirculation_seat",
            "recirculation_diaphragm",
        ],
    ),
    (Wrong::Tired(0.88), &["tired_engine"]),
    (Wrong::Dead(0.25), &["misfiring_cylinder"]),
];
const DUCT: &[&str] = &["inlet_duct", "breather_union"];
const PIPES: &[&str] = &["hot_pipe", "cooler_tank", "cold_pipe"];
const MANIFOLD: &[&str] = &["manifold_gasket", "vacuum_line"];
