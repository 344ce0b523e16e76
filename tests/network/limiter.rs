//! The speed limiter: no engine runs over its limit unless the car drives it there, and
//! nothing of what people read is a wrong sign of it. Band and value: P (see `fuelling.rs`).

use crate::cars::{AMBIENT, car, cars, hole, learnt, network, points, rpm};
use crate::derivatives::random_state;
use sim::control::fuelling::limiter_cut;
use sim::control::{Code, Command, SpeedMode};
use sim::network::layout::state;
use sim::network::readings::Reading as R;
use sim::network::{Network, Place, Vehicle};
use sim::solve::implicit::Tolerance;
use sim::solve::steady::steady;
use sim::solve::{Failure, State, linearise, linearise_by_duals, rates};
use sim::study::making::sizing::{TenNumbers, size};
use sim::study::running::live::Live;
use sim::study::running::simulate::side;
use sim::study::running::trace::{Run, Sample, Trace, closure, drive};

/// Invented.
const TEN: &str = "displacement = \"1.4 L\"\ncylinders = 4\nrated_power = \"103 kW\"\n\
    rated_speed = \"5500 rpm\"\npeak_torque = \"220 N m\"\npeak_torque_speed = \"1900 rpm\"\n\
    peak_boost = \"95 kPa gauge\"\n";

fn free(pedal: f64, pedal_rate: f64) -> Command {
    Command {
        pedal,
        pedal_rate,
        ..Command::IDLE
    }
}

fn in_gear(gear: u8, pedal: f64) -> Command {
    Command {
        speed: SpeedMode::InGear,
        gear,
        ..free(pedal, 0.0)
    }
}

fn run(network: &Network<f64>, runs: &[Run]) -> Trace {
    let plan = vec![("drive".to_string(), runs.to_vec())];
    let trace = drive(network, &plan, learnt(network), 0.01, Tolerance::default()).unwrap();
    assert_eq!(trace.failure, None);
    let books = closure(network, &trace.start, &trace.end, &trace.book);
    assert!(
        books.intake.abs() < 1e-10 && books.exhaust.abs() < 1e-10,
        "{books:?}"
    );
    assert!(books.energy.abs() < 1e-6, "{books:?}");
    trace
}

fn speed(sample: &Sample) -> f64 {
    sample.readings.get(R::EngineSpeed).unwrap()
}

fn highest(samples: &[Sample]) -> f64 {
    samples.iter().map(speed).fold(0.0, f64::max)
}

fn limit(car: &Vehicle) -> f64 {
    car.speed_limit::<f64>() / rpm(1.0)
}

/// Idle, then full pedal out of gear for 6 s, then released.
fn revved(network: &Network<f64>) -> Trace {
    run(
        network,
        &[
            (1.0, Command::IDLE),
            (0.1, free(1.0, 10.0)),
            (6.0, free(1.0, 0.0)),
            (0.1, free(0.0, -10.0)),
            (10.0, Command::IDLE),
        ],
    )
}

#[test]
fn full_pedal_out_of_gear_stays_at_the_limit_and_misreports_nothing() {
    for car in cars() {
        for leaks in [vec![], vec![hole(Place::ManifoldGasket, 5e-3)]] {
            let healthy = leaks.is_empty();
            let network = network(&car, leaks, Command::IDLE);
            let trace = revved(&network);
            let most = highest(&trace.samples) / limit(&car);
            println!("{}: {most:.4} of the limit", car.name);
            assert!((1.0..1.03).contains(&most), "{most}");
            // The leak has codes of its own once the engine idles again.
            let mut wrong = trace
                .codes
                .iter()
                .filter(|(time, _)| healthy || *time < 7.2);
            assert_eq!(wrong.next(), None);
            let at = |time: f64| &trace.samples[(time / 0.01) as usize];
            // At the limit: no load, little fuel, air past the sensor, no misfire for it.
            let there = at(6.5);
            assert!(speed(there) > limit(&car));
            assert!(there.readings.get(R::Torque).unwrap().abs() < 1.0);
            assert!(there.readings.get(R::LambdaSensor).unwrap() > 1.5);
            let lambda = there.readings.get(R::Lambda).unwrap();
            assert!((0.6..1.1).contains(&lambda), "{lambda}");
            // Nothing is learnt from it.
            let [first, last] = [2.5, 6.9].map(|time| at(time).readings.get(R::LongTrim).unwrap());
            assert!((first - last).abs() < 1e-9, "{first} {last}");
            assert!(there.readings.get(R::ShortTrim).unwrap().abs() < 0.5);
            if healthy {
                assert!((0.88..0.92).contains(&lambda), "{lambda}");
                let moved = trace.end[state::IDLE_TRIM] - trace.start[state::IDLE_TRIM];
                assert!(moved.abs() < 0.01, "{moved}");
                let idle = car.drive.idle_speed / rpm(1.0);
                let end = speed(trace.samples.last().unwrap());
                assert!((end - idle).abs() < 0.1 * idle, "comes back to idle: {end}");
            }
        }
    }
}

