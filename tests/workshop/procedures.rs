//! Every procedure, walked through as a technician would, over 1,000 drawn cars: no pressure above
//! what the parts bear, everything that was put on is off again and counted, and nothing turns or
//! runs that may not.

use crate::random::Random;
use crate::root;
use sim::curve::Curve;
use sim::network::Vehicle;
use sim::study::workshop::in_car::normal_boost;
use sim::study::workshop::plan::plan;
use sim::study::workshop::procedures::{
    Act, Does, OfCar, Piece, Procedure, Protection, Runs, Test, Vent,
};

/// psi in Pa.
const PSI: f64 = 6894.757;
const CARS: [&str; 2] = ["brindle-16", "tamsel-20"];

fn car(name: &str) -> Vehicle {
    let path = root().join(format!("scenarios/vehicles/{name}.toml"));
    falseair::input::read_toml(&path).unwrap()
}

/// A car whose boost, springs and seats are drawn far wider than cars are made.
fn drawn(chance: &mut Random) -> Vehicle {
    let mut car = car(CARS[usize::from(chance.unit() < 0.5)]);
    let boost = chance.log(0.15, 4.0);
    let points = car.boost.target.points().iter();
    let points = points.map(|[speed, pressure]| [*speed, pressure * boost]);
    car.boost.target = Curve::new(points.collect()).unwrap();
    car.recirculation_valve.preload *= chance.log(0.2, 5.0);
    car.wastegate.preload *= chance.log(0.2, 5.0);
    car.crankcase.volume *= chance.log(0.3, 3.0);
    car
}

fn all(car: &OfCar) -> Vec<Procedure> {
    let tests = Test::WORDS.iter().map(|(_, test, _)| *test);
    let gauges = [Test::ReadIdle, Test::ReadCruise, Test::ReadLoad];
    let own = tests.map(|test| test.procedure(car));
    own.chain(gauges.map(|test| test.with_gauge(car))).collect()
}

/// What presses on what, from the parts alone (P: 5 psi before the compressor, 10 psi where air
/// passes valves and rings, 0.5 psi in a crankcase shut in, 20 psi anywhere; a smoke machine
/// gives 1.5 psi).
fn most(procedure: &Procedure, boost: f64) -> f64 {
    let parts = match procedure.test {
        Test::Smoke | Test::Crankcase => 0.5 * PSI,
        Test::Exhaust => 1.5 * PSI,
        Test::Inlet | Test::Duct => 5.0 * PSI,
        Test::Manifold | Test::ManifoldFlow => 10.0 * PSI,
        Test::Charge | Test::Capsule | Test::Chamber => 20.0 * PSI,
        _ => 0.0,
    };
    parts.min(boost)
}

/// Numbers before " kPa gauge" in a text, Pa.
fn pressures(text: &str) -> Vec<f64> {
    let parts: Vec<&str> = text.split(" kPa gauge").collect();
    let before = parts[..parts.len() - 1].iter();
    let number = |part: &&str| {
        part.rsplit(' ')
            .next()
            .and_then(|word| word.parse::<f64>().ok())
    };
    before.filter_map(number).map(|kpa| kpa * 1e3).collect()
}

