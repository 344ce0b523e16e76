//! The house rules that a machine can see: the plan of the house (`plan.rs`), every leak
//! shape registered, every cited source in the list, no file too long.

mod crates;
mod face;
mod paths;
mod plan;
mod shapes;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Folders of the crates.
const HOUSES: [&str; 6] = [
    "sim/src",
    "reports",
    "reports/kit",
    "reports/input",
    "reports/web/src",
    "reports/web/door/src",
];

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut todo = vec![folder.to_path_buf()];
    while let Some(folder) = todo.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            // A crate within a crate's folder is a house of its own.
            if path.is_dir() && !path.join("Cargo.toml").exists() {
                todo.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

#[test]
fn the_physics_knows_no_files_terminal_or_clock() {
    for file in rust_files(&root().join("sim/src")) {
        let text = fs::read_to_string(&file).unwrap();
        for word in [
            "std::fs",
            "std::io",
            "std::time",
            "println!",
            "std::env",
            "std::process",
        ] {
            assert!(!text.contains(word), "{} uses {word}", file.display());
        }
    }
}

/// Inputs are opened and results written in one place each, where they are held against one
/// another; a sweep keeps a folder of its own, which it checks itself, and writes through the
/// same door.
#[test]
fn files_are_read_and_written_in_one_place() {
    let reports = root().join("reports");
    let (reader, writer) = ("input/file.rs", "answer/door.rs");
    let opening = [
        "File::open",
        "fs::read(",
        "fs::read_to_string",
        "OpenOptions",
    ];
    let writing = [
        "File::create",
        "fs::write",
        "fs::rename",
        "fs::copy",
        "fs::remove",
        "create_dir",
        "create_new",
    ];
    let houses = HOUSES.iter().map(|house| root().join(house));
    for file in houses.flat_map(|house| rust_files(&house)) {
        let Ok(inside) = file.strip_prefix(&reports) else {
            continue;
        };
        let inside = inside.to_string_lossy();
        let text = fs::read_to_string(&file).unwrap();
        let used = |words: &[&str]| words.iter().any(|word| text.contains(word));
        let door = inside == writer;
        assert!(door || !used(&writing), "{inside} writes a file of its own");
        let sweep = inside.starts_with("commands/sweep/");
        let beside = sweep || door || inside == "answer/write.rs";
        assert!(
            beside || !used(&["write_beside("]),
            "{inside} writes past the others"
        );
        let own = sweep || door || inside == reader;
        assert!(own || !used(&opening), "{inside} reads a file of its own");
    }
}

#[test]
fn every_leak_shape_is_registered() {
    let folder = root().join("sim/src/leak");
    let registry = fs::read_to_string(folder.join("mod.rs")).unwrap();
    for file in rust_files(&folder) {
        let name = file.file_stem().unwrap().to_string_lossy().into_owned();
        if !["mod", "measured", "read", "report"].contains(&name.as_str()) {
            assert!(
                registry.contains(&format!("{name}: ")),
                "shape `{name}` is not in the registry"
            );
        }
    }
}

#[test]
fn every_cited_source_is_listed() {
    let bib = fs::read_to_string(root().join("sim/references.bib")).unwrap();
    let keys: BTreeSet<&str> = bib
        .lines()
        .filter_map(|line| line.trim().strip_prefix('@'))
        .filter_map(|line| line.split_once('{'))
        .filter_map(|(_, rest)| rest.split(',').next())
        .collect();
    let mut missing = BTreeSet::new();
    for file in rust_files(&root().join("sim/src")) {
        for line in fs::read_to_string(&file)
            .unwrap()
            .lines()
            .filter(|l| l.contains("//"))
        {
            // A key is a word of letters that ends in a four-digit year.
            for word in line.split(|c: char| !(c.is_ascii_alphanumeric() || c == '_')) {
                let name = word.trim_end_matches(|c: char| c.is_ascii_digit());
                let year = &word[name.len()..];
                let looks = name.len() >= 4
                    && name.chars().all(|c| c.is_ascii_lowercase())
                    && year.len() == 4
                    && (year.starts_with("19") || year.starts_with("20"));
                if looks && !keys.contains(word) {
                    missing.insert(format!(
                        "{word} in {}",
                        file.file_name().unwrap().to_string_lossy()
                    ));
                }
            }
        }
    }
    assert!(missing.is_empty(), "not in references.bib: {missing:?}");
}

/// Text that was said is not asked what it says: what was found is a type. A literal of letters
/// in one of these calls is such a question; marks of a format (`"-- "`, `"."`) are none.
fn questions(code: &str) -> Vec<usize> {
    let code = code.split("#[cfg(test)]").next().unwrap_or_default();
    let asks = |line: &str| {
        ["starts_with(\"", "ends_with(\"", "contains(\""]
            .iter()
            .any(|call| {
                line.split(call).skip(1).any(|rest| {
                    let said = rest.split('"').next().unwrap_or_default();
                    let said = said.replace("\\n", "");
                    said.as_bytes()
                        .windows(2)
                        .any(|two| two.iter().all(u8::is_ascii_alphabetic))
                })
            })
    };
    let lines = code.lines().enumerate();
    let found = lines.filter(|(_, line)| asks(line.split("//").next().unwrap_or_default()));
    found.map(|(i, _)| i + 1).collect()
}

#[test]
fn nothing_decides_by_what_was_said() {
    let mut wrong = Vec::new();
    for folder in [
        "sim/src/study",
        "reports/commands",
        "reports/answer",
        "reports/kit/text",
        "reports/say",
    ] {
        for file in rust_files(&root().join(folder)) {
            let lines = questions(&fs::read_to_string(&file).unwrap());
            wrong.extend(
                lines
                    .iter()
                    .map(|line| format!("{}:{line}", file.display())),
            );
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let planted = "if name.starts_with(\"full\") {}\nif said.contains(\"-- \") {}\n";
    assert_eq!(questions(planted), [1]);
}

/// Crates outside the workspace's lints, which forbid `unsafe`: an allocator that counts and a
/// solver in C; libFuzzer's entry.
const UNCHECKED: [&str; 2] = ["benches/outside", "tests/fuzz/long"];

#[test]
fn unsafe_is_forbidden_but_where_it_is_named() {
    let workspace = fs::read_to_string(root().join("Cargo.toml")).unwrap();
    assert!(workspace.contains("unsafe_code = \"forbid\""));
    let crates = [
        "",
        "sim",
        "reports/kit",
        "reports/input",
        "reports/web",
        "reports/web/door",
    ];
    for member in crates {
        let text = fs::read_to_string(root().join(member).join("Cargo.toml")).unwrap();
        assert!(text.contains("[lints]\nworkspace = true"), "{member}");
        let quoted = format!("\"{member}\"");
        assert!(member.is_empty() || workspace.contains(&quoted), "{member}");
    }
    let members = workspace.lines().find(|line| line.starts_with("members"));
    let members = members.map_or(0, |line| line.matches('"').count() / 2);
    assert_eq!(members + 1, crates.len(), "a member is not looked at here");
    let excluded = format!("exclude = {UNCHECKED:?}");
    assert!(workspace.contains(&excluded), "{excluded}");
}

#[test]
fn no_file_is_longer_than_a_room_should_be() {
    for folder in HOUSES.into_iter().chain(["tests", "benches"]) {
        for file in rust_files(&root().join(folder)) {
            let lines = fs::read_to_string(&file).unwrap().lines().count();
            assert!(lines <= 420, "{} has {lines} lines", file.display());
        }
    }
}
