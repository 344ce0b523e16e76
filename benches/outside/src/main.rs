//! Runs the project's solvers, CVODE and diffsol on one drive and writes what they
//! took, with what the Python side needs, to the file named on the command line.

mod allocations;
mod by_diffsol;
mod cvode;
use rates::drive;

use by_diffsol::Method;
use drive::{Drive, Run, hole, network, rpm};
use serde_json::{Value, json};
use sim::control::Command;
use sim::network::layout::SCALE;
use sim::solve::State;
use sim::solve::steady::steady;
use std::hint::black_box;
use std::time::Instant;

#[global_allocator]
static COUNTING: allocations::Counting = allocations::Counting;

/// Best of several batches, seconds a call.
fn time<T>(batches: usize, mut call: impl FnMut() -> T) -> f64 {
    let once = |_| {
        let start = Instant::now();
        black_box(call());
        start.elapsed().as_secs_f64()
    };
    (0..batches).map(once).fold(f64::INFINITY, f64::min)
}

/// A way to run the drive at a relative tolerance.
type Solver<'a> = (&'a str, Box<dyn Fn(f64) -> Option<Run> + 'a>);

fn main() {
    let file = std::env::args().nth(1).expect("usage: outside FILE");
    let [points, steps] = allocations::count();
    println!(
        "heap allocations: {points} in 100 warm steady points, {steps} in 100 steps of a trace"
    );
    assert_eq!([points, steps], [0, 0], "the inner loops do not allocate");

    let drive = Drive::tip_in();
    let reference = drive.ours(1e-11).expect("reference");
    let other = cvode::run(&drive, 1e-11, true).expect("reference by CVODE");
    let solvers: [Solver; 5] = [
        ("ours (Rosenbrock 5(4))", Box::new(|r| drive.ours(r))),
        (
            "CVODE, difference Jacobian",
            Box::new(|r| cvode::run(&drive, r, false)),
        ),
        (
            "CVODE, our Jacobian",
            Box::new(|r| cvode::run(&drive, r, true)),
        ),
        (
            "diffsol BDF, our Jacobian",
            Box::new(|r| by_diffsol::run(&drive, r, Method::Bdf)),
        ),
        (
            "diffsol ESDIRK34, our Jacobian",
            Box::new(|r| by_diffsol::run(&drive, r, Method::Esdirk34)),
        ),
    ];
    let mut rows = Vec::new();
    for (name, solver) in &solvers {
        for exponent in 4..=20 {
            let relative = 10_f64.powf(-0.5 * f64::from(exponent));
            let Some(run) = solver(relative) else {
                println!("{name} gives up at {relative:.0e}");
                continue;
            };
            rows.push(json!({
                "solver": name,
                "relative": relative,
                "seconds": time(9, || solver(relative)),
                "steps": run.steps,
                "evaluations": run.evaluations,
                "jacobians": run.jacobians,
                "error": run.error(&reference),
            }));
        }
    }
    let outputs = reference.outputs.iter().map(|x| x.as_slice().to_vec());
    let pieces = drive.pieces.iter();
    let pieces = pieces.map(|piece| json!({ "from": piece.from, "times": piece.times }));
    let export = json!({
        "traces": rows,
        "reference_agreement": other.error(&reference),
        "steady": steady_points(),
        "drive": pieces.collect::<Vec<_>>(),
        "start": drive.start.as_slice(),
        "reference": outputs.collect::<Vec<_>>(),
        "scale": SCALE.to_vec(),
    });
    std::fs::write(&file, export.to_string()).expect("writable file");
}

/// Warm steady points by continuation, and the series that SciPy repeats.
fn steady_points() -> Value {
    let full = |speed: f64| Command::full_load(rpm(speed));
    let sizes: Vec<f64> = (0..=40).map(|i| 3e-3 + 0.05e-3 * f64::from(i)).collect();
    let mut leaky = network(sizes[0], full(3500.0));
    let first = steady(&leaky, &State::from(leaky.start())).expect("demo point");
    let first = first.state;
    let mut points = Vec::new();
    let mut over_sizes = || {
        points.clear();
        let mut x = first;
        for size in &sizes[1..] {
            leaky.leaks[0] = hole(*size);
            x = steady(&leaky, &x).expect("warm point").state;
            points.push(x);
        }
    };
    let by_size = time(50, &mut over_sizes) / (sizes.len() - 1) as f64;
    let mut held = network(3e-3, full(2500.0));
    let slow = steady(&held, &State::from(held.start())).expect("demo point");
    let speeds: Vec<f64> = (1..=60).map(|i| 2500.0 + 25.0 * f64::from(i)).collect();
    let by_speed = time(50, || {
        let mut x = slow.state;
        for speed in &speeds {
            held.command = full(*speed);
            x = steady(&held, &x).expect("warm point").state;
        }
    }) / speeds.len() as f64;
    json!({
        "seconds_by_size": by_size,
        "seconds_by_speed": by_speed,
        "sizes": sizes,
        "first": first.as_slice(),
        "points": points.iter().map(|x| x.as_slice().to_vec()).collect::<Vec<_>>(),
        "speed": rpm(3500.0),
    })
}