#[test]
fn no_procedure_of_a_thousand_cars_goes_above_the_plans_limits() {
    let mut chance = Random(20);
    for _ in 0..1000 {
        let car = drawn(&mut chance);
        let (boost, of_car) = (normal_boost(&car), OfCar::new(&car));
        for procedure in all(&of_car) {
            let most = most(&procedure, boost);
            let what = format!("{:?} at {boost} Pa", procedure.test);
            assert!(procedure.pressure() <= most * 1.0001, "{what}");
            let said = procedure.acts().map(|act| &act.says);
            for text in said.chain(&procedure.stop).chain([&procedure.protected()]) {
                // Under load the engine makes its own boost: broken off a tenth above normal.
                let most = if procedure.loads() {
                    1.101 * boost
                } else {
                    most
                };
                for pressure in pressures(text) {
                    assert!(pressure <= most * 1.01 + 1.0, "{what}: {text}");
                }
            }
            if procedure.limit.is_some() {
                assert!(procedure.pressure() > 0.0, "{what}");
                assert!(!procedure.stop.is_empty(), "{what}");
            }
        }
        for stage in plan(
            &car,
            &sim::scenario::Surroundings::<f64>::STANDARD.ambient(),
        ) {
            assert_eq!(stage.pressure, stage.procedure.pressure());
            assert!(stage.pressure <= most(&stage.procedure, boost) * 1.0001);
            // Nobody reads a hundredth of a second off a watch.
            let halves = stage.holes.iter().filter_map(|hole| hole.half);
            assert!(halves.into_iter().all(|half| half >= 0.5), "{}", stage.name);
        }
    }
}

/// The car on its way through a procedure.
#[derive(Default)]
struct Walked {
    on: Vec<Piece>,
    open: Vec<Vent>,
    pressed: bool,
    running: Option<Runs>,
    fuel_off: bool,
    fuel_open: bool,
    second_person: bool,
    proved: bool,
}

impl Walked {
    fn does(&mut self, does: Does, procedure: &Procedure) {
        match does {
            Does::Fit(piece) => {
                assert!(!self.pressed && !self.on.contains(&piece));
                let clamped = [
                    Piece::ServoClamp,
                    Piece::Clamp,
                    Piece::Probe,
                    Piece::Stopper,
                ];
                assert!(self.running.is_none() || clamped.contains(&piece));
                assert!(piece != Piece::FuelGauge || self.fuel_off);
                self.on.push(piece);
            }
            Does::TakeOff(piece) => {
                assert!(!self.pressed);
                assert!(piece != Piece::FuelGauge || self.fuel_off);
                self.on.retain(|on| *on != piece);
            }
            Does::Open(vent) => {
                assert!(!self.pressed && self.running.is_none());
                self.open.push(vent);
            }
            Does::Shut(vent) => {
                assert!(!self.pressed && self.running.is_none());
                self.open.retain(|open| *open != vent);
            }
            Does::Raise => {
                assert!(self.running.is_none());
                let vented = [Vent::FillerCap, Vent::Breather];
                // What passes the rings gets out, or stays below what the seals bear.
                let rings = !matches!(procedure.test, Test::Charge | Test::Capsule | Test::Chamber);
                if rings && procedure.pressure() > 0.5 * PSI {
                    assert!(vented.iter().all(|vent| self.open.contains(vent)));
                }
                self.pressed = true;
            }
            Does::LetOff => self.pressed = false,
            Does::Turn | Does::Crank => {
                assert!(!self.pressed && self.running.is_none());
                assert!(self.on.contains(&Piece::SparkOff), "it could fire");
            }
            Does::Start(runs) => {
                assert!(
                    !self.pressed && !self.fuel_open,
                    "it is started under pressure"
                );
                let may = [
                    Piece::Union,
                    Piece::Probe,
                    Piece::Hole,
                    Piece::Stopper,
                    Piece::FuelGauge,
                    Piece::Gauge,
                    Piece::SecondGauge,
                ];
                assert!(self.on.iter().all(|on| may.contains(on)), "{:?}", self.on);
                if runs == Runs::Loaded {
                    assert!(self.second_person && self.open.is_empty());
                    assert!(!self.on.contains(&Piece::Union) && !self.on.contains(&Piece::Hole));
                }
                self.running = Some(runs);
            }
            Does::Stop => self.running = None,
            Does::FuelOff => self.fuel_off = true,
            Does::OpenFuel => {
                assert!(self.fuel_off, "fuel is opened under pressure");
                self.fuel_open = true;
            }
            Does::FuelOn => (self.fuel_off, self.fuel_open) = (false, false),
            Does::SecondPerson => self.second_person = true,
            Does::ProveBrakes => {
                let servo = [Piece::Servo, Piece::ServoClamp];
                assert!(self.on.iter().all(|on| !servo.contains(on)));
                self.proved = true;
            }
        }
    }
}

