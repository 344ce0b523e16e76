//! How a fault came about, where the answer depends on it.
//! C: conservation or consistency, no outside value.

use crate::cars::{car, hole, network, rpm};
use sim::control::Command;
use sim::network::Place;
use sim::study::asking::branches::map;
use sim::study::running::simulate::Comparison;

#[test]
fn mapping() {
    let vehicle = car("brindle-16");
    for (command, name) in [
        (Command::full_load(rpm(4500.0)), "full"),
        (Command::IDLE, "idle"),
    ] {
        let network = network(
            &vehicle,
            vec![hole(Place::ManifoldGasket, 16e-3)],
            Command::IDLE,
        );
        let cars = Comparison::new(&network);
        let t = std::time::Instant::now();
        let map = map(&cars, name, command).unwrap();
        println!("{name} {:?}", t.elapsed());
        for curve in &map.curves {
            println!("curve {}", curve.places.len());
            for h in &curve.places {
                println!(
                    "{:.4} {:.3} growth {:.4} {:.2} torque {:.2} lambda {:.3} n {:.0}",
                    h.share * 16.0,
                    h.share,
                    h.growth,
                    h.swing,
                    h.side
                        .readings
                        .get(sim::Reading::Torque)
                        .unwrap_or(f64::NAN),
                    h.side
                        .readings
                        .get(sim::Reading::Lambda)
                        .unwrap_or(f64::NAN),
                    h.side
                        .readings
                        .get(sim::Reading::EngineSpeed)
                        .unwrap_or(f64::NAN)
                );
            }
        }
        for j in &map.jumps {
            let t = |s: &sim::Side| s.readings.get(sim::Reading::Torque);
            println!(
                "jump {} {} {:?} {:?}",
                j.share * 16.0,
                j.growing,
                t(&j.from),
                j.to.as_ref().map(t)
            );
        }
        for (h, e) in &map.ends {
            println!(
                "{h} {:?}",
                e.as_ref().map(|s| s.readings.get(sim::Reading::Torque))
            );
        }
    }
}
