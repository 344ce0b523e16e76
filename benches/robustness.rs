//! Cold starts over the documented ranges: what comes out, by reason; and of some, whether
//! the engine stays at the point, and is warned of where it does not.
//! Run: `cargo bench --bench robustness [-- CASES]` (100,000 unless told).

use falseair::input::read_toml;
use rayon::prelude::*;
use sim::control::{BoostControl, Command};
use sim::leak::{RoundHole, Shape, Slot};
use sim::network::{Ambient, Fault, FaultKind, Leak, Network, Place, Vehicle};
use sim::solve::stability::growth;
use sim::solve::steady::{remembered, steady};
use sim::solve::{Failure, State};
use sim::study::running::simulate::side;
use sim::study::running::warnings::Concern;
use std::collections::BTreeMap;
use std::path::Path;

/// splitmix64: a stream of its own for each case.
struct Random(u64);

impl Random {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }
    fn below(&mut self, count: usize) -> usize {
        (self.next() * count as f64) as usize
    }
}

/// Case `number`: the network, and what it is in words.
fn case(number: u64, cars: &[Vehicle]) -> (Network<f64>, String) {
    let mut random = Random(number.wrapping_mul(0xd134_2543_de82_ef95));
    let mut car = cars[random.below(cars.len())].clone();
    let controls = BoostControl::WORDS;
    let control = controls[random.below(controls.len())];
    if control.1 != BoostControl::CountedCharge || car.boost.target_charge.is_some() {
        car.boost.control = control.1;
    }
    let ambient = Ambient {
        pressure: random.between(70e3, 105e3),
        temperature: random.between(243.15, 318.15),
        water_mole_fraction: random.between(0.0, 0.03),
    };
    let speed = random.between(1000.0, 6000.0);
    let omega = speed * std::f64::consts::PI / 30.0;
    let (what, command) = match random.below(5) {
        0 => ("idle".into(), Command::IDLE),
        1 => {
            let torque = random.between(5.0, 120.0);
            let what = format!("{torque:.0} N m at {speed:.0} rpm");
            (what, Command::torque(omega, torque))
        }
        2 => {
            let pedal = random.between(0.05, 0.8);
            (
                format!("pedal {pedal:.2} at {speed:.0} rpm"),
                Command::pedal(omega, pedal),
            )
        }
        _ => (
            format!("full load at {speed:.0} rpm"),
            Command::full_load(omega),
        ),
    };
    let (place, size) = (
        Place::WORDS[random.below(Place::WORDS.len())],
        random.next().powi(2),
    );
    let shape = match random.below(2) {
        0 => Shape::RoundHole(RoundHole {
            diameter: 10e-3 * size,
        }),
        _ => Shape::Slot(Slot {
            gap: 1e-3 * size,
            length: random.between(5e-3, 80e-3),
            depth: random.between(1e-3, 20e-3),
            entrance_loss: 0.5,
        }),
    };
    let mut words = format!("{} {} {what} {} {shape:?}", car.name, control.0, place.0);
    let network = Network::new(
        car,
        vec![Leak {
            place: place.1,
            shape,
        }],
        ambient,
        command,
    );
    if random.next() < 0.5 {
        return (network, words);
    }
    let kind = FaultKind::ALL[random.below(FaultKind::ALL.len())];
    let field = kind.field();
    let severity = random.between(field.low, field.high);
    words += &format!(" {} {severity:.3}", field.name);
    (network.ailing(vec![Fault { kind, severity }]), words)
}

/// The reason in a word, and whether it is one of physics.
fn reason(failure: &Failure) -> (&'static str, bool) {
    match failure {
        Failure::Stalled { burns: true, .. } => ("stalls: torque does not cover friction", true),
        Failure::Stalled { .. } => ("stalls: mixture does not burn", true),
        Failure::Unreachable { .. } => ("cannot reach the torque", true),
        Failure::Surging => ("surges", true),
        Failure::Hunting { .. } => ("idle hunts", true),
        Failure::Misfiring { .. } => ("swings as cycles do not burn", true),
        Failure::OverLimit { .. } => ("over the speed limit", true),
        Failure::Unsettled { .. } => ("does not settle", false),
        Failure::StepTooSmall { .. } => ("step too small", false),
    }
}

/// Of the first cases: points, those that the engine leaves by itself, and of these those
/// without a warning of surge or drift.
fn unstable(cars: &[Vehicle], cases: u64) -> [usize; 3] {
    let check = |number: u64| {
        let network = case(number, cars).0;
        let Ok(found) = steady(&network, &State::from(network.start())) else {
            return [0; 3];
        };
        let command = Command {
            memory: Some(remembered(&found.state)),
            ..network.command
        };
        let network = network.with(command);
        // Slower than once in a day is round-off.
        let leaves = growth(&network, &found.state).is_none_or(|g| g.growth > 1e-5);
        let warned = side(&network, Some(&found.state)).is_ok_and(|side| {
            let told = [Concern::Leaves, Concern::Surge];
            side.warnings.iter().any(|w| told.contains(&w.concern()))
        });
        if leaves && !warned {
            println!("no warning: case {number}: {}", case(number, cars).1);
        }
        [1, usize::from(leaves), usize::from(leaves && !warned)]
    };
    let add = |a: [usize; 3], b: [usize; 3]| std::array::from_fn(|i| a[i] + b[i]);
    (0..cases).into_par_iter().map(check).reduce(|| [0; 3], add)
}

/// Cases of which the stability is looked at: as dear as finding the point.
const WATCHED: u64 = 5000;

fn main() {
    let cases: u64 = std::env::args()
        .filter_map(|a| a.parse().ok())
        .next()
        .unwrap_or(100_000);
    let cars = ["brindle-16", "tamsel-20"].map(|name| -> Vehicle {
        let path =
            Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenarios/vehicles/{name}.toml"));
        read_toml(&path).unwrap_or_else(|e| panic!("{e}"))
    });
    let failed: Vec<(u64, Failure)> = (0..cases)
        .into_par_iter()
        .filter_map(|number| {
            let network = case(number, &cars).0;
            let found = steady(&network, &State::from(network.start()));
            found.err().map(|failure| (number, failure))
        })
        .collect();
    let mut table: BTreeMap<&str, usize> = BTreeMap::new();
    let mut unexplained = 0;
    for (number, failure) in &failed {
        let (word, physical) = reason(failure);
        *table.entry(word).or_default() += 1;
        if !physical {
            unexplained += 1;
            println!("case {number}: {failure}: {}", case(*number, &cars).1);
        }
    }
    println!("\n{cases} cold starts      cases   share");
    let share = |n: usize| 100.0 * n as f64 / cases as f64;
    let answered = cases as usize - failed.len();
    println!(
        "{:42} {answered:6} {:8.3} %",
        "a steady point",
        share(answered)
    );
    for (word, count) in table {
        println!("{word:42} {count:6} {:8.3} %", share(count));
    }
    println!(
        "{:42} {unexplained:6} {:8.3} %",
        "of these not explained by physics",
        share(unexplained)
    );
    let [points, leaves, silent] = unstable(&cars, cases.min(WATCHED));
    println!(
        "\nof {points} points the engine leaves {leaves} by itself, {silent} without a warning"
    );
}
