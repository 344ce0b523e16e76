//! Plates as they stand in papers and on doors: power, torque and their speeds, most without boost.
//!
//! Every plate is invented; the proportions are those of turbocharged petrol engines of 1990 to
//! 2025 (55 to 105 kW and 120 to 210 N m a litre, common knowledge of the trade, no source). What
//! is asked of the cars: the plate within 3 %, and a card without anything odd.

use crate::falseair;
use ::falseair::input::beside::read_beside;
use rayon::prelude::*;
use sim::control::Command;
use sim::network::{Known, Network, Reading};
use sim::study::knowing::doubt::CarDoubt;
use sim::study::making::sizing::{SURROUNDINGS, SizedCar, TenNumbers, card, size};
use sim::study::running::simulate::side;
use std::f64::consts::PI;
use std::path::Path;

/// Litres, cylinders, kW, rpm, N m, from rpm, to rpm (0: not given), kPa gauge (0: not given).
pub type Plate = (f64, u8, f64, f64, f64, f64, f64, f64);

pub const PLATES: [Plate; 48] = [
    (0.9, 2, 63.0, 5500.0, 145.0, 1900.0, 0.0, 0.0),
    (0.9, 2, 76.0, 5500.0, 146.0, 2000.0, 3500.0, 100.0),
    (0.9, 3, 66.0, 5250.0, 140.0, 2250.0, 0.0, 0.0),
    (1.0, 3, 74.0, 5500.0, 160.0, 1500.0, 4500.0, 0.0),
    (1.0, 3, 85.0, 5000.0, 200.0, 1400.0, 3500.0, 0.0),
    (1.0, 3, 92.0, 6000.0, 172.0, 1450.0, 4500.0, 95.0),
    (1.0, 3, 103.0, 6000.0, 180.0, 1500.0, 5000.0, 0.0),
    (1.2, 4, 77.0, 5000.0, 175.0, 1550.0, 4100.0, 0.0),
    (1.2, 3, 96.0, 5500.0, 230.0, 1750.0, 3500.0, 0.0),
    (1.2, 4, 85.0, 5000.0, 190.0, 2000.0, 0.0, 70.0),
    (1.2, 3, 81.0, 5500.0, 205.0, 1750.0, 0.0, 110.0),
    (1.3, 4, 103.0, 5000.0, 240.0, 1600.0, 3500.0, 0.0),
    (1.3, 4, 117.0, 5500.0, 268.0, 1800.0, 3000.0, 0.0),
    (1.4, 4, 90.0, 5000.0, 200.0, 1500.0, 4000.0, 80.0),
    (1.4, 4, 110.0, 5000.0, 250.0, 1500.0, 3500.0, 0.0),
    (1.4, 4, 102.0, 4900.0, 200.0, 1850.0, 4870.0, 0.0),
    (1.5, 4, 110.0, 5500.0, 240.0, 1600.0, 4000.0, 0.0),
    (1.5, 3, 134.0, 6000.0, 240.0, 1600.0, 5000.0, 0.0),
    (1.5, 4, 127.0, 5500.0, 220.0, 1700.0, 5500.0, 0.0),
    (1.6, 4, 110.0, 5000.0, 210.0, 1750.0, 4500.0, 65.0),
    (1.6, 4, 115.0, 6000.0, 240.0, 1400.0, 4000.0, 0.0),
    (1.6, 4, 147.0, 5500.0, 275.0, 1700.0, 0.0, 0.0),
    (1.6, 4, 132.0, 5500.0, 240.0, 1600.0, 5000.0, 80.0),
    (1.6, 4, 150.0, 6000.0, 285.0, 2400.0, 4000.0, 120.0),
    (1.8, 4, 110.0, 5700.0, 210.0, 1750.0, 4600.0, 50.0),
    (1.8, 4, 132.0, 5500.0, 235.0, 1950.0, 5000.0, 0.0),
    (1.8, 4, 118.0, 5000.0, 250.0, 1500.0, 4200.0, 0.0),
    (1.8, 4, 165.0, 5900.0, 280.0, 2200.0, 5500.0, 85.0),
    (2.0, 4, 147.0, 5100.0, 280.0, 1800.0, 5000.0, 0.0),
    (2.0, 4, 180.0, 5500.0, 370.0, 1800.0, 0.0, 0.0),
    (2.0, 4, 180.0, 5500.0, 370.0, 1800.0, 4500.0, 120.0),
    (2.0, 4, 135.0, 5000.0, 270.0, 1250.0, 4600.0, 0.0),
    (2.0, 4, 185.0, 5200.0, 350.0, 1450.0, 4800.0, 0.0),
    (2.0, 4, 221.0, 5500.0, 400.0, 2000.0, 5200.0, 0.0),
    (2.0, 4, 110.0, 5500.0, 240.0, 1800.0, 0.0, 45.0),
    (2.0, 4, 136.0, 5500.0, 300.0, 2500.0, 0.0, 0.0),
    (2.0, 4, 206.0, 6500.0, 343.0, 4000.0, 0.0, 120.0),
    (2.3, 4, 169.0, 5500.0, 340.0, 1900.0, 4000.0, 0.0),
    (2.3, 5, 184.0, 5300.0, 350.0, 2400.0, 5000.0, 95.0),
    (2.5, 5, 154.0, 5000.0, 320.0, 1500.0, 4500.0, 0.0),
    (2.5, 5, 169.0, 5200.0, 340.0, 1700.0, 4700.0, 0.0),
    (2.5, 4, 195.0, 5600.0, 350.0, 2400.0, 5200.0, 0.0),
    (2.5, 6, 206.0, 6200.0, 363.0, 4000.0, 0.0, 85.0),
    (2.7, 6, 184.0, 5800.0, 350.0, 1850.0, 4500.0, 60.0),
    (3.0, 6, 225.0, 5800.0, 400.0, 1300.0, 5000.0, 0.0),
    (3.0, 6, 250.0, 5500.0, 450.0, 1380.0, 5000.0, 0.0),
    (3.0, 6, 280.0, 6000.0, 500.0, 2500.0, 0.0, 0.0),
    (3.5, 6, 272.0, 5500.0, 475.0, 1700.0, 5000.0, 0.0),
];

