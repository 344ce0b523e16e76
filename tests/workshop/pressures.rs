//! A test pressure above what the plan allows is warned of first of all, by whichever way the
//! answer is read. The limits are those that `workshop plan` prints.

use crate::{json, number, root, text, workshop};
use serde_json::Value;
use sim::network::Place;
use std::path::{Path, PathBuf};

const CAR: &str = "scenarios/vehicles/brindle-16.toml";

/// The lowest and the highest pressure, kPa gauge, of the plan's steps that look at a place;
/// the smoke through everything only where no other step does.
fn limits(plan: &Value, place: &str) -> (f64, f64) {
    let reaches = |step: &Value| {
        let spots = step["places"].as_array().unwrap().iter();
        spots.clone().any(|spot| spot["place"] == place)
    };
    let steps = plan["steps"].as_array().unwrap();
    let mut found: Vec<f64> = (steps[1..].iter())
        .filter(|step| reaches(step))
        .map(|step| number(step, "pressure_kpa"))
        .collect();
    if found.is_empty() {
        assert!(reaches(&steps[0]), "no step reaches {place}");
        found.push(number(&steps[0], "pressure_kpa"));
    }
    found.sort_by(f64::total_cmp);
    (found[0], found[found.len() - 1])
}

fn page_path(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("pressures");
    std::fs::create_dir_all(&folder).unwrap();
    folder.join(format!("{name}.html"))
}

/// The warnings of a test in the result for programs; where `said`, the first of them must also
/// be what table and page begin with, and where not, neither may hold it.
fn warned(name: &str, arguments: &[&str], said: Option<&str>) -> String {
    let page = page_path(name);
    let with_page = [arguments, &["--report", page.to_str().unwrap()]].concat();
    let first = json(&with_page)["warnings"][0].clone();
    let first = first.as_str().unwrap_or_default().to_string();
    let table = text(&workshop(arguments).stdout);
    let page = std::fs::read_to_string(page).unwrap();
    match said {
        None => {
            assert!(!first.contains("workshop plan"), "{name}: {first}");
            assert!(!table.contains("`workshop plan`"), "{name}: {table}");
            assert!(!page.contains("`workshop plan`"), "{name}");
        }
        Some(said) => {
            assert!(
                first.contains("workshop plan") && first.contains(said),
                "{name}: `{said}` is not said: {first}"
            );
            assert!(table.starts_with("DANGER  the test pressure"), "{table}");
            let flat: Vec<&str> = table.split_whitespace().collect();
            let words: Vec<&str> = first.split_whitespace().collect();
            assert!(flat[1..].starts_with(&words), "{name}: {table}");
            // Before the answer.
            let at = |words: &str| {
                page.find(words)
                    .unwrap_or_else(|| panic!("{name}: {words}"))
            };
            assert!(
                at("the test pressure of") < at("class=\"says\""),
                "{name}: the page says its answer first"
            );
        }
    }
    first
}

fn kpa(pressure: f64) -> String {
    format!("{pressure} kPa gauge")
}

fn flow(place: Option<&str>, pressure: f64, car: bool) -> Vec<String> {
    let mut all = vec!["flow", "--flow", "0.1 g/s"];
    all.extend(car.then_some(["--vehicle", CAR]).into_iter().flatten());
    all.extend(place.map(|place| ["--place", place]).into_iter().flatten());
    let mut all: Vec<String> = all.into_iter().map(String::from).collect();
    all.extend(["--pressure".into(), kpa(pressure)]);
    all
}

fn decay(own: &[&str], pressure: f64) -> Vec<String> {
    let all = ["decay", "--time", "8 s", "--gauge-resolution", "0.01 kPa"];
    let mut all: Vec<String> = all.iter().chain(own).map(|word| word.to_string()).collect();
    all.extend(["--start-pressure".into(), kpa(pressure)]);
    all.extend(["--end-pressure".into(), kpa(0.6 * pressure)]);
    all
}

fn check(name: &str, arguments: &[String], said: Option<&str>) -> String {
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    warned(name, &arguments, said)
}

