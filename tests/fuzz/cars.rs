//! Whole cars and scenarios, drawn as files within what files may say. A case for which the
//! program has neither a steady answer nor a reason of physics is reduced to the fewest
//! changes that still have none, and shown as the file it is.

use falseair::input::{InputError, Source};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, TestRng, TestRunner};
use sim::network::readings::Reading;
use sim::network::{FaultKind, Place, Vehicle};
use sim::params::{Described, Form, Presence};
use sim::scenario::Scenario;
use sim::solve::Failure;
use sim::study::running::simulate::side;
use sim::units::written;
use std::path::Path;

const CARS: [&str; 2] = [
    include_str!("../../scenarios/vehicles/brindle-16.toml"),
    include_str!("../../scenarios/vehicles/tamsel-20.toml"),
];

/// Numbers of a car that can be changed, at most.
const NUMBERS: usize = 120;

/// A case before it is text. All zeros is the first shipped car, sound, at idle on a mild day;
/// whatever is reduced goes towards that.
#[derive(Clone, Debug)]
struct Drawn {
    car: usize,
    /// Per mille that each number of the vehicle file is changed by, in its order.
    numbers: Vec<i32>,
    /// Idle; a torque; a pedal.
    point: usize,
    /// Of its range each, per mille: speed, torque or pedal, temperature, pressure, humidity.
    load: Vec<i32>,
    /// Place and shape of a leak, and the numbers of its shape.
    leak: Option<(usize, usize, Vec<i32>)>,
    /// Kind of a fault, and how far into its range.
    fault: Option<(usize, i32)>,
}

fn drawn() -> impl Strategy<Value = Drawn> {
    let leak = (0..Place::WORDS.len(), 0..shapes().len(), vec(0..=1000, 6));
    let car = (0..CARS.len(), vec(-100..=100, NUMBERS));
    let point = (0..3_usize, vec(0..=1000, 5));
    let fault = (0..FaultKind::ALL.len(), 0..=1000);
    let wrong = (prop::option::of(leak), prop::option::of(fault));
    (car, point, wrong).prop_map(|((car, numbers), (point, load), (leak, fault))| Drawn {
        car,
        numbers,
        point,
        load,
        leak,
        fault,
    })
}

/// The shapes that a leak may have, by name.
fn shapes() -> Vec<(&'static str, Form)> {
    let Form::Table(leak) = sim::network::Leak::<f64>::form() else {
        unreachable!("a leak is a table");
    };
    let keys = leak.keys.into_iter();
    let shapes = keys.filter(|key| key.presence == Presence::OneOf);
    shapes.map(|key| (key.name, key.form)).collect()
}

impl Drawn {
    /// The vehicle file: every `"1.2 unit"` and plain number, but not the points of curves.
    fn vehicle(&self) -> String {
        let mut changes = self.numbers.iter();
        let line = |line: &str| {
            let number = line.split_once(" = ").and_then(|(key, value)| {
                let bare = value.trim_matches('"');
                let (number, unit) = bare.split_once(' ').unwrap_or((bare, ""));
                let number: f64 = number.parse().ok()?;
                let mut per_mille = f64::from(*changes.next()?);
                if key == "open_angle" {
                    // Near the end of its range.
                    per_mille = -per_mille.abs();
                }
                if per_mille == 0.0 {
                    return None;
                }
                // To six digits, as files are written.
                let number = sim::units::round(number * (1.0 + per_mille / 1000.0), 6);
                Some(match value.starts_with('"') {
                    true => format!("{key} = \"{number} {unit}\""),
                    false => format!("{key} = {number}"),
                })
            });
            number.unwrap_or_else(|| line.into())
        };
        let lines = CARS[self.car].lines().map(line);
        lines.collect::<Vec<_>>().join("\n")
    }

    /// The scenario file, for a vehicle file of that name.
    fn scenario(&self, vehicle: &str) -> String {
        let of = |i: usize, low: f64, high: f64| low + (high - low) * f64::from(self.load[i]) / 1e3;
        let (speed, pedal) = (of(0, 1000.0, 6000.0), of(1, 5.0, 100.0));
        let point = match self.point {
            0 => "idle = true".into(),
            1 => format!(
                "speed = \"{speed} rpm\"\ntorque = \"{} N m\"",
                of(1, 5.0, 150.0)
            ),
            _ => format!("speed = \"{speed} rpm\"\npedal = \"{pedal:.1} %\""),
        };
        let leak = self.leak.as_ref().map(|(place, shape, numbers)| {
            let (name, form) = &shapes()[*shape];
            let place = Place::WORDS[*place].0;
            format!(
                "\n[[leak]]\nplace = \"{place}\"\n{name} = {}\n",
                table(form, numbers)
            )
        });
        let fault = self.fault.map(|(kind, part)| {
            let field = FaultKind::ALL[kind].field();
            let value = field.low + (field.high - field.low) * f64::from(part) / 1e3;
            let value = written(value, field.dimension);
            format!("\n[[fault]]\n{} = \"{value}\"\n", field.name)
        });
        format!(
            "title = \"drawn\"\nvehicle = \"{vehicle}\"\n\n[ambient]\ntemperature = \"{} degC\"\n\
             pressure = \"{} kPa abs\"\nhumidity = \"{} %\"\n\n[[point]]\nname = \"drawn\"\n\
             {point}\n{}{}",
            20.0 - of(2, 0.0, 40.0),
            101.3 - of(3, 0.0, 30.0),
            of(4, 0.0, 100.0),
            leak.unwrap_or_default(),
            fault.unwrap_or_default()
        )
    }

