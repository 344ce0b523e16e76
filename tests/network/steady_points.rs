//! Steady points: they stay where they are, and two ways lead to the same.

use crate::cars::{Random, cars, hole, network, points};
use sim::medium::GasState;
use sim::network::Place;
use sim::network::layout::{SCALE, STATES, state_name};
use sim::solve::State;
use sim::solve::implicit::{Integrator, Tolerance};
use sim::solve::steady::steady;
use sim::solve::straight::ahead;

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

/// A step of 4 % in masses, energies and fuels, drawn: pressures and temperatures go straight
/// where the states themselves do not, and to first order nothing else happens.
#[test]
fn a_step_is_straight_in_pressure_and_temperature() {
    for car in cars() {
        for (name, command) in points() {
            let network = network(&car, Vec::new(), command);
            let x = steady(&network, &State::from(network.start()))
                .unwrap()
                .state;
            let mut random = Random(7);
            let mut step = State::zeros();
            for i in 0..21 {
                step[i] = 0.04 * (2.0 * random.next() - 1.0) * x[i];
            }
            let gases = |x: &State| network.evaluate(&x.data.0[0]).gases.volumes;
            let (from, tiny) = (gases(&x), 1e-6);
            let (behind, before) = (gases(&(x - step * tiny)), gases(&(x + step * tiny)));
            let mut bent: f64 = 0.0;
            for share in [0.25, 1.0] {
                let [straight, plain] = [ahead(&network, &x, &step, share), x + step * share];
                for (v, (is, states)) in gases(&straight).iter().zip(gases(&plain)).enumerate() {
                    let of = |pick: fn(&GasState<f64>) -> f64| {
                        let slope = (pick(&before[v]) - pick(&behind[v])) / (2.0 * tiny);
                        let expected = pick(&from[v]) + share * slope;
                        let off = |got: f64| (got - expected).abs() / expected;
                        (off(pick(is)), off(pick(&states)))
                    };
                    let (pressure, otherwise) = of(|gas| gas.pressure);
                    let (temperature, _) = of(|gas| gas.temperature);
                    bent = bent.max(otherwise);
                    // Rounding of the difference over 1e-6.
                    let off = pressure.max(temperature);
                    assert!(off < 1e-7, "{} {name} volume {v}: {off:.1e}", car.name);
                }
            }
            assert!(bent > 1e-4, "{} {name}: {bent:.1e}", car.name);
            let near = ahead(&network, &x, &step, 1e-5) - (x + step * 1e-5);
            // Of a fuel mass that is nothing but rounding, its scale is what counts.
            let second = (0..21).map(|i| (near[i] / x[i].abs().max(1e-6 * SCALE[i])).abs());
            let second = second.fold(0.0, f64::max);
            assert!(second < 1e-9, "{} {name}: {second:.1e}", car.name);
        }
    }
}
