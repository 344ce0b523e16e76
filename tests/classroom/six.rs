//! A class of six, played to the end: two are right, two wrong, one gives up, one cheats and is seen.

use crate::{CAR, car_json, root, run, scratch};
use page_engine::locked::{Locked, unlock};
use page_engine::seal;
use serde_json::{Value, json};
use std::fs;

/// Every exercise that a page holds.
pub fn locked(page: &str) -> Vec<Locked> {
    let from = "id=\"hidden-fault\" type=\"text/plain\">";
    let text = page.split(from).nth(1).unwrap();
    serde_json::from_str(text.split('<').next().unwrap()).unwrap()
}

struct Class {
    car: String,
    keys: toml::Table,
    exercises: Vec<Locked>,
}

impl Class {
    fn trainee(&self, number: usize) -> &toml::Table {
        let all = self.keys["trainee"].as_array().unwrap();
        all[number - 1].as_table().unwrap()
    }

    fn word(&self, number: usize, key: &str) -> String {
        self.trainee(number)[key].as_str().unwrap().into()
    }

    fn truth(&self, number: usize) -> Value {
        self.word(number, "trouble").parse().unwrap()
    }

    /// Works as a page does: the tests are unlocked one by one, then the answer is given.
    fn answers(&self, number: usize, name: &str, tests: &[&str], answer: Value) -> Value {
        let exercise = &self.exercises[number - 1];
        let opening = self.word(number, "opening");
        for part in ["came"].iter().chain(tests) {
            let found = unlock(&self.car, exercise, part, &opening).unwrap();
            assert!(found.parse::<Value>().is_ok(), "{part}: {found}");
        }
        let tests = tests.iter().zip(1..);
        let tests = tests.map(|(key, i)| json!({ "key": key, "seconds": 60 * i }));
        let given = json!({
            "lesson": self.keys["lesson"], "number": number, "trainee": name, "attempts": 1,
            "opened": "2026-05-03T08:00:00.000Z", "tests": tests.collect::<Vec<_>>(),
            "answer": answer, "seconds": 600, "notes": "",
        });
        let given = given.to_string();
        let receipt = seal::receipt(&given).unwrap();
        json!({ "made_by": "falseair classroom", "given": given, "receipt": receipt })
    }
}

/// What a true answer says: the key of the fault, the kind and size of a leak.
fn true_answer(truth: &Value) -> Value {
    let secret = page_engine::lesson::Secret {
        trouble: truth.clone(),
        seed: 1,
    };
    let car = car_json(&root().join(CAR));
    let debrief = page_engine::lesson::Lesson::of(&car, &secret).unwrap();
    let debrief: Value = debrief.debrief().unwrap().parse().unwrap();
    let Some(one) = debrief["truth"].get(0) else {
        return json!({ "keys": [] });
    };
    let leak = truth["leak"].get(0);
    let shapes = leak.and_then(|leak| leak.as_object());
    let kind = shapes.and_then(|keys| keys.keys().find(|key| *key != "place"));
    let number = |text: &Value| {
        let text = text.as_str().unwrap();
        text.split(' ').next().unwrap().parse::<f64>().unwrap()
    };
    let size = leak.zip(kind).map(|(leak, kind)| match kind.as_str() {
        "round_hole" => number(&leak[kind]["diameter"]),
        "split" => number(&leak[kind]["reference_opening"]),
        "ring_gap" => {
            0.5 * (number(&leak[kind]["bore_diameter"]) - number(&leak[kind]["pipe_diameter"]))
        }
        _ => number(&leak[kind]["gap"]),
    });
    let size = size.or(one["size"].as_f64());
    json!({ "keys": [one["key"]], "kind": kind, "size": size })
}

fn made(of: &str) -> (Class, [String; 3]) {
    let files = ["lesson.html", "keys.toml", "slips.html"];
    let file = |name| {
        scratch(&format!("{of}-{name}"))
            .to_str()
            .unwrap()
            .to_string()
    };
    let [out, keys, slips] = files.map(file);
    let asked = [
        "classroom",
        CAR,
        "--out",
        &out,
        "--class",
        "6",
        "--seed",
        "4",
        "--keys",
        &keys,
        "--slips",
        &slips,
    ];
    let done = run(&asked, None);
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    let page = fs::read_to_string(&out).unwrap();
    assert!(page.len() < 3_000_000, "{} bytes", page.len());
    let class = Class {
        car: car_json(&root().join(CAR)),
        keys: fs::read_to_string(&keys).unwrap().parse().unwrap(),
        exercises: locked(&page),
    };
    // The page holds no key and no truth, the slips no debrief key.
    let printed = fs::read_to_string(&slips).unwrap();
    for number in 1..=6 {
        for key in ["opening", "debrief"] {
            assert!(!page.contains(&class.word(number, key)));
        }
        assert!(printed.contains(&class.word(number, "opening")));
        assert!(!printed.contains(&class.word(number, "debrief")));
    }
    (class, [out, keys, slips])
}

