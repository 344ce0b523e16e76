//! The trade's words, one for each thing, in all that people read: help, answers in every form,
//! pages, what schemas say, README. Keys in files keep their spellings.

use crate::forms::{every_run, falseair, words};
use crate::help::every_help;
use crate::outputs::cases::bay;
use crate::root;
use serde_json::Value;
use std::fs;

/// What is not said, and what is said instead; as whole words, in small letters.
const SAID: &[(&str, &str)] = &[
    ("plug's readings", "scan-tool readings"),
    (
        "recirculation valve",
        "compressor bypass (recirculation) valve",
    ),
    ("boost valve", "wastegate solenoid"),
    ("doubt", "uncertainty"),
    ("doubts", "uncertainties"),
    ("sound car", "healthy car"),
    ("sound cars", "healthy cars"),
    ("sound engine", "healthy engine"),
    ("sound one", "healthy one"),
    ("watchdog", "monitor"),
    ("watchdogs", "monitors"),
    ("charge cooler", "charge air cooler"),
    ("ventilation valve", "crankcase ventilation (PCV) valve"),
    ("air-flow meter", "mass air flow sensor"),
    ("air flow meter", "mass air flow sensor"),
    ("past the rings, back", "blow-by returned"),
    ("in past the filter", "unmetered air in"),
    ("fuel per work", "brake specific fuel consumption"),
    ("flow over surge flow", "surge margin"),
    ("bit", "how much a test would settle"),
    ("bits", "how much a test would settle"),
    ("filling", "volumetric efficiency"),
    ("torque a litre", "torque per litre"),
    ("power a litre", "power per litre"),
    ("air a horsepower", "air per horsepower"),
    ("sharp hole", "sharp-edged hole"),
    ("sharp holes", "sharp-edged holes"),
    ("conductance c", "sonic conductance C"),
    ("seal it", "lock it"),
    ("that is it", "give this answer"),
    ("above the sea", "altitude"),
    ("common practice", "workshop rule of thumb"),
    ("no source", "no published source"),
    ("from memory", "typical value"),
];

/// Where the longer, right word holds the wrong one.
const RIGHT: &[&str] = &[
    "crankcase ventilation (pcv) valve",
    "sonic conductance c",
    // First use of either.
    "volumetric efficiency (filling)",
    "instead of filling it",
];

/// Every wrong word of a text, with what stands about it.
fn wrong(text: &str) -> Vec<String> {
    // A line's end parts words as a space does.
    let text = text.to_lowercase();
    let mut small = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for right in RIGHT {
        small = small.replace(right, &"-".repeat(right.len()));
    }
    let mut found = Vec::new();
    for (not, but) in SAID {
        for (at, _) in small.match_indices(not) {
            let before = small[..at].chars().next_back().unwrap_or(' ');
            let after = small[at + not.len()..].chars().next().unwrap_or(' ');
            // Part of a longer word, or a key: `model_doubt`, `MINE.doubt.toml`, "`filling`".
            let key = |c: char| c.is_alphanumeric() || "_.`-/".contains(c);
            let rest = &small[at + not.len()..];
            let dotted = rest
                .strip_prefix('.')
                .is_some_and(|rest| rest.starts_with(char::is_alphanumeric));
            if dotted {
                continue;
            }
            if key(before) || after.is_alphanumeric() || "_`".contains(after) {
                continue;
            }
            // A key in a list of keys, or with its value.
            let list = small[..at].rfind('[') > small[..at].rfind(']');
            if list || rest.starts_with(" = ") {
                continue;
            }
            let from = small[..at].char_indices().rev().nth(40);
            let to = small[at..].char_indices().nth(not.len() + 40);
            let about = &small[from.map_or(0, |c| c.0)..to.map_or(small.len(), |c| at + c.0)];
            found.push(format!("`{not}` (write {but}): {about}"));
            // One of each is enough to find the rest by.
            break;
        }
    }
    found
}

