//! What the JSON Schema must take and refuse, held against the readers here. Each case is also
//! written down for `conform.sh`, where an independent checker applies the schema to it.

use crate::{read, shipped, walk};
use falseair::commands::schema::{FileKind, json::schema};
use serde_json::{Value, json};
use sim::network::Vehicle;
use sim::params::{Form, Presence};
use sim::scenario::Scenario;
use std::fs::{create_dir_all, read_to_string, write};
use std::path::Path;

/// A schema, and what it is to say of each file.
pub struct Cases {
    schema: Value,
    cases: Vec<Value>,
}

impl Cases {
    pub fn of(kind: FileKind) -> Self {
        Self::with(schema(&kind.form(), kind.title()))
    }

    pub fn with(schema: Value) -> Self {
        Self {
            schema,
            cases: Vec::new(),
        }
    }

    pub fn expect(&mut self, file: &Value, fits: bool, what: &str) {
        self.cases
            .push(json!({ "file": file, "fits": fits, "what": what }));
    }

    /// Leaves the cases where `conform.sh` looks for them.
    pub fn write(self, name: &str) {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("conform");
        create_dir_all(&folder).unwrap();
        let all = json!({ "schema": self.schema, "cases": self.cases });
        write(
            folder.join(name).with_extension("json"),
            format!("{all:#}\n"),
        )
        .unwrap();
    }
}

pub fn value(toml: &str) -> Value {
    serde_json::to_value(toml::from_str::<toml::Table>(toml).unwrap()).unwrap()
}

#[test]
fn every_shipped_file_conforms() {
    let kinds = [
        (FileKind::Scenario, "scenarios"),
        (FileKind::Vehicle, "scenarios/vehicles"),
        (FileKind::Readings, "scenarios/readings"),
        (FileKind::Study, "scenarios/studies"),
    ];
    for (kind, folder) in kinds {
        let mut cases = Cases::of(kind);
        let mut files = shipped(folder);
        if kind == FileKind::Readings {
            // Records of healthy cars are readings files, each in a folder of its car.
            let (kept, wrong) =
                falseair::input::twins::folder_of(&crate::root().join("scenarios/twins"))
                    .unwrap_or_else(|e| panic!("{}", e.render(false)));
            assert!(wrong.is_empty() && kept.len() > 1);
            files.extend(kept.into_iter().map(|kept| kept.path));
        }
        for path in files {
            let file = value(&read_to_string(&path).unwrap());
            cases.expect(&file, true, &path.file_name().unwrap().to_string_lossy());
        }
        assert!(cases.cases.len() > 1);
        cases.write(&format!("shipped {folder}").replace(['/', ' '], "-"));
    }
}

/// Each required key removed, each table given an unknown key: the schema and the
/// reader refuse both.
#[test]
fn schema_and_reader_refuse_the_same_vehicles() {
    let mut cases = Cases::of(FileKind::Vehicle);
    for path in shipped("scenarios/vehicles") {
        let good = value(&read_to_string(path).unwrap());
        let mut refused = |file: &Value, what: &str| {
            cases.expect(file, false, what);
            let text = toml::to_string(file).unwrap();
            assert!(read::<Vehicle>(&text).is_err(), "reader: {what}");
        };
        let pointer = |path: &str| format!("/{}", path.replace('.', "/"));
        let mut tried = 0;
        walk("", &FileKind::Vehicle.form(), &mut |path, entry| {
            let (table, name) = path.rsplit_once('.').unwrap_or(("", path));
            let mut file = good.clone();
            let at = if table.is_empty() {
                String::new()
            } else {
                pointer(table)
            };
            let Some(keys) = file.pointer_mut(&at).and_then(Value::as_object_mut) else {
                return;
            };
            if entry.presence == Presence::Required {
                keys.remove(name).unwrap();
                refused(&file, &format!("{path} removed"));
                tried += 1;
            }
            if matches!(entry.form, Form::Table(_)) && good.pointer(&pointer(path)).is_some() {
                let mut file = good.clone();
                file.pointer_mut(&pointer(path)).unwrap()["no_such_key"] = json!(1);
                refused(&file, &format!("an unknown key in {path}"));
            }
        });
        assert!(tried > 50, "{tried}");
    }
    cases.write("vehicles");
}

