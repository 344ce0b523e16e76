//! Many warm steady points: points per second and core, what a second core brings,
//! time a case and peak memory from a thousand to a million cases; the solver alone, and
//! `falseair sweep` with its files. Prints a comparison; ratios within one run count, times of
//! a shared machine do not.
//! Run: `cargo bench --bench scale` (needs GNU time in /usr/bin and 3 GB of disk).

use falseair::input::read_toml;
use rayon::prelude::*;
use sim::control::Command as Asked;
use sim::leak::{RoundHole, Shape};
use sim::network::layout::state;
use sim::network::{Ambient, Leak, Network, Place, Vehicle};
use sim::solve::State;
use sim::solve::steady::steady;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

/// Cases that follow each other along one line of leak sizes.
const LINE: usize = 200;
const PLACES: [Place; 4] = [
    Place::ColdPipe,
    Place::InletDuct,
    Place::ManifoldGasket,
    Place::ExhaustManifold,
];

fn hole(place: Place, diameter: f64) -> Leak<f64> {
    let shape = Shape::RoundHole(RoundHole { diameter });
    Leak { place, shape }
}

/// A network with a small hole and its steady point: where lines begin.
type Beginning = (Network<f64>, Place, State);

fn beginnings() -> Vec<Beginning> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/vehicles/brindle-16.toml");
    let car: Vehicle = read_toml(&path).unwrap_or_else(|e| panic!("{e}"));
    let ambient = Ambient {
        pressure: 101_325.0,
        temperature: 293.15,
        water_mole_fraction: 0.01,
    };
    let mut all = Vec::new();
    for place in PLACES {
        for i in 0..8 {
            let speed = (2000.0 + 500.0 * f64::from(i)) * std::f64::consts::PI / 30.0;
            for command in [Asked::full_load(speed), Asked::torque(speed, 60.0)] {
                let network = Network::new(car.clone(), vec![hole(place, 1e-3)], ambient, command);
                if let Ok(found) = steady(&network, &State::from(network.start())) {
                    all.push((network, place, found.state));
                }
            }
        }
    }
    all
}

/// One line: sizes 1 to 5 mm, each point from the one before. A sum that keeps the
/// work from being left out, runs until the engine settled, points without an answer.
fn line(number: usize, (network, place, first): &Beginning) -> [f64; 3] {
    let mut network = network.clone();
    let (mut x, mut sum, mut fallbacks, mut failures) = (*first, 0.0, 0.0, 0.0);
    // Lines of the same beginning differ a little, as if by a second axis.
    let shift = 1.0 + 1e-6 * number as f64;
    for i in 1..=LINE {
        network.leaks[0] = hole(*place, shift * (1e-3 + 4e-3 * i as f64 / LINE as f64));
        match steady(&network, &x) {
            Ok(found) => {
                x = found.state;
                fallbacks += f64::from(u8::from(found.fallback));
                sum += x[state::SHAFT];
            }
            Err(_) => failures += 1.0,
        }
    }
    [sum, fallbacks, failures]
}

/// Runs so many cases on so many threads; seconds, and what the lines gave.
fn run(cases: usize, threads: usize, from: &[Beginning]) -> (f64, [f64; 3]) {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    let pool = pool.expect("threads");
    let start = Instant::now();
    let add = |a: [f64; 3], b: [f64; 3]| std::array::from_fn(|i| a[i] + b[i]);
    let sums = pool.install(|| {
        (0..cases / LINE)
            .into_par_iter()
            .map(|number| line(number, &from[number % from.len()]))
            .reduce(|| [0.0; 3], add)
    });
    (start.elapsed().as_secs_f64(), sums)
}

/// Peak memory since it was last asked, MB (Linux).
fn peak() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let number = line.and_then(|line| line.split_whitespace().next()?.parse::<f64>().ok());
    let _ = std::fs::write("/proc/self/clear_refs", "5");
    number.unwrap_or(f64::NAN) / 1e3
}

