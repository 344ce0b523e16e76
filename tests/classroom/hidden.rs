//! What is hidden in a lesson: sealed, whole, and on the sheets as it was put in.

use crate::{CAR, car_json, root, run, scratch};
use base64::Engine;
use serde_json::Value;
use std::process::Output;

const HIDDEN: &str = "scenarios/bowed-cover.toml";

/// All the letters a text fixes in base64, wherever it begins among the bytes that are encoded
/// three by three.
fn every_base64(secret: &[u8]) -> [String; 3] {
    [0, 1, 2].map(|shift| {
        let bytes = [&b"   "[..shift], secret].concat();
        let coded = base64::engine::general_purpose::STANDARD_NO_PAD.encode(&bytes);
        // A letter is six bits: the first ones hold bits from before, the last may hold others.
        coded[(shift * 8).div_ceil(6)..bytes.len() * 8 / 6].to_string()
    })
}

#[test]
fn base64_is_found_wherever_it_begins() {
    let found = every_base64(b"15 thou");
    for before in ["", "a", "ab", "abc"] {
        let whole = format!("{before}15 thou and more");
        let coded = base64::engine::general_purpose::STANDARD.encode(whole);
        assert!(coded.contains(&found[before.len() % 3]), "{coded}");
    }
}

#[test]
fn a_sealed_fault_is_not_read_from_the_page() {
    let out = scratch("sealed.html");
    let arguments = [
        "classroom",
        CAR,
        "--hide",
        HIDDEN,
        "--out",
        out.to_str().unwrap(),
    ];
    let done = run(&arguments, Some("open sesame, and shut"));
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    let page = std::fs::read(&out).unwrap();
    assert!(page.len() < 3_000_000);
    let text = String::from_utf8(page.clone()).unwrap();
    // Place and size as the scenario has them; the place's name alone is in the catalogue of
    // every page, so what counts is that it is said nowhere of this car.
    let scenario = std::fs::read_to_string(root().join(HIDDEN)).unwrap();
    let scenario: toml::Table = scenario.parse().unwrap();
    let leak = scenario["leak"][0].as_table().unwrap();
    let json = serde_json::to_string(leak).unwrap();
    let place = format!("\"place\":\"{}\"", leak["place"].as_str().unwrap());
    let gap = leak["bowed_cover"]["gap"].as_str().unwrap().to_string();
    for secret in [json.as_str(), &place, &gap, "open sesame, and shut"] {
        assert!(!text.contains(secret), "{secret} stands in the page");
        let wide: Vec<u8> = secret.encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert!(!page.windows(wide.len()).any(|bytes| bytes == wide));
        for coded in every_base64(secret.as_bytes()) {
            // Fewer letters than these stand somewhere among two million sealed ones by chance.
            assert!(coded.len() >= 8, "{secret} is too short to look for");
            assert!(!text.contains(&coded), "{secret} in base64");
        }
    }
    // Addresses stand in the licences' own words only: nothing is fetched.
    let notices = text.find("<details class=\"notices\">").unwrap();
    let end = notices + text[notices..].find("</details>").unwrap();
    let rest = [&text[..notices], &text[end..]].concat();
    assert!(!rest.contains("http://") && !rest.contains("https://"));
    let (_, words) = text
        .split_once("<script id=\"words\" type=\"application/json\">")
        .unwrap();
    let words: Value = words.split_once("</script>").unwrap().0.parse().unwrap();
    assert!(words["title"].is_string());
    // Nothing to compare two lessons by.
    assert!(
        run(&arguments, Some("open sesame, and shut"))
            .status
            .success()
    );
    assert_ne!(page, std::fs::read(&out).unwrap());
    std::fs::remove_file(out).unwrap();
}

#[test]
fn sheets_are_of_the_same_car() {
    let [out, exercise, answers] = ["lesson", "exercise", "answers"].map(|name| {
        let file = scratch(&format!("{name}.html"));
        file.to_str().unwrap().to_string()
    });
    let arguments = [
        "classroom",
        CAR,
        "--hide",
        "scenarios/manifold-gasket.toml",
        "--seed",
        "3",
        "--exercise",
        &exercise,
        "--answers",
        &answers,
        "--out",
        &out,
    ];
    assert!(run(&arguments, Some("twelve letters")).status.success());
    let read = |name: &str| std::fs::read_to_string(name).unwrap();
    let files = [&out, &exercise, &answers].map(|file| file.clone());
    let (exercise, answers) = (read(&files[1]), read(&files[2]));
    assert!(answers.contains("leak: manifold gasket") && !exercise.contains("manifold gasket"));
    // As it was put in: the shape and its size, not only the hole that it amounts to.
    assert!(answers.contains("manifold gasket, slot, ") && answers.contains("gap "));
    let table = |page: &str| {
        let from = page.find("<tbody>").unwrap();
        page[from..page.find("</tbody>").unwrap()].to_string()
    };
    assert_eq!(table(&exercise), table(&answers));
    assert!(run(&arguments, Some("twelve letters")).status.success());
    assert_eq!(read(&files[1]), exercise);
    for file in files {
        std::fs::remove_file(file).unwrap();
    }
}