/// What a JSON value says: its texts, without keys.
fn texts(value: &Value, all: &mut Vec<String>) {
    match value {
        Value::String(text) => all.push(text.clone()),
        Value::Array(list) => list.iter().for_each(|value| texts(value, all)),
        Value::Object(map) => map.iter().for_each(|(key, value)| {
            // The name of a key in a schema, and a value that is one, stay.
            if !["required", "enum", "const", "$ref", "key"].contains(&key.as_str()) {
                texts(value, all);
            }
        }),
        _ => {}
    }
}

fn said(form: &str, text: &str) -> String {
    match form {
        "json" => {
            let mut all = Vec::new();
            texts(&serde_json::from_str(text).unwrap(), &mut all);
            all.join("\n")
        }
        // A head of a column is a key.
        "csv" => text.split_once('\n').map_or("", |rows| rows.1).into(),
        _ => text.into(),
    }
}

#[test]
fn every_word_is_the_trades() {
    let mut read: Vec<(String, String)> = every_help();
    for run in every_run() {
        // Licences are others' words; a shell's script is no reading.
        if !["notices", "completions"].contains(&run.name.as_str()) {
            let name = format!("{} --format {}", run.name, run.form);
            read.push((name.clone(), said(&run.form, &run.said)));
            read.extend(run.page.clone().map(|page| (format!("{name}, page"), page)));
        }
    }
    assert!(read.len() > 80, "{}", read.len());
    for what in ["scenario", "vehicle", "readings", "study"] {
        let folder = bay(&format!("words-{what}"));
        let done = falseair(&folder, &words(&format!("schema {what}")));
        let text = String::from_utf8(done.stdout).unwrap();
        read.push((format!("schema {what}"), said("json", &text)));
    }
    let folder = bay("words-pages");
    for asked in [
        "workshop verify scenarios/workshop/verify.toml --record record.html",
        "classroom scenarios/vehicles/brindle-16.toml --out lesson.html",
    ] {
        let done = falseair(&folder, &words(asked));
        let why = String::from_utf8_lossy(&done.stderr);
        assert!(done.status.success(), "{asked}: {why}");
    }
    for page in ["record.html", "lesson.html"] {
        let text = fs::read_to_string(folder.join(page)).unwrap();
        // The engine itself, and the licences of others' work.
        let text = text.split("class=\"notices\"").next().unwrap_or_default();
        read.push((page.into(), text.into()));
    }
    for file in [
        "README.md",
        "scenarios/README.md",
        "reports/manual.md",
        "reports/codes.md",
        "reports/gallery.md",
        "reports/commands/bay/words.json",
    ] {
        read.push((file.into(), fs::read_to_string(root().join(file)).unwrap()));
    }
    let all = read.iter().flat_map(|(name, text)| {
        let found = wrong(text).into_iter();
        found.map(move |found| format!("{name}: {found}"))
    });
    let all: Vec<String> = all.collect();
    assert!(all.is_empty(), "{}", all.join("\n"));
}

#[test]
fn a_wrong_word_is_found_and_a_key_is_none() {
    assert_eq!(wrong("A Sound\ncar, beyond doubt.").len(), 2);
    assert_eq!(wrong("the ventilation valve").len(), 1);
    let keys =
        "the crankcase ventilation (PCV) valve; `doubt`, model_doubt, MINE.doubt.toml, undoubted";
    assert_eq!(wrong(keys), [""; 0]);
}

/// README is read to its end, and what it and the texts beside it lead to is there.
#[test]
fn readme_is_short_and_its_links_lead_somewhere() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    assert!(readme.lines().count() <= 150);
    for file in [
        "README.md",
        "scenarios/README.md",
        "reports/manual.md",
        "reports/gallery.md",
    ] {
        let path = root().join(file);
        let text = fs::read_to_string(&path).unwrap();
        let links = text
            .split("](")
            .skip(1)
            .filter_map(|rest| rest.split(')').next());
        let lost = links.filter(|to| !path.with_file_name(to).exists());
        assert_eq!(lost.collect::<Vec<_>>(), Vec::<&str>::new(), "{file}");
    }
}
