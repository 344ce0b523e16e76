//! The lesson's page: what is sealed stays sealed, a name is a name, the page's engine is the
//! program's. The browser's part is `tests/pages/look.sh`.

mod hidden;
mod six;

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn run(arguments: &[&str], passphrase: Option<&str>) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_falseair"));
    // The last run's files may be there.
    command.args(arguments).arg("--force").current_dir(root());
    command.env_remove("FALSEAIR_PASSPHRASE");
    if let Some(phrase) = passphrase {
        command.env("FALSEAIR_PASSPHRASE", phrase);
    }
    command.output().unwrap()
}

fn scratch(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("falseair-lesson-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    folder.join(name)
}

const CAR: &str = "scenarios/vehicles/brindle-16.toml";

/// The car as a page holds it.
fn car_json(path: &Path) -> String {
    let car = std::fs::read_to_string(path).unwrap();
    let car: Value = serde_json::to_value(car.parse::<toml::Table>().unwrap()).unwrap();
    car.to_string()
}

#[test]
fn a_name_is_shown_as_text() {
    let name = "</script><script>alert(1)</script> & Söhne \"½\"";
    let car = std::fs::read_to_string(root().join(CAR)).unwrap();
    let line = car.lines().find(|line| line.starts_with("name")).unwrap();
    let quoted = format!("name = {}", serde_json::to_string(name).unwrap());
    let (vehicle, out) = (scratch("hostile.toml"), scratch("hostile.html"));
    std::fs::write(&vehicle, car.replacen(line, &quoted, 1)).unwrap();
    let arguments = [vehicle.to_str().unwrap(), "--out", out.to_str().unwrap()];
    let done = run(&[&["classroom"][..], &arguments].concat(), None);
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    let page = std::fs::read_to_string(&out).unwrap();
    assert!(!page.contains("<script>alert"));
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp; Söhne"));
    let json = r#"\u003c/script>\u003cscript>alert(1)"#;
    assert!(page.contains(json));
    std::fs::remove_file(out).unwrap();
}

/// Page and program share every line of physics; natively they must not differ at all.
#[test]
fn the_pages_engine_gives_the_programs_readings() {
    let car = std::fs::read_to_string(root().join(CAR)).unwrap();
    let car = serde_json::to_string(&car.parse::<toml::Table>().unwrap()).unwrap();
    for name in [
        "split-hose",
        "breather-seal",
        "manifold-gasket",
        "worn-meter-and-leak",
    ] {
        let path = format!("scenarios/{name}.toml");
        let done = run(&["simulate", &path, "--format", "json"], None);
        let program: Value = serde_json::from_slice(&done.stdout).unwrap();
        let scenario = std::fs::read_to_string(root().join(&path)).unwrap();
        let scenario = serde_json::to_string(&scenario.parse::<toml::Table>().unwrap()).unwrap();
        let page: Value = page_engine::point::steady(&car, &scenario)
            .unwrap()
            .parse()
            .unwrap();
        let (ours, theirs) = (page["points"].as_array().unwrap(), &program["points"]);
        assert!(!ours.is_empty());
        for (i, point) in ours.iter().enumerate() {
            for side in ["healthy", "faulty"] {
                for (key, value) in point[side].as_object().unwrap() {
                    assert_eq!(
                        value, &theirs[i][side][key],
                        "{name}, point {i}, {side}, {key}"
                    );
                }
            }
        }
    }
}

/// A run of both engines settles where the steady points lie: to a part in a thousand.
#[test]
fn a_live_run_settles_at_the_steady_point() {
    use page_engine::bench::{Bench, Load};
    let car = std::fs::read_to_string(root().join(CAR)).unwrap();
    let car = serde_json::to_string(&car.parse::<toml::Table>().unwrap()).unwrap();
    let leak = r#"{"leak":[{"place":"cold_pipe","round_hole":{"diameter":"4 mm"}}]}"#;
    let mut bench = Bench::new(&car).unwrap();
    bench.trouble(leak).unwrap();
    bench.drive(Load::Held { speed: 3500.0 }, 1.0);
    for _ in 0..120 {
        bench.advance(1.0);
    }
    let mut numbers = Vec::new();
    bench.numbers(&mut numbers);
    let scenario = r#"{"title":"t","vehicle":"v","trims":"fresh",
        "leak":[{"place":"cold_pipe","round_hole":{"diameter":"4 mm"}}],
        "point":[{"name":"p","speed":"3500 rpm","pedal":"100 %"}]}"#;
    let steady: Value = page_engine::point::steady(&car, scenario)
        .unwrap()
        .parse()
        .unwrap();
    let half = numbers.len() / 2;
    for (side, from) in [("healthy", 0), ("faulty", half)] {
        for key in [
            "boost_kpa",
            "shaft_krpm",
            "metered_air_g_s",
            "torque_nm",
            "lambda",
        ] {
            let forms = sim::network::readings::FORMS;
            let index = forms.iter().position(|form| form.key == key).unwrap();
            let (live, rest) = (
                numbers[from + index],
                steady["points"][0][side][key].as_f64().unwrap(),
            );
            assert!(
                (live / rest - 1.0).abs() < 1e-3,
                "{side} {key}: {live} and {rest}"
            );
        }
    }
    assert!(
        bench.codes().iter().all(|(_, faulty, _)| *faulty),
        "a healthy car sets no code"
    );
}

