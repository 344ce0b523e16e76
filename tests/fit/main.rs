//! Cars away from nominal are found again from what they read.
//!
//! Every car is drawn from the stated spread, its readings are made with the stated
//! instruments' scatter, and the nominal car is fitted to them. A sound estimate then
//! holds the truth in its 90 % intervals nine times of ten (the definition of such an
//! interval; Gaussian numbers by Marsaglia's polar method, from memory).

mod program;

use falseair::input::read_toml;
use sim::control::{Command, ThrottleMode};
use sim::network::{Network, Reading};
use sim::scenario::Surroundings;
use sim::study::asking::sensitivity::quantities;
use sim::study::knowing::doubt::{CarDoubt, instrument};
use sim::study::making::fit::{Watched, fit};
use sim::study::running::simulate::Comparison;
use std::path::Path;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn car(name: &str) -> Network<f64> {
    let vehicle = read_toml(&root().join(format!("scenarios/vehicles/{name}.toml"))).unwrap();
    Network::new(
        vehicle,
        Vec::new(),
        Surroundings::STANDARD.ambient(),
        Command::IDLE,
    )
}

/// Even and normal numbers.
struct Draw(u64);

impl Draw {
    fn even(&mut self) -> f64 {
        // Steele, Lea & Flood 2014, SplitMix64, from memory.
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        loop {
            let (x, y) = (2.0 * self.even() - 1.0, 2.0 * self.even() - 1.0);
            let s = x * x + y * y;
            if s > 0.0 && s < 1.0 {
                return x * (-2.0 * s.ln() / s).sqrt();
            }
        }
    }
}

const READ: &[Reading] = &[
    Reading::MeteredAir,
    Reading::Manifold,
    Reading::BoostSensor,
    Reading::IntakeTemperature,
    Reading::FuelTrim,
    Reading::LambdaSensor,
    Reading::WastegateDuty,
];

/// How a healthy log's drive would be: idle, two cruises, full load at two speeds.
fn drive() -> Vec<(&'static str, Command)> {
    vec![
        ("idle", Command::IDLE),
        ("cruise", Command::torque(220.0, 45.0)),
        ("brisk", Command::torque(310.0, 110.0)),
        ("full load, slow", Command::full_load(260.0)),
        ("full load", Command::full_load(470.0)),
    ]
}

/// What a car reads, with `scatter` of the instruments; none if it does not run.
fn read(truth: &Network<f64>, draw: &mut Draw, scatter: f64) -> Option<Vec<Watched>> {
    let cars = Comparison::new(truth);
    let mut all = Vec::new();
    for (name, command) in drive() {
        let side = cars.point(name, command).healthy.ok()?;
        let reads = READ.iter().filter_map(|reading| {
            let value = side.readings.get(*reading)?;
            let deviation = instrument(*reading).deviation(value);
            Some((
                *reading,
                value + scatter * deviation * draw.normal(),
                deviation,
            ))
        });
        let command = match command.throttle {
            ThrottleMode::Torque(_) => Command {
                throttle: ThrottleMode::Torque(0.0),
                ..command
            },
            ThrottleMode::Pedal | ThrottleMode::Opening(_) => command,
        };
        all.push(Watched {
            name: name.into(),
            command,
            reads: reads.collect(),
        });
    }
    Some(all)
}

/// A car drawn from the usual spread.
fn drawn(nominal: &Network<f64>, doubt: &CarDoubt, draw: &mut Draw) -> Network<f64> {
    let z: Vec<f64> = (0..doubt.count())
        .map(|_| draw.normal().clamp(-2.2, 2.2))
        .collect();
    nominal.map(&mut |key, value| {
        let place = doubt.keys.iter().position(|own| own == key);
        place.map_or(value, |i| value + z[i] * doubt.factor[(i, i)])
    })
}

fn values(car: &Network<f64>, doubt: &CarDoubt) -> Vec<f64> {
    let all = quantities(car);
    let of = |key: &String| all.iter().find(|q| q.key == *key).map_or(0.0, |q| q.value);
    doubt.keys.iter().map(of).collect()
}

