//! A car beside what it, or its sisters, showed while healthy.

use crate::falseair;
use crate::setup::{PLUG, car, conditions};
use sim::control::Command;
use sim::network::{Ambient, Network, Reading};
use sim::study::judging::diagnose::evidence::{Evidence, Read, Shown};
use sim::study::judging::diagnose::focus::Everything;
use sim::study::judging::diagnose::garage::{Chance, evidence};
use sim::study::judging::diagnose::ladders::Ladders;
use sim::study::judging::diagnose::likelihood::Normal;
use sim::study::judging::diagnose::posterior::Posterior;
use sim::study::judging::diagnose::records::Record;
use sim::study::judging::diagnose::twin::Of;
use sim::study::knowing::doubt::CarDoubt;
use sim::study::running::condition::Condition;

/// A car of the make: filling, turbine and wastegate spring one to two usual deviations off.
fn other(car: &Network<f64>) -> Network<f64> {
    let off = [
        ("cylinders.filling_share", 0.96),
        ("turbine.throat_area", 1.04),
        ("meter.meter_scale", 1.03),
        ("cylinders.accessory_torque", 1.3),
    ];
    car.map(&mut |key, value| {
        let factor = off.iter().find(|(own, _)| *own == key);
        factor.map_or(value, |(_, factor)| factor * value)
    })
}

/// The same car in other weather.
fn in_winter(car: &Network<f64>) -> Network<f64> {
    let ambient = Ambient {
        pressure: 98e3,
        temperature: 273.15,
        ..car.ambient
    };
    Network::new(car.vehicle.clone(), Vec::new(), ambient, Command::IDLE)
}

fn record(
    of: Of,
    model: &Network<f64>,
    truth: &Network<f64>,
    conditions: Vec<Condition>,
) -> Record {
    let doubt = CarDoubt::usual(model, 2.0);
    let found = evidence(truth, &[], &conditions, &PLUG, &mut Chance::new(5));
    Record {
        of,
        holds: 1.0,
        sound: Ladders::healthy(model, &conditions, &doubt).unwrap(),
        conditions,
        reads: found.reads,
    }
}

fn beside(records: &[Record]) -> Ladders {
    let doubt = CarDoubt::usual(&car(), 2.0);
    Ladders::beside(
        &car(),
        conditions(),
        doubt,
        records,
        &Evidence::default(),
        &mut |_, _| {},
    )
    .unwrap()
}

/// Standard deviation of every reading as it is predicted for the healthy car.
fn spreads(ladders: &Ladders, reads: &[Read]) -> Vec<f64> {
    let shown = Shown::at(ladders, &ladders.sound, reads).unwrap();
    (0..reads.len())
        .map(|i| shown.by_doubt.row(i).norm())
        .collect()
}

/// What was read at the very conditions of today is expected today: much nearer, in variance, than
/// by the vehicle file alone. (Not nearer still: some readings stand at their stops, where no
/// number of the car moves them in first order.)
#[test]
fn a_car_read_before_is_expected_to_show_the_same() {
    let truth = other(&car());
    let told = record(Of::ThisCar, &car(), &truth, conditions());
    let reads = told.reads.clone();
    let [plate, twin] = [beside(&[]), beside(&[told])].map(|ladders| {
        let shown = Shown::at(&ladders, &ladders.sound, &reads).unwrap();
        let apart = reads.iter().zip(&shown.means);
        let apart = apart.map(|(read, mean)| (read.value - mean) / read.deviation);
        apart.map(|x| x * x).sum::<f64>() / reads.len() as f64
    });
    assert!(twin < 0.5 * plate, "{plate} {twin}");
}

/// The more is known of healthy cars, the less is in doubt of this one, and this car itself tells
/// more than a sister.
#[test]
fn what_is_told_narrows_the_doubt() {
    let truth = other(&car());
    let [own, sister] =
        [Of::ThisCar, Of::Sister].map(|of| record(of, &car(), &truth, conditions()));
    let reads = own.reads.clone();
    let [none, sister, own] =
        [vec![], vec![sister], vec![own]].map(|records| spreads(&beside(&records), &reads));
    let narrow = |a: &[f64], b: &[f64]| a.iter().zip(b).all(|(a, b)| *a <= b * (1.0 + 1e-6));
    assert!(narrow(&sister, &none) && narrow(&own, &sister));
    let norm = |all: &[f64]| all.iter().map(|x| x * x).sum::<f64>().sqrt();
    assert!(norm(&own) < 0.9 * norm(&sister), "{own:?} {sister:?}");
}

