//! Colour: what is dangerous stands out, and the words are the same without it.

use super::words;
use crate::root;
use std::process::Command;

/// What the program prints, with colour forced or not.
fn shown(arguments: &[String], forced: &str) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_falseair"));
    command.args(arguments).current_dir(root());
    command.env("CLICOLOR_FORCE", forced).env_remove("NO_COLOR");
    String::from_utf8(command.output().unwrap().stdout).unwrap()
}

/// Without the signs that set and end a colour (ECMA-48: escape, `[`, digits, `m`).
fn bare(text: &str) -> String {
    let mut parts = text.split('\x1b');
    let mut all = parts.next().unwrap_or_default().to_string();
    for part in parts {
        let (sign, rest) = part.split_once('m').expect("a sign has an end");
        let digits = sign.strip_prefix('[').expect("a sign begins so");
        assert!(
            digits.chars().all(|c| c.is_ascii_digit() || c == ';'),
            "{sign:?}"
        );
        all += rest;
    }
    all
}

#[test]
fn dangers_and_cautions_are_coloured_and_nothing_else_changes() {
    let danger =
        "workshop flow --vehicle scenarios/vehicles/brindle-16.toml --place cold_pipe --flow";
    let danger = [
        words(danger),
        vec!["1 g/s".into(), "--pressure".into(), "1.3 bar gauge".into()],
    ]
    .concat();
    let caution = words("simulate scenarios/stuck-wastegate.toml");
    let table = words("schema vehicle --format table");
    for (question, label, sign) in [
        (danger, "DANGER  ", "\x1b[1;31m"),
        (caution, "CAUTION  ", "\x1b[33m"),
        (table, "-- ", "\x1b[1m"),
    ] {
        let (plain, coloured) = (shown(&question, "0"), shown(&question, "1"));
        assert!(!plain.contains('\x1b') && plain.contains(label), "{plain}");
        assert_eq!(bare(&coloured), plain);
        let lines = coloured
            .lines()
            .filter(|line| bare(line).starts_with(label));
        for line in lines {
            assert!(
                line.starts_with(sign) && line.ends_with("\x1b[0m"),
                "{line:?}"
            );
        }
    }
    // Programs get no colour, whatever is forced.
    let json = words("workshop gap scenarios/workshop/gap.toml --format json");
    assert_eq!(shown(&json, "1"), shown(&json, "0"));
}