/// A trim is at its stop when it is, not while it is on its way there.
#[test]
fn the_sentence_says_stop_only_of_a_trim_at_its_stop() {
    use page_engine::bench::Bench;
    let car = std::fs::read_to_string(root().join(CAR)).unwrap();
    let car = serde_json::to_string(&car.parse::<toml::Table>().unwrap()).unwrap();
    let mut bench = Bench::new(&car).unwrap();
    let leak = r#"{"leak":[{"place":"manifold_gasket","round_hole":{"diameter":"3.5 mm"}}]}"#;
    bench.trouble(leak).unwrap();
    let forms = sim::network::readings::FORMS;
    let key = |key: &str| forms.iter().position(|form| form.key == key).unwrap();
    let (short, lambda) = (key("short_trim_pct"), key("lambda_sensor"));
    let (mut numbers, mut on_its_way, mut at_its_stop) = (Vec::new(), 0, 0);
    for _ in 0..120 {
        bench.advance(0.25);
        bench.numbers(&mut numbers);
        let half = numbers.len() / 2;
        let (trim, sensed) = (numbers[half + short], numbers[half + lambda]);
        let why = bench.why();
        if trim < 24.0 && sensed > 1.006 {
            on_its_way += 1;
            assert!(!why.contains("stop"), "{trim} %, sensor {sensed}: {why}");
        } else if trim > 24.9 && sensed > 1.006 {
            at_its_stop += 1;
            assert!(why.contains("at its stop"), "{trim} %: {why}");
        }
    }
    assert!(
        on_its_way > 2 && at_its_stop > 2,
        "{on_its_way} {at_its_stop}"
    );
}

/// Once a code has reduced the torque, that is the reason: both engines no longer run as they are asked to.
#[test]
fn the_sentence_names_a_reduced_torque() {
    use page_engine::bench::{Bench, Load};

    let car = car_json(&root().join(CAR));
    let mut bench = Bench::new(&car).unwrap();
    bench.drive(Load::Held { speed: 3500.0 }, 1.0);
    let fault = r#"{"fault": [{"wastegate_stuck_shut": 0.0}]}"#;
    bench.trouble(fault).unwrap();
    for _ in 0..30 {
        bench.advance(1.0);
    }
    let codes = bench.codes();
    assert!(
        codes
            .iter()
            .any(|(_, faulty, code)| *faulty && *code == "P0234"),
        "{codes:?}"
    );
    let why = bench.why();
    assert!(why.contains("reduces torque"), "{why}");
    assert!(!why.contains("open loop"), "{why}");
}

