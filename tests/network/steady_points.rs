//! Steady points: they stay where they are, and two ways lead to the same.

use crate::cars::{cars, hole, network, points};
use sim::network::Place;
use sim::network::layout::{SCALE, STATES, state_name};
use sim::solve::State;
use sim::solve::implicit::{Integrator, Tolerance};
use sim::solve::steady::steady;

fn apart(a: &State, b: &State) -> (f64, usize) {
    (0..STATES)
        .map(|i| ((a[i] - b[i]).abs() / SCALE[i].max(a[i].abs()), i))
        .fold((0.0, 0), |x, y| if y.0 > x.0 { y } else { x })
}

#[test]
fn a_steady_point_stays_where_it_is() {
    for car in cars() {
        for leaks in [
            vec![],
            vec![hole(Place::ColdPipe, 3e-3)],
            vec![hole(Place::ManifoldGasket, 1.5e-3)],
        ] {
            for (name, command) in points() {
                let network = network(&car, leaks.clone(), command);
                let found = steady(&network, &State::from(network.start())).unwrap();
                let tolerance = Tolerance {
                    relative: 1e-9,
                    ..Tolerance::default()
                };
                let mut engine = Integrator::new(&network, 0.0, found.state, tolerance);
                engine.run_to(5.0, |_| ()).unwrap();
                let (moved, i) = apart(&found.state, &engine.state);
                assert!(
                    moved < 1e-6,
                    "{} {name} {leaks:?}: {} moved {moved:.1e}",
                    car.name,
                    state_name(i)
                );
            }
        }
    }
}

#[test]
fn trace_and_newton_arrive_at_the_same_point() {
    for car in cars() {
        for (name, command) in points() {
            let network = network(&car, vec![hole(Place::HotPipe, 3e-3)], command);
            let newton = steady(&network, &State::from(network.start())).unwrap();
            let mut engine = Integrator::new(
                &network,
                0.0,
                State::from(network.start()),
                Tolerance::default(),
            );
            engine.run_to(400.0, |_| ()).unwrap();
            let (gap, i) = apart(&newton.state, &engine.state);
            assert!(
                gap < 1e-5,
                "{} {name}: {} differs by {gap:.1e}",
                car.name,
                state_name(i)
            );
        }
    }
}