#[test]
fn the_live_engine_keeps_its_limit_too() {
    for car in cars() {
        for leaks in [vec![], vec![hole(Place::ManifoldGasket, 5e-3)]] {
            let mut network = network(&car, leaks, Command::IDLE);
            // From the healthy car, as the program seeks a faulty idle: whether it is found from
            // cold hangs on last digits where the idle is about to hunt.
            let healthy = side(&network.healthy(), None).unwrap();
            let start = side(&network, Some(&healthy.state)).unwrap();
            let mut live = Live::new(start.state);
            let mut most: f64 = 0.0;
            for _ in 0..200 {
                let command = free(1.0, 6.0);
                live.follow(&mut network, command, 0.04, Tolerance::default())
                    .unwrap();
                most = most.max(live.state[state::ENGINE] / rpm(1.0) / limit(&car));
            }
            assert!((1.0..1.03).contains(&most), "{most}");
            assert!(live.codes.is_empty(), "{:?}", live.codes);
        }
    }
}

#[test]
fn a_pull_ends_at_the_limit_and_only_the_road_drives_beyond() {
    for car in cars() {
        let network = network(&car, vec![], Command::IDLE);
        let held = Command {
            gear: 1,
            ..Command::pedal(rpm(3000.0), 0.2)
        };
        let pull = run(&network, &[(1.0, held), (8.0, in_gear(1, 1.0))]);
        let most = highest(&pull.samples) / limit(&car);
        assert!((1.0..1.03).contains(&most), "{most}");
        assert!(pull.codes.is_empty(), "{:?}", pull.codes);
        // From third to first at speed: the car drives the engine over its limit.
        let fast = Command {
            gear: 3,
            ..Command::pedal(rpm(5500.0), 1.0)
        };
        for pedal in [0.0, 1.0] {
            let down = run(&network, &[(2.0, fast), (2.0, in_gear(1, pedal))]);
            let over = down
                .samples
                .iter()
                .max_by(|a, b| speed(a).total_cmp(&speed(b)));
            let over = over.unwrap();
            assert!(speed(over) > 1.2 * limit(&car), "{}", speed(over));
            assert!(over.readings.get(R::Fuel).unwrap() < 1e-6);
            assert!(over.readings.get(R::Lambda).is_none());
            assert!(over.readings.get(R::Torque).unwrap() < -20.0);
            let of_mixture = |code: Code| !matches!(code, Code::AirFlow | Code::Overboost);
            assert!(
                !down.codes.iter().any(|(_, code)| of_mixture(*code)),
                "{:?}",
                down.codes
            );
        }
    }
}

#[test]
fn below_the_limit_nothing_changes() {
    for car in cars() {
        let mut endless = car.clone();
        endless.engine_speed_limit = Some(rpm(14_000.0));
        let at = |car: &Vehicle, command: Command| {
            let network = network(car, vec![hole(Place::ColdPipe, 3e-3)], command);
            let start = State::from(network.start());
            steady(&network, &start).unwrap().state
        };
        let near = Command::full_load(0.99 * car.speed_limit::<f64>());
        for (name, command) in points().into_iter().chain([("near".into(), near)]) {
            assert_eq!(at(&car, command), at(&endless, command), "{name}");
        }
        let runs = [
            (0.5, Command::IDLE),
            (0.1, free(1.0, 10.0)),
            (0.5, free(1.0, 0.0)),
        ];
        let [limited, unlimited] =
            [&car, &endless].map(|car| run(&network(car, vec![], Command::IDLE), &runs));
        let pairs = limited.samples.iter().zip(&unlimited.samples);
        let below: Vec<_> = pairs
            .take_while(|(a, _)| speed(a) < 0.9 * limit(&car))
            .collect();
        assert!(below.len() > 60);
        for (a, b) in below {
            let [a, b] = [a, b].map(|sample| sample.readings.values.map(f64::to_bits));
            assert_eq!(a, b);
        }
    }
}

