//! The engine computer through a drive: pulls, lift-off, overboost cut, overrun.
//! Sources beside each check; P: common practice, no source.

use crate::cars::{ailing, cars, hole, learnt, network, rpm};
use sim::control::{Code, Command, SpeedMode};
use sim::network::readings::Reading as R;
use sim::network::{FaultKind, Network, Place};
use sim::solve::implicit::Tolerance;
use sim::study::running::simulate::Comparison;
use sim::study::running::trace::{Run, Trace, closure, drive};

const MM: f64 = 1e-3;

fn held(speed: f64, pedal: f64, pedal_rate: f64) -> Command {
    Command {
        pedal_rate,
        ..Command::pedal(rpm(speed), pedal)
    }
}

fn in_gear(gear: u8, pedal: f64, pedal_rate: f64) -> Command {
    Command {
        speed: SpeedMode::InGear,
        gear,
        pedal,
        pedal_rate,
        ..Command::IDLE
    }
}

fn run(network: &Network<f64>, runs: &[Run]) -> Trace {
    let plan = vec![("drive".to_string(), runs.to_vec())];
    let trace = drive(network, &plan, learnt(network), 0.02, Tolerance::default()).unwrap();
    assert_eq!(trace.failure, None);
    trace
}

/// Pull from 2000 rpm in third gear until it ends.
fn pull(network: &Network<f64>) -> Trace {
    run(
        network,
        &[
            (1.0, held(2000.0, 0.15, 0.0)),
            (0.2, in_gear(3, 1.0, 4.25)),
            (9.0, in_gear(3, 1.0, 0.0)),
        ],
    )
}

/// Seconds from 2000 rpm to this speed.
fn time_to(trace: &Trace, speed: f64) -> f64 {
    let reached = trace
        .samples
        .iter()
        .find(|s| s.readings.get(R::EngineSpeed).unwrap() >= speed);
    reached.map_or(f64::INFINITY, |sample| sample.time - 1.0)
}

#[test]
fn a_pull_takes_its_time_and_faults_make_it_longer() {
    for car in cars() {
        let healthy = time_to(&pull(&network(&car, vec![], Command::IDLE)), 4500.0);
        println!(
            "{}: 2000 to 4500 rpm in third gear {healthy:.2} s",
            car.name
        );
        // Third gear, 35 to 80 km/h or so: a car of 1.4 t with 200 N m a litre less losses (P).
        assert!((3.0..9.0).contains(&healthy));
        let leak = |place, mm: f64| network(&car, vec![hole(place, mm * MM)], Command::IDLE);
        for (name, faulty) in [
            ("hole in the cold pipe", leak(Place::ColdPipe, 6.0)),
            (
                "hole in the exhaust manifold",
                leak(Place::ExhaustManifold, 6.0),
            ),
            (
                "wastegate stuck open",
                ailing(&car, FaultKind::WastegateStuckOpen, 0.3),
            ),
            (
                "restricted exhaust",
                ailing(&car, FaultKind::RestrictedExhaust, 4.0),
            ),
            ("tired engine", ailing(&car, FaultKind::TiredEngine, 0.85)),
        ] {
            let time = time_to(&pull(&faulty), 4500.0);
            println!("  {name}: {time:.2} s");
            assert!(time > healthy + 0.05, "{name}");
        }
    }
}

/// Lift-off from a pull: with the compressor bypass valve stuck the column of air turns
/// round (greitzer1976); with it working it does not.
#[test]
fn a_stuck_recirculation_valve_lets_the_compressor_surge_at_lift_off() {
    for car in cars() {
        let least = |network: &Network<f64>| {
            let trace = run(
                network,
                &[
                    (1.0, held(2500.0, 0.15, 0.0)),
                    (0.2, in_gear(3, 1.0, 4.25)),
                    (4.0, in_gear(3, 1.0, 0.0)),
                    (0.15, in_gear(3, 0.0, -1.0 / 0.15)),
                    (1.0, in_gear(3, 0.0, 0.0)),
                ],
            );
            let flows = trace
                .samples
                .iter()
                .map(|s| s.readings.get(R::CompressorFlow).unwrap());
            flows.fold(f64::INFINITY, f64::min)
        };
        let (sound, stuck) = (
            least(&network(&car, vec![], Command::IDLE)),
            least(&ailing(&car, FaultKind::RecirculationStuckShut, 0.0)),
        );
        println!(
            "{}: least compressor flow {sound:.2} g/s, stuck {stuck:.2} g/s",
            car.name
        );
        assert!(sound > -1.0 && stuck < -5.0);
    }
}

