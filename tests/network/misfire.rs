//! A cylinder that does not fire, its plug or coil having failed: what the engine, its oxygen sensor and
//! its computer make of it. F: closed form, P: common practice, no source.

use crate::cars::{ailing, cars, rpm};
use sim::control::{Code, Command};
use sim::network::readings::Reading as R;
use sim::network::{FaultKind, Vehicle};
use sim::study::running::dangers::Hazard;
use sim::study::running::simulate::{Comparison, Side};

/// One cylinder of four.
const ONE: f64 = 0.25;

fn at(car: &Vehicle, dead: f64, command: Command) -> Side {
    let network = ailing(car, FaultKind::MisfiringCylinder, dead);
    let point = Comparison::new(&network).point("", command);
    point.faulty.unwrap().unwrap()
}

fn is(side: &Side, reading: R) -> f64 {
    side.readings.get(reading).unwrap()
}

/// The sensor sees the dead cylinder's air and half of its fuel, so in closed loop the computer adds
/// fuel until `λ/(1 − m/2) = 1` (F): an eighth too rich with one of four. Which way is (P).
#[test]
fn a_dead_cylinder_reads_lean_and_runs_rich() {
    for car in cars() {
        for command in [Command::IDLE, Command::torque(rpm(2500.0), 45.0)] {
            let [sound, dead] = [0.0, ONE].map(|m| at(&car, m, command));
            let asked = is(&dead, R::FuelTrim) - is(&sound, R::FuelTrim);
            println!(
                "{}: trim {asked:+.2} points, lambda {:.3}, misfires {:.1} %",
                car.name,
                is(&dead, R::Lambda),
                is(&dead, R::Misfire)
            );
            // Trims act on what the meter counts, whose error at this flow is the healthy car's.
            let wanted = 100.0 * (1.0 / (1.0 - 0.5 * ONE) - 1.0);
            assert!((asked - wanted).abs() < 0.6, "{asked} for {wanted}");
            let richer = is(&dead, R::Lambda) / is(&sound, R::Lambda);
            assert!((richer - (1.0 - 0.5 * ONE)).abs() < 5e-3, "{richer}");
            assert!((is(&dead, R::LambdaSensor) - 1.0).abs() < 1e-3);
            assert!((is(&dead, R::Misfire) - 100.0 * ONE).abs() < 1e-6);
        }
    }
}

/// Three cylinders do the work of four (F): at the same torque the engine takes about a third more
/// indicated work from each, so more air; at full load it gives at least a quarter less.
#[test]
fn the_others_do_its_work() {
    for car in cars() {
        let cruise = Command::torque(rpm(2500.0), 45.0);
        let [sound, dead] = [0.0, ONE].map(|m| at(&car, m, cruise));
        let more = is(&dead, R::EngineAir) / is(&sound, R::EngineAir);
        // No torque taken back for too little boost: the engine itself is looked at.
        let mut car = car;
        car.watchdogs.underboost = 1e5;
        let full = Command::full_load(rpm(2500.0));
        let [sound, dead] = [0.0, ONE].map(|m| at(&car, m, full));
        let left = is(&dead, R::Torque) / is(&sound, R::Torque);
        println!("{}: air {more:.3} at cruise, torque {left:.3}", car.name);
        // Indicated work a third up less what the richer mixture and lower pumping give back.
        assert!((1.15..1.40).contains(&more), "{more}");
        assert!((0.5..1.0 - ONE).contains(&left), "{left}");
    }
}

/// The computer counts it as misfire, raw fuel in the exhaust is the danger named, and behind the
/// catalyst it is hotter for what burns there.
#[test]
fn it_sets_the_misfire_code_and_is_a_danger() {
    for car in cars() {
        let cruise = Command::torque(rpm(2500.0), 45.0);
        let [sound, dead] = [0.0, ONE].map(|m| at(&car, m, cruise));
        let set = |side: &Side| side.codes.contains(&Code::Misfire);
        assert!(set(&dead) && !set(&sound));
        let raw = |side: &Side| side.dangers.iter().any(|d| d.hazard == Hazard::RawFuel);
        assert!(raw(&dead) && !raw(&sound));
        let [cool, hot] = [&sound, &dead].map(|side| is(side, R::CatalystOut));
        println!("{}: behind the catalyst {cool:.0}, {hot:.0} °C", car.name);
        assert!(hot > cool + 100.0);
    }
}
