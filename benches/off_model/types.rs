//! Twelve types of car for the other model, all invented, twenty-four more that nothing was set by, and
//! cars drawn of them.

use super::engine::{Car, Cells};
use sim::study::judging::diagnose::garage::Chance;

/// The types, by number; from 12 on the further ones.
pub fn kind(number: usize) -> Car {
    if number >= 12 {
        return further(number);
    }
    let mut chance = Chance::new(4000 + number as u64);
    let litres = [1.0, 1.2, 1.4, 1.5, 1.6, 1.8, 2.0, 2.0, 2.3, 2.5, 2.9, 3.0][number % 12];
    let cylinders = [3, 4, 4, 3, 4, 4, 4, 4, 4, 4, 6, 6][number % 12];
    let displacement = litres * 1e-3;
    let size = litres / 2.0;
    let boost = chance.between(50e3, 110e3);
    Car {
        displacement,
        cylinders,
        metered: number % 3 != 2,
        filling: [
            chance.between(0.90, 1.0),
            chance.between(2800.0, 4200.0),
            chance.between(0.05, 0.14),
            [0.0, 0.15, 0.30, 0.42][number % 4],
        ],
        friction: [
            chance.between(0.55e5, 0.85e5),
            chance.between(0.05e5, 0.12e5),
            chance.between(0.02e5, 0.04e5),
        ],
        work: chance.between(0.36, 0.40),
        idle_spark: chance.between(0.65, 0.85),
        idle_speed: chance.between(680.0, 850.0),
        idle_load: chance.between(4.0, 10.0) * size,
        throttle: (
            chance.between(0.044, 0.054) * size.sqrt().max(0.9),
            chance.between(3.0, 8.0),
        ),
        compressor: chance.between(0.66, 0.75),
        turbine: chance.between(0.60, 0.70),
        turbine_area: chance.between(3.6e-4, 4.6e-4) * size,
        gate_area: chance.between(3.0e-4, 5.0e-4) * size,
        rest: [0.0, 0.3, 0.0, 0.6, 0.1][number % 5],
        duty: (chance.between(0.6, 0.95), chance.between(0.8, 2.0)),
        boost: (
            boost,
            chance.between(1800.0, 2600.0),
            chance.between(0.0, 0.3),
        ),
        cooler: (
            chance.between(0.65, 0.85),
            chance.between(4e3, 9e3) / (size * size),
            chance.between(0.0, 18.0),
        ),
        rich: (chance.between(0.80, 0.92), chance.between(0.0, 0.6) * boost),
        cells: [Cells::One, Cells::ByLoad, Cells::ByFlow][number % 3],
        outside_sensor: number % 4 == 3,
        filter: chance.between(1.5e3, 3.5e3) / (size * size),
        meter_scale: 1.0,
        delivery: 1.0,
        sensor_shift: 0.0,
        boost_shift: 0.0,
        swing: chance.between(0.5e3, 3e3),
        unburnt_seen: chance.between(0.3, 0.8),
    }
}

/// A further type: each trait drawn by itself, and wider. Nothing in the program was set with these in view.
fn further(number: usize) -> Car {
    let mut chance = Chance::new(90_000 + number as u64);
    let litres: f64 = [0.9, 1.2, 1.4, 1.5, 1.6, 1.8, 2.0, 2.0, 2.3, 2.5, 3.0, 3.5][number % 12];
    let size = litres / 2.0;
    let boost = chance.between(35e3, 130e3);
    let mut one_of =
        |choices: usize| (chance.between(0.0, choices as f64) as usize).min(choices - 1);
    let metered = one_of(3) != 2;
    let rest = [0.0, 0.0, 0.1, 0.3, 0.6][one_of(5)];
    let cells = [Cells::One, Cells::ByLoad, Cells::ByFlow][one_of(3)];
    let outside_sensor = one_of(4) == 3;
    let late = one_of(4) == 3;
    let from = match late {
        true => chance.between(2600.0, 4000.0),
        false => chance.between(1500.0, 2600.0),
    };
    Car {
        displacement: litres * 1e-3,
        cylinders: [3, 4, 4, 3, 4, 4, 4, 4, 4, 5, 6, 6][number % 12],
        metered,
        filling: [
            chance.between(0.87, 1.02),
            chance.between(2600.0, 4800.0),
            chance.between(0.04, 0.16),
            chance.between(0.0, 0.45),
        ],
        friction: [
            chance.between(0.50e5, 0.90e5),
            chance.between(0.05e5, 0.13e5),
            chance.between(0.02e5, 0.045e5),
        ],
        work: chance.between(0.35, 0.41),
        idle_spark: chance.between(0.6, 0.9),
        idle_speed: chance.between(650.0, 900.0),
        idle_load: chance.between(3.0, 12.0) * size,
        throttle: (
            chance.between(0.042, 0.058) * size.sqrt().max(0.9),
            chance.between(3.0, 9.0),
        ),
        compressor: chance.between(0.62, 0.77),
        turbine: chance.between(0.57, 0.72),
        // One made for high speed is larger.
        turbine_area: chance.between(3.6e-4, 4.6e-4) * size * if late { 1.25 } else { 1.0 },
        gate_area: chance.between(3.0e-4, 5.5e-4) * size,
        rest,
        duty: (chance.between(0.5, 0.98), chance.between(0.7, 2.2)),
        boost: (boost, from, chance.between(0.0, 0.4)),
        cooler: (
            chance.between(0.60, 0.88),
            chance.between(3e3, 11e3) / (size * size),
            chance.between(0.0, 22.0),
        ),
        rich: (chance.between(0.78, 0.95), chance.between(0.0, 0.7) * boost),
        cells,
        outside_sensor,
        filter: chance.between(1.2e3, 4.0e3) / (size * size),
        meter_scale: 1.0,
        delivery: 1.0,
        sensor_shift: 0.0,
        boost_shift: 0.0,
        swing: chance.between(0.3e3, 3.5e3),
        unburnt_seen: chance.between(0.1, 0.9),
    }
}

/// A car of the type: what differs from one to the next.
pub fn drawn(kind: &Car, chance: &mut Chance) -> Car {
    let mut car = kind.clone();
    let mut off = |spread: f64| 1.0 + spread * chance.normal();
    car.filling[0] *= off(0.015);
    car.friction[0] *= off(0.05);
    car.turbine_area *= off(0.015);
    car.turbine *= off(0.015);
    car.cooler.1 *= off(0.08);
    car.filter *= off(0.12);
    car.meter_scale *= off(0.02);
    car.delivery *= off(0.02);
    car.idle_load *= off(0.12);
    car.sensor_shift = 0.003 * chance.normal();
    car.boost_shift = 700.0 * chance.normal();
    car
}
