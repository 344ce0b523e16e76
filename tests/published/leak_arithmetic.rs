//! What passes a leak, by arithmetic alone. F: closed form evaluated independently; the
//! discharge coefficients are those of Perry 1949, Trans. ASME 71 (S polynomial, M paper).
//! What it does to the trim is asked of the running car: `tests/network/computer.rs`.

use crate::flow::{AMBIENT, COOL, air, near};
use sim::flow::orifice::{Discharge, orifice};
use sim::leak::RoundHole;

/// Flow, kg/s, through a round hole with a stated coefficient, and with the law's own.
fn hole(diameter: f64, coefficient: f64, from: (f64, f64), to: f64) -> [f64; 2] {
    let (a, b) = (air(from.0, from.1), air(to, from.1));
    let area = std::f64::consts::PI / 4.0 * diameter * diameter;
    [
        orifice(area, Discharge::Constant(coefficient), &a, &b).mass,
        RoundHole { diameter }.flow(&a, &b).mass,
    ]
}

/// Idle 3.0 g/s at 35 kPa abs, 2 mm sharp-edged hole, Cd 0.804 (F).
#[test]
fn a_small_hole_at_idle() {
    let [stated, law] = hole(2e-3, 0.804, (AMBIENT, COOL), 35e3);
    near("leak", stated, 0.6039e-3, 1e-3);
    near("leak by Perry's coefficient", law, 0.6039e-3, 2e-3);
}

/// 60 g/s at 50 kPa gauge and 325 K, 5 mm hole, Cd 0.679 (F).
#[test]
fn a_hole_under_boost() {
    let [stated, law] = hole(5e-3, 0.679, (AMBIENT + 50e3, 325.0), AMBIENT);
    near("leak", stated, 4.318e-3, 1e-3);
    near("leak by Perry's coefficient", law, 4.318e-3, 2e-3);
}

/// Inlet duct 3 kPa below ambient, 10 mm hole (F, 1 %).
#[test]
fn a_hole_in_the_inlet_duct() {
    let [_, law] = hole(10e-3, 0.6, (AMBIENT, COOL), AMBIENT - 3e3);
    near("leak", law, 3.97e-3, 1e-2);
}