#[test]
fn each_of_a_class_has_a_car_and_a_fault_of_its_own_and_keys_of_its_own() {
    let (class, files) = made("own");
    let parts: Vec<String> = (1..=6)
        .map(|number| {
            let truth = class.truth(number);
            let fault = truth["fault"][0].as_object();
            let fault = fault.and_then(|one| one.keys().next().cloned());
            fault.unwrap_or_else(|| truth["leak"][0]["place"].to_string())
        })
        .collect();
    for number in 1..=6 {
        let (exercise, opening) = (&class.exercises[number - 1], class.word(number, "opening"));
        let opened = |car: &str, one: &Locked, part: &str, key: &str| unlock(car, one, part, key);
        assert!(opened(&class.car, exercise, "readings_idle", &opening).is_ok());
        // Neither the neighbour's key, nor the truth by the opening key.
        let neighbour = class.word(number % 6 + 1, "opening");
        assert!(opened(&class.car, exercise, "came", &neighbour).is_err());
        assert!(opened(&class.car, exercise, "truth", &opening).is_err());
        let truth = opened(
            &class.car,
            exercise,
            "truth",
            &class.word(number, "debrief"),
        )
        .unwrap();
        let truth: Value = truth.parse().unwrap();
        assert_eq!(truth["trouble"], class.truth(number));
        // Moved into another lesson, number, test or car, a seal stays shut.
        let lesson = Locked {
            lesson: "another".into(),
            ..exercise.clone()
        };
        let other = Locked {
            number: 7,
            ..exercise.clone()
        };
        let mut swapped = exercise.clone();
        swapped.tests.insert(
            "readings_idle".into(),
            exercise.tests["readings_full_load"].clone(),
        );
        for moved in [lesson, other, swapped] {
            assert!(opened(&class.car, &moved, "readings_idle", &opening).is_err());
        }
        let car = class.car.replace("Brindle", "Another");
        assert_ne!(car, class.car);
        assert!(opened(&car, exercise, "readings_idle", &opening).is_err());
        assert_eq!(
            parts
                .iter()
                .filter(|part| **part == parts[number - 1])
                .count(),
            1,
            "{parts:?}"
        );
    }
    // The same seed gives the same faults, and other keys.
    let before = fs::read_to_string(&files[1]).unwrap();
    let (again, files) = made("own");
    assert!((1..=6).all(|n| again.truth(n) == class.truth(n)));
    assert_ne!(before, fs::read_to_string(&files[1]).unwrap());
}

