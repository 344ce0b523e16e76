//! Tables that cannot be used: file, line, what was found, what is allowed, the
//! nearest right spelling; exit code 2, nothing printed, nothing written.

use crate::file::{HEAD, falseair, plain_table, read, scratch, text};
use crate::fit::Scatter;
use falseair::commands::vehicle::gas_stand::fit;
use std::path::Path;

/// Runs the program on these bytes; the message must hold every one of `words`.
fn refused(test: &str, bytes: &[u8], words: &[&str]) {
    let folder = scratch(test);
    let (table, out) = (folder.join("t.csv"), folder.join("part.toml"));
    std::fs::write(&table, bytes).unwrap();
    refused_at(&table, &out, words);
}

fn refused_at(table: &Path, out: &Path, words: &[&str]) {
    let (table, path) = (table.to_str().unwrap(), out.to_str().unwrap());
    let output = falseair(&["vehicle", "gas-stand", table, "--out", path]);
    let message = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{message}");
    assert!(
        output.stdout.is_empty(),
        "nothing is printed from bad input"
    );
    assert!(!out.exists(), "nothing is written from bad input");
    assert!(message.starts_with("error: "), "{message}");
    for word in words {
        assert!(message.contains(word), "`{word}` is missing in:\n{message}");
    }
}

/// The plain table with one piece of text replaced.
fn changed(test: &str, from: &str, to: &str, words: &[&str]) {
    let shipped = plain_table();
    assert!(shipped.contains(from), "`{from}` is not in the table");
    refused(test, shipped.replacen(from, to, 1).as_bytes(), words);
}

const NAMES: &str = "corrected flow [kg/s],pressure ratio,efficiency,corrected speed [rad/s]";

#[test]
fn no_table_at_all() {
    refused("empty", b"", &["t.csv", "the file is empty"]);
    refused("blank", b" \n\n", &["the file is empty"]);
    refused("head-only", HEAD.as_bytes(), &["no row of column names"]);
    refused(
        "latin",
        &[HEAD.as_bytes(), b"# name: caf\xe9\n"].concat(),
        &["not UTF-8 text: line 5"],
    );
    refused("utf16", b"\xff\xfea\0b\0", &["UTF-16", "save it as UTF-8"]);
    refused("nul", b"\0\0\0\0", &["does not say what it is of"]);
    let folder = scratch("missing");
    refused_at(
        &folder.join("t.csv"),
        &folder.join("o.toml"),
        &["there is no such file"],
    );
    refused_at(&folder, &folder.join("o.toml"), &["folder"]);
    std::fs::write(folder.join("orrel.csv"), "x").unwrap();
    refused_at(
        &folder.join("orel.csv"),
        &folder.join("o.toml"),
        &["did you mean", "orrel.csv"],
    );
}

#[test]
fn no_names_or_no_points() {
    changed(
        "names",
        &format!("{NAMES}\n"),
        "",
        &[
            "t.csv:5:",
            "the columns have no names",
            "corrected flow [kg/s]",
        ],
    );
    let text = format!("{HEAD}{NAMES}\n");
    refused(
        "points",
        text.as_bytes(),
        &["t.csv:5:", "0 points, a fit takes 8"],
    );
    let text = format!("{HEAD}{NAMES}\n0.05,1.5,0.7,9000\n0.06,1.4,0.7,9000\n");
    refused(
        "few",
        text.as_bytes(),
        &["t.csv:7:", "2 points, a fit takes 8"],
    );
}