fn walk(procedure: &Procedure) {
    let mut car = Walked::default();
    for act in procedure.acts() {
        for does in &act.does {
            car.does(*does, procedure);
        }
    }
    let what = procedure.test;
    assert!(
        car.on.is_empty() && car.open.is_empty(),
        "{what:?}: left on {:?}, open {:?}",
        car.on,
        car.open
    );
    assert!(
        !car.pressed && car.running.is_none() && !car.fuel_open,
        "{what:?}"
    );
    let pieces = procedure.pieces();
    let servo = [Piece::Servo, Piece::ServoClamp];
    if pieces.iter().any(|piece| servo.contains(piece)) {
        assert!(car.proved, "{what:?}: the brakes are not proved");
    }
    // Counted out, by number and by name.
    let back: Vec<&str> = procedure.back.iter().map(|act| act.says.as_str()).collect();
    let back = back.join(" ");
    if !pieces.is_empty() {
        assert!(
            back.contains(&format!("{} piece", pieces.len())),
            "{what:?}: {back}"
        );
    }
    for piece in pieces {
        assert!(
            back.contains(piece.name()),
            "{what:?}: {} in {back}",
            piece.name()
        );
    }
    assert!(
        !procedure.protection.is_empty(),
        "{what:?} says not what protects"
    );
}

#[test]
fn every_procedure_ends_as_it_began() {
    for name in CARS {
        all(&OfCar::new(&car(name))).iter().for_each(walk);
    }
}

/// A walk that cannot fail tests nothing.
#[test]
fn a_wrong_procedure_is_found() {
    let of_car = OfCar::new(&car(CARS[0]));
    let fails = |change: fn(&mut Procedure)| {
        let mut procedure = Test::Manifold.procedure(&of_car);
        change(&mut procedure);
        std::panic::catch_unwind(|| walk(&procedure)).is_err()
    };
    assert!(!fails(|_| ()));
    // A plug forgotten, the brakes not proved, the pressure left on, turned under pressure, the
    // vents shut.
    assert!(fails(|p| p.back.retain(|act| !act.says.contains("pieces"))));
    assert!(fails(|p| {
        p.back.pop();
    }));
    assert!(fails(|p| {
        p.back.remove(0);
    }));
    assert!(fails(|p| p
        .read
        .iter_mut()
        .for_each(|act| act.does.retain(|d| *d != Does::LetOff))));
    assert!(fails(|p| p
        .set_up
        .retain(|act: &Act| !act.says.contains("filler cap"))));
    // A throttle left open races the engine as it starts; a part left sealed, a spark left off.
    for piece in [Piece::ThrottleHold, Piece::Seal, Piece::SparkOff] {
        let left = |p: &mut Procedure| {
            let acts = p.back.iter_mut();
            acts.for_each(|act| act.does.retain(|d| *d != Does::TakeOff(piece)));
        };
        let mut procedure = Test::Manifold.procedure(&of_car);
        left(&mut procedure);
        let walked = std::panic::catch_unwind(|| walk(&procedure));
        assert!(walked.is_err(), "{piece:?}");
    }
}

/// What is held, switched off, sealed or stopped on the way is undone and counted at the end.
#[test]
fn what_is_held_or_sealed_is_undone() {
    let of_car = OfCar::new(&car(CARS[0]));
    for (test, pieces) in [
        (
            Test::Manifold,
            &[Piece::ThrottleHold, Piece::SparkOff, Piece::Seal][..],
        ),
        (
            Test::Inlet,
            &[Piece::ThrottleHold, Piece::SparkOff, Piece::Seal],
        ),
        (Test::Compression, &[Piece::ThrottleHold, Piece::SparkOff]),
        (Test::Smoke, &[Piece::SparkOff]),
        (Test::Exhaust, &[Piece::SparkOff]),
        (Test::KnownHole, &[Piece::Hole, Piece::Stopper]),
    ] {
        let procedure = test.procedure(&of_car);
        for piece in pieces {
            assert!(procedure.pieces().contains(piece), "{test:?}: {piece:?}");
        }
        // Whoever reads that a throttle is held open or a part sealed finds it among what is undone.
        let said: Vec<&str> = procedure.acts().map(|act| act.says.as_str()).collect();
        let said = said.join(" ");
        let held = said.contains("old the throttle open");
        assert_eq!(
            held,
            procedure.pieces().contains(&Piece::ThrottleHold),
            "{test:?}"
        );
    }
}

