//! What is wrong, of one size: put into a car, it moves the numbers that it says.

use crate::cars::{car, network};
use sim::control::Command;
use sim::leak::Shape;
use sim::network::{Defect, FaultKind, Leak, Network, Place};

fn defects() -> Vec<Defect> {
    let place = Place::ColdPipe;
    let leaks = Shape::examples().into_iter().map(|shape| {
        let measure = shape.measure();
        let shape = shape.sized((measure.least * measure.widest).sqrt());
        Defect::Leak(Leak { place, shape })
    });
    leaks.chain(Defect::worst_faults()).collect()
}

fn numbers(network: &Network<f64>) -> Vec<(String, f64)> {
    let mut all = Vec::new();
    network.map(&mut |key, value| {
        all.push((key.to_string(), value));
        value
    });
    all
}

/// Thresholds and fits take derivatives along these keys: a key that the car does not have, or
/// another slope, would find a wrong size without a word.
#[test]
fn a_defect_moves_the_numbers_it_names() {
    let sound = network(&car("brindle-16"), vec![], Command::IDLE);
    for defect in defects() {
        let size = defect.size();
        let step = 1e-3 * size.abs().max((size - defect.healthy()).abs());
        let at = |size: f64| numbers(&sound.only([defect.sized(size)]));
        let (below, above) = (at(size - step), at(size + step));
        let moves = defect.moves();
        assert!(!moves.is_empty(), "{defect:?}");
        for ((key, low), (_, high)) in below.iter().zip(&above) {
            if !key.starts_with("leak.") && !key.starts_with("fault.") {
                assert_eq!(low, high, "{defect:?} moves the healthy car's {key}");
                continue;
            }
            let slope = moves.iter().find(|(name, _)| name == key);
            let rise = slope.map_or(0.0, |(_, slope)| 2.0 * step * slope);
            assert!((high - low - rise).abs() <= 1e-9 * step, "{defect:?} {key}");
        }
        for (key, _) in &moves {
            assert!(below.iter().any(|(name, _)| name == key), "{key}");
        }
    }
}

/// The car with a defect and without again is the car; a healthy fault changes nothing.
#[test]
fn only_takes_the_others_out() {
    let sound = network(&car("brindle-16"), vec![], Command::IDLE);
    let before = numbers(&sound);
    for defect in defects() {
        let ill = sound.only([defect]);
        assert_eq!(ill.defects().collect::<Vec<_>>(), [defect]);
        assert!(numbers(&ill.only([])) == before, "{defect:?}");
        let (low, high) = defect.range();
        assert!((low..=high).contains(&defect.size()), "{defect:?}");
        assert!((low..=high).contains(&defect.healthy()), "{defect:?}");
        let most = defect.within(f64::MAX).size();
        assert!((most / high - 1.0).abs() < 1e-12, "{defect:?}");
    }
}

/// Every kind worsens in each direction that its range has beyond healthy, and says which.
#[test]
fn faults_go_every_way_they_can() {
    let worst = Defect::worst_faults();
    for &kind in FaultKind::ALL {
        let ways: Vec<f64> = (worst.iter())
            .filter(|defect| defect.kind() == Some(kind))
            .map(Defect::size)
            .collect();
        let both = kind.goes_both_ways();
        assert_eq!(ways.len(), if both { 2 } else { 1 }, "{kind:?}");
        assert!(ways.iter().all(|way| *way != kind.healthy()));
    }
    let names: Vec<String> = (worst.iter())
        .filter_map(|defect| match defect {
            Defect::Fault(fault) => Some(fault.name()),
            Defect::Leak(_) => None,
        })
        .collect();
    for (i, name) in names.iter().enumerate() {
        assert!(!names[..i].contains(name), "two faults are called {name}");
    }
}