#[test]
fn what_the_head_must_say() {
    changed(
        "machine",
        "# machine: compressor\n",
        "",
        &["what it is of", "# machine: turbine"],
    );
    changed(
        "machin",
        "# machine:",
        "# machin:",
        &["t.csv:1:3", "did you mean `machine`?", "`##`"],
    );
    changed(
        "word",
        "compressor",
        "compresor",
        &["t.csv:1:12", "did you mean `compressor`?"],
    );
    changed(
        "reference",
        "# reference pressure: 100 kPa abs\n",
        "",
        &[
            "missing key `reference pressure`",
            "# reference pressure: 100 kPa abs",
        ],
    );
    changed(
        "referense",
        "reference temp",
        "referense temp",
        &["t.csv:2:3", "did you mean `reference temperature`?"],
    );
    changed("unit", "25 degC", "25 degX", &["t.csv:2:", "degX", "degC"]);
    changed("bare", "25 degC", "25", &["t.csv:2:", "no unit"]);
    changed(
        "gauge",
        "100 kPa abs",
        "0 kPa gauge",
        &["t.csv:3:", "absolute pressure"],
    );
    changed("pressure", "100 kPa abs", "100 kPa", &["t.csv:3:", "abs"]);
    changed(
        "wheel",
        "49 mm",
        "490 mm",
        &["t.csv:4:", "out of range", "20 mm to 150 mm"],
    );
    changed("zero", "25 degC", "0 K", &["t.csv:2:", "out of range"]);
    changed("nan", "25 degC", "NaN degC", &["t.csv:2:", "NaN"]);
    changed(
        "twice",
        "# wheel",
        "# machine: turbine\n# wheel",
        &["t.csv:4:3", "`machine` is given twice"],
    );
    changed(
        "turbine",
        "compressor",
        "turbine",
        &["missing key `stand temperature`"],
    );
}

#[test]
fn columns_that_are_wrong() {
    changed(
        "unknown",
        "pressure ratio",
        "presure ratio",
        &[
            "t.csv:5:23",
            "presure ratio",
            "did you mean `pressure ratio`?",
            "allowed here",
        ],
    );
    changed(
        "duplicate",
        "efficiency,",
        "pressure ratio,",
        &["t.csv:5:38", "column `pressure ratio` is given twice"],
    );
    changed(
        "absent",
        ",corrected speed [rad/s]",
        "",
        &["t.csv:5:", "missing column `corrected speed`"],
    );
    changed(
        "no-unit",
        "corrected flow [kg/s]",
        "corrected flow",
        &["t.csv:5:1", "a unit is needed"],
    );
    changed(
        "wrong-unit",
        "[kg/s]",
        "[kPa]",
        &["t.csv:5:1", "`kPa` is for a pressure"],
    );
    changed(
        "near-unit",
        "[rad/s]",
        "[rad/sec]",
        &["t.csv:5:", "rad/sec", "did you mean `rad/s`?"],
    );
    changed(
        "speed-unit",
        "pressure ratio",
        "pressure ratio [rpm]",
        &["t.csv:5:23", "rpm"],
    );
}

#[test]
fn cells_that_are_wrong() {
    let row = |cells: &str| format!("{NAMES}\n# a remark\n{cells}\n");
    let cases: [(&str, &str, &[&str]); 11] = [
        (
            "nan",
            "0.05,NaN,0.7,9000",
            &["t.csv:7:6", "`NaN` is not a number", "pressure ratio"],
        ),
        (
            "inf",
            "0.05,inf,0.7,9000",
            &["t.csv:7:6", "`inf` is not a number"],
        ),
        ("huge", "1e999,1.5,0.7,9000", &["t.csv:7:1", "not a number"]),
        (
            "word",
            "0.05,1.5,0.7,fast",
            &["t.csv:7:14", "`fast` is not a number", "rad/s"],
        ),
        (
            "with-unit",
            "0.05 kg/s,1.5,0.7,9000",
            &["t.csv:7:1", "not a number", "stands in its name"],
        ),
        (
            "hole",
            "0.05,,0.7,9000",
            &["t.csv:7:6", "no number for column `pressure ratio`"],
        ),
        (
            "short",
            "0.05,1.5,0.7",
            &["t.csv:7:", "no number for column `corrected speed`"],
        ),
        (
            "comma",
            "0,05,1,5,0,7,9000",
            &["t.csv:7:", "7 cells, the table 4 columns", "`;` or a tab"],
        ),
        (
            "quote",
            "\"0.05,1.5,0.7,9000",
            &["t.csv:7:", "not a number"],
        ),
        (
            "escape",
            "0.05,\u{1b}[31m,0.7,9000",
            &["t.csv:7:", "not a number"],
        ),
        (
            "long",
            &"x".repeat(5000),
            &["t.csv:7:", "not a number", "…"],
        ),
    ];
    for (test, cells, words) in cases {
        changed(
            &format!("cell-{test}"),
            &format!("{NAMES}\n"),
            &row(cells),
            words,
        );
        let bytes = plain_table().replacen(&format!("{NAMES}\n"), &row(cells), 1);
        let shown = read(&bytes).unwrap_err().render(false);
        assert!(!shown.contains('\u{1b}'), "{shown}");
    }
}

