//! What a command says of dangers, in each of its forms.

use super::*;
use serde_json::Value;

/// A command's table, JSON and page.
pub(super) struct Said {
    what: String,
    pub(super) table: String,
    pub(super) json: Value,
    page: Option<String>,
}

pub(super) fn asked(what: &str, arguments: &[&str]) -> Said {
    let page = scratch(&format!("{}.html", what.replace(' ', "-")));
    let report = [arguments, &["--full", "--report", page.to_str().unwrap()]].concat();
    let table = falseair(&report);
    assert!(table.status.success(), "{what}: {}", text(&table.stderr));
    let json = falseair(&[arguments, &["--format", "json"]].concat());
    Said {
        what: what.into(),
        table: text(&table.stdout),
        json: serde_json::from_slice(&json.stdout).unwrap(),
        page: std::fs::read_to_string(page).ok(),
    }
}

/// How people are told of a kind.
fn called(kind: &str) -> &str {
    match kind {
        "lean_under_boost" => "lean under boost",
        "overboost" => "too much boost",
        "turbo_over_speed" => "turbo over its speed limit",
        "engine_over_speed" => "engine over its speed limit",
        "exhaust_too_hot" => "exhaust too hot",
        "catalyst_too_hot" => "catalyst too hot",
        "knock" => "heavy knock",
        "raw_fuel_in_exhaust" => "raw fuel in the exhaust",
        "crankcase_pressure" => "crankcase under pressure",
        "brake_servo_without_vacuum" => "brake servo without vacuum",
        kind => panic!("{kind}"),
    }
}

impl Said {
    /// The danger is there, first in every form, and each says the same: people read by name what it is and
    /// not to load the car before anything else, and the worst of its kind whole: there, or where there
    /// are more than two, in a part of their own.
    pub(super) fn names(&self, kind: &str) {
        let what = &self.what;
        let dangers = self.json["dangers"].as_array().unwrap();
        assert!(self.json["cautions"].is_array(), "{what}");
        let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(self.table.starts_with("DANGER"), "{what}:\n{}", self.table);
        let whole = flat(&self.table);
        let words = |danger: &Value| flat(danger["words"].as_str().unwrap());
        let of_kind = dangers.iter().filter(|danger| danger["kind"] == kind);
        let found = of_kind
            .clone()
            .find(|danger| whole.contains(&words(danger)));
        let found = found.unwrap_or_else(|| panic!("{what}: no {kind} of {dangers:#?} in {whole}"));
        let said = words(found);
        let begins = |whole: &str| {
            let whole = whole.to_lowercase();
            assert!(whole.contains(called(kind)), "{what}: {whole}");
            assert!(whole.contains("do not"), "{what}: {whole}");
        };
        begins(&flat(self.table.split("\n\n").next().unwrap()));
        for danger in of_kind {
            let at = danger["condition"].as_str();
            assert!(at.is_none_or(|at| whole.contains(at)), "{what}: {whole}");
        }
        let until = found["until"].as_str().unwrap();
        assert!(
            said.contains(until) && said.contains("Do not"),
            "{what}: {said}"
        );
        if let Some(page) = &self.page {
            let head = &page[page.find("<h1>").unwrap()..page.find("</header>").unwrap()];
            begins(&flat(head));
            let page = flat(&page.replace("&quot;", "\"").replace("&#39;", "'"));
            assert!(page.contains(&said), "{what}: {page}");
        }
    }

    /// No test that is proposed drives the car.
    pub(super) fn sends_nobody(&self) {
        let tests = self.json["next_tests"].as_array().unwrap();
        assert!(!tests.is_empty(), "{}: what to do at all?", self.what);
        for test in tests {
            let risk = test["risk"].as_str().unwrap();
            let calm = !["driven", "full_load"].contains(&risk);
            assert!(calm, "{}: {}", self.what, test["test"]);
        }
        if let Some(wrong) = self.json["confirm"]["proves_wrong"]["test"].as_str() {
            for loads in ["full_load", "cruise", "back_pressure", "cooler_pressures"] {
                assert!(!wrong.contains(loads), "{}: {wrong}", self.what);
            }
        }
        assert_ne!(self.json["verdict"], "no_fault_shown", "{}", self.what);
    }
}