#[test]
fn ninety_per_cent_intervals_hold_nine_of_ten() {
    let cars = if cfg!(debug_assertions) { 3 } else { 40 };
    let nominal = car("brindle-16");
    let doubt = CarDoubt::usual(&nominal, 1.0);
    let mut draw = Draw(20_260_301);
    let (mut inside, mut all) = (0.0, 0.0);
    // Of the numbers that the readings tell of, and squared errors before and after.
    let (mut told_inside, mut told) = (0.0, 0.0);
    let (mut before, mut after) = (0.0, 0.0);
    let mut done = 0;
    let start = std::time::Instant::now();
    while done < cars {
        let truth = drawn(&nominal, &doubt, &mut draw);
        let Some(watched) = read(&truth, &mut draw, 1.0) else {
            continue;
        };
        let found = fit(&nominal, &watched, &doubt).unwrap_or_else(|e| panic!("{e}"));
        done += 1;
        for (number, truth) in found.numbers.iter().zip(values(&truth, &doubt)) {
            let off = (truth - number.after.0) / number.after.1;
            let hit = f64::from(u8::from(off.abs() < 1.645));
            (inside, all) = (inside + hit, all + 1.0);
            if number.told() {
                (told_inside, told) = (told_inside + hit, told + 1.0);
            }
        }
        // What the fitted car reads, beside what the true one does without scatter.
        let clean = read(&truth, &mut draw, 0.0).unwrap();
        let clean = clean.iter().flat_map(|w| &w.reads);
        for (left, (_, value, deviation)) in found.left.iter().zip(clean) {
            before += ((left.shown.0 - value) / deviation).powi(2);
            after += ((left.shown.1 - value) / deviation).powi(2);
        }
    }
    let each = start.elapsed().as_secs_f64() / f64::from(cars);
    println!(
        "{cars} cars: 90 % intervals hold {:.1} % of all numbers, {:.1} % of the {:.1} a car that are told; \
         rms distance of readings from the truth {:.2} before, {:.2} after; {each:.2} s a car",
        100.0 * inside / all,
        100.0 * told_inside / told,
        told / f64::from(cars),
        (before / all).sqrt(),
        (after / all).sqrt(),
    );
    if cars >= 40 {
        assert!((0.85..0.95).contains(&(inside / all)), "{}", inside / all);
        assert!(
            (0.83..0.96).contains(&(told_inside / told)),
            "{}",
            told_inside / told
        );
    }
    assert!(after < 0.25 * before, "{after} {before}");
}

#[test]
fn one_bad_condition_hardly_matters() {
    let nominal = car("brindle-16");
    let doubt = CarDoubt::usual(&nominal, 1.0);
    let mut draw = Draw(77);
    let truth = drawn(&nominal, &doubt, &mut draw);
    let watched = read(&truth, &mut draw, 0.5).unwrap();
    let good = fit(&nominal, &watched, &doubt).unwrap();
    assert!(good.aside.is_empty(), "{:?}", good.aside);
    let mut bad = watched.clone();
    // As if the pedal had moved while the window was taken: nothing fits together.
    for (reading, value, _) in &mut bad[1].reads {
        match reading {
            Reading::MeteredAir => *value *= 1.15,
            Reading::FuelTrim => *value += 12.0,
            Reading::Manifold => *value *= 0.9,
            _ => {}
        }
    }
    let found = fit(&nominal, &bad, &doubt).unwrap();
    assert_eq!(found.aside, ["cruise"]);
    for (a, b) in found.numbers.iter().zip(&good.numbers) {
        let off = (a.after.0 - b.after.0).abs() / b.before.1;
        assert!(off < 0.6, "{}: {off}", a.key);
    }
}

#[test]
fn what_is_left_in_doubt_goes_through_a_file() {
    let nominal = car("tamsel-20");
    let doubt = CarDoubt::usual(&nominal, 2.0);
    let watched = read(&nominal, &mut Draw(5), 1.0).unwrap();
    let found = fit(&nominal, &watched, &doubt).unwrap();
    let known = found.known.doubt(&found.car).unwrap();
    for (i, number) in found.numbers.iter().enumerate() {
        let deviation = known.factor.row(i).norm();
        let wanted = number.after.1;
        assert!(
            (deviation - wanted).abs() <= 1e-9 * wanted,
            "{}: {deviation} {wanted}",
            number.key
        );
    }
    let mut wrong = found.known.clone();
    wrong.numbers[3].with.pop();
    assert!(
        wrong
            .doubt(&found.car)
            .unwrap_err()
            .to_string()
            .contains("correlations")
    );
    wrong.numbers[3].key = "turbine.sise".into();
    assert!(wrong.doubt(&found.car).is_err());
}

/// A window in which the car cannot be run is left out and named; the rest tells what it did.
#[test]
fn a_condition_that_cannot_be_run_is_left_out() {
    let nominal = car("brindle-16");
    let doubt = CarDoubt::usual(&nominal, 1.0);
    let watched = read(&nominal, &mut Draw(11), 0.5).unwrap();
    let good = fit(&nominal, &watched, &doubt).unwrap();
    let mut more = watched.clone();
    let stalls = Watched {
        name: "beyond the limiter".into(),
        command: Command::full_load(1000.0),
        reads: vec![(Reading::MeteredAir, 9.0, 0.2)],
    };
    more.insert(1, stalls);
    let found = fit(&nominal, &more, &doubt).unwrap();
    let out: Vec<&str> = found.out.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(out, ["beyond the limiter"]);
    for (a, b) in found.numbers.iter().zip(&good.numbers) {
        assert!(
            (a.after.0 - b.after.0).abs() <= 1e-6 * b.before.1,
            "{}",
            a.key
        );
    }
}
