//! The JSON Schema, as an independent checker (`boon`, draft 2020-12) applies it.

use crate::{read, shipped, walk};
use boon::{Compiler, SchemaIndex, Schemas};
use falseair::commands::schema::{FileKind, json::schema};
use serde_json::{Value, json};
use sim::network::Vehicle;
use sim::params::{Form, Presence};
use sim::scenario::Scenario;
use std::fs::read_to_string;

struct Checker {
    schemas: Schemas,
    index: SchemaIndex,
}

impl Checker {
    fn new(kind: FileKind) -> Self {
        let schema = schema(&kind.form(), kind.title());
        // Against the draft's own meta-schema, too.
        let (mut schemas, mut compiler) = (Schemas::new(), Compiler::new());
        compiler.add_resource("file.json", schema).unwrap();
        let index = compiler.compile("file.json", &mut schemas).unwrap();
        Self { schemas, index }
    }

    fn check(&self, value: &Value) -> Result<(), String> {
        let checked = self.schemas.validate(value, self.index);
        checked.map_err(|e| e.to_string())
    }
}

fn value(toml: &str) -> Value {
    serde_json::to_value(toml::from_str::<toml::Table>(toml).unwrap()).unwrap()
}

#[test]
fn every_shipped_file_conforms() {
    let kinds = [
        (FileKind::Scenario, "scenarios"),
        (FileKind::Vehicle, "scenarios/vehicles"),
        (FileKind::Study, "scenarios/studies"),
    ];
    for (kind, folder) in kinds {
        let checker = Checker::new(kind);
        for path in shipped(folder) {
            let file = value(&read_to_string(&path).unwrap());
            checker
                .check(&file)
                .unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        }
    }
}

/// Each required key removed, each table given an unknown key: the schema and the
/// reader refuse both.
#[test]
fn schema_and_reader_refuse_the_same_vehicles() {
    let checker = Checker::new(FileKind::Vehicle);
    for path in shipped("scenarios/vehicles") {
        let good = value(&read_to_string(path).unwrap());
        let refused = |file: &Value, what: &str| {
            assert!(checker.check(file).is_err(), "schema: {what}");
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
                refused(&file, path);
                tried += 1;
            }
            if matches!(entry.form, Form::Table(_)) && good.pointer(&pointer(path)).is_some() {
                let mut file = good.clone();
                file.pointer_mut(&pointer(path)).unwrap()["no_such_key"] = json!(1);
                refused(&file, path);
            }
        });
        assert!(tried > 50, "{tried}");
    }
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
    let checker = Checker::new(FileKind::Scenario);
    let both = |text: &str| {
        let (schema, reader) = (checker.check(&value(text)), read::<Scenario>(text));
        assert_eq!(
            schema.is_ok(),
            reader.is_ok(),
            "{text}\n{schema:?}\n{reader:?}"
        );
        schema.is_ok()
    };
    assert!(both(SCENARIO));
    let change = |from: &str, to: &str| {
        assert!(SCENARIO.contains(from), "{from}");
        both(&SCENARIO.replacen(from, to, 1))
    };
    assert!(change("0.5", "\"50 %\""));
    assert!(change("[ambient]", "[ambient]\npressure = \"1 bar abs\""));
    assert!(!change("0.5", "1.5"), "above the range of a plain number");
    assert!(!change("\"hot_pipe\"", "\"hot_pip\""), "no such word");
    assert!(!change("idle = true", "idle = \"yes\""), "no flag");
    assert!(!change("\"3 mm\"", "3"), "a length without a unit");
    assert!(
        !change("round_hole = { diameter = \"3 mm\" }", ""),
        "no shape"
    );
    let two = "round_hole = { diameter = \"3 mm\" }\nhose_off = { bore = \"30 mm\" }";
    assert!(
        !change("round_hole = { diameter = \"3 mm\" }", two),
        "two shapes"
    );
    assert!(!change("title = \"t\"", ""), "no title");
}

#[test]
fn a_curve_has_two_to_eight_points_of_two() {
    let checker = Checker::new(FileKind::Vehicle);
    let path = &shipped("scenarios/vehicles")[0];
    let good = value(&read_to_string(path).unwrap());
    for (points, fits) in [(1, false), (2, true), (8, true), (9, false)] {
        let mut file = good.clone();
        let point = |i| json!([format!("{} rpm", 1000 + 500 * i), 0.9]);
        file["filling"] = (0..points).map(point).collect();
        assert_eq!(checker.check(&file).is_ok(), fits, "{points}");
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
        assert!(checker.check(&file).is_err());
    }
}

/// Every default in the schema satisfies the schema at its place.
#[test]
fn defaults_conform_to_their_own_schema() {
    for kind in [FileKind::Scenario, FileKind::Vehicle] {
        let mut todo = vec![schema(&kind.form(), kind.title())];
        let mut tried = 0;
        while let Some(part) = todo.pop() {
            if let Some(default) = part.get("default") {
                let (mut schemas, mut compiler) = (Schemas::new(), Compiler::new());
                compiler.add_resource("part.json", part.clone()).unwrap();
                let index = compiler.compile("part.json", &mut schemas).unwrap();
                schemas
                    .validate(default, index)
                    .unwrap_or_else(|e| panic!("{part:#}\n{e}"));
                tried += 1;
            }
            todo.extend(part.get("items").cloned());
            let inner = part.get("properties").and_then(Value::as_object);
            todo.extend(inner.into_iter().flat_map(|map| map.values().cloned()));
        }
        assert!(tried > 3);
    }
}