/// Just above a limit is warned of and at it is not, at every place, with the car's own limits
/// and, by `--volume`, with those of any car.
#[test]
fn every_place_has_its_limit() {
    let plan = json(&["plan", CAR]);
    for (place, ..) in Place::WORDS {
        let (low, high) = limits(&plan, place);
        for (which, limit) in [("low", low), ("high", high)] {
            let name = format!("{place}-{which}");
            let above = limit * 1.02;
            let said = format!("{limit} kPa");
            check(
                &format!("flow-{name}"),
                &flow(Some(place), above, true),
                Some(&said),
            );
            // Without a car only what parts bear counts, and what intakes are tested with.
            let any = if limit == 85.0 { 135.0 } else { limit };
            let (above, said) = (any * 1.02, format!("{any} kPa"));
            let volume = ["--volume", "8 L", "--place", place];
            check(
                &format!("decay-{name}"),
                &decay(&volume, above),
                Some(&said),
            );
        }
        check(
            &format!("flow-{place}-at"),
            &flow(Some(place), low, true),
            None,
        );
        let volume = ["--volume", "8 L", "--place", place];
        check(&format!("decay-{place}-at"), &decay(&volume, low), None);
    }
}

/// A section is pressed on as a whole: its limit is that of its weakest part, wherever in it the
/// leak is.
#[test]
fn every_section_has_the_limit_of_its_weakest_part() {
    let plan = json(&["plan", CAR]);
    use sim::study::workshop::decay::Section;
    for (section, which, _) in Section::WORDS {
        let places: Vec<Place> = (Place::WORDS.iter().map(|(_, place, _)| *place))
            .filter(|place| which.holds(*place))
            .collect();
        let weakest = places.iter().map(|place| limits(&plan, place.word()).1);
        let weakest = weakest.fold(f64::INFINITY, f64::min);
        for place in [places[0], places[places.len() - 1]] {
            let own = [
                "--vehicle",
                CAR,
                "--section",
                section,
                "--place",
                place.word(),
            ];
            let name = format!("{section}-{}", place.word());
            check(&name, &decay(&own, weakest), None);
            let said = format!("{weakest} kPa");
            check(&name, &decay(&own, weakest * 1.02), Some(&said));
        }
    }
}

/// What went unsaid in the bay: figures of this car's plan, by hand.
#[test]
fn figures_of_one_car() {
    for (place, pressure, limit) in [
        ("breather_union", 85.0, "30 kPa"),
        ("manifold_gasket", 85.0, "65 kPa"),
        ("crankcase", 60.0, "3.4 kPa"),
        ("before_oxygen_sensor", 60.0, "10 kPa"),
    ] {
        check(place, &flow(Some(place), pressure, true), Some(limit));
    }
    let inlet = ["--vehicle", CAR, "--section", "inlet_to_manifold"];
    let union = [&inlet[..], &["--place", "breather_union"]].concat();
    check("union", &decay(&union, 85.0), Some("30 kPa"));
}

/// Where nobody says the place, the least limit counts and is named; a vacuum has none.
#[test]
fn no_place_takes_the_least_limit() {
    for (name, arguments, said) in [
        ("volume", decay(&["--volume", "8 L"], 60.0), "30 kPa"),
        ("flow-alone", flow(None, 60.0, false), "3.4 kPa"),
        ("flow-car", flow(None, 60.0, true), "3.4 kPa"),
    ] {
        let first = check(name, &arguments, Some(said));
        assert!(first.contains("No `place` is given"), "{first}");
    }
    check("vacuum", &flow(Some("crankcase"), -30.0, true), None);
}

/// The second reading of a test presses too.
#[test]
fn the_second_reading_counts() {
    let second = [
        "--second-flow",
        "0.2 g/s",
        "--second-pressure",
        "20 kPa gauge",
    ];
    let mut arguments = flow(Some("crankcase"), 3.0, false);
    arguments.extend(second.iter().map(|word| word.to_string()));
    check("second-flow", &arguments, Some("3.4 kPa"));
    let reference = "start_pressure=70 kPa gauge, end_pressure=60 kPa gauge, time=20 s";
    let own = [
        "--vehicle",
        CAR,
        "--place",
        "manifold_gasket",
        "--reference",
        reference,
    ];
    check("second-decay", &decay(&own, 50.0), Some("65 kPa"));
}

/// A gentle car's boost is below what its parts bear: that is why.
#[test]
fn boost_is_a_limit_too() {
    let said = std::fs::read_to_string(root().join(CAR)).unwrap();
    let said = ["45", "85", "75", "60"].iter().fold(said, |said, kpa| {
        said.replace(&format!("\"{kpa} kPa gauge\""), "\"28 kPa gauge\"")
    });
    let path = page_path("gentle").with_extension("toml");
    std::fs::write(&path, said).unwrap();
    let own = [
        "--vehicle",
        path.to_str().unwrap(),
        "--place",
        "manifold_gasket",
    ];
    let first = check("gentle", &decay(&own, 29.0), Some("25 kPa"));
    assert!(
        first.contains("normal boost of this car is 28 kPa"),
        "{first}"
    );
}
