//! Ten thousand random states and parameters: no NaN, no panic.

use crate::cars::{Random, car, network};
use crate::derivatives::random_state;
use sim::control::Command;
use sim::leak::Shape;
use sim::network::{Leak, Place};
use sim::params::Field;
use sim::solve::linearise;

/// A shape with every quantity drawn from its stated range (squared towards the
/// lower end, where leaks are).
fn random_shape(random: &mut Random) -> Shape {
    let kind = (random.next() * Shape::NAMES.len() as f64) as usize;
    let (name, fields) = (Shape::NAMES[kind], Shape::FIELDS[kind]);
    loop {
        let values: Vec<String> = fields
            .iter()
            .map(
                |Field {
                     name,
                     low,
                     high,
                     dimension,
                     ..
                 }| {
                    let value = low + (high - low) * random.next().powi(2);
                    match dimension {
                        sim::units::Dimension::Ratio => format!("\"{name}\": {value}"),
                        _ => format!(
                            "\"{name}\": \"{}\"",
                            sim::units::show_to(value, *dimension, 17)
                        ),
                    }
                },
            )
            .collect();
        let text = format!("{{\"{name}\": {{{}}}}}", values.join(", "));
        // A shape may refuse a pair that cannot be (a bore smaller than its pipe).
        if let Ok(shape) = serde_json::from_str(&text) {
            return shape;
        }
    }
}

#[test]
fn no_nan_and_no_panic_over_random_states_and_parameters() {
    let mut random = Random(3);
    let cars = ["brindle-16", "tamsel-20"].map(car);
    for case in 0..10_000 {
        let mut car = cars[case % 2].clone();
        // Every positive parameter of the car within a fifth either way.
        let mut draw = |_: &str, value: f64| value * random.between(0.8, 1.2);
        car = car.map(&mut draw);
        let place = Place::WORDS[(random.next() * Place::WORDS.len() as f64) as usize].1;
        let shape = random_shape(&mut random);
        let command = match case % 3 {
            0 => Command::IDLE,
            1 => Command::torque(random.between(100.0, 600.0), random.between(0.0, 300.0)),
            _ => Command::full_load(random.between(100.0, 600.0)),
        };
        let network = network(&car, vec![Leak { place, shape }], command);
        let x = random_state(&network, &mut random);
        let at = linearise(&network, &x);
        for (i, v) in at.rates.iter().enumerate() {
            let row = (0..at.jacobian.ncols()).filter(|j| !at.jacobian[(i, *j)].is_finite());
            let columns: Vec<String> = row.map(sim::network::layout::state_name).collect();
            assert!(
                v.is_finite() && columns.is_empty(),
                "case {case}: {}: {v} {columns:?}",
                sim::network::layout::state_name(i)
            );
        }
        let finite = at
            .rates
            .iter()
            .chain(&at.jacobian)
            .chain(&at.book)
            .all(|v| v.is_finite());
        assert!(finite, "case {case}: {place} {shape:?}");
    }
}