pub fn numbers(plate: &Plate) -> TenNumbers {
    let &(litres, cylinders, kw, at, nm, from, to, boost) = plate;
    let mut text = format!(
        "name = \"{litres} L, {kw} kW (invented)\"\ndisplacement = \"{litres} L\"\ncylinders = {cylinders}\n\
         rated_power = \"{kw} kW\"\nrated_speed = \"{at} rpm\"\npeak_torque = \"{nm} N m\"\n\
         peak_torque_speed = \"{from} rpm\"\n"
    );
    if to > 0.0 {
        text += &format!("peak_torque_speed_end = \"{to} rpm\"\n");
    }
    if boost > 0.0 {
        text += &format!("peak_boost = \"{boost} kPa gauge\"\n");
    }
    toml::from_str(&text).unwrap()
}

/// What is wrong with the car of a plate.
fn faults(n: &TenNumbers, car: &SizedCar) -> (String, Vec<String>) {
    let mut wrong: Vec<String> = car.misses.iter().map(ToString::to_string).collect();
    let mut near = None;
    let mut run = |speed: f64| {
        let command = Command::full_load(speed);
        let network = Network::new(car.vehicle.clone(), vec![], SURROUNDINGS, command);
        let Ok(side) = side(&network, near.as_ref()) else {
            return (f64::NAN, f64::NAN);
        };
        near = Some(side.state);
        let read = |reading| side.readings.get(reading).unwrap();
        (read(Reading::Torque), read(Reading::Boost))
    };
    let mut line = String::new();
    let mut check = |what: String, found: f64, asked: f64| {
        let miss = 100.0 * (found / asked - 1.0);
        line += &format!(" {what} {miss:+.2}");
        if miss.is_nan() || miss.abs() > 3.0 {
            wrong.push(format!("{what} misses by {miss:.1} %"));
        }
    };
    let (torque, boost) = run(n.peak_torque_speed);
    check("torque".into(), torque, n.peak_torque);
    // Over the plateau, not only where it begins.
    let (from, end) = (n.peak_torque_speed, n.plateau_end());
    if end > from {
        for share in [0.25, 0.5, 0.75, 1.0] {
            let speed = from + share * (end - from);
            let asked = n.peak_torque.min(n.rated_power / speed);
            check(format!("@{:.0}", speed * 30.0 / PI), run(speed).0, asked);
        }
    }
    let (rated, late) = run(n.rated_speed);
    check("power".into(), rated * n.rated_speed, n.rated_power);
    if let Some(asked) = n.peak_boost {
        let target = car.vehicle.boost.target.points().to_vec();
        let highest = target.iter().map(|point| run(point[0]).1);
        check("boost".into(), 1e3 * highest.fold(0.0, f64::max), asked);
    }
    line += &format!(" | {boost:.0} and {late:.0} kPa");
    match card(&car.vehicle) {
        Ok(card) => {
            for figure in card.flagged() {
                let (label, value) = (figure.label, figure.value);
                wrong.push(format!("{label} {value:.3} ({:?})", figure.typical));
            }
            wrong.extend(card.said());
        }
        Err(why) => wrong.push(why.to_string()),
    }
    (line, wrong)
}

