//! Names that are no names: what a file holds must not command a terminal, a page or a
//! spreadsheet, nor keep anyone waiting.

use super::{changed, falseair, scratch, text};
use std::process::{Command, Stdio};
use std::time::Instant;

/// A title that would turn the line, clear the screen and ring.
const TURNS: &str = "title = \"sound\\u202E\\u2066\\u001B[2J\\u0007car\"";

fn obeyed(text: &str) -> Option<char> {
    let turns =
        |c: char| ('\u{202a}'..='\u{202e}').contains(&c) || ('\u{2066}'..='\u{2069}').contains(&c);
    text.chars()
        .find(|c| (c.is_control() && *c != '\n') || turns(*c))
}

#[test]
fn a_title_turns_no_terminal_and_no_page() {
    let path = changed("turns", "split-hose", "title = ", &format!("{TURNS}\n# "));
    let path = path.to_str().unwrap();
    let page = scratch("turns").join("page.html");
    let folder = page.parent().unwrap().join("pictures");
    for format in ["table", "json"] {
        let out = falseair(&[
            "simulate",
            path,
            "--format",
            format,
            "--report",
            page.to_str().unwrap(),
            "--svg",
            folder.to_str().unwrap(),
        ]);
        let said = text(&out.stdout);
        assert!(out.status.success() && said.contains("sound"), "{out:?}");
        assert_eq!(obeyed(&said), None, "{format}");
    }
    let html = std::fs::read_to_string(&page)
        .unwrap()
        .replace(['\r', '\t'], "");
    assert_eq!(obeyed(&html), None);
    // The same text to programs.
    let json = text(&falseair(&["simulate", path, "--format", "json"]).stdout);
    let read: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(read["scenario"], "sound\u{202e}\u{2066}\u{1b}[2J\u{7}car");
}

#[test]
fn a_fault_shows_what_it_found_and_obeys_nothing() {
    let path = changed(
        "fault",
        "split-hose",
        "[[leak]]",
        "\"\\u001B[2Jle\\u202Eak\" = 1\n[[leak]]",
    );
    let said = text(&falseair(&["simulate", path.to_str().unwrap()]).stderr);
    assert!(said.contains("unknown key"), "{said}");
    assert_eq!(obeyed(&said), None, "{said:?}");
}

/// A formula in a cell runs when the file is opened: `owasp` "CSV injection", from memory.
#[test]
fn no_cell_is_a_formula() {
    let named = |name: &str| {
        let path = changed(
            "formula",
            "healthy",
            "name = \"idle\"",
            &format!("name = \"{name}\""),
        );
        text(&falseair(&["simulate", path.to_str().unwrap(), "--format", "csv"]).stdout)
    };
    for name in ["=2+5", "+cmd", "-idle", "@sum"] {
        let csv = named(name);
        let row = csv.lines().nth(1).unwrap();
        assert!(row.starts_with(&format!("'{name},")), "{row}");
    }
    // A number is one, whatever sign it has.
    assert!(named("-3.5").lines().nth(1).unwrap().starts_with("-3.5,"));
}

#[cfg(target_os = "linux")]
#[test]
fn where_nobody_can_be_told_the_code_still_says_it() {
    let full = || {
        Stdio::from(
            std::fs::OpenOptions::new()
                .write(true)
                .open("/dev/full")
                .unwrap(),
        )
    };
    let run = |arguments: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_falseair"));
        command.args(arguments).stderr(full()).stdout(Stdio::null());
        command.status().unwrap().code()
    };
    assert_eq!(run(&["simulate", "no-such-file.toml"]), Some(2));
    assert_eq!(run(&["no-such-command"]), Some(2));
    for answer in [
        &["schema", "scenario"][..],
        &["--help"],
        &["simulate", "--help"],
        &["--version"],
    ] {
        let mut command = Command::new(env!("CARGO_BIN_EXE_falseair"));
        let out = command.args(answer).stdout(full()).output().unwrap();
        assert_eq!(out.status.code(), Some(2), "{answer:?}");
        assert!(
            text(&out.stderr).contains("cannot write the result"),
            "{out:?}"
        );
    }
}

/// Ten times the letters may take ten times as long, with room for a busy machine; once it was
/// a hundred times.
#[test]
fn the_work_of_a_page_grows_with_the_length_of_a_name() {
    let drawn = |letters: usize, word: &str| {
        let name = format!("name = \"{}\"", word.repeat(letters / word.len()));
        let path = changed("long", "split-hose", "name = \"idle\"", &name);
        let page = scratch("long").join("page.html");
        let start = Instant::now();
        let pictures = scratch("long").join("pictures");
        let out = falseair(&[
            "simulate",
            path.to_str().unwrap(),
            "--report",
            page.to_str().unwrap(),
            "--svg",
            pictures.to_str().unwrap(),
        ]);
        assert!(out.status.success(), "{out:?}");
        start.elapsed().as_secs_f64()
    };
    for word in ["long ", "long"] {
        let (short, long) = (drawn(2_000, word), drawn(20_000, word));
        assert!(long < 20.0 * short + 1.0, "{short:.2} s, then {long:.2} s");
    }
}
