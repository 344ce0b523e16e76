//! The bay's page: what it asks is the command's own answer, nothing leaves the device, every
//! sentence is there in every language. The browser's part is `tests/pages/look.sh`.

use falseair::ask::ask;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;
use std::sync::{Mutex, PoisonError};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap()
}

/// What the command prints.
fn printed(arguments: &[&str]) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_falseair"));
    let done = command.args(arguments).current_dir(root()).output();
    String::from_utf8(done.unwrap().stdout).unwrap()
}

/// One question after the other: there is one shelf.
static SHELF: Mutex<()> = Mutex::new(());

fn asked(question: Value, files: &[(&str, String)]) -> Value {
    asked_in_steps(question, files, &mut |_| {})
}

fn asked_in_steps(question: Value, files: &[(&str, String)], first: &mut dyn FnMut(&str)) -> Value {
    let _alone = SHELF.lock().unwrap_or_else(PoisonError::into_inner);
    let files: BTreeMap<&str, &String> = files.iter().map(|(name, text)| (*name, text)).collect();
    let reply = ask(&question.to_string(), &json!(files).to_string(), first);
    serde_json::from_str(&reply).unwrap()
}

/// An answer's text but for the files that it was made from, and those: their names differ.
fn parted(text: &str) -> (String, Vec<Value>) {
    let whole: Value = serde_json::from_str(text).unwrap();
    let made_from = whole["made_from"].as_array().unwrap().clone();
    let (before, rest) = text.split_once("  \"made_from\": [").unwrap();
    let (_, after) = rest.split_once("],\n").unwrap();
    (before.to_string() + after, made_from)
}

const CAR: &str = "scenarios/vehicles/brindle-16.toml";