/// Places of those that every run of the tests makes.
const FEW: [usize; 12] = [0, 5, 10, 13, 14, 19, 20, 28, 29, 31, 36, 44];

/// All of them with `FALSEAIR_PLATES=all`, a few otherwise.
#[test]
fn a_plate_gives_its_car() {
    let all = std::env::var("FALSEAIR_PLATES").is_ok_and(|plates| plates == "all");
    let places: Vec<usize> = match all {
        true => (0..PLATES.len()).collect(),
        false => FEW.to_vec(),
    };
    let plates: Vec<&Plate> = places.iter().map(|place| &PLATES[*place]).collect();
    let results: Vec<_> = plates
        .par_iter()
        .map(|plate| {
            let n = numbers(plate);
            match size(&n) {
                Ok(car) => faults(&n, &car),
                Err(why) => (String::new(), vec![why.to_string()]),
            }
        })
        .collect();
    let mut failed = 0;
    for (plate, (line, wrong)) in plates.iter().zip(&results) {
        println!("{plate:?}:{line}");
        for wrong in wrong {
            println!("        {wrong}");
        }
        failed += usize::from(!wrong.is_empty());
    }
    println!("{failed} of {} odd", plates.len());
    // One in forty may miss, and says by how much.
    assert!(failed <= plates.len() / 40, "{failed} of {}", plates.len());
}

/// No boost told: a car all the same. A boost read wrong: said, written down, and doubted.
#[test]
fn what_a_car_misses_is_said_written_and_doubted() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sizing");
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("missing.toml");
    let flags = "vehicle new --displacement 1.6L --cylinders 4 --power 150kW --power-speed 5500rpm \
                 --torque 318Nm --torque-speed 2000rpm --force";
    let flags: Vec<&str> = flags.split(' ').filter(|flag| !flag.is_empty()).collect();
    let path = file.to_string_lossy();
    let boost = ["--boost", "60 kPa gauge", "--out", &path];
    let (code, text) = falseair(&[&flags[..], &boost].concat());
    assert!(
        code == Some(0) && text.contains("misses the plate: peak boost"),
        "{text}"
    );
    let car = std::fs::read_to_string(&file).unwrap();
    assert!(car.contains("misses the plate: peak boost"), "{car}");
    let (known, origin) = read_beside(&file).unwrap().unwrap();
    assert_eq!(origin, Known::Estimated);
    let vehicle = ::falseair::input::read_toml(&file).unwrap();
    let network = Network::new(vehicle, vec![], SURROUNDINGS, sim::control::Command::IDLE);
    let [wide, usual] = [
        known.doubt(&network).unwrap(),
        CarDoubt::usual(&network, 2.0),
    ];
    assert!(wide.factor.norm() > 1.2 * usual.factor.norm());
}
