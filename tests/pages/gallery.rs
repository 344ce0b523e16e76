//! The pictures of the gallery are what the program draws.

use super::{root, scratch};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

fn drawings(folder: &Path) -> BTreeSet<String> {
    let files = fs::read_dir(folder).unwrap();
    let names = files.map(|file| file.unwrap().file_name().into_string().unwrap());
    names.filter(|name| name.ends_with(".svg")).collect()
}

/// A drawing without the numbers it carries: they are those of the result, which other tests
/// compare, and in a drive they follow the last digits of its steps.
fn drawn(text: &str) -> String {
    let mut parts = text.split(" data-");
    let first = parts.next().unwrap_or_default().to_string();
    parts.fold(first, |text, part| {
        let end = part.match_indices('"').nth(1).map_or(0, |(at, _)| at + 1);
        text + &part[end..]
    })
}

/// A text as its numbers and what stands between them.
fn pieces(text: &str) -> Vec<&str> {
    let mut all = Vec::new();
    let mut from = 0;
    let bytes = text.as_bytes();
    let numeric = |i: usize| {
        let exponent = matches!(bytes[i], b'e' | b'-') && i > 0 && bytes[i - 1].is_ascii_digit();
        bytes[i].is_ascii_digit() || bytes[i] == b'.' || exponent
    };
    for i in 1..bytes.len() {
        if numeric(i) != numeric(i - 1) {
            all.push(&text[from..i]);
            from = i;
        }
    }
    all.push(&text[from..]);
    all
}

/// Whether two numbers are the same but for what another machine's mathematics library does: one
/// unit of the last digit shown, or a ten-thousandth.
fn alike(a: &str, b: &str) -> bool {
    let (Ok(x), Ok(y)) = (a.parse::<f64>(), b.parse::<f64>()) else {
        return a == b;
    };
    let digits = |text: &str| text.split_once('.').map_or(0, |(_, after)| after.len());
    let unit = 10f64.powi(-(digits(a).min(digits(b)) as i32));
    (x - y).abs() <= (1.01 * unit).max(1e-4 * x.abs()).max(1e-9)
}

/// Whether two lines are the same: words to the letter, places to a unit (a quarter of a pixel).
fn same(a: &str, b: &str) -> bool {
    if !a.starts_with('<') || !b.starts_with('<') {
        return a == b;
    }
    let (a, b) = (pieces(a), pieces(b));
    a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| alike(a, b))
}

#[test]
fn the_gallery_is_what_the_program_draws() {
    let (shipped, fresh) = (root().join("reports/gallery"), scratch("gallery"));
    let done = Command::new(shipped.join("draw.sh"))
        .arg(&fresh)
        .env("FALSEAIR", env!("CARGO_BIN_EXE_falseair"))
        .output()
        .unwrap();
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    assert_eq!(drawings(&shipped), drawings(&fresh));
    let again = "draw the gallery again with reports/gallery/draw.sh";
    for name in drawings(&shipped) {
        let read = |at: &Path| drawn(&fs::read_to_string(at.join(&name)).unwrap());
        let (old, new) = (read(&shipped), read(&fresh));
        // Words stand in lines of their own; they are the same to the letter.
        let apart = old.lines().zip(new.lines()).find(|(a, b)| !same(a, b));
        assert!(
            apart.is_none() && old.lines().count() == new.lines().count(),
            "{name}: {apart:?}; {again}"
        );
    }
    // Each picture is shown, and none that is not there.
    let text = fs::read_to_string(root().join("reports/gallery.md")).unwrap();
    let shown = text
        .split("(gallery/")
        .skip(1)
        .map(|rest| rest.split(')').next().unwrap());
    let shown: BTreeSet<String> = shown.map(String::from).collect();
    assert_eq!(shown, drawings(&shipped));
}