const SCENARIO: &str = r#"
title = "t"
vehicle = "v.toml"
[ambient]
humidity = 0.5
[[leak]]
place = "hot_pipe"
round_hole = { diameter = "3 mm" }
[[point]]
name = "idle"
idle = true
"#;

#[test]
fn schema_and_reader_agree_on_scenarios() {
    let mut cases = Cases::of(FileKind::Scenario);
    let mut both = |text: &str, what: &str| {
        let fits = read::<Scenario>(text).is_ok();
        cases.expect(&value(text), fits, what);
        fits
    };
    assert!(both(SCENARIO, "as it is"));
    let mut change = |from: &str, to: &str, what: &str| {
        assert!(SCENARIO.contains(from), "{from}");
        both(&SCENARIO.replacen(from, to, 1), what)
    };
    assert!(change("0.5", "\"50 %\"", "per cent"));
    let pressure = "[ambient]\npressure = \"1 bar abs\"";
    assert!(change("[ambient]", pressure, "a pressure"));
    let what = "above the range of a plain number";
    assert!(!change("0.5", "1.5", what), "{what}");
    assert!(!change("\"hot_pipe\"", "\"hot_pip\"", "no such word"));
    assert!(!change("idle = true", "idle = \"yes\"", "no flag"));
    assert!(!change("\"3 mm\"", "3", "a length without a unit"));
    let hole = "round_hole = { diameter = \"3 mm\" }";
    assert!(!change(hole, "", "no shape"));
    let two = "round_hole = { diameter = \"3 mm\" }\nhose_off = { bore = \"30 mm\" }";
    assert!(!change(hole, two, "two shapes"));
    assert!(!change("title = \"t\"", "", "no title"));
    cases.write("scenarios");
}

#[test]
fn a_curve_has_two_to_eight_points_of_two() {
    let mut cases = Cases::of(FileKind::Vehicle);
    let path = &shipped("scenarios/vehicles")[0];
    let good = value(&read_to_string(path).unwrap());
    for (points, fits) in [(1, false), (2, true), (8, true), (9, false)] {
        let mut file = good.clone();
        let point = |i| json!([format!("{} rpm", 1000 + 500 * i), 0.9]);
        file["filling"] = (0..points).map(point).collect();
        cases.expect(&file, fits, &format!("{points} points"));
        let text = toml::to_string(&file).unwrap();
        assert_eq!(read::<Vehicle>(&text).is_ok(), fits, "{points}");
    }
    for point in [
        json!(["1000 rpm"]),
        json!(["1000 rpm", 0.9, 0.9]),
        json!([1000, 0.9]),
    ] {
        let mut file = good.clone();
        file["filling"][0] = point;
        cases.expect(&file, false, "a point of another form");
    }
    cases.write("curves");
}

/// Every default in the schema satisfies the schema at its place.
#[test]
fn defaults_conform_to_their_own_schema() {
    for kind in [FileKind::Scenario, FileKind::Vehicle] {
        let whole = schema(&kind.form(), kind.title());
        let kinds = whole["$defs"].clone();
        let mut todo = vec![whole];
        let mut tried = 0;
        while let Some(part) = todo.pop() {
            if let Some(default) = part.get("default") {
                let mut own = part.clone();
                own["$defs"] = kinds.clone();
                let mut cases = Cases::with(own);
                cases.expect(default, true, "the default");
                cases.write(&format!("default-{kind:?}-{tried}"));
                tried += 1;
            }
            todo.extend(part.get("items").cloned());
            let inner = part.get("properties").and_then(Value::as_object);
            todo.extend(inner.into_iter().flat_map(|map| map.values().cloned()));
        }
        assert!(tried > 3);
    }
}
