//! When a valve of a drive stands open.

use sim::network::{Reading, Readings};
use sim::study::running::openings::{VALVES, openings};
use sim::study::running::trace::Sample;

fn samples(opening: &[f64]) -> Vec<Sample> {
    let all = opening.iter().enumerate().map(|(i, pct)| {
        let mut readings = Readings {
            values: [f64::NAN; sim::network::readings::READINGS],
        };
        readings.values[Reading::Wastegate as usize] = *pct;
        Sample {
            time: i as f64,
            readings,
        }
    });
    all.collect()
}

#[test]
fn a_valve_that_hunts_between_its_limits_is_told_once() {
    let wastegate = VALVES
        .iter()
        .find(|valve| valve.0 == Reading::Wastegate)
        .unwrap();
    // Opens half-way between 1 and 2 s, hunts about both limits, shuts at 5.5 s; open at the end.
    let found = openings(
        &samples(&[0.0, 0.0, 4.0, 1.5, 2.5, 2.0, 0.0, 8.0]),
        wastegate,
    );
    assert_eq!(found, [(1.5, Some(5.5)), (6.25, None)]);
    // Open when the drive begins; never open.
    assert_eq!(openings(&samples(&[50.0, 50.0]), wastegate), [(0.0, None)]);
    assert_eq!(openings(&samples(&[0.0, 1.9]), wastegate), []);
}
