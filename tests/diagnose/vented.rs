//! The breather hose off at idle, its stub capped and the crankcase open: no check shuts the
//! crankcase in, and what is said of the trim is what the model does.

use super::*;
use sim::network::{Leak, Place};
use sim::scenario::Surroundings;
use sim::study::judging::diagnose::at_the_car::SECTIONS;
use sim::study::judging::diagnose::checks::Check;
use sim::study::judging::diagnose::exercise::Exercise;
use sim::study::judging::diagnose::next::next_tests;
use sim::study::judging::diagnose::vented::{rise, vented};
use sim::study::running::simulate::Comparison;
use sim::study::workshop::limits::{CRANKCASE, SUCTION};
use sim::study::workshop::plan::plan;

const KEY: &str = "blank_breather_union";

/// The invented car that counts its air by manifold pressure.
fn by_pressure() -> Network<f64> {
    let vehicle = root().join("scenarios/vehicles/tamsel-20.toml");
    let vehicle = falseair::input::read_toml(&vehicle).unwrap();
    let air = Surroundings::STANDARD.ambient();
    Network::new(vehicle, Vec::new(), air, sim::control::Command::IDLE)
}

fn leaking(name: &str, size: f64) -> f64 {
    let mut car = car();
    ladders().suspects[suspect(name)].add(&mut car, size);
    rise(&car).unwrap()
}

/// F: what went through meter and breather into the crankcase comes in uncounted; the trim makes
/// up for it: `m/(M - m)`.
#[test]
fn the_open_end_raises_the_trim_by_the_air_that_the_meter_no_longer_counts() {
    let sound = Comparison::new(&car()).point("idle", sim::control::Command::IDLE);
    let sound = sound.healthy.unwrap();
    let flow = |key: &str| {
        let mut all = sim::network::flows::FLOWS.iter();
        sound.flows[all.position(|(name, ..)| *name == key).unwrap()]
    };
    let (metered, drawn) = (flow("filter"), -flow("breather"));
    let outside = 100.0 * drawn / (metered - drawn);
    let found = rise(&car()).unwrap();
    assert!(drawn > 0.1, "{drawn} g/s");
    // The cylinders do not know which way the air came; the governor moves a little.
    assert!(
        (found / outside - 1.0).abs() < 0.05,
        "{found} %, outside {outside} %"
    );
    // Its crankcase is open: within a few Pa of the air, though the union is shut.
    let open = vented(&car());
    assert_eq!(open.vehicle.crankcase.breather_bore, 0.0);
    let hole = open.leaks.iter().find(|l| l.place == Place::Crankcase);
    assert!(matches!(hole, Some(Leak { .. })));
}

/// From the stated holes on the rise falls three points short, at the union and at the
/// crankcase alike; at another place before the turbocharger it does not.
#[test]
fn the_check_tells_of_what_the_procedure_removes() {
    let sound = rise(&car()).unwrap();
    for (name, least) in [("leak: breather union", 8e-3), ("leak: crankcase", 6e-3)] {
        let short = sound - leaking(name, least);
        assert!((3.0..3.5).contains(&short), "{name}: {short} points");
        let fault = |size: f64| [(ladders().suspects[suspect(name)], size)];
        let odds = |size: f64| Check::BlankBreather.odds(&fault(size))[1];
        assert!(
            (0.4..0.55).contains(&odds(least)),
            "{name}: {}",
            odds(least)
        );
        assert!(odds(0.4 * least) < 0.1 && odds(2.0 * least) > 0.85);
    }
    let duct = leaking("leak: inlet duct", 8e-3);
    assert!(duct > sound, "{duct} and {sound}");
    // One outcome for both; a file may name either.
    let check = Check::BlankBreather;
    assert_eq!(check.outcomes(), ["nothing", "breather_union_or_crankcase"]);
    for found in ["breather_union", "crankcase", "breather_union_or_crankcase"] {
        assert_eq!(check.outcome(found), Some(1));
    }
    assert_eq!(
        (check.outcome("nothing"), check.outcome("or")),
        (Some(0), None)
    );
}

/// Where manifold pressure counts the air the trim does not move, and the check is not offered.
#[test]
fn it_is_not_offered_where_it_tells_nothing() {
    let pressure = by_pressure();
    assert!(rise(&pressure).unwrap().abs() < 0.01);
    let offered = |car: &Network<f64>| {
        let exercise = Exercise::new(car, &[], 1).unwrap();
        exercise.actions().iter().any(|action| action.key == KEY)
    };
    assert!(offered(&car()) && !offered(&pressure));
}

/// What it does to the trim of this car is said beside it, by the model.
#[test]
fn the_amount_is_told_with_the_check() {
    let found = read(&car(), &[("leak: breather union", 14e-3)], 5);
    let tests = next_tests(ladders(), &found, &diagnose(&found));
    let points = format!("rises by {:.0} %", rise(&car()).unwrap());
    if let Some(test) = tests.iter().find(|test| test.test == KEY) {
        assert!(test.meaning[0].contains(&points), "{:?}", test.meaning);
    }
    let mut exercise = Exercise::new(&car(), &[], 1).unwrap();
    let words = &exercise.act(KEY).unwrap().words;
    assert!(words.contains(&points), "{words}");
}

/// No text shuts the crankcase in, and pressures are the plan's.
#[test]
fn texts_keep_the_crankcase_open_and_the_plans_pressures() {
    let says = |check: Check, words: &[&str]| {
        let text = check.meaning();
        assert!(words.iter().all(|word| text.contains(word)), "{text}");
    };
    let breather = ["idle only", "nothing else", "open crankcase end", "bottle"];
    says(Check::BlankBreather, &breather);
    says(Check::PinchVentilation, &["breather hose left on and open"]);
    says(Check::Compression, &["oil filler cap off"]);
    says(Check::SmokeExhaust, &["oil filler cap off"]);
    let smoke = plan(&car().vehicle, &car().ambient)[0].pressure;
    let told = format!("{} kPa", smoke / 1e3);
    says(Check::Smoke, &[&told]);
    assert!((CRANKCASE - smoke).abs() < 100.0);
    let section = |key: &str| {
        SECTIONS
            .iter()
            .find(|(test, ..)| test.word() == key)
            .unwrap()
            .1
    };
    let duct = section("decay_inlet_duct");
    let most = format!("{:.0} kPa", SUCTION / 1e3);
    for word in [&most, "hose off", "left open", "filler cap off"] {
        assert!(duct.contains(word), "{duct}");
    }
    let manifold = section("decay_manifold");
    for word in ["lets out least", "filler cap off", "breather open"] {
        assert!(manifold.contains(word), "{manifold}");
    }
    let steps = plan(&car().vehicle, &car().ambient);
    for step in steps.iter().filter(|step| step.pressure > CRANKCASE) {
        // Whatever can pass valves and rings has a way out.
        let reaches = ["manifold", "inlet", "exhaust"];
        if reaches.iter().any(|part| step.name.starts_with(part)) {
            let acts = step.procedure.set_up.iter().map(|act| act.says.as_str());
            let prepare = acts.collect::<Vec<_>>().join(" ").to_lowercase();
            assert!(prepare.contains("filler cap"), "{}: {prepare}", step.name);
        }
    }
}