#[test]
fn overboost_is_cut_within_its_time() {
    for car in cars() {
        let network = ailing(&car, FaultKind::WastegateStuckShut, 0.0);
        let trace = pull(&network);
        let (time, code) = trace.codes[0];
        assert_eq!(code, Code::Overboost);
        let boost = |from: f64, to: f64| {
            let within = trace
                .samples
                .iter()
                .filter(|s| (from..to).contains(&s.time));
            within.fold(0.0_f64, |most, s| {
                most.max(s.readings.get(R::Boost).unwrap())
            })
        };
        let (before, after) = (boost(0.0, time), boost(time + 2.0, 10.0));
        println!(
            "{}: {code} at {time:.2} s, boost {before:.0} kPa, then {after:.0} kPa",
            car.name
        );
        let books = closure(&network, &trace.start, &trace.end, &trace.book);
        assert!(
            books.intake.abs() < 1e-10 && books.exhaust.abs() < 1e-10,
            "{books:?}"
        );
        assert!(
            books.energy.abs() < 1e-6,
            "the books close through the cut: {books:?}"
        );
        let most = car
            .boost
            .target
            .points()
            .iter()
            .fold(0.0_f64, |m, p| m.max(p[1]))
            / 1e3;
        assert!(before > most + 20.0 && after < most);
        let held = Comparison::new(&network).point("", Command::full_load(rpm(5000.0)));
        let side = held.faulty.unwrap().unwrap();
        let boost = side.readings.get(R::Boost).unwrap();
        assert!(side.codes.contains(&Code::Overboost) && boost < most);
    }
}

#[test]
fn fuel_is_cut_on_overrun_and_comes_back_before_idle() {
    for car in cars() {
        let trace = run(
            &network(&car, vec![], Command::IDLE),
            &[
                (1.0, held(3500.0, 0.2, 0.0)),
                (0.2, in_gear(3, 0.0, -1.0)),
                (2.0, in_gear(3, 0.0, 0.0)),
                (14.0, Command::IDLE),
            ],
        );
        let at = |time: f64| &trace.samples[(time / 0.02) as usize].readings;
        assert!(at(2.5).get(R::Fuel).unwrap() < 1e-3 && at(2.5).get(R::Lambda).is_none());
        assert!(
            at(2.5).get(R::Torque).unwrap() < -10.0,
            "the car drives the engine"
        );
        let speeds = trace
            .samples
            .iter()
            .map(|s| s.readings.get(R::EngineSpeed).unwrap());
        let least = speeds.fold(f64::INFINITY, f64::min);
        let idle = car.drive.idle_speed / rpm(1.0);
        println!(
            "{}: falls to {least:.0} rpm before it idles at {idle:.0}",
            car.name
        );
        assert!(least > 0.8 * idle);
        let end = trace
            .samples
            .last()
            .unwrap()
            .readings
            .get(R::EngineSpeed)
            .unwrap();
        assert!((end - idle).abs() < 0.05 * idle);
    }
}

/// Idle, then a tip-in: no lambda outside what burns, as wall film is not modelled.
#[test]
fn a_sound_car_keeps_its_mixture_through_a_pull() {
    for car in cars() {
        let trace = pull(&network(&car, vec![], Command::IDLE));
        for sample in &trace.samples {
            let lambda = sample.readings.get(R::Lambda).unwrap();
            assert!(
                (0.82..1.12).contains(&lambda),
                "{} at {:.2} s: {lambda}",
                car.name,
                sample.time
            );
        }
        assert!(trace.codes.is_empty());
    }
}
