//! The stiff integrator against an independent one: the explicit order-8 method of
//! `ode_solvers` on the whole network. It needs thousands of steps for a tenth of a
//! second, so a tenth of a second it is, in the middle of a tip-in.

use crate::cars::{cars, hole, network, rpm};
use sim::control::{Command, SpeedMode};
use sim::network::Place;
use sim::network::layout::{SCALE, STATES, state_name};
use sim::solve::explicit::advance;
use sim::solve::implicit::{Integrator, Tolerance};
use sim::solve::steady::steady;
use sim::solve::{State, rates};

#[test]
fn explicit_and_stiff_integrator_agree_on_the_whole_network() {
    for car in cars() {
        let command = |pedal, pedal_rate| Command {
            speed: SpeedMode::Held(rpm(2500.0)),
            pedal,
            pedal_rate,
            ..Command::IDLE
        };
        let leaks = vec![hole(Place::ColdPipe, 3e-3)];
        let before = network(&car, leaks.clone(), command(0.2, 0.0));
        let start = steady(&before, &State::from(before.start())).unwrap().state;
        let moving = network(&car, leaks, command(1.0, 4.0));
        let tolerance = Tolerance {
            relative: 1e-10,
            ..Tolerance::default()
        };
        let mut stiff = Integrator::new(&moving, 0.0, start, tolerance);
        stiff.run_to(0.1, |_| ()).unwrap();
        let scaled = |x: &[f64; STATES]| State::from_fn(|i, _| x[i] * SCALE[i]);
        let slope = |x: &[f64; STATES]| -> [f64; STATES] {
            let now = rates(&moving, &scaled(x)).states;
            std::array::from_fn(|i| now[i] / SCALE[i])
        };
        let first: [f64; STATES] = std::array::from_fn(|i| start[i] / SCALE[i]);
        let explicit = advance(slope, first, 0.1).unwrap();
        let gaps = (0..STATES).map(|i| {
            let scale = (stiff.state[i] / SCALE[i]).abs().max(1.0);
            ((explicit[i] - stiff.state[i] / SCALE[i]).abs() / scale, i)
        });
        let (gap, i) = gaps.fold((0.0, 0), |a, b| if b.0 > a.0 { b } else { a });
        println!(
            "{}: largest gap {gap:.1e} ({}), {:?}",
            car.name,
            state_name(i),
            stiff.cost
        );
        assert!(gap < 1e-6, "{} differs by {gap:.1e}", state_name(i));
    }
}
