//! The edge of burning: what an engine does whose mixture is too weak or too diluted to burn.
//! M: from memory, P: common practice, no source, F: closed form, S: text seen.

use crate::cars::{AMBIENT, ailing, car, cars, hole, learnt, network, points, rpm};
use crate::derivatives::random_state;
use sim::control::{Code, Command, Memory, SpeedMode};
use sim::machine::cylinders::{Cycle, Orders};
use sim::machine::edge::{overlap_factor, residual_share};
use sim::network::layout::state;
use sim::network::readings::Reading as R;
use sim::network::{FaultKind, Network, Place, Vehicle};
use sim::solve::implicit::Tolerance;
use sim::solve::steady::steady;
use sim::solve::{Failure, State, linearise, linearise_by_duals, rates};
use sim::study::running::dangers::{Aims, Driven, Hazard};
use sim::study::running::simulate::{Comparison, Side, side};
use sim::study::running::trace::{Run, Trace, closure, drive};
use sim::study::running::warnings::Warning;

fn is(side: &Side, reading: R) -> f64 {
    side.readings.get(reading).unwrap()
}

fn run(network: &Network<f64>, runs: &[Run]) -> Trace {
    let plan = vec![("drive".to_string(), runs.to_vec())];
    let trace = drive(network, &plan, learnt(network), 0.01, Tolerance::default()).unwrap();
    assert_eq!(trace.failure, None);
    trace
}

/// A car that gets so much of its fuel, its trims fresh and all but locked.
fn starved(car: &Vehicle, delivery: f64, command: Command) -> Network<f64> {
    let mut car = car.clone();
    // No torque taken back for too little boost: the engine itself is looked at.
    car.watchdogs.underboost = 3e5;
    (car.fuelling.trim_limit, car.fuelling.learning_limit) = (0.05, 0.05);
    let memory = Memory {
        idle_opening: 0.03,
        idle_trim: 0.0,
        part_load_trim: 0.0,
        ..Memory::FRESH
    };
    let command = Command {
        memory: Some(memory),
        learning: false,
        ..command
    };
    let mut network = network(&car, vec![], command);
    network.vehicle.fuelling.delivery = delivery;
    network
}

/// The cylinders of a car at a manifold pressure, speed and mixture; 10 kPa of back pressure a
/// 100 kPa of charge.
fn cylinders(car: &Vehicle, pressure: f64, speed: f64, lambda: f64) -> Cycle<f64> {
    let network = network(car, vec![], Command::IDLE);
    let medium = &network.medium;
    let manifold = medium.state(pressure, 320.0, 0.0);
    let mut orders = Orders {
        filling: car.filling.at(rpm(speed)),
        fuel: 0.0,
        fired: 1.0,
        spark_retard: 0.0,
    };
    let exhaust = AMBIENT.pressure.max(1.1 * pressure);
    let run = |orders: &_| (car.cylinders).cycle(medium, &manifold, exhaust, rpm(speed), orders);
    orders.fuel = run(&orders).air / lambda / medium.stoichiometric_air_fuel_ratio();
    run(&orders)
}

/// Residual gas (M: a fifth or so of the charge at idle, 5 to 8 % at full load; heywood1988
/// section 6.4). Signs of fox1993 (M): more with a lower manifold, more overlap and less speed.
#[test]
fn residual_gas_is_what_engines_have() {
    let factor = overlap_factor(10_f64.to_radians(), 81e-3);
    let share = |p: f64, exhaust: f64, n: f64| residual_share(9.8, factor, p, exhaust, rpm(n));
    let idle = share(30e3, 101e3, 800.0);
    let cruise = share(53e3, 104e3, 2500.0);
    let full = share(186e3, 205e3, 3500.0);
    println!("residual gas: idle {idle:.3}, cruise {cruise:.3}, full load {full:.3}");
    assert!((0.17..0.24).contains(&idle));
    assert!((0.08..0.14).contains(&cruise));
    assert!((0.05..0.08).contains(&full));
    assert!(share(30e3, 101e3, 1600.0) < idle);
    let more = overlap_factor(40_f64.to_radians(), 81e-3);
    assert!(residual_share(9.8, more, 30e3, 101e3, rpm(800.0)) > idle + 0.02);
    // By hand (F): no overlap flow at equal pressures, 0.632/9.8 left.
    assert!((share(101e3, 101e3, 3000.0) - 0.632 / 9.8).abs() < 2e-3);
}