/// All files of one test: questions are put one after the other, for there is one shelf.
#[test]
fn a_page_is_told_what_the_command_prints() {
    let car = read(CAR);
    let with = |path: &str| read(path).replace("../vehicles/brindle-16.toml", "car.toml");
    let job = "scenarios/readings/boost-leak.toml";
    let files = [("job.toml", with(job)), ("car.toml", car.clone())];
    let told = asked(json!({ "ask": "diagnose", "readings": "job.toml" }), &files);
    let (answer, made_from) = parted(told["answer"].as_str().unwrap());
    let (command, of_files) = parted(&printed(&["diagnose", job, "--format", "json"]));
    assert_eq!(answer, command);
    // The car is the same to the byte; the job names it otherwise.
    assert_eq!(made_from.len(), 2);
    let same = |all: &Value| of_files.iter().any(|f| f["sha256"] == all["sha256"]);
    assert_eq!(made_from.iter().filter(|f| same(f)).count(), 1);

    for question in [
        "decay",
        "flow",
        "gap",
        "seal",
        "payback",
        "verify",
        "known-hole",
    ] {
        let path = format!("scenarios/workshop/{question}.toml");
        let files = [("part.toml", with(&path)), ("car.toml", car.clone())];
        let what = json!({ "ask": "workshop", "question": question, "file": "part.toml" });
        let command = printed(&["workshop", question, &path, "--format", "json"]);
        let told = asked(what, &files);
        let (answer, _) = parted(told["answer"].as_str().unwrap());
        assert_eq!(answer, parted(&command).0, "{question}");
    }

    let log = "tests/logs/files/plain.csv";
    let told = asked(json!({ "ask": "log", "log": log }), &[(log, read(log))]);
    let command = printed(&["log", log, "--format", "json"]);
    assert_eq!(told["answer"].as_str(), Some(command.as_str()));

    let numbers = "displacement = \"1.6 L\"\ncylinders = 4\nrated_power = \"132 kW\"\n\
                   rated_speed = \"5500 rpm\"\npeak_torque = \"250 N m\"\n\
                   peak_torque_speed = \"2000 rpm\"\n";
    let what = json!({ "ask": "new_car", "numbers": "ten.toml", "car": "car.toml" });
    let told = asked(what, &[("ten.toml", numbers.into())]);
    let folder = std::env::temp_dir().join(format!("falseair-bay-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("ten.toml"), numbers).unwrap();
    let ten = folder.join("ten.toml");
    let command = printed(&["vehicle", "new", ten.to_str().unwrap()]);
    assert_eq!(told["files"]["car.toml"].as_str(), Some(command.as_str()));

    // What is wrong in a text is told with its file, key and line.
    let spoilt = with(job).replace("101.8 g/s", "101.8 l/s");
    let files = [("job.toml", spoilt), ("car.toml", car)];
    let told = asked(json!({ "ask": "diagnose", "readings": "job.toml" }), &files);
    let wrong = &told["wrong"];
    assert_eq!(wrong["file"], "job.toml");
    let key = wrong["key"].as_str().unwrap_or_default();
    assert!(key.ends_with("metered_air"), "{wrong}");
    assert!(wrong["line"].as_u64() > Some(10), "{wrong}");
    let told = asked(json!({ "ask": "log", "log": "none.csv" }), &[]);
    let message = told["wrong"]["message"].as_str().unwrap_or_default();
    assert!(message.contains("no such file"), "{message}");
    let told = asked(json!({ "ask": "nothing" }), &[]);
    assert!(told["wrong"]["message"].is_string());
}

fn scripts() -> Vec<(String, String)> {
    let folder = root().join("reports/commands/bay");
    let files = std::fs::read_dir(folder).unwrap();
    let files = files.map(|entry| entry.unwrap().path());
    let scripts = files.filter(|path| path.extension().is_some_and(|kind| kind == "js"));
    let named = |path: std::path::PathBuf| {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        (name, std::fs::read_to_string(path).unwrap())
    };
    let scripts: Vec<_> = scripts.map(named).collect();
    assert!(scripts.len() > 12);
    scripts
}

fn catalogue(name: &str) -> BTreeMap<String, String> {
    let text = read(&format!("reports/commands/bay/{name}"));
    serde_json::from_str(&text).unwrap()
}

#[test]
fn every_sentence_is_there_in_every_language() {
    let english = catalogue("words.json");
    let german = catalogue("words-de.json");
    let keys =
        |texts: &BTreeMap<String, String>| -> BTreeSet<String> { texts.keys().cloned().collect() };
    let (en, de) = (keys(&english), keys(&german));
    let missing: Vec<_> = en.symmetric_difference(&de).collect();
    assert!(missing.is_empty(), "not in both languages: {missing:?}");
    for (key, text) in &english {
        let gaps = |text: &str| text.matches("{}").count();
        assert_eq!(gaps(text), gaps(&german[key]), "gaps of `{key}`");
    }
    let mut unknown = Vec::new();
    for (name, text) in scripts() {
        assert!(text.lines().count() <= 400, "{name} is too long");
        for call in text.split("say(\"").skip(1) {
            let key = call.split('"').next().unwrap_or_default();
            if !english.contains_key(key) {
                unknown.push(format!("{name}: {key}"));
            }
        }
    }
    assert!(
        unknown.is_empty(),
        "sentences that nobody wrote: {unknown:?}"
    );
    // Every place, check and danger has a name of the page's own.
    let told: Value = asked(json!({ "ask": "words" }), &[]);
    let told: Value = serde_json::from_str(told["answer"].as_str().unwrap()).unwrap();
    for (list, key, group) in [("places", "place", "place"), ("checks", "check", "test")] {
        for one in told[list].as_array().unwrap() {
            let word = format!("{group} {}", one[key].as_str().unwrap());
            assert!(english.contains_key(&word), "no word for `{word}`");
        }
    }
}

#[test]
fn nothing_leaves_the_page() {
    let out = std::env::temp_dir().join(format!("falseair-bay-{}.html", std::process::id()));
    let _ = std::fs::remove_file(&out);
    printed(&["bay", "--out", out.to_str().unwrap()]);
    let page = std::fs::read_to_string(&out).unwrap();
    assert!(page.len() < 3_000_000, "the page has {} bytes", page.len());
    let policy = page.split("Content-Security-Policy\" content=\"").nth(1);
    let policy = policy.and_then(|rest| rest.split('"').next()).unwrap();
    for told in [
        "default-src 'none'",
        "connect-src 'none'",
        "form-action 'none'",
    ] {
        assert!(policy.contains(told), "{policy}");
    }
    let scripts = policy.split(';').find(|part| part.contains("script-src"));
    assert!(!scripts.unwrap().contains("unsafe-inline"), "{policy}");
    for (name, text) in self::scripts() {
        for call in [
            "fetch(",
            "XMLHttpRequest",
            "WebSocket",
            "sendBeacon",
            "EventSource",
            "eval(",
        ] {
            assert!(!text.contains(call), "{name} has {call}");
        }
    }
    // The page that people open without the program is this one.
    let committed = read("reports/bay.html");
    assert!(
        committed == page,
        "reports/bay.html is stale: run `falseair bay --out reports/bay.html --force`"
    );
}

/// What the instruments of the faulty car log of a drive.
fn drive_log() -> String {
    let scenario = "scenarios/drive-log.toml";
    let both = printed(&["simulate", scenario, "--time", "--format", "csv"]);
    let mut lines = both.lines();
    let head = lines.next().unwrap();
    let side = head.split(',').position(|key| key == "side").unwrap();
    let without = |line: &str| {
        let cells = line.split(',').enumerate();
        let cells: Vec<&str> = cells.filter(|(i, _)| *i != side).map(|(_, c)| c).collect();
        cells.join(",")
    };
    let faulty = lines.filter(|line| line.split(',').nth(side) == Some("faulty"));
    let rows: Vec<String> = [head].into_iter().chain(faulty).map(without).collect();
    rows.join("\n")
}

/// Of a log a first look is told from a few stretches; a danger stands there at once, wherever in the drive it
/// was, and what is told last is the command's own.
#[test]
fn a_first_look_at_a_log_holds_its_dangers() {
    let job = "vehicle = \"car.toml\"\n[log]\nfile = \"drive.csv\"\n";
    let files = [
        ("job.toml", job.into()),
        ("car.toml", read(CAR)),
        ("drive.csv", drive_log()),
    ];
    let mut told: Vec<(Value, Value)> = Vec::new();
    let question = json!({ "ask": "diagnose", "readings": "job.toml" });
    let whole = asked_in_steps(question, &files, &mut |step| {
        let step: Value = serde_json::from_str(step).unwrap();
        if let Some(answer) = step["answer"].as_str() {
            told.push((step["look"].clone(), serde_json::from_str(answer).unwrap()));
        }
    });
    let whole: Value = serde_json::from_str(whole["answer"].as_str().unwrap()).unwrap();
    let [(of, look), (all, first)] = &told[..] else {
        panic!("{} answers were told", told.len());
    };
    let judged = |answer: &Value| answer["judged"].as_array().unwrap().len();
    assert_eq!(*of, json!([judged(look), judged(&whole)]));
    assert!(2 * judged(look) <= judged(&whole), "{of}");
    assert_eq!(*all, Value::Null);
    assert_eq!(judged(first), judged(&whole));
    // The worst of the drive was passed in a pull that the first look does not judge by.
    let dangers = look["dangers"].as_array().unwrap();
    assert!(!dangers.is_empty());
    assert_eq!(look["dangers"], whole["dangers"]);
    let at = &dangers[0]["condition"];
    let mut stretches = look["judged"].as_array().unwrap().iter();
    assert!(stretches.all(|one| one["condition"] != *at), "{at}");
    // And it leads where the whole leads: what that finds likeliest is among what this cannot tell apart.
    let best = &whole["hypotheses"][0]["name"];
    let named = look["inseparable"][0].as_array().unwrap();
    assert!(named.contains(best), "{best}: {named:?}");
}
