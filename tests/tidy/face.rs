//! What a user of the library meets first shows what it does: every item that `sim` hands out at
//! its root has an example, which `cargo test` runs.

use crate::{root, rust_files};
use std::fs;

/// What `pub use` of the root of `sim` names, aside from types that only stand in signatures
/// (`no_inline`): the folder or file that it is declared in, and its name.
fn face() -> Vec<(Vec<String>, String)> {
    let text = fs::read_to_string(root().join("sim/src/lib.rs")).unwrap();
    let code: Vec<&str> = text.lines().map(str::trim).collect();
    let mut found = Vec::new();
    for (i, line) in code.iter().enumerate() {
        let Some(path) = line.strip_prefix("pub use ") else {
            continue;
        };
        if code[i - 1].contains("no_inline") {
            continue;
        }
        let path = path.trim_end_matches(';').trim_start_matches("crate::");
        let (module, names) = path.rsplit_once("::").expect("an item of a module");
        let (module, names) = match path.split_once("::{") {
            Some((module, names)) => (module, names.trim_end_matches('}')),
            None => (module, names),
        };
        let module: Vec<String> = module.split("::").map(String::from).collect();
        let names = names.split(',').map(|name| name.trim().to_string());
        found.extend(names.map(|name| (module.clone(), name)));
    }
    found
}

/// Whether a file declares `name`, and below an example.
fn declared(text: &str, name: &str) -> Option<bool> {
    let mut example = false;
    for line in text.lines().map(str::trim) {
        let words: Vec<&str> = line
            .split(|c: char| !c.is_alphanumeric() && c != '_')
            .collect();
        if let ["pub", "struct" | "enum" | "fn" | "trait", found, ..] = words[..]
            && found == name
        {
            return Some(example);
        }
        let goes_on = line.starts_with("///") || line.starts_with("#[");
        example = goes_on && (example || line == "/// # Examples");
    }
    None
}

#[test]
fn what_is_met_first_has_an_example() {
    let face = face();
    assert!(face.len() >= 40, "{face:?}");
    let files = rust_files(&root().join("sim/src"));
    let mut without = Vec::new();
    for (module, name) in face {
        let place = root().join("sim/src").join(module.join("/"));
        let inside = files
            .iter()
            .filter(|file| file.starts_with(&place) || **file == place.with_extension("rs"));
        let found: Vec<bool> = inside
            .filter_map(|file| declared(&fs::read_to_string(file).unwrap(), &name))
            .collect();
        assert!(!found.is_empty(), "{name} is not found in {place:?}");
        if !found.contains(&true) {
            without.push(name);
        }
    }
    assert!(without.is_empty(), "no `# Examples` on {without:?}");
}

#[test]
fn a_missing_example_is_found() {
    let shown =
        "/// What.\n///\n/// # Examples\n/// ```\n/// ```\n#[derive(Clone)]\npub struct A<P> {";
    assert_eq!(declared(shown, "A"), Some(true));
    let other = format!("{shown}\n}}\n/// None.\npub fn b() {{}}");
    assert_eq!(declared(&other, "b"), Some(false));
    assert_eq!(declared(&other, "c"), None);
}