    /// What is shown of it: the changed lines of the car, and the scenario.
    fn smallest(&self) -> String {
        let (now, was) = (self.vehicle(), CARS[self.car]);
        let changed = now.lines().zip(was.lines()).filter(|(now, was)| now != was);
        let changed: Vec<String> = changed
            .map(|(now, was)| format!("{now} # was {was}"))
            .collect();
        let car = ["brindle-16.toml", "tamsel-20.toml"][self.car];
        format!("{car} with\n{}\n{}", changed.join("\n"), self.scenario(car))
    }
}

/// A shape as it stands in a file: each number that far into its range, the positive ones by
/// powers.
fn table(form: &Form, numbers: &[i32]) -> String {
    let Form::Table(shape) = form else {
        unreachable!("a shape is a table");
    };
    let keys = shape.keys.iter().zip(numbers.iter().cycle());
    let keys = keys.filter_map(|(key, number)| match &key.form {
        Form::Quantity(field) => {
            let part = f64::from(*number) / 1000.0;
            let (low, high) = (field.low, field.high);
            let value = match low > 0.0 {
                true => low * (high / low).powf(part),
                false => low + (high - low) * part * part,
            };
            Some(format!(
                "{} = \"{}\"",
                key.name,
                written(value, field.dimension)
            ))
        }
        _ => None,
    });
    format!("{{ {} }}", keys.collect::<Vec<_>>().join(", "))
}

/// What became of a case.
#[derive(Clone, Debug, PartialEq)]
enum Became {
    /// The files say something that they may not.
    Refused(String),
    /// A steady state, all of it numbers.
    Answer,
    /// None, for a reason of physics.
    Reason,
    /// Neither.
    Nothing(String),
}

fn became(case: &Drawn) -> Became {
    let source = |name: &str, text: &str| Source::from_text(Path::new(name), text);
    let read = || -> Result<_, String> {
        let said = |why: InputError| why.render(false);
        let car: Vehicle = source("car.toml", &case.vehicle()).parse().map_err(said)?;
        let text = case.scenario("car.toml");
        let scenario: Scenario = source("drawn.toml", &text).parse().map_err(said)?;
        let network = scenario.network(car).map_err(|m| m.message)?;
        let command = scenario.point[0].command().map_err(|m| m.message)?;
        Ok(network.with(command))
    };
    let network = match read() {
        Ok(network) => network,
        Err(why) => return Became::Refused(why),
    };
    match side(&network, None) {
        Ok(side) => {
            let always = [Reading::EngineSpeed, Reading::Boost, Reading::Torque];
            let mut all = always.iter().map(|reading| side.readings.get(*reading));
            match all.all(|value| value.is_some()) && side.ledger.closure.is_finite() {
                true => Became::Answer,
                false => Became::Nothing("a reading is no number".into()),
            }
        }
        Err(why @ (Failure::Unsettled { .. } | Failure::StepTooSmall { .. })) => {
            Became::Nothing(why.to_string())
        }
        Err(_) => Became::Reason,
    }
}

/// The fewest and smallest changes that still have neither answer nor reason.
fn reduced(mut tree: impl ValueTree<Value = Drawn>) -> Drawn {
    let mut least = tree.current();
    while tree.simplify() {
        while !matches!(became(&tree.current()), Became::Nothing(_)) {
            if !tree.complicate() {
                return least;
            }
        }
        least = tree.current();
    }
    least
}

#[test]
fn drawn_cars_have_an_answer_or_a_reason() {
    let cases: usize = std::env::var("FALSEAIR_DRAWN").map_or(300, |n| n.parse().unwrap());
    let rng = TestRng::deterministic_rng(prop::test_runner::RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let (mut counts, mut shown) = ([0; 4], 0);
    for _ in 0..cases {
        let tree = drawn().new_tree(&mut runner).unwrap();
        let found = became(&tree.current());
        let i = match &found {
            Became::Refused(why) => {
                println!("{why}");
                0
            }
            Became::Answer => 1,
            Became::Reason => 2,
            Became::Nothing(why) => {
                shown += 1;
                if shown <= 3 {
                    println!("{why}\n{}", reduced(tree).smallest());
                }
                3
            }
        };
        counts[i] += 1;
    }
    let [refused, answers, reasons, nothing] = counts;
    println!("{refused} refused, {answers} answers, {reasons} reasons, {nothing} neither");
    assert!(answers * 2 > cases, "too few cars run: {counts:?}");
    assert_eq!(nothing, 0, "without answer or reason, of {cases}");
}

/// A case that is known to fail is brought down to what makes it fail.
#[test]
fn what_does_not_matter_is_reduced_away() {
    let rng = TestRng::deterministic_rng(prop::test_runner::RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let mut tree = drawn().new_tree(&mut runner).unwrap();
    let fails = |case: &Drawn| case.load[2] >= 700;
    while !fails(&tree.current()) {
        tree = drawn().new_tree(&mut runner).unwrap();
    }
    let mut least = tree.current();
    'all: while tree.simplify() {
        while !fails(&tree.current()) {
            if !tree.complicate() {
                break 'all;
            }
        }
        least = tree.current();
    }
    assert_eq!(least.load, [0, 0, 700, 0, 0]);
    assert!(least.numbers.iter().all(|n| *n == 0) && least.leak.is_none());
    let text = least.smallest();
    assert!(
        text.starts_with("brindle-16.toml with\n\ntitle = "),
        "{text}"
    );
    assert!(text.contains("temperature = \"-8 degC\""), "{text}");
}