/// Misfire begins at lambda 1.1 to 1.25 at idle (M), 1.3 to 1.4 at light cruise, and the leaner
/// the more air flows and the less burned gas is left (S: abstract of quader1974).
#[test]
fn the_lean_limit_is_lowest_where_most_burned_gas_is_left() {
    for car in cars() {
        let at = |pressure, speed, share: f64| {
            let fine = (90..250).map(|i| 0.01 * f64::from(i));
            let failing = |l: &f64| cylinders(&car, pressure, speed, *l).burned < share;
            fine.clone().find(failing).unwrap()
        };
        let conditions = [(30e3, 800.0), (50e3, 2500.0), (186e3, 3500.0)];
        let begins = conditions.map(|(p, n)| at(p, n, 0.98));
        let ends = conditions.map(|(p, n)| at(p, n, 0.02));
        println!("{}: misfire from {begins:?} to {ends:?}", car.name);
        assert!((1.08..1.25).contains(&begins[0]));
        assert!((1.28..1.42).contains(&begins[1]));
        assert!(begins[0] < begins[1] && begins[1] < begins[2]);
        assert!(ends.iter().zip(begins).all(|(e, b)| e - b < 0.35) && ends[0] < 1.5);
        // An idle with the throttle open and lambda 1.6 does not burn.
        assert_eq!(cylinders(&car, 94e3, 800.0, 1.6).burned, 0.0);
        // Wider overlap, as idle tries it with a cam stuck advanced: fails at lambda 1 too.
        let mut advanced = car.clone();
        advanced.cylinders.valve_overlap = 50_f64.to_radians();
        assert!(cylinders(&advanced, 30e3, 800.0, 1.0).burned < 0.9);
        assert_eq!(cylinders(&advanced, 90e3, 3000.0, 1.0).burned, 1.0);
    }
}

/// Nothing of this touches an engine that burns as it should.
#[test]
fn healthy_cars_and_moderate_leaks_do_not_misfire() {
    for car in cars() {
        for leaks in [vec![], vec![hole(Place::ManifoldGasket, 2e-3)]] {
            for (name, command) in points() {
                let found = side(&network(&car, leaks.clone(), command), None).unwrap();
                assert_eq!(is(&found, R::Misfire), 0.0, "{name}");
                let [before, behind] =
                    [R::CatalystTemperature, R::CatalystOut].map(|r| is(&found, r));
                assert!((before - behind).abs() < 1e-9, "{name}");
            }
        }
    }
}

/// What does not burn is not heat before the catalyst: the first law over the cylinders (F).
#[test]
fn what_does_not_burn_leaves_as_fuel() {
    for car in cars() {
        let medium = network(&car, vec![], Command::IDLE).medium;
        for (lambda, pressure) in [(1.5, 100e3), (1.45, 186e3), (1.9, 186e3), (0.52, 100e3)] {
            let cycle = cylinders(&car, pressure, 3000.0, lambda);
            let heat = cycle.fuel * car.fuel.lower_heating_value;
            let told = cycle.heat_release + cycle.unburned;
            assert!(cycle.burned < 1.0 && (told / heat).min(1.0) > 0.3);
            if lambda > 1.1 {
                assert!((told / heat - 1.0).abs() < 0.02, "{told} {heat}");
            }
            assert!((cycle.unburned / told - (1.0 - cycle.burned)).abs() < 1e-9);
            let h = cycle.exhaust_enthalpy / cycle.exhaust;
            let left = medium.temperature_from_enthalpy(h, cycle.fuel_fraction);
            if cycle.burned == 0.0 {
                // Pumped air and fuel, hardly warmer than it came.
                assert!((260.0..360.0).contains(&left), "{left} K");
                assert!(cycle.gas_work <= 0.0 || pressure > 150e3);
            }
        }
    }
}

