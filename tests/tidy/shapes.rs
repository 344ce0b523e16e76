//! A new leak shape is one file and one line: outside `sim/src/leak` hardly any code names one.

use crate::{root, rust_files};
use std::fs;
use std::path::{Path, PathBuf};

/// Lines of code that may name a shape.
const MOST: usize = 8;

/// Name in a file and type of every shape, from the registry.
fn shapes() -> Vec<(String, String)> {
    let registry = fs::read_to_string(root().join("sim/src/leak/mod.rs")).unwrap();
    let listed = registry.split("\nshapes! {").nth(1).expect("no registry");
    let lines = listed.lines().filter_map(|line| {
        let (name, kind) = line.trim().strip_suffix(',')?.split_once(": ")?;
        Some((name.to_string(), kind.to_string()))
    });
    lines.collect()
}

/// Whether a line of code names the shape: its type, its name quoted, as a key or as a module.
/// An example in a help text (`slot gap=15 thou`, `leak.0.slot.gap`) is none.
fn names(line: &str, (name, kind): &(String, String)) -> bool {
    let code = line.split("//").next().unwrap_or_default();
    let mut words = code.split(|c: char| !c.is_alphanumeric() && c != '_');
    let key = code.trim().strip_prefix(name.as_str());
    words.any(|word| word == kind)
        || code.contains(&format!("\"{name}\""))
        || code.contains(&format!("leak::{name}"))
        || key.is_some_and(|rest| rest.starts_with(": ["))
}

fn found(folder: &Path, files: Vec<PathBuf>, shapes: &[(String, String)]) -> Vec<String> {
    let mut found = Vec::new();
    for file in files {
        let inside = file.strip_prefix(folder).unwrap().display().to_string();
        let text = fs::read_to_string(&file).unwrap();
        let code = text.split("#[cfg(test)]").next().unwrap_or_default();
        let lines = code.lines().enumerate();
        let naming = lines.filter(|(_, line)| shapes.iter().any(|shape| names(line, shape)));
        found.extend(naming.map(|(i, line)| format!("{inside}:{}: {}", i + 1, line.trim())));
    }
    found
}

#[test]
fn a_shape_is_one_file_and_one_line() {
    let (root, shapes) = (root(), shapes());
    assert!(shapes.len() >= 7, "{shapes:?}");
    let mut files = Vec::new();
    for folder in ["sim/src", "reports/web/src", "reports"] {
        files.extend(rust_files(&root.join(folder)));
    }
    files.retain(|file| !file.starts_with(root.join("sim/src/leak")));
    for script in fs::read_dir(root.join("reports/commands/classroom")).unwrap() {
        let path = script.unwrap().path();
        files.extend(path.extension().is_some_and(|e| e == "js").then_some(path));
    }
    files.sort();
    let found = found(&root, files, &shapes);
    let count = found.len();
    assert!(
        count <= MOST,
        "{count} lines outside sim/src/leak name a shape, at most {MOST} may:\n{}",
        found.join("\n")
    );
    // The demonstration's five sliders, in the page's script: the scan sees what is there.
    assert!(count >= 5, "{found:?}");
}

#[test]
fn a_line_that_names_a_shape_is_found() {
    let ring = ("ring_gap".to_string(), "RingGap".to_string());
    for line in [
        "    Shape::RingGap(ring) => ring.bore_diameter,",
        "use sim::leak::ring_gap;",
        "    \"ring_gap\" => 1,",
        "    ring_gap: [\"clearance\", 0.02],",
    ] {
        assert!(names(line, &ring), "{line}");
    }
    for line in [
        "    'ring_gap pipe_diameter=10 mm, bore_diameter=10.6 mm' \\\\",
        "/// A `RingGap`.",
        "let ring_gaps = RingGaps;",
        "derivatives = [\\\"leak.0.ring_gap.depth\\\"]",
    ] {
        assert!(!names(line, &ring), "{line}");
    }
}
