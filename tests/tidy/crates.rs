//! Work of others: every crate that Cargo.lock names stands in the notices, at its version.

use crate::root;
use std::collections::BTreeSet;
use std::fs;

/// Crates of the lock file that come from a registry.
fn locked(text: &str) -> BTreeSet<String> {
    let packages = text.split("[[package]]").skip(1);
    let theirs = packages.filter(|package| package.contains("\nsource = "));
    let value = |package: &str, key: &str| {
        let line = package.lines().find_map(|line| line.strip_prefix(key));
        line.map(|value| value.trim_matches([' ', '=', '"']).to_string())
    };
    theirs
        .filter_map(|package| {
            let (name, version) = (value(package, "name")?, value(package, "version")?);
            Some(format!("{name} {version}"))
        })
        .collect()
}

/// Crates that the notices name: with their licence, or as not in the program.
fn noticed(text: &str) -> BTreeSet<String> {
    let lines = text.lines().filter_map(|line| {
        let held = line.strip_prefix("* ").filter(|line| line.ends_with(')'));
        let named = held.or(line.strip_prefix("- "))?;
        Some(named.split(" (").next().unwrap_or(named).to_string())
    });
    lines.filter(|line| line.split(' ').count() == 2).collect()
}

#[test]
fn the_notices_are_those_of_the_crates_in_use() {
    let read = |file: &str| fs::read_to_string(root().join(file)).unwrap();
    let (locked, noticed) = (
        locked(&read("Cargo.lock")),
        noticed(&read("reports/notices.txt")),
    );
    assert!(locked.len() > 100, "{locked:?}");
    let missing: Vec<_> = locked.difference(&noticed).collect();
    let gone: Vec<_> = noticed.difference(&locked).collect();
    assert!(
        missing.is_empty() && gone.is_empty(),
        "run reports/notices.py and commit reports/notices.txt: not in it {missing:?}, no longer \
         in Cargo.lock {gone:?}"
    );
}

#[test]
fn a_changed_crate_is_seen() {
    let lock = "[[package]]\nname = \"a\"\nversion = \"1.0.0\"\nsource = \"r\"\n\
        [[package]]\nname = \"ours\"\nversion = \"0.1.0\"\n";
    assert_eq!(locked(lock), BTreeSet::from(["a 1.0.0".to_string()]));
    let notices = "* a 1.0.1 (MIT)\n    Copyright 2020 B\n- b 2.0.0\n* of the authors (all)\n";
    let found = ["a 1.0.1".to_string(), "b 2.0.0".to_string()];
    assert_eq!(noticed(notices), BTreeSet::from(found));
}