#[test]
fn what_cannot_be_hidden_is_said() {
    let out = scratch("never.html");
    let hide = |scenario| {
        [
            "classroom",
            CAR,
            "--hide",
            scenario,
            "--out",
            out.to_str().unwrap(),
        ]
    };
    let told = |done: Output| {
        assert_eq!(done.status.code(), Some(2));
        String::from_utf8(done.stderr).unwrap()
    };
    assert!(told(run(&hide(HIDDEN), Some("1234"))).contains("fewer than 12 letters"));
    let with = |line: &str| {
        let text = std::fs::read_to_string(root().join(HIDDEN)).unwrap();
        let car = root().join(CAR).display().to_string();
        let text = text.replace("vehicles/brindle-16.toml", &car);
        let text = text.replacen("\ntitle", &format!("\n{line}\ntitle"), 1);
        let file = scratch("with.toml");
        std::fs::write(&file, text).unwrap();
        file.to_str().unwrap().to_string()
    };
    // Nothing is dropped without a word, another car's fault is not told of this one.
    let phrase = Some("twelve letters");
    let (fresh, file) = (with("trims = \"fresh\""), scratch("with.toml"));
    let fuel = told(run(&hide(&fresh), phrase));
    assert!(
        fuel.contains("cannot hold `trims`") && fuel.contains("with.toml:"),
        "{fuel}"
    );
    let text = std::fs::read_to_string(with("")).unwrap();
    std::fs::write(&file, text.replace("brindle-16", "tamsel-20")).unwrap();
    let other = told(run(&hide(file.to_str().unwrap()), phrase));
    assert!(
        other.contains("tamsel-20.toml`, and the lesson of"),
        "{other}"
    );
    assert!(told(run(&hide("scenarios/none.toml"), Some("twelve letters"))).contains("none.toml"));
    if cfg!(target_os = "linux") {
        let endless = ["--passphrase-file", "/dev/zero"];
        let endless = [&hide(HIDDEN)[..], &endless].concat();
        assert!(told(run(&endless, None)).contains("the file is larger than 4 MB"));
    }
    assert!(!out.exists());
}

/// A healthy car can be hidden, under a passphrase that the program makes and prints; what the scenario
/// says of the air and of boost control holds in the exercise.
#[test]
fn a_healthy_car_can_be_hidden_in_thin_air() {
    let (file, out) = (scratch("thin.toml"), scratch("thin.html"));
    let car = root().join(CAR);
    let text = format!(
        "title = \"thin\"\nvehicle = \"{}\"\nboost_control = \"spring\"\n[ambient]\ntemperature = \"30 degC\"\n\
         pressure = \"80 kPa abs\"\n[[point]]\nname = \"idle\"\nidle = true\n",
        car.display()
    );
    std::fs::write(&file, text).unwrap();
    let arguments = [
        "classroom",
        car.to_str().unwrap(),
        "--hide",
        file.to_str().unwrap(),
        "--out",
        out.to_str().unwrap(),
        // One draw of the instruments: of thirty, one lay far enough out that a healthy car was in doubt.
        "--seed",
        "7",
    ];
    let done = run(&arguments, None);
    let said = String::from_utf8(done.stdout).unwrap();
    assert!(done.status.success(), "{said}");
    let after = |label: &str| {
        let rest = said.split(label).nth(1).unwrap();
        rest.split_whitespace().next().unwrap().to_string()
    };
    let page = std::fs::read_to_string(&out).unwrap();
    let json = car_json(&car);
    let locked = crate::six::locked(&page).remove(0);
    let unlocked = |part, key: &str| page_engine::locked::unlock(&json, &locked, part, key);
    let (opening, phrase) = (after("opening key  "), after("passphrase  "));
    // Each key opens what is its own, and nothing else.
    assert!(unlocked("came", &phrase).is_err() && unlocked("truth", &opening).is_err());
    let secret = serde_json::from_str(&unlocked("truth", &phrase).unwrap()).unwrap();
    let mut lesson = page_engine::lesson::Lesson::of(&json, &secret).unwrap();
    assert_eq!(unlocked("came", &opening).unwrap(), lesson.arrival());
    let came: Value = lesson.arrival().parse().unwrap();
    assert!((came["celsius"].as_f64().unwrap() - 30.0).abs() < 1e-9);
    assert!((came["kpa"].as_f64().unwrap() - 80.0).abs() < 1e-9);
    assert_eq!(came["boost_control"], "spring");
    for drive in [
        "readings_idle",
        "readings_light_cruise",
        "readings_full_load",
    ] {
        lesson.act(drive).unwrap();
    }
    let debrief: Value = lesson.debrief().unwrap().parse().unwrap();
    assert!(debrief["truth"].as_array().unwrap().is_empty());
    let healthy = &debrief["stages"][3]["probability_of_the_truth"];
    assert!(healthy.as_f64().unwrap() > 0.5, "{healthy}");
    for file in [file, out] {
        std::fs::remove_file(file).unwrap();
    }
}
