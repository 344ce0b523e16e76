//! The plan of the house in DEVELOPERS.md, held against the code: every room stands on a floor,
//! and every arrow goes down.

use crate::paths::{module, uses};
use crate::{HOUSES, root, rust_files};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// A building: the folder of its crate's root, the rooms' folder below it, and its floors, from
/// the top. A room uses itself and rooms on floors below it.
struct Building {
    crate_root: String,
    folder: Vec<String>,
    floors: Vec<Vec<String>>,
}

/// The buildings drawn in DEVELOPERS.md: a line `crate-root [room]` at the margin, then a line a
/// floor, its rooms before the dash.
fn plan() -> Vec<Building> {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let drawn = text.split("<!-- plan: held by tests/tidy -->").nth(1);
    let drawn = drawn.and_then(|rest| rest.split("```").nth(1));
    let mut buildings: Vec<Building> = Vec::new();
    for line in drawn.expect("DEVELOPERS.md has no plan").lines().skip(1) {
        let words = line.split("  - ").next().unwrap_or_default();
        let mut words = words.split_whitespace().map(String::from);
        if line.trim().is_empty() {
            continue;
        }
        if line.starts_with(' ') {
            let floors = &mut buildings
                .last_mut()
                .expect("a floor without a house")
                .floors;
            floors.push(words.collect());
        } else {
            buildings.push(Building {
                crate_root: words.next().unwrap(),
                folder: words.collect(),
                floors: Vec::new(),
            });
        }
    }
    assert!(buildings.len() >= 4, "{} buildings", buildings.len());
    buildings
}

impl Building {
    fn floor(&self, room: &str) -> Option<usize> {
        (self.floors.iter()).position(|rooms| rooms.iter().any(|r| r == room))
    }

    /// The room of a module of this building.
    fn room<'a>(&self, module: &'a [String]) -> Option<&'a str> {
        let rest = module.strip_prefix(&self.folder[..])?;
        rest.first().map(String::as_str)
    }

    fn wrong(&self, crate_root: &Path) -> Vec<String> {
        let mut wrong = Vec::new();
        let mut seen = BTreeSet::new();
        for file in rust_files(crate_root) {
            let inside = file.strip_prefix(crate_root).unwrap();
            let module = module(inside);
            let Some(own) = self.room(&module) else {
                continue;
            };
            seen.insert(own.to_string());
            let Some(floor) = self.floor(own) else {
                wrong.push(format!("`{own}` stands on no floor of the plan"));
                continue;
            };
            for (line, path) in uses(&module, &fs::read_to_string(&file).unwrap()) {
                let used = self.room(&path).filter(|used| *used != own);
                // Names that are no room: items of the folder's own `mod.rs`.
                let Some(other) = used.and_then(|used| self.floor(used)) else {
                    continue;
                };
                if other <= floor {
                    let (at, path) = (inside.display(), path.join("::"));
                    let root = &self.crate_root;
                    wrong.push(format!(
                        "{root}/{at}:{line}: `{own}` does not stand above `{path}`"
                    ));
                }
            }
        }
        let empty = self.floors.iter().flatten().filter(|r| !seen.contains(*r));
        wrong.extend(empty.map(|room| format!("the plan's `{room}` is not in the code")));
        wrong
    }
}

#[test]
fn every_arrow_goes_down() {
    let wrong = plan().into_iter();
    let wrong = wrong.flat_map(|building| building.wrong(&root().join(&building.crate_root)));
    let wrong: Vec<String> = wrong.collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_wrong_arrow_is_found() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("planted");
    fs::create_dir_all(folder.join("upper")).unwrap();
    let building = |floors: [&str; 2]| Building {
        crate_root: "planted".into(),
        folder: Vec::new(),
        floors: floors.map(|room| vec![room.to_string()]).to_vec(),
    };
    fs::write(folder.join("upper/mod.rs"), "use crate::lower::Thing;\n").unwrap();
    fs::write(
        folder.join("lower.rs"),
        "\nuse super::upper::{Other, self};\n",
    )
    .unwrap();
    let wrong = building(["upper", "lower"]).wrong(&folder);
    let all = wrong.join("\n");
    assert!(all.contains("planted/lower.rs:2: `lower` does not stand above `upper::Other`"));
    assert!(!all.contains("upper/mod.rs"), "{all}");
    let wrong = building(["upper", "cellar"]).wrong(&folder).join("\n");
    assert!(wrong.contains("`lower` stands on no floor"), "{wrong}");
    assert!(wrong.contains("`cellar` is not in the code"), "{wrong}");
}

/// Files that lead back to themselves. A folder's `mod.rs` and the files under it are one room:
/// what they use of each other is no circle.
#[test]
fn no_files_run_in_a_circle() {
    for crate_root in HOUSES {
        let folder = root().join(crate_root);
        let files = rust_files(&folder);
        let modules: BTreeSet<Vec<String>> = (files.iter())
            .map(|file| module(file.strip_prefix(&folder).unwrap()))
            .collect();
        let mut arrows: BTreeMap<Vec<String>, BTreeSet<Vec<String>>> = BTreeMap::new();
        for file in &files {
            let own = module(file.strip_prefix(&folder).unwrap());
            for (_, path) in uses(&own, &fs::read_to_string(file).unwrap()) {
                let used = (1..=path.len()).rev().map(|n| path[..n].to_vec());
                let Some(used) = used.into_iter().find(|path| modules.contains(path)) else {
                    continue;
                };
                if !own.starts_with(&used) && !used.starts_with(&own) {
                    arrows.entry(own.clone()).or_default().insert(used);
                }
            }
        }
        // What nothing leads to or from any more is in no circle.
        loop {
            let before: usize = arrows.values().map(BTreeSet::len).sum();
            let sources: BTreeSet<_> = arrows.keys().cloned().collect();
            for used in arrows.values_mut() {
                used.retain(|used| sources.contains(used));
            }
            arrows.retain(|_, used| !used.is_empty());
            if arrows.values().map(BTreeSet::len).sum::<usize>() == before {
                break;
            }
        }
        let names = |paths: &BTreeSet<Vec<String>>| {
            let names: Vec<String> = paths.iter().map(|path| path.join("::")).collect();
            names.join(", ")
        };
        let left: Vec<String> = (arrows.iter())
            .map(|(own, used)| format!("{} -> {}", own.join("::"), names(used)))
            .collect();
        assert!(left.is_empty(), "{crate_root}:\n{}", left.join("\n"));
    }
}