/// Another day, other weather and other loads tell of it too, through the model: the healthy car
/// becomes likelier, a leak in it as well.
#[test]
fn another_day_tells_too() {
    let (model, truth) = (car(), other(&car()));
    let loads = vec![
        Condition::new("idle", Command::IDLE, None),
        Condition::new("part load", Command::torque(270.0, 60.0), Some(2.0)),
        Condition::new("full load", Command::full_load(300.0), None),
    ];
    let told = record(Of::ThisCar, &in_winter(&model), &in_winter(&truth), loads);
    let (plate, twin) = (beside(&[]), beside(&[told]));
    assert!(twin.matched.as_ref().unwrap().used());
    let healthy = evidence(&truth, &[], &conditions(), &PLUG, &mut Chance::new(8));
    let log_density = |ladders: &Ladders| {
        let shown = Shown::at(ladders, &ladders.sound, &healthy.reads).unwrap();
        Normal::new(&healthy.reads, &shown).unwrap().log_density()
    };
    assert!(log_density(&twin) > log_density(&plate) + 1.0);
    // And a split vacuum line in the same car stands out more against health.
    let leak = plate.suspect("leak: vacuum line").unwrap();
    let faulty = [(plate.suspects[leak], 2e-3)];
    let faulty = evidence(&truth, &faulty, &conditions(), &PLUG, &mut Chance::new(9));
    let [plate, twin] = [&plate, &twin].map(|ladders| {
        let sound = Posterior::sound(ladders, &faulty).unwrap();
        let leak = Posterior::of(ladders, &faulty, leak).unwrap();
        leak.log_weight - sound.log_weight
    });
    assert!(twin > plate + 1.0 && twin > 0.0, "{plate} {twin}");
}

/// A record that was taken while the car leaked is no healthy one: it is left aside.
#[test]
fn a_record_with_a_fault_in_it_is_left_aside() {
    let model = car();
    let plate = beside(&[]);
    let leak = plate.suspects[plate.suspect("leak: vacuum line").unwrap()];
    let found = evidence(
        &model,
        &[(leak, 5e-3)],
        &conditions(),
        &PLUG,
        &mut Chance::new(3),
    );
    let doubt = CarDoubt::usual(&model, 1.0);
    let record = Record {
        of: Of::ThisCar,
        holds: 1.0,
        sound: Ladders::healthy(&model, &conditions(), &doubt).unwrap(),
        conditions: conditions(),
        reads: found.reads,
    };
    let ladders = Ladders::beside(
        &model,
        conditions(),
        doubt,
        &[record],
        &Everything,
        &mut |_, _| {},
    )
    .unwrap();
    let matched = ladders.matched.unwrap();
    assert!(ladders.twin.is_none() && !matched.used(), "{matched:?}");
    // Far off is what the hole moved: trims, or the air of an idle.
    let moved = [
        Reading::LongTrim,
        Reading::ShortTrim,
        Reading::MeteredAir,
        Reading::Manifold,
    ];
    assert!(moved.contains(&matched.worst.0), "{:?}", matched.worst);
}

/// The shipped case: one pair of readings of a car, before and after.
#[test]
fn the_program_judges_beside_a_healthy_car() {
    let case = "scenarios/readings/lean-at-idle.toml";
    let twin = "scenarios/readings/healthy-car.toml";
    let ask = |arguments: &[&str]| {
        let done = falseair(&[&["diagnose", case, "--format", "json"], arguments].concat());
        assert!(done.status.success(), "{}", crate::text(&done.stderr));
        serde_json::from_slice::<serde_json::Value>(&done.stdout).unwrap()
    };
    let [alone, beside] = [ask(&[]), ask(&["--twin", twin])];
    assert!(alone["baseline"].is_null());
    assert_eq!(beside["baseline"]["records"], 1);
    assert_eq!(beside["baseline"]["used"], true);
    assert_eq!(
        alone["hypotheses"][0]["name"],
        beside["hypotheses"][0]["name"]
    );
    let done = falseair(&["diagnose", case, "--twin", "tests/diagnose"]);
    assert_eq!(done.status.code(), Some(2));
    assert!(crate::text(&done.stderr).contains("no readings file"));
    let done = falseair(&["diagnose", case, "--twin", "tests/diagnose/none.toml"]);
    assert_eq!(done.status.code(), Some(2));
    assert!(crate::text(&done.stderr).contains("there is no `tests/diagnose/none.toml`"));
}
