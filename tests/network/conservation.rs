//! Books must close whatever the tolerance: the ledger is integrated with the
//! states, and the method keeps linear invariants. Closed forms: conservation.

use crate::cars::{cars, hole, learnt, network};
use sim::control::{Command, SpeedMode};
use sim::network::Place;
use sim::solve::implicit::Tolerance;
use sim::study::running::trace::{Run, closure, drive};

/// Idle, tip-in, pull in gear, lift-off: every element reverses or chokes somewhere.
pub fn tip_in_and_out() -> Vec<(String, Vec<Run>)> {
    let piece = |name: &str, speed, runs: &[(f64, f64, f64)]| {
        let runs = runs.iter().map(|&(duration, pedal, pedal_rate)| {
            (
                duration,
                Command {
                    speed,
                    pedal,
                    pedal_rate,
                    ..Command::IDLE
                },
            )
        });
        (name.to_string(), runs.collect())
    };
    let held = SpeedMode::Held(crate::cars::rpm(2500.0));
    vec![
        piece("cruise", held, &[(1.0, 0.15, 0.0)]),
        piece(
            "tip-in",
            SpeedMode::InGear,
            &[(0.2, 1.0, 4.25), (4.8, 1.0, 0.0)],
        ),
        piece(
            "lift-off",
            SpeedMode::InGear,
            &[(0.2, 0.0, -5.0), (1.8, 0.0, 0.0)],
        ),
        piece("neutral", SpeedMode::Free, &[(2.0, 0.0, 0.0)]),
    ]
}

#[test]
fn mass_and_energy_books_close_at_any_tolerance() {
    let places = [
        Place::ColdPipe,
        Place::RecirculationCover,
        Place::ExhaustManifold,
        Place::VentilationValve,
    ];
    for car in cars() {
        for relative in [1e-3, 1e-6, 1e-8] {
            let leaks = places.iter().map(|&place| hole(place, 3e-3)).collect();
            let network = network(&car, leaks, Command::IDLE);
            let tolerance = Tolerance {
                relative,
                ..Tolerance::default()
            };
            let trace = drive(
                &network,
                &tip_in_and_out(),
                learnt(&network),
                0.1,
                tolerance,
            )
            .unwrap();
            assert_eq!(trace.failure, None);
            let books = closure(&network, &trace.start, &trace.end, &trace.book);
            println!(
                "{} rtol {relative:.0e}: {books:?} {:?}",
                car.name, trace.cost
            );
            assert!(books.intake.abs() < 1e-10, "intake mass: {books:?}");
            assert!(books.exhaust.abs() < 1e-10, "exhaust mass: {books:?}");
            assert!(books.energy.abs() < 1e-6, "energy: {books:?}");
        }
    }
}

#[test]
fn the_ledger_of_a_steady_point_closes() {
    for car in cars() {
        for (name, command) in crate::cars::points() {
            let leaky = network(
                &car,
                vec![hole(Place::ColdPipe, 4e-3), hole(Place::InletDuct, 8e-3)],
                command,
            );
            let side = sim::study::running::simulate::side(&leaky, None).unwrap();
            let l = side.ledger;
            let sum = l.metered_in + l.unmetered_in + l.blow_by - l.lost - l.engine;
            assert!(
                sum.abs() < 1e-7 * l.engine,
                "{} {name}: in less out {sum} g/s",
                car.name
            );
        }
    }
}