/// What lambda instruments do not show is called neither richer nor leaner.
#[test]
fn a_mixture_within_the_instrument_is_not_told() {
    use page_engine::bench::{Bench, Load};

    let mut bench = Bench::new(&car_json(&root().join(CAR))).unwrap();
    bench.drive(Load::Held { speed: 3500.0 }, 1.0);
    let told = |bench: &mut Bench, share: f64| {
        let fault = format!(r#"{{"fault": [{{"fuel_delivery": {share}}}]}}"#);
        bench.trouble(&fault).unwrap();
        for _ in 0..10 {
            bench.advance(1.0);
        }
        bench.why()
    };
    let small = told(&mut bench, 1.0055);
    assert!(!small.contains("richer"), "{small}");
    let large = told(&mut bench, 1.03);
    assert!(large.contains("richer"), "{large}");
}

/// A fault that can go both ways is two answers, and the truth is one of them.
#[test]
fn direction_is_part_of_an_answer() {
    use page_engine::lesson::{Lesson, Secret};
    let car = std::fs::read_to_string(root().join(CAR)).unwrap();
    let car = serde_json::to_string(&car.parse::<toml::Table>().unwrap()).unwrap();
    let catalogue: Value = page_engine::point::catalogue(&car)
        .unwrap()
        .parse()
        .unwrap();
    let suspects = catalogue["suspects"].as_array().unwrap();
    let named = |key: &str| -> Vec<&str> {
        let these = suspects.iter().filter(|one| one["key"] == key);
        these.map(|one| one["name"].as_str().unwrap()).collect()
    };
    for (meter, way) in [(0.85, "low"), (1.15, "high")] {
        let secret = Secret {
            trouble: serde_json::json!({ "fault": [{ "meter_reads": meter }] }),
            seed: 3,
        };
        let debrief = Lesson::of(&car, &secret).unwrap().debrief().unwrap();
        let debrief: Value = debrief.parse().unwrap();
        let key = debrief["truth"][0]["key"].as_str().unwrap();
        assert_eq!(key, format!("meter_reads_{way}"));
        assert_eq!(named(key), [format!("mass air flow sensor reads {way}")]);
    }
    // Only shapes of one place share a key: they are one answer.
    for one in suspects {
        let alike = named(one["key"].as_str().unwrap());
        let places = alike.iter().all(|name| name.contains(": "));
        assert!(alike.len() == 1 || places, "{alike:?}");
    }
}

/// What was read to be dangerous is told with it, and nothing at full load can be done any more, the
/// checks that need it included.
#[test]
fn an_exercise_holds_back_what_a_danger_forbids() {
    use page_engine::lesson::{Lesson, Secret};
    let car = std::fs::read_to_string(root().join(CAR)).unwrap();
    let car = serde_json::to_string(&car.parse::<toml::Table>().unwrap()).unwrap();
    for (supply, dangerous) in [(0.85, true), (0.99, false)] {
        let secret = Secret {
            trouble: serde_json::json!({ "fault": [{ "fuel_supply": supply }] }),
            seed: 3,
        };
        let mut lesson = Lesson::of(&car, &secret).unwrap();
        let read: Value = lesson.act("readings_full_load").unwrap().parse().unwrap();
        let told = read["dangers"].as_array().unwrap();
        let lean = told
            .iter()
            .any(|d| d.as_str().unwrap().starts_with("Lean under boost"));
        assert_eq!(lean, dangerous, "{supply}: {told:?}");
        let tests: Value = page_engine::locked::tests(&car).unwrap().parse().unwrap();
        for test in tests.as_array().unwrap() {
            let key = test["key"].as_str().unwrap();
            let loads =
                key.ends_with("_full_load") || ["back_pressure", "cooler_pressures"].contains(&key);
            assert_eq!(test["loads"], loads, "{key}");
            if key != "readings_full_load" && loads {
                assert_eq!(lesson.act(key).is_err(), dangerous, "{supply}: {key}");
            }
        }
        assert!(lesson.act("smoke_intake").is_ok());
    }
}

/// F: a leak that opens and grows while people play ends as the leak given whole, and one that closes
/// again as none.
#[test]
fn a_live_run_follows_events() {
    use page_engine::bench::{Bench, Load};
    let car = std::fs::read_to_string(root().join(CAR)).unwrap();
    let car = serde_json::to_string(&car.parse::<toml::Table>().unwrap()).unwrap();
    let leak = r#""leak":[{"place":"cold_pipe","round_hole":{"diameter":"5 mm"}}]"#;
    let forms = sim::network::readings::FORMS;
    let torque = forms.iter().position(|form| form.key == "torque_nm");
    let torque = torque.unwrap();
    let run = |events: &str| {
        let mut bench = Bench::new(&car).unwrap();
        bench.drive(Load::Held { speed: 3500.0 }, 1.0);
        bench.advance(1.0);
        bench.trouble(&format!("{{{leak}{events}}}")).unwrap();
        let (mut numbers, mut all) = (Vec::new(), Vec::new());
        for _ in 0..90 {
            bench.advance(1.0);
            bench.numbers(&mut numbers);
            all.push([numbers[torque], numbers[numbers.len() / 2 + torque]]);
        }
        all
    };
    let event =
        |time: u32, to: u32| format!(r#"{{"time":"{time} s","leak":0,"to":{to},"ramp":"10 s"}}"#);
    let whole = run("");
    let opened = run(&format!(r#","event":[{}]"#, event(5, 1)));
    let closed = run(&format!(r#","event":[{},{}]"#, event(5, 1), event(40, 0)));
    let last = |run: &[[f64; 2]]| run[run.len() - 1];
    let lost = last(&whole)[0] - last(&whole)[1];
    assert!(lost > 1.0, "{lost}");
    // Nothing yet, then growing, then whole.
    assert!((opened[3][0] - opened[3][1]).abs() < 0.01 * lost);
    assert!((last(&opened)[1] - last(&whole)[1]).abs() < 0.02 * lost);
    assert!((closed[38][0] - closed[38][1]) > 0.5 * lost);
    assert!((last(&closed)[1] - last(&closed)[0]).abs() < 0.02 * lost);
}