/// A vent of the crankcase is looked through, engine standing.
#[test]
fn a_blocked_breather_is_looked_for() {
    let procedure = Test::BreatherFree.procedure(&OfCar::new(&car(CARS[0])));
    assert!(!procedure.loads() && procedure.limit.is_none());
    let vents = procedure.vents();
    assert!(vents.contains(&Vent::Breather) && vents.contains(&Vent::Ventilation));
}

/// Road tests, fuel, brakes and protections say what the trade expects of them.
#[test]
fn dangers_are_said_before_the_steps() {
    let of_car = OfCar::new(&car(CARS[0]));
    for procedure in all(&of_car) {
        let cautions = procedure.cautions.join(" ");
        if procedure.loads() {
            assert!(cautions.contains("roller") && cautions.contains("second person"));
            assert!(procedure.protection.contains(&Protection::SecondPerson));
            // Its own limits: a tenth above 85 kPa.
            assert!(
                procedure.stop.join(" ").contains("93.5 kPa gauge"),
                "{:?}",
                procedure.stop
            );
            // And what its file says that engine and turbine bear.
            let stop = procedure.stop.join(" ");
            assert!(
                stop.contains("6800 rpm") && stop.contains("1000 °C"),
                "{stop}"
            );
        }
        if procedure.limit.is_some() || procedure.loads() || procedure.test == Test::Fuel {
            assert!(
                !cautions.is_empty() && !procedure.stop.is_empty(),
                "{:?}",
                procedure.test
            );
        }
        let text: Vec<&str> = procedure.acts().map(|act| act.says.as_str()).collect();
        if text.join(" ").contains("turn the engine by hand") {
            assert!(
                text.iter()
                    .any(|t| t.starts_with("Let the pressure off, gauge at 0; then turn"))
            );
        }
    }
    let fuel = Test::Fuel.procedure(&of_car);
    assert!(fuel.cautions.join(" ").contains("never opened"));
}

/// Each step of the plan says which protection holds, the headline among them.
#[test]
fn the_plan_says_what_protects_in_each_step() {
    let plan = crate::json(&["plan", "scenarios/vehicles/brindle-16.toml"]);
    let says = plan["says"].as_str().unwrap();
    assert!(
        says.contains("steps 1 and 7 shut the crankcase in"),
        "{says}"
    );
    assert!(says.contains("steps 3, 4 and 8 go above"), "{says}");
    for (i, step) in plan["steps"].as_array().unwrap().iter().enumerate() {
        let protection = step["procedure"]["protection"].as_str().unwrap();
        let (above, caps) = (
            step["pressure_kpa"].as_f64().unwrap() > 3.45,
            "filler cap out",
        );
        assert_eq!(
            protection.contains(caps),
            [2, 3, 7].contains(&i),
            "{protection}"
        );
        assert!(above || protection.contains("relief"), "{protection}");
        // A hand is no protection.
        assert!(
            !protection.contains("hand") || protection.contains("relief"),
            "{protection}"
        );
    }
    let table =
        crate::text(&crate::workshop(&["plan", "scenarios/vehicles/brindle-16.toml"]).stdout);
    let at = |words: &str| table.find(words).unwrap_or_else(|| panic!("{words}"));
    assert!(
        at("eye protection") < at("1 smoke through"),
        "cautions come before the steps"
    );
}
