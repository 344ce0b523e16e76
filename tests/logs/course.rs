//! The log as it is drawn: nothing that stands out is lost, and what is marked is what is used.

use super::*;
use sim::study::knowing::log::{Kind, Use};

const SPEED: &str = "engine_speed_rpm";

/// An hour at ten rows a second, steady but for one row.
#[test]
fn one_row_in_a_long_log_is_still_drawn() {
    let mut text = String::from("time [s],engine speed [rpm],manifold [kPa abs]\n");
    for row in 0..36_000 {
        let rpm = if row == 20_011 { 3456.0 } else { 2000.0 };
        text += &format!("{:.1},{rpm},50\n", 0.1 * f64::from(row));
    }
    let log = bytes("hour.csv", text.as_bytes()).unwrap();
    let steps = log.course.steps(channel(SPEED));
    assert!(steps.len() <= 1024, "{}", steps.len());
    let high: Vec<_> = steps.iter().filter(|step| step[2] > 3000.0).collect();
    assert_eq!(high.len(), 1);
    let [at, least, most] = *high[0];
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
    let right = (at - 2001.1).abs() < 5.0 && near(least, 2000.0) && near(most, 3456.0);
    assert!(right, "{at} {least} {most}");
}

/// Breaks of the clock take no room, and what is marked stands where it was driven.
#[test]
fn marked_seconds_are_those_of_the_windows_and_a_break_takes_no_room() {
    let log = super::log("plain.csv");
    let spans = log.course.spans();
    for window in &log.windows {
        let held = spans
            .iter()
            .filter(|span| span.of == Use::Held(window.kind));
        let of_kind = |w: &&Window| w.kind == window.kind;
        let all: f64 = log.windows.iter().filter(of_kind).map(|w| w.seconds).sum();
        let marked: f64 = held.clone().map(|span| span.end - span.start).sum();
        assert!(
            (marked - all).abs() < 1e-6,
            "{}: {marked} {all}",
            window.name()
        );
        assert!(
            held.clone()
                .any(|span| (span.start - window.start).abs() < 0.2)
        );
    }
    let pulls = spans.iter().filter(|span| span.of == Use::Pull);
    let pulled: f64 = pulls.map(|span| span.end - span.start).sum();
    assert!((pulled - log.pulls[0].seconds()).abs() < 1e-6);
    assert!(!spans.iter().any(|span| span.of == Use::Held(Kind::Overrun)));

    // Five hours of standing between two halves.
    let text = std::fs::read_to_string(shipped("plain.csv")).unwrap();
    let mut lines = text.lines();
    let head = lines.next().unwrap();
    let rows: Vec<&str> = lines.collect();
    let later = rows.iter().enumerate().map(|(i, row)| {
        let (time, rest) = row.split_once(',').unwrap();
        let later = if i < rows.len() / 2 { 0.0 } else { 18_000.0 };
        format!("{},{rest}\n", time.parse::<f64>().unwrap() + later)
    });
    let text = format!("{head}\n{}", later.collect::<String>());
    let broken = bytes("broken.csv", text.as_bytes()).unwrap();
    assert_eq!(broken.course.breaks().len(), 1);
    assert!((broken.course.breaks()[0].jump - 18_000.0).abs() < 1.0);
    let [a, b] = [&log, &broken].map(|log| log.course.seconds());
    assert!((a - b).abs() < 1.0, "{a} {b}");
}

#[test]
fn the_page_of_a_day_is_small() {
    let mut text = String::from(
        "time [s],engine speed [rpm],manifold [kPa abs],short trim [%],long trim [%],metered air [g/s]\n",
    );
    for row in 0..80_000_u32 {
        let wave = f64::from(row * 7919 % 1000);
        let (rpm, kpa) = (1500.0 + wave, 40.0 + 0.02 * wave);
        text += &format!(
            "{row},{rpm:.1},{kpa:.2},{:.2},1.2,{:.2}\n",
            0.001 * wave,
            5.0 + 0.01 * wave
        );
    }
    let path = written("day.csv", text.as_bytes());
    let page = path.with_extension("html");
    let run = Command::new(env!("CARGO_BIN_EXE_falseair"))
        .args([
            "log",
            path.to_str().unwrap(),
            "--force",
            "--report",
            page.to_str().unwrap(),
        ])
        .output()
        .unwrap();
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    let page = std::fs::read_to_string(page).unwrap();
    assert!(page.len() < 3_000_000, "{}", page.len());
    assert!(page.contains("id=\"log\""));
}