/// Half the fuel, lambda 1.8 at full load: no torque, a cool exhaust, no boost, and it is said.
#[test]
fn an_engine_that_does_not_burn_makes_no_boost() {
    for car in cars() {
        let starving = starved(&car, 0.5, Command::full_load(rpm(3500.0)));
        let found = side(&starving, None).unwrap();
        println!(
            "{}: lambda {:.2}, {:.1} N m, {:.1} kPa, {:.0} °C",
            car.name,
            is(&found, R::Lambda),
            is(&found, R::Torque),
            is(&found, R::Boost),
            is(&found, R::ExhaustTemperature)
        );
        assert!((1.7..1.9).contains(&is(&found, R::Lambda)));
        assert_eq!(is(&found, R::Misfire), 100.0);
        assert!(is(&found, R::Torque) < -15.0);
        assert!(is(&found, R::Boost) < 15.0);
        assert!(is(&found, R::ExhaustTemperature) < 200.0);
        assert!(found.dangers.iter().any(|d| d.hazard == Hazard::RawFuel));
        assert!(found.codes.contains(&Code::Misfire));
    }
    // With half its fuel and trims at their stops it misses some cycles: cooler before the
    // turbine than a healthy engine, hotter behind the catalyst than before it.
    let car = &cars()[0];
    let ill = ailing(car, FaultKind::FuelDelivery, 0.5);
    let point = Comparison::new(&ill).point("", Command::full_load(rpm(2500.0)));
    let (healthy, found) = (point.healthy.unwrap(), point.faulty.unwrap().unwrap());
    assert!((1.38..1.46).contains(&is(&found, R::Lambda)));
    assert!((5.0..40.0).contains(&is(&found, R::Misfire)));
    assert!(is(&found, R::ExhaustTemperature) < is(&healthy, R::ExhaustTemperature) - 100.0);
    let rise = is(&found, R::CatalystOut) - is(&found, R::CatalystTemperature);
    // By hand (F): the heat of the fuel that fails, over what the gas takes up a kelvin.
    let gas = is(&found, R::EngineAir) + is(&found, R::Fuel);
    let heat = is(&found, R::Fuel) * 0.01 * is(&found, R::Misfire) * 42.9e6;
    let expected = heat / gas / 1180.0;
    println!("catalyst {rise:.0} K hotter, by hand {expected:.0} K");
    assert!((rise / expected - 1.0).abs() < 0.1);
    let rough = |w: &Warning| matches!(w, Warning::Rough(_));
    assert!(found.warnings.iter().any(rough));
}

/// A mixture that misses cycles under load can melt a catalyst (P): the danger is named, and an
/// engine that swings as it misses them is told from one that only does not settle.
#[test]
fn a_catalyst_that_burns_what_was_missed_is_a_danger() {
    let ill = ailing(&cars()[0], FaultKind::FuelDelivery, 0.5);
    let full = Command::full_load(rpm(5500.0));
    let trace = run(
        &ill,
        &[(2.0, Command::pedal(rpm(5500.0), 0.3)), (18.0, full)],
    );
    let aims = Aims::of_model(&ill.vehicle, AMBIENT.pressure);
    let dangers = aims.dangers_in(&trace.samples);
    let of = |hazard| dangers.iter().find(|d| d.hazard == hazard);
    assert!(of(Hazard::RawFuel).unwrap().words().contains("do not burn"));
    // A catalyst that is hot behind, not before.
    let read = |reads: Vec<(R, f64)>| {
        aims.dangers(&Driven {
            reads,
            ..Driven::default()
        })
    };
    let hot = read(vec![
        (R::CatalystTemperature, 560.0),
        (R::CatalystOut, 1010.0),
    ]);
    assert_eq!(hot[0].hazard, Hazard::CatalystHeat);
    assert!(hot[0].words().contains("behind the catalyst 1010"));
    assert!(read(vec![(R::CatalystOut, 900.0), (R::Misfire, 2.0)]).is_empty());
    let set: Vec<Code> = trace.codes.iter().map(|(_, code)| *code).collect();
    assert!(set.contains(&Code::Misfire), "{set:?}");
    let memory = Memory {
        idle_opening: 0.03,
        idle_trim: 0.25,
        part_load_trim: 0.25,
        ..Memory::FRESH
    };
    let ill = ill.with(Command {
        memory: Some(memory),
        ..full
    });
    match side(&ill, None) {
        Err(why) => assert!(matches!(why, Failure::Misfiring { .. }), "{why}"),
        Ok(found) => assert!(is(&found, R::Misfire) > 5.0),
    }
}

/// Lambda 1.6 at idle: the engine stalls for its mixture. A large hole without a meter: the speed
/// runs up to where the fuel is cut, no farther.
#[test]
fn idle_ends_at_its_limits() {
    for car in cars() {
        let idle = starved(&car, 1.0 / 1.6 / 1.05, Command::IDLE);
        let failure = steady(&idle, &State::from(idle.start())).unwrap_err();
        assert!(
            matches!(failure, Failure::Stalled { burns: false, .. }),
            "{failure}"
        );
    }
    let car = car("tamsel-20");
    let fuelling = &car.fuelling;
    for diameter in [7e-3, 10e-3, 14e-3] {
        let leaks = vec![hole(Place::ManifoldGasket, diameter)];
        let network = network(&car, leaks, Command::IDLE);
        let found = side(&network, None).unwrap();
        let speed = is(&found, R::EngineSpeed) * rpm(1.0);
        assert!(speed > fuelling.overrun_resume_speed && speed < fuelling.overrun_cut_speed);
        assert!(is(&found, R::ExhaustTemperature) < 700.0);
        let cut = |w: &Warning| matches!(w, Warning::FuelCut { .. });
        assert!(found.warnings.iter().any(cut));
        assert!(found.codes.contains(&Code::IdleHigh));
        assert!(!found.codes.contains(&Code::Misfire));
    }
}

