//! Single bad cells, rows without an answer and summaries under a log move nothing.

use super::drive::{BOOST, Column, LAMBDA, MANIFOLD, Now, TRIMS, with};
use super::*;

const BAROMETER: Column = ("barometric pressure [kPa]", &|_| "99".into());
const ABSOLUTE: Column = ("boost [kPa]", &|n| format!("{:.0}", n.boost + 100.0));

fn usual() -> String {
    with(&[
        LAMBDA,
        BAROMETER,
        ABSOLUTE,
        ("MAP [kPa]", MANIFOLD.1),
        TRIMS[0],
        TRIMS[1],
    ])
}

/// The drive with one cell of a row replaced.
fn spoilt(row: usize, column: usize, cell: &str) -> String {
    usual()
        .lines()
        .enumerate()
        .map(|(i, line)| {
            let mut cells: Vec<&str> = line.split(',').collect();
            if i == row {
                cells[column] = cell;
            }
            cells.join(",") + "\n"
        })
        .collect()
}

fn same_conditions(text: &str, what: &str) -> Log {
    let [good, log] = [usual(), text.to_string()]
        .map(|text| bytes("robust.csv", text.as_bytes()).unwrap_or_else(|e| panic!("{what}: {e}")));
    let names = |log: &Log| -> Vec<String> { log.windows.iter().map(Window::name).collect() };
    assert_eq!(names(&log), names(&good), "{what}");
    assert_eq!(log.windows[0].name(), "idle", "{what}");
    assert_eq!(log.pulls.len(), 1, "{what}");
    assert!((log.ambient - 99e3).abs() < 1.0, "{what}: {}", log.ambient);
    for column in ["boost [kPa]", "MAP [kPa]"] {
        assert_eq!(taken(&log, column).1, "kPa abs", "{what}: {column}");
    }
    log
}

#[test]
fn one_bad_cell_moves_neither_ambient_nor_idle_nor_pull() {
    for (column, cell) in [
        (2, "0.0"),
        (2, "100.0"),
        (6, "60"),
        (6, "0"),
        (6, "115"),
        (1, "0"),
    ] {
        same_conditions(&spoilt(400, column, cell), &format!("{column}: {cell}"));
    }
    // A pedal that rests at 14.5 % and is down at 80 %.
    let rests = |n: Now| format!("{:.1}", 14.5 + 0.655 * n.pedal);
    for wild in ["0", "100"] {
        let text = with(&[
            MANIFOLD,
            ("APP [%]", &|n| match n.row {
                300 => wild.into(),
                _ => rests(n),
            }),
        ]);
        let text = text.replace("pedal [%]", "remark");
        let log = bytes("pedal-cell.csv", text.as_bytes()).unwrap();
        assert_eq!(log.windows[0].name(), "idle", "{wild}");
        assert_eq!(log.pulls.len(), 1, "{wild}");
    }
}

#[test]
fn rows_without_an_answer_and_summaries_are_passed_over() {
    let text = usual();
    let (head, body) = text.split_once('\n').unwrap();
    let zeros = |time: &str| format!("{time}{}\n", ",0".repeat(head.matches(',').count()));
    let first = format!("{head}\n{}{}", zeros("-0.1"), body);
    let last = format!(
        "{text}{}{}{}",
        zeros("170.0"),
        zeros("170.1"),
        zeros("170.2")
    );
    for (text, count) in [(first, 1), (last, 3)] {
        let log = same_conditions(&text, "zeros");
        let said = format!("no answer yet, or none any more: {count}");
        assert!(has(&log, &said), "{:?}", log.notes);
    }
    let summary = "Min,0,0,0,85,0.5,60,0,0,-9,0\nMax,6900,100,200,99,4,115,250,250,9,2\n";
    let log = same_conditions(&format!("{text}{summary}"), "summary");
    assert!(
        has(
            &log,
            "sum up those above (least, most, mean) passed over: 2"
        ),
        "{:?}",
        log.notes
    );
    // An engine that stands beside gauges at zero is an answer.
    let text = with(&[BOOST]);
    let log = bytes("standing-zeros.csv", text.as_bytes()).unwrap();
    assert!(!has(&log, "no answer"), "{:?}", log.notes);
}

#[test]
fn what_was_not_met_is_said() {
    let text = usual();
    let rows = |keep: &dyn Fn(usize) -> bool| -> String {
        let kept = text
            .lines()
            .enumerate()
            .filter(|(i, _)| *i == 0 || keep(*i));
        kept.map(|(_, line)| format!("{line}\n")).collect()
    };
    let log = bytes(
        "no-idle.csv",
        rows(&|i| (605..1280).contains(&i)).as_bytes(),
    )
    .unwrap();
    assert!(has(&log, "no idle in this log"), "{:?}", log.notes);
    assert!(!has(&log, "no full-load pull"), "{:?}", log.notes);
    let log = bytes("no-pull.csv", rows(&|i| i < 1195).as_bytes()).unwrap();
    assert!(has(&log, "no full-load pull"), "{:?}", log.notes);
    assert!(!has(&log, "no idle in this log"), "{:?}", log.notes);
    let log = bytes("no-lambda.csv", with(&[BOOST]).as_bytes()).unwrap();
    assert!(has(&log, "no lambda in this log"), "{:?}", log.notes);
    assert!(has(&log, "sea level, 101.3 kPa"), "{:?}", log.notes);
    let whole = bytes("whole.csv", text.as_bytes()).unwrap();
    assert!(whole.notes.is_empty(), "{:?}", whole.notes);
}

#[test]
fn a_pedal_that_ends_short_is_down_where_it_is_held() {
    let short = |share: f64| {
        let pedal = move |n: Now| format!("{:.1}", 14.5 + share * n.pedal);
        with(&[MANIFOLD, ("APP [%]", &pedal)]).replace("pedal [%]", "remark")
    };
    let log = bytes("short-pedal.csv", short(0.57).as_bytes()).unwrap();
    assert_eq!(log.pulls.len(), 1, "{:?}", log.notes);
    assert!(has(&log, "never goes beyond 72 %"), "{:?}", log.notes);
    // Read every other second, so that few of its values are of the pull.
    let seldom = |n: Now| match n.row % 20 {
        5 => format!("{:.1}", n.pedal),
        _ => String::new(),
    };
    let text = with(&[MANIFOLD, ("APP [%]", &seldom)]).replace("pedal [%]", "remark");
    let log = bytes("seldom-pedal.csv", text.as_bytes()).unwrap();
    assert_eq!(log.pulls.len(), 1, "{:?}", log.notes);
    // Held on a hill at which the engine does not run up, it is no full load.
    let hill = |n: Now| match n.pedal {
        22.0 => "70.0".into(),
        p => format!("{:.1}", 0.4 * p),
    };
    let text = with(&[MANIFOLD, ("APP [%]", &hill)]).replace("pedal [%]", "remark");
    let log = bytes("hill.csv", text.as_bytes()).unwrap();
    let full = |w: &Window| w.name().contains("full load");
    assert!(!log.windows.iter().any(full), "{:?}", log.windows);
    assert!(has(&log, "no full-load pull") && !has(&log, "never goes beyond"));
    // Half of a pedal is no full load.
    let log = bytes("half-pedal.csv", short(0.35).as_bytes()).unwrap();
    assert!(log.pulls.is_empty());
    assert!(has(&log, "no full-load pull"), "{:?}", log.notes);
}