#[test]
fn a_point_over_the_limit_has_a_plain_reason() {
    for car in cars() {
        let ask = |command: Command| {
            let network = network(&car, vec![], command);
            steady(&network, &State::from(network.start()))
        };
        let over = 1.2 * car.speed_limit::<f64>();
        for command in [Command::full_load(over), Command::torque(over, 50.0)] {
            let failure = ask(command).unwrap_err();
            assert!(matches!(failure, Failure::OverLimit { .. }), "{failure}");
            let said = failure.to_string();
            assert!(
                said.contains("speed limit") && said.contains("engine_speed_limit"),
                "{said}"
            );
        }
        // On the overrun the road may do it: the engine holds against it.
        let overrun = ask(Command::pedal(over, 0.0)).unwrap().state;
        let network = network(&car, vec![], Command::pedal(over, 0.0));
        let moment = network.evaluate(&overrun.data.0[0]);
        assert!(moment.streams.cycle.torque < -20.0 && moment.streams.cycle.fuel.abs() < 1e-9);
        // Out of gear with the pedal down it rests at the limit.
        let resting = ask(free(1.0, 0.0)).unwrap().state;
        assert!((1.0..1.03).contains(&(resting[state::ENGINE] / car.speed_limit::<f64>())));
    }
}

#[test]
fn the_limit_left_out_follows_from_the_filling_table() {
    let mut car = car("brindle-16");
    car.engine_speed_limit = None;
    let last = car.filling.points().last().unwrap()[0];
    assert!((car.speed_limit::<f64>() - 1.05 * last).abs() < 1e-12);
    let trace = revved(&network(&car, vec![], Command::IDLE));
    let most = highest(&trace.samples) / limit(&car);
    assert!((1.0..1.03).contains(&most), "{most}");
}

#[test]
fn a_sized_car_has_a_limit_and_keeps_it() {
    let numbers: TenNumbers<f64> = toml::from_str(TEN).unwrap();
    let sized = size(&numbers).unwrap().vehicle;
    let rated = numbers.rated_speed;
    let given = sized.engine_speed_limit.unwrap();
    assert!(
        (given - 1.18 * rated).abs() < 1e-9 * rated,
        "{given} {rated}"
    );
    let network = Network::new(sized.clone(), vec![], AMBIENT, Command::IDLE);
    let most = highest(&revved(&network).samples) / limit(&sized);
    assert!((1.0..1.03).contains(&most), "{most}");
}

/// Exact derivatives through the band, and a law without a step in value or slope.
#[test]
fn the_law_is_smooth_and_its_derivatives_exact() {
    let h = 1e-6;
    for i in 0..=400 {
        let x = 0.99 + 1e-4 * f64::from(i);
        let [low, mid, high] = [x - h, x, x + h].map(|x| limiter_cut(1.0, x));
        assert!((0.0..=1.0).contains(&mid) && low <= mid && mid <= high);
        let [left, right] = [(mid - low) / h, (high - mid) / h];
        assert!(
            (left - right).abs() < 0.1,
            "slope jumps at {x}: {left} {right}"
        );
    }
    let mut random = crate::cars::Random(5);
    for car in cars() {
        let network = network(&car, vec![], free(1.0, 0.0));
        // Not where the band ends, 1.02: there a slope has a bend, which differences see.
        for share in [1.0, 1.003, 1.01, 1.017, 1.0199, 1.1] {
            let mut x = random_state(&network, &mut random);
            x[state::ENGINE] = share * car.speed_limit::<f64>();
            let (tape, duals) = (linearise(&network, &x), linearise_by_duals(&network, &x));
            let size = duals.jacobian.abs().max();
            assert!((tape.jacobian - duals.jacobian).abs().max() < 1e-9 * size);
            let h = 3e-6;
            let ends = [-h, h].map(|h| {
                let mut x = x;
                x[state::ENGINE] += h;
                State::from(rates(&network, &x).states)
            });
            let slope = (ends[1] - ends[0]) / (2.0 * h);
            let exact = duals.jacobian.column(state::ENGINE).into_owned();
            for i in 0..exact.len() {
                let scale = exact[i].abs().max(slope[i].abs()).max(1e-3 * exact.amax());
                assert!(
                    (exact[i] - slope[i]).abs() < 1e-3 * scale,
                    "{share} {i}: {} {}",
                    exact[i],
                    slope[i]
                );
            }
        }
    }
}
