//! Speed of the network: right-hand side, exact Jacobian, factorisation, warm
//! and cold steady points, a 10 s trace. Prints a comparison; ratios within one
//! run count, times of a shared machine do not. Run: `cargo bench --bench speed`.

use falseair::input::read_toml;
use sim::control::{Command, SpeedMode};
use sim::leak::{BowedCover, RoundHole, Shape};
use sim::network::{Ambient, Leak, Network, Place, Vehicle};
use sim::scenario::Surroundings;
use sim::solve::implicit::{Integrator, Tolerance};
use sim::solve::steady::{MOST_STEPS, steady};
use sim::solve::{State, linearise, linearise_by_duals, rates};
use sim::study::asking::sweep::{Plan, Study, Sweep};
use sim::study::running::side::side;
use sim::study::running::simulate::Comparison;
use std::hint::black_box;
use std::path::Path;
use std::time::Instant;

/// Best of several batches, seconds a call.
fn time<T>(calls: usize, mut call: impl FnMut() -> T) -> f64 {
    (0..7)
        .map(|_| {
            let start = Instant::now();
            for _ in 0..calls {
                black_box(call());
            }
            start.elapsed().as_secs_f64() / calls as f64
        })
        .fold(f64::INFINITY, f64::min)
}

/// What a case that has grown on its way costs over one that is sought from its neighbour: five
/// ratios within this run, of a grid of 400 sizes on one thread, each study begun anew.
fn grown_over_warm(car: &Vehicle) -> [f64; 5] {
    let sizes = (0..400).map(|i| 0.5 + 0.01 * f64::from(i));
    let sizes: Vec<String> = sizes.map(|size| format!("\"{size:.2} mm\"")).collect();
    let text = format!(
        "title = \"gasket\"\nvehicle = \"-\"\n[[leak]]\nplace = \"manifold_gasket\"\n\
         round_hole = {{ diameter = \"4 mm\" }}\n[[axis]]\nkey = \"leak.0.round_hole.diameter\"\n\
         values = [{}]\n[[point]]\nname = \"idle\"\nidle = true\n\
         [[point]]\nname = \"full\"\nspeed = \"4500 rpm\"\npedal = \"100 %\"\n",
        sizes.join(", ")
    );
    let study: Study = toml::from_str(&text).expect("a study");
    let plan = Plan::new(&study, car.clone()).expect("a plan");
    let air = Surroundings::<f64>::STANDARD.ambient();
    let sound = Comparison::new(&Network::new(car.clone(), vec![], air, Command::IDLE));
    let commands = [
        Command::IDLE,
        Command::full_load(4500.0 * std::f64::consts::PI / 30.0),
    ];
    let healthy = commands.map(|command| sound.point("", command).healthy.expect("runs").state);
    let mut ratios = [(); 5].map(|()| {
        let cases = Sweep::new(&plan);
        let start = Instant::now();
        (0..plan.chunks()).for_each(|chunk| cases.chunk(chunk, &mut |_| {}));
        let grown = start.elapsed().as_secs_f64();
        let start = Instant::now();
        let (mut near, mut states) = (*sound.learnt(false), healthy);
        for i in 0..400 {
            let diameter = (0.5 + 0.01 * f64::from(i)) * 1e-3;
            let leak = Leak::hole(Place::ManifoldGasket, diameter);
            let cars = sound.instead_near(&sound.network.leaking(vec![leak]), &near, MOST_STEPS);
            near = *cars.learnt(true);
            for (command, state) in commands.iter().zip(&mut states) {
                let network = cars.network.with(cars.command(*command, true));
                if let Ok(side) = side(&network, Some(state)) {
                    *state = side.state;
                }
            }
        }
        grown / start.elapsed().as_secs_f64()
    });
    ratios.sort_by(f64::total_cmp);
    ratios
}

