//! Instructions of the five pieces that every answer is made of, counted on a simulated processor
//! (valgrind's cachegrind, caches left out), so that another load on the machine does not show. Fails where
//! one has grown by more than 5 % over `benches/counts.toml`; one that fell by as much is to be written
//! there as well. Run: `cargo bench --bench counts`. Needs valgrind.

use falseair::input::{Source, read_toml};
use serde::Deserialize;
use sim::control::{Command, SpeedMode};
use sim::network::{Leak, Network, Place, Vehicle};
use sim::scenario::Surroundings;
use sim::solve::implicit::{Integrator, Tolerance};
use sim::solve::steady::steady;
use sim::solve::{State, linearise, rates};
use sim::study::judging::diagnose::beside::Beside;
use sim::study::judging::diagnose::file::ReadingsFile;
use sim::study::judging::diagnose::ranking::Diagnosis;
use std::collections::BTreeMap;
use std::f64::consts::PI;
use std::hint::black_box;
use std::path::Path;
use std::process::{Command as Program, ExitCode};

/// Growth that must be owned up to.
const GROWN: f64 = 1.05;

/// The pieces, and how often each is done to be counted.
const PIECES: [(&str, usize); 5] = [
    ("right_hand_side", 1000),
    ("rates_and_jacobian", 200),
    ("warm_point", 100),
    ("trace_of_10_s", 2),
    ("diagnosis", 1),
];

/// What each may cost.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Limits {
    /// What `rustc --version` says of the compiler that they were counted with.
    compiler: String,
    /// The family of processors that the program was built for.
    processor: String,
    instructions: BTreeMap<String, u64>,
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args()
        .skip(1)
        .filter(|a| a != "--bench")
        .collect();
    match &arguments[..] {
        [piece, times] => {
            done(piece, times.parse().expect("a number of times"));
            ExitCode::SUCCESS
        }
        _ => compared(),
    }
}

/// Prints the counts beside their limits; fails where one is passed.
fn compared() -> ExitCode {
    let text = std::fs::read_to_string(root().join("benches/counts.toml")).expect("the limits");
    let limits: Limits = toml::from_str(&text).expect("limits as they are written");
    let here = Program::new("rustc").arg("--version").output();
    let here = here.map(|out| String::from_utf8_lossy(&out.stdout).trim().to_string());
    let here = here.unwrap_or_default();
    // Another compiler makes other code of the same text: its counts are no growth of ours.
    let alike = here == limits.compiler && std::env::consts::ARCH == limits.processor;
    if !alike {
        println!(
            "limits are of {} on {}; this is {here} on {}: nothing is held to them",
            limits.compiler,
            limits.processor,
            std::env::consts::ARCH
        );
    }
    println!(
        "{:20} {:>14} {:>14} {:>8}",
        "instructions", "counted", "limit", "ratio"
    );
    let mut held = true;
    for (piece, times) in PIECES {
        let counted = (count(piece, times) - count(piece, 0)) / times as u64;
        let limit = limits.instructions[piece];
        let ratio = counted as f64 / limit as f64;
        let word = match ratio {
            grown if grown > GROWN => "  grown",
            fallen if fallen * GROWN < 1.0 => "  fallen: write it down",
            _ => "",
        };
        held &= ratio <= GROWN;
        println!("{piece:20} {counted:14} {limit:14} {ratio:8.3}{word}");
    }
    match held || !alike {
        true => ExitCode::SUCCESS,
        false => ExitCode::FAILURE,
    }
}

/// Instructions of this program doing a piece so many times, set-up and all.
fn count(piece: &str, times: usize) -> u64 {
    let own = std::env::current_exe().expect("where this program is");
    let run = Program::new("valgrind")
        .args([
            "--tool=cachegrind",
            "--cache-sim=no",
            "--cachegrind-out-file=/dev/null",
        ])
        .arg(own)
        .args([piece, &times.to_string()])
        .env("RAYON_NUM_THREADS", "1")
        .output()
        .expect("valgrind runs");
    let said = String::from_utf8_lossy(&run.stderr);
    assert!(run.status.success(), "{said}");
    let line = said.lines().find_map(|line| line.split_once("refs:"));
    let number = line.expect("a count").1.trim().replace(',', "");
    number.parse().expect("a count")
}

/// Does a piece so many times.
fn done(piece: &str, times: usize) {
    let car: Vehicle = read_toml(&root().join("scenarios/vehicles/brindle-16.toml"))
        .unwrap_or_else(|e| panic!("{e}"));
    let rpm = PI / 30.0;
    let hole = |diameter| vec![Leak::hole(Place::ColdPipe, diameter)];
    let network = |leaks, command| {
        Network::new(
            car.clone(),
            leaks,
            Surroundings::STANDARD.ambient(),
            command,
        )
    };
    let full = Command::full_load(3500.0 * rpm);
    let point = |network: &Network<f64>| {
        let start = State::from(network.start());
        steady(network, &start).expect("the demo car runs").state
    };
    match piece {
        "right_hand_side" | "rates_and_jacobian" => {
            let leaky = network(hole(3e-3), full);
            let x = point(&leaky);
            for _ in 0..times {
                match piece {
                    "right_hand_side" => drop(black_box(rates(&leaky, black_box(&x)))),
                    _ => drop(black_box(linearise(&leaky, black_box(&x)))),
                }
            }
        }
        "warm_point" => {
            let guess = point(&network(hole(3e-3), full));
            let to = network(hole(3.05e-3), full);
            for _ in 0..times {
                black_box(steady(&to, black_box(&guess))).expect("the demo car runs");
            }
        }
        "trace_of_10_s" => (0..times).for_each(|_| trace(&network, rpm)),
        "diagnosis" => {
            for _ in 0..times {
                diagnosed(&car);
            }
        }
        other => panic!("no piece is called {other}"),
    }
}

/// Two seconds of light load, the pedal down in a fifth of one, and full load to the tenth.
fn trace(network: &impl Fn(Vec<Leak>, Command) -> Network<f64>, rpm: f64) {
    let command = |pedal, pedal_rate| Command {
        speed: SpeedMode::Held(2500.0 * rpm),
        pedal,
        pedal_rate,
        ..Command::IDLE
    };
    let plan = [(2.0, 0.15, 0.0), (0.2, 1.0, 4.25), (7.8, 1.0, 0.0)];
    let mut now = 0.0;
    let mut x: Option<State> = None;
    for (length, pedal, rate) in plan {
        let car = network(Vec::new(), command(pedal, rate));
        let from = x.unwrap_or_else(|| {
            steady(&car, &State::from(car.start()))
                .expect("the demo car runs")
                .state
        });
        let mut engine = Integrator::new(&car, now, from, Tolerance::default());
        engine.run_to(now + length, |_| ()).expect("the demo drive");
        (now, x) = (engine.time, Some(engine.state));
    }
}

/// A diagnosis from nothing: three conditions, every single fault, pairs where one is not enough.
fn diagnosed(car: &Vehicle) {
    let path = root().join("scenarios/readings/lean-at-idle.toml");
    let text = std::fs::read_to_string(&path).expect("the readings");
    let source = Source::from_text(&path, &text);
    let file: ReadingsFile = source
        .parse()
        .unwrap_or_else(|e| panic!("{}", e.render(false)));
    let prepared = file.prepared(car.clone(), |car| Ok(file.doubt(car)), Beside::default());
    let (ladders, evidence) = prepared.unwrap_or_else(|m| panic!("{}", m.message));
    black_box(Diagnosis::new(&ladders, &evidence, false)).unwrap_or_else(|e| panic!("{e}"));
}