#[test]
fn a_class_of_six_is_graded_and_who_cheats_is_seen() {
    let (class, [_, keys, _]) = made("six");
    let names = ["Ada", "Ben", "Cleo", "Dan", "Eve", "Finn"];
    let tests = ["readings_idle", "readings_light_cruise", "smoke_intake"];
    let right = |number| true_answer(&class.truth(number));
    let wrong = |number| {
        let key = right(number)["keys"][0].clone();
        let other = ["clogged_filter", "crankcase"]
            .into_iter()
            .find(|one| key != *one);
        json!({ "keys": [other], "size": 3.0 })
    };
    let gave_up = json!({ "keys": [], "gave_up": true });
    let answers = [right(1), right(2), wrong(3), wrong(4), gave_up, wrong(6)];
    let honest: Vec<Value> = (0..6)
        .map(|i| class.answers(i + 1, names[i], &tests, answers[i].clone()))
        .collect();
    // The trainer notes names and receipts as they are shown.
    let mut noted = class.keys.clone();
    for (i, trainee) in noted["trainee"]
        .as_array_mut()
        .unwrap()
        .iter_mut()
        .enumerate()
    {
        let trainee = trainee.as_table_mut().unwrap();
        trainee.insert("name".into(), names[i].into());
        trainee.insert(
            "receipt".into(),
            honest[i]["receipt"].as_str().unwrap().into(),
        );
    }
    fs::write(&keys, noted.to_string()).unwrap();
    let results = |files: &[&Value]| -> Value {
        let mut asked = vec!["classroom".to_string(), "results".into(), keys.clone()];
        for (i, result) in files.iter().enumerate() {
            let file = scratch(&format!("result-{}.json", i + 1));
            fs::write(&file, result.to_string()).unwrap();
            asked.push(file.to_str().unwrap().into());
        }
        asked.extend(["--format".into(), "json".into()]);
        let asked: Vec<&str> = asked.iter().map(String::as_str).collect();
        let done = run(&asked, None);
        assert!(
            done.status.success(),
            "{}",
            String::from_utf8_lossy(&done.stderr)
        );
        serde_json::from_slice(&done.stdout).unwrap()
    };
    let row = |class: &Value, number: u64| -> Value {
        let rows = class["trainees"].as_array().unwrap();
        rows.iter()
            .find(|row| row["number"] == number)
            .unwrap()
            .clone()
    };
    // All honest: two right to the last point that is asked, two wrong, one gave up.
    let all = results(&honest.iter().collect::<Vec<_>>());
    for (number, verdict) in [
        (1, "Right"),
        (2, "Right"),
        (3, "Wrong"),
        (4, "Wrong"),
        (5, "Gave up"),
        (6, "Wrong"),
    ] {
        let row = row(&all, number);
        assert_eq!(row["receipt"], "holds", "{row}");
        assert!(
            row["verdict"].as_str().unwrap().starts_with(verdict),
            "{row}"
        );
        assert_eq!(row["steps"].as_array().unwrap().len(), tests.len(), "{row}");
        match verdict {
            "Right" => assert_eq!(row["points"], 10.0, "{row}"),
            _ => assert_eq!(
                row["points"],
                if number == 5 {
                    0.0
                } else {
                    row["points"].as_f64().unwrap()
                },
                "{row}"
            ),
        }
        assert!(row["minutes"].as_f64().unwrap() >= 30.0);
    }
    assert!(
        all["seen"].as_array().unwrap().is_empty(),
        "{}",
        all["seen"]
    );
    let errors = all["errors"].as_array().unwrap();
    assert!(
        errors
            .iter()
            .any(|one| one["what"].as_str().unwrap().contains("was named")),
        "{errors:?}"
    );
    // The sixth cheats once the truth was told: in the file, by a second answer, with a neighbour's.
    let truth = right(6);
    let mut edited = honest[5].clone();
    let mut given: Value = edited["given"].as_str().unwrap().parse().unwrap();
    given["answer"] = truth.clone();
    edited["given"] = given.to_string().into();
    let second = class.answers(6, "Finn", &tests, truth);
    let neighbours = class.answers(1, "Finn", &tests, right(1));
    let mut copied = honest[0].clone();
    let mut given: Value = copied["given"].as_str().unwrap().parse().unwrap();
    given["trainee"] = "Finn".into();
    given["number"] = 6.into();
    copied["given"] = given.to_string().into();
    let files = [
        &honest[0],
        &honest[1],
        &honest[2],
        &honest[3],
        &honest[4],
        &edited,
        &second,
        &neighbours,
        &copied,
    ];
    let class = results(&files);
    let rows = class["trainees"].as_array().unwrap();
    let told = class["seen"].to_string();
    for (file, seen, of) in [
        (6, "edited", "was changed"),
        (7, "second answer", "another answer"),
        (8, "neighbour's", "a neighbour's"),
        (9, "neighbour's", "a neighbour's"),
    ] {
        let file = format!("result-{file}.json");
        let came = |row: &&Value| {
            row["file"]
                .as_str()
                .is_some_and(|name| name.ends_with(&file))
        };
        let caught = rows.iter().find(came).unwrap();
        assert_eq!(caught["receipt"], seen, "{caught}");
        assert!(
            caught["points"].is_null() && caught["verdict"] == "",
            "{caught}"
        );
        assert!(told.contains(of), "{told}");
    }
    // Nobody else suffers.
    for row in rows.iter().filter(|row| row["receipt"] == "holds") {
        assert!(row["points"].is_number(), "{row}");
    }
    let held = rows.iter().filter(|row| row["receipt"] == "holds");
    assert_eq!(held.count(), 5);
}