fn main() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/vehicles/brindle-16.toml");
    let car: Vehicle = read_toml(&path).unwrap_or_else(|e| panic!("{e}"));
    let ambient = Ambient {
        pressure: 101_325.0,
        temperature: 293.15,
        water_mole_fraction: 0.01,
    };
    let rpm = std::f64::consts::PI / 30.0;
    let full = Command::full_load(3500.0 * rpm);
    let hole = |d| Leak {
        place: Place::ColdPipe,
        shape: Shape::RoundHole(RoundHole { diameter: d }),
    };
    let network = |leaks, command| Network::new(car.clone(), leaks, ambient, command);

    let leaky = network(vec![hole(3e-3)], full);
    let found =
        steady(&leaky, &State::from(leaky.start())).expect("the demo car has a full-load point");
    let x = found.state;
    let rhs = time(2000, || rates(&leaky, &x));
    let jacobian = time(500, || linearise(&leaky, &x));
    let duals = time(500, || linearise_by_duals(&leaky, &x));
    let matrix = linearise(&leaky, &x).jacobian;
    let right = rates(&leaky, &x).states;
    let lu = time(500, || black_box(matrix).lu());
    let factors = matrix.lu();
    let solve = time(2000, || factors.solve(&State::from(right)));
    println!("one leak, full load 3500 rpm            us     right-hand sides");
    for (what, t) in [
        ("right-hand side", rhs),
        ("rates and exact Jacobian", jacobian),
        ("  the same by duals of 43 slopes", duals),
        ("  dense factorisation, for scale", lu),
        ("  one dense solve", solve),
    ] {
        println!("{what:36} {:8.2} {:8.1}", t * 1e6, t / rhs);
    }
    let bowed = Shape::BowedCover(BowedCover {
        gap: 0.381e-3,
        spans: 4.0,
        span_length: 20e-3,
        depth: 3e-3,
        entrance_loss: 0.5,
    });
    let bow = network(
        vec![Leak {
            place: Place::RecirculationSeat,
            shape: bowed,
        }],
        full,
    );
    let bow_rhs = time(2000, || rates(&bow, &x));
    println!(
        "{:36} {:8.2} {:8.1}",
        "right-hand side, bowed cover",
        bow_rhs * 1e6,
        bow_rhs / rhs
    );

    println!("\nwarm steady point: hole 3.00 -> 3.05 mm  us   Newton steps   right-hand sides");
    let cruise = Command::torque(2500.0 * rpm, 45.0);
    for (name, command) in [
        ("idle", Command::IDLE),
        ("cruise", cruise),
        ("full load", full),
    ] {
        let from = network(vec![hole(3e-3)], command);
        let guess = steady(&from, &State::from(from.start()))
            .expect("demo point")
            .state;
        let to = network(vec![hole(3.05e-3)], command);
        let cost = steady(&to, &guess).expect("demo point");
        let t = time(200, || steady(&to, &guess));
        println!(
            "{name:36} {:8.1} {:8} {:14}",
            t * 1e6,
            cost.iterations,
            cost.evaluations
        );
        let cold = time(3, || steady(&to, &State::from(to.start())));
        println!("{:36} {:8.0}", format!("  cold start, {name}"), cold * 1e6);
    }

    println!("\n10 s trace with tip-in, rtol 1e-6        ms   steps  rejected  times real time");
    let held = SpeedMode::Held(2500.0 * rpm);
    let command = |pedal, pedal_rate| Command {
        speed: held,
        pedal,
        pedal_rate,
        ..Command::IDLE
    };
    let plan = [
        (2.0, command(0.15, 0.0)),
        (0.2, command(1.0, 4.25)),
        (7.8, command(1.0, 0.0)),
    ];
    for (name, leaks) in [
        ("healthy", vec![]),
        ("3 mm hole in the cold pipe", vec![hole(3e-3)]),
    ] {
        let networks = plan.map(|(_, command)| network(leaks.clone(), command));
        let start = steady(&networks[0], &State::from(networks[0].start()))
            .expect("demo point")
            .state;
        let trace = || {
            let (mut now, mut x, mut cost) = (0.0, start, (0, 0));
            for ((length, _), network) in plan.iter().zip(&networks) {
                let mut engine = Integrator::new(network, now, x, Tolerance::default());
                engine.run_to(now + length, |_| ()).expect("demo drive");
                (now, x) = (engine.time, engine.state);
                cost = (cost.0 + engine.cost.steps, cost.1 + engine.cost.rejected);
            }
            cost
        };
        let (steps, rejected) = trace();
        let t = time(3, trace);
        println!(
            "{name:36} {:8.1} {steps:6} {rejected:8} {:12.0}",
            t * 1e3,
            10.0 / t
        );
    }
    println!(
        "\na case grown on its way over one sought from its neighbour: {:.2?}",
        grown_over_warm(&car)
    );
}