#[test]
fn points_that_cannot_be() {
    let cases: [(&str, &str, &[&str]); 6] = [
        (
            "ratio",
            "0.05,0.95,0.7,9000",
            &["t.csv:8:6", "pressure ratio must be above 1; found `0.95`"],
        ),
        (
            "flow",
            "-0.05,1.5,0.7,9000",
            &["t.csv:8:1", "flow must be above 0; found `-0.05`"],
        ),
        (
            "speed",
            "0.05,1.5,0.7,0",
            &["t.csv:8:14", "speed must be above 0; found `0`"],
        ),
        (
            "percent",
            "0.05,1.5,71,9000",
            &["t.csv:8:10", "at most 1; found `71`", "efficiency [%]"],
        ),
        (
            "negative",
            "0.05,1.5,-0.1,9000",
            &["t.csv:8:10", "efficiency must be above 0"],
        ),
        (
            "zero",
            "0.05,1,0.7,9000",
            &["t.csv:8:6", "pressure ratio must be above 1; found `1`"],
        ),
    ];
    for (test, cells, words) in cases {
        let row = format!("{NAMES}\n# a remark\n\n{cells}\n");
        changed(&format!("point-{test}"), &format!("{NAMES}\n"), &row, words);
    }
    // One speed line only.
    let mut text = format!("{HEAD}{NAMES}\n");
    for i in 0..10 {
        text += &format!("0.0{}, 1.{}, 0.7, 9000\n", 40 + i, 60 - i);
    }
    refused(
        "one-line",
        text.as_bytes(),
        &["t.csv:5:", "wider range of speed", "corrected speed"],
    );
}

#[test]
fn a_result_that_cannot_be_written() {
    let folder = scratch("unwritable");
    let table = folder.join("t.csv");
    std::fs::write(&table, plain_table()).unwrap();
    let out = folder.join("none/part.toml");
    refused_at(&table, &out, &["there is no folder"]);
    // Least of all over the table itself.
    let path = table.to_str().unwrap();
    let output = falseair(&["vehicle", "gas-stand", path, "--out", path]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("which this command reads"));
    assert_eq!(std::fs::read_to_string(&table).unwrap(), plain_table());
    let output = falseair(&["vehicle", "gas-stand", path, "--format", "csv"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("table, json"));
    assert_eq!(falseair(&["vehicle", "gas-stnd"]).status.code(), Some(2));
}

/// Whatever is done to a table, it is read or refused with a message.
#[test]
fn no_damage_is_answered_with_a_crash() {
    let whole: Vec<char> = plain_table().chars().collect();
    let odd: Vec<char> = "#:[]\",;\t\n\r -.0e9%€\u{0}\u{feff}µ".chars().collect();
    let mut random = Scatter(11);
    let mut pick = |n: usize| ((random.next() + 1.0) * 0.5 * n as f64) as usize % n;
    let mut read_all = 0;
    for _ in 0..3_000 {
        let mut damaged = whole.clone();
        for _ in 0..=pick(3) {
            // Mostly near the top, where the form is said.
            let near = [300, 300, damaged.len()][pick(3)];
            let at = pick(near.min(damaged.len()));
            match pick(3) {
                0 => drop(damaged.remove(at)),
                1 => damaged[at] = odd[pick(odd.len())],
                _ => damaged.insert(at, odd[pick(odd.len())]),
            }
        }
        if pick(20) == 0 {
            damaged.truncate(pick(damaged.len()).max(1));
        }
        let table = read(&String::from_iter(damaged));
        read_all += u32::from(table.is_ok());
        if let Err(why) = table.and_then(fit) {
            assert!(why.render(false).starts_with("error: "));
        }
    }
    assert!((100..2_000).contains(&read_all), "{read_all}");
}
