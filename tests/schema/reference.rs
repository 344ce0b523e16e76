//! The reference for reading, and the program that prints it.

use crate::{leaves, walk};
use falseair::commands::schema::{FileKind, json::schema, table::reference};
use sim::network::Vehicle;
use sim::params::Form;
use sim::scenario::Scenario;
use std::process::Command;

fn program(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_falseair"))
        .arg("schema")
        .args(arguments)
        // The last run's files may be there.
        .arg("--force")
        .output()
        .unwrap();
    assert!(output.status.success(), "{output:?}");
    assert!(output.stderr.is_empty(), "{output:?}");
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_reference_has_every_key_in_80_columns() {
    for kind in [FileKind::Scenario, FileKind::Vehicle, FileKind::Study] {
        let text = reference(&kind.form(), kind.title()).to_string();
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{line}");
            assert_eq!(line, line.trim_end());
        }
        let mut section = String::new();
        let starts: Vec<String> = (text.lines())
            .map(|line| {
                if let Some(name) = line.strip_prefix("-- ") {
                    let name = name.trim_end_matches('-').trim();
                    section = name.trim_matches(['[', ']']).to_string();
                    if !name.starts_with('[') {
                        section.clear();
                    }
                }
                let dot = if section.is_empty() { "" } else { "." };
                format!("{section}{dot}{}", line.split("  ").next().unwrap())
            })
            .collect();
        walk("", &kind.form(), &mut |path, entry| {
            let listed = match &entry.form {
                Form::Table(_) => text.contains(&format!("[{path}] -")),
                Form::List(item) if matches!(**item, Form::Table(_)) => {
                    text.contains(&format!("[[{path}]] -"))
                }
                _ => starts.iter().any(|start| start == path),
            };
            assert!(listed, "{path}");
        });
    }
    assert!(leaves::<Vehicle>().len() > 80);
    assert!(leaves::<Scenario>().len() > 30);
}

#[test]
fn the_program_prints_both_forms() {
    let printed: serde_json::Value = serde_json::from_str(&program(&["vehicle"])).unwrap();
    let (form, title) = (FileKind::Vehicle.form(), FileKind::Vehicle.title());
    assert_eq!(printed, schema(&form, title));
    let table = program(&["scenario", "--format", "table"]);
    let (form, title) = (FileKind::Scenario.form(), FileKind::Scenario.title());
    assert_eq!(table, reference(&form, title).to_string());
}

#[test]
fn the_program_writes_a_file() {
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("scenario.schema.json");
    assert_eq!(program(&["scenario", "--out", path.to_str().unwrap()]), "");
    assert_eq!(
        std::fs::read_to_string(path).unwrap(),
        program(&["scenario"])
    );
}