/// Books close while cycles fail, and the engine stays in its limits.
#[test]
fn books_close_through_misfire() {
    for car in cars() {
        let mut network = network(&car, vec![hole(Place::ColdPipe, 3e-3)], Command::IDLE);
        network.vehicle.fuelling.delivery = 0.5;
        let pull = Command {
            speed: SpeedMode::InGear,
            gear: 2,
            pedal: 1.0,
            ..Command::IDLE
        };
        let held = Command::pedal(rpm(2500.0), 0.3);
        let trace = run(&network, &[(2.0, held), (4.0, pull), (2.0, held)]);
        let missed = trace
            .samples
            .iter()
            .map(|s| s.readings.get(R::Misfire).unwrap());
        let most = missed.fold(0.0, f64::max);
        assert!(most > 1.0, "{most}");
        let books = closure(&network, &trace.start, &trace.end, &trace.book);
        assert!(
            books.intake.abs() < 1e-10 && books.exhaust.abs() < 1e-10,
            "{books:?}"
        );
        assert!(books.energy.abs() < 1e-6, "{books:?}");
    }
}

/// Exact derivatives through the band: tape, duals and differences agree.
#[test]
fn derivatives_are_exact_through_the_edge() {
    let mut random = crate::cars::Random(7);
    let mut within = 0;
    for car in cars() {
        let mut network = network(&car, vec![], Command::pedal(rpm(3000.0), 0.5));
        for case in 0..60 {
            network.vehicle.fuelling.delivery = 0.55 + 0.005 * f64::from(case);
            let mut x = random_state(&network, &mut random);
            x[state::CORRECTION] = 1.0;
            let burned = network.evaluate(&x.data.0[0]).streams.cycle.burned;
            if !(0.05..0.95).contains(&burned) {
                continue;
            }
            within += 1;
            let (tape, duals) = (linearise(&network, &x), linearise_by_duals(&network, &x));
            let size = duals.jacobian.abs().max();
            assert!((tape.jacobian - duals.jacobian).abs().max() < 1e-9 * size);
            let h = 3e-6 * x[state::PART_TRIM].abs().max(0.1);
            let ends = [-h, h].map(|h| {
                let mut x = x;
                x[state::PART_TRIM] += h;
                State::from(rates(&network, &x).states)
            });
            let slope = (ends[1] - ends[0]) / (2.0 * h);
            let exact = duals.jacobian.column(state::PART_TRIM).into_owned();
            let gap = (slope - exact).amax() / exact.amax();
            assert!(gap < 1e-4, "{gap:e}");
        }
    }
    assert!(within > 3, "{within}");
}

/// Lift-off from full load: no sensor shows what it cannot. The manifold's gas itself is far
/// colder for a moment, as it expands; the air turns back at the meter.
#[test]
fn sensors_read_what_they_can_on_lift_off() {
    for car in cars() {
        let network = network(&car, vec![hole(Place::ColdPipe, 2e-3)], Command::IDLE);
        let full = Command::full_load(rpm(5500.0));
        let shut = Command {
            pedal: 0.0,
            pedal_rate: -20.0,
            ..full
        };
        let released = Command::pedal(rpm(5500.0), 0.0);
        let trace = run(&network, &[(3.0, full), (0.05, shut), (6.0, released)]);
        let least = |r| {
            let all = trace.samples.iter().map(|s| s.readings.get(r).unwrap());
            all.fold(f64::INFINITY, f64::min)
        };
        let (air, intake) = (least(R::MeteredAir), least(R::IntakeTemperature));
        println!(
            "{}: least metered {air:.3} g/s, intake {intake:.1} °C",
            car.name
        );
        assert!(air >= 0.0);
        assert!(intake > AMBIENT.temperature - 273.15 - 5.0);
        let flow = least(R::CompressorFlow);
        assert!(flow < 100.0);
    }
}