/// A study of so many cases: four places, 25 speeds, sizes from 1 to 5 mm.
fn study(folder: &Path, cases: usize) -> PathBuf {
    let path = folder.join("study.toml");
    let car = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/vehicles/brindle-16.toml");
    let axis = |key: &str, rest: &str| format!("[[axis]]\nkey = \"{key}\"\n{rest}\n");
    let text = format!(
        "title = \"many\"\nvehicle = {car:?}\n[[leak]]\nplace = \"cold_pipe\"\n\
         round_hole = {{ diameter = \"3 mm\" }}\n{}{}{}\
         [[point]]\nname = \"full load\"\nspeed = \"3000 rpm\"\npedal = \"100 %\"\n",
        axis(
            "leak.0.place",
            "values = [\"inlet_duct\", \"cold_pipe\", \"manifold_gasket\", \"exhaust_manifold\"]"
        ),
        axis(
            "point.0.speed",
            "from = \"2000 rpm\"\nto = \"4000 rpm\"\ncount = 25"
        ),
        axis(
            "leak.0.round_hole.diameter",
            &format!("from = \"1 mm\"\nto = \"5 mm\"\ncount = {}", cases / 100)
        ),
    );
    std::fs::write(&path, text).expect("a folder to write in");
    path
}

/// Seconds, processor seconds and peak memory in MB of a sweep by the program.
fn swept(cases: usize, threads: usize) -> Option<[f64; 3]> {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("scale");
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).ok()?;
    let output = Command::new("/usr/bin/time")
        .args(["-f", "%e %U %S %M", env!("CARGO_BIN_EXE_falseair"), "sweep"])
        .arg(study(&folder, cases))
        .arg("--out")
        .arg(folder.join("out"))
        .args(["--threads", &threads.to_string()])
        .output()
        .ok()?;
    let _ = std::fs::remove_dir_all(&folder);
    let said = String::from_utf8_lossy(&output.stderr);
    let numbers: Vec<f64> = (said.lines().last()?.split_whitespace())
        .filter_map(|word| word.parse().ok())
        .collect();
    let [seconds, user, system, peak] = numbers[..] else {
        return None;
    };
    Some([seconds, user + system, peak / 1e3])
}

fn program() {
    println!("\nfalseair sweep, one point a case (three steady points: idle and cruise to learn)");
    let mut best = [[f64::INFINITY; 2]; 2];
    for _ in 0..5 {
        for (threads, best) in [1, 2].into_iter().zip(&mut best) {
            let Some([seconds, processor, _]) = swept(20_000, threads) else {
                println!("not measured: no /usr/bin/time");
                return;
            };
            *best = [best[0].min(seconds), best[1].min(processor)];
        }
    }
    println!("20,000 cases, best of 5           s    processor s   efficiency");
    let [one, two] = best;
    println!("1 thread                   {:8.2} {:14.2}", one[0], one[1]);
    println!(
        "2 threads                  {:8.2} {:14.2} {:12.2}",
        two[0],
        two[1],
        one[0] / (2.0 * two[0])
    );
    println!("cases on 2 threads         s    us of processor a case    peak memory MB");
    for exponent in 4..=6 {
        let cases = 10_usize.pow(exponent);
        if let Some([seconds, processor, peak]) = swept(cases, 2) {
            let each = processor / cases as f64 * 1e6;
            println!("{cases:17} {seconds:10.1} {each:25.1} {peak:17.1}");
        }
    }
}

fn main() {
    if std::env::args().any(|word| word == "program") {
        return program();
    }
    let from = beginnings();
    println!(
        "{} beginnings; lines of {LINE} sizes, 1 to 5 mm",
        from.len()
    );
    // Taken in turns, so that other work on the machine hits both alike.
    let (mut one, mut two) = (f64::INFINITY, f64::INFINITY);
    for _ in 0..7 {
        one = one.min(run(20_000, 1, &from).0);
        two = two.min(run(20_000, 2, &from).0);
    }
    println!("20,000 cases                      s    points per second   efficiency");
    println!(
        "1 thread                   {one:8.3} {:20.0}",
        20_000.0 / one
    );
    println!(
        "2 threads                  {two:8.3} {:20.0} {:12.2}",
        20_000.0 / two,
        one / (2.0 * two)
    );
    println!("\ncases on 2 threads       us a case     peak memory MB    run after   no answer");
    peak();
    for exponent in 3..=6 {
        let cases = 10_usize.pow(exponent);
        let (seconds, [_, fallbacks, failures]) = run(cases, 2, &from);
        println!(
            "{cases:17} {:16.2} {:18.1} {fallbacks:12} {failures:11}",
            seconds / cases as f64 * 1e6,
            peak()
        );
    }
    program();
}
