//! Clocks that jump, stand, run back, count in another unit: an answer soon, said aloud, and
//! a good log is not shortened by them.

use super::*;
use proptest::prelude::*;
use std::fmt::Write;
use std::io::Read;
use std::process::Stdio;
use std::time::{Duration, Instant};

/// The program's answer within so many seconds; a program that still runs then has failed.
fn bounded(arguments: &[&str], seconds: u64) -> Output {
    let mut run = Command::new(env!("CARGO_BIN_EXE_falseair"))
        .args(arguments)
        .current_dir(root())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // Read on the side, so that the program never waits for room.
    let mut out = run.stdout.take().unwrap();
    let mut err = run.stderr.take().unwrap();
    let reader = std::thread::spawn(move || {
        let mut bytes = Vec::new();
        out.read_to_end(&mut bytes).unwrap();
        bytes
    });
    let start = Instant::now();
    let status = loop {
        if let Some(status) = run.try_wait().unwrap() {
            break status;
        }
        if start.elapsed() > Duration::from_secs(seconds) {
            run.kill().unwrap();
            run.wait().unwrap();
            panic!("still running after {seconds} s: {arguments:?}");
        }
        std::thread::sleep(Duration::from_millis(5));
    };
    let mut stderr = Vec::new();
    err.read_to_end(&mut stderr).unwrap();
    Output {
        status,
        stdout: reader.join().unwrap(),
        stderr,
    }
}

/// A minute of idling, ten rows a second; `time` says what stands in the column of time.
fn idling(head: &str, time: impl Fn(usize) -> String) -> String {
    let mut text = format!("{head},engine speed [rpm],coolant [degC]\n");
    for i in 0..600 {
        let _ = writeln!(text, "{},{},90", time(i), 800 + i % 3);
    }
    text
}

fn clocked(name: &str, times: &[f64]) -> Log {
    let mut text = String::from("time [s],engine speed [rpm],coolant [degC]\n");
    for time in times {
        let _ = writeln!(text, "{time:e},800,90");
    }
    bytes(name, text.as_bytes()).unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn held(log: &Log) -> f64 {
    log.windows.iter().map(|window| window.seconds).sum()
}

const JUMPS: &str = "jumps ahead";
const ASTRAY: &str = "jumps away and comes back";

#[test]
fn a_clock_that_jumps_does_not_hang_the_program() {
    for last in ["1e308", "1.7e9", "1e17", "1.797e308", "-1e308"] {
        let text = format!("time_s,engine_speed_rpm\n0,800\n0.1,800\n0.2,800\n{last},800\n");
        let path = written("jump.csv", text.as_bytes());
        let path = path.to_str().unwrap();
        let log = bounded(&["log", path], 10);
        assert_eq!(log.status.code(), Some(0), "{last}: {}", said(&log));
        let words = if last.starts_with('-') {
            "runs back"
        } else {
            JUMPS
        };
        assert!(said(&log).contains(words), "{last}: {}", said(&log));
        assert!(
            said(&log).contains("4 rows, 0.2 s"),
            "{last}: {}",
            said(&log)
        );
        assert!(!said(&log).contains("inf"), "{last}: {}", said(&log));
        let car = "scenarios/vehicles/brindle-16.toml";
        let fit = bounded(&["vehicle", "fit", car, "--log", path], 10);
        assert!(said(&fit).contains(words), "{last}: {}", said(&fit));
    }
}

#[test]
fn fit_and_diagnosis_say_that_the_clock_jumps() {
    // The shipped log, its second half by the time of the epoch.
    let plain = std::fs::read_to_string(shipped("plain.csv")).unwrap();
    let half = plain.lines().count() / 2;
    let mut text = String::new();
    for (i, line) in plain.lines().enumerate() {
        let (time, rest) = line.split_once(',').unwrap();
        let _ = match i {
            0 => writeln!(text, "{line}"),
            _ if i < half => writeln!(text, "{line}"),
            _ => writeln!(text, "{:.3},{rest}", 1.7e9 + time.parse::<f64>().unwrap()),
        };
    }
    let path = written("epoch.csv", text.as_bytes());
    let path = path.to_str().unwrap();
    let car = root().join("scenarios/vehicles/brindle-16.toml");
    let readings = format!("vehicle = {:?}\n", car.to_str().unwrap());
    let readings = written("epoch.toml", readings.as_bytes());
    let (car, readings) = (car.to_str().unwrap(), readings.to_str().unwrap());
    for arguments in [
        &["vehicle", "fit", car, "--log", path][..],
        &["diagnose", readings, "--log", path],
        &["diagnose", readings, "--log", path, "--format", "json"],
    ] {
        let found = bounded(arguments, 120);
        assert_eq!(found.status.code(), Some(0), "{}", said(&found));
        assert!(
            said(&found).contains(JUMPS),
            "{arguments:?}: {}",
            said(&found)
        );
    }
}

#[test]
fn a_row_whose_clock_goes_astray_costs_that_row_alone() {
    let good = clocked(
        "good.csv",
        &Vec::from_iter((0..600).map(|i| i as f64 * 0.1)),
    );
    assert!(
        held(&good) > 55.0 && good.windows.len() == 1,
        "{:?}",
        good.windows
    );
    assert!(!has(&good, "clock"), "{:?}", good.notes);
    for wild in [1e308, 1.7e9, 1.7e18, 7000.0, -1e308, -20.0] {
        let mut times = Vec::from_iter((0..600).map(|i| i as f64 * 0.1));
        times[300] = wild;
        let log = clocked("astray.csv", &times);
        assert!(has(&log, ASTRAY), "{wild}: {:?}", log.notes);
        assert_eq!(log.windows.len(), 1, "{wild}");
        assert_eq!(log.windows[0].pieces, 1, "{wild}");
        assert_eq!(held(&log), held(&good), "{wild}");
        assert!(
            (log.seconds - good.seconds).abs() < 1e-9,
            "{wild}: {}",
            log.seconds
        );
        // The first row alone: what follows is the log.
        let mut times = Vec::from_iter((0..600).map(|i| i as f64 * 0.1));
        times[0] = wild;
        let log = clocked("first.csv", &times);
        assert!(
            held(&log) > held(&good) - 2.0,
            "{wild}: {} {:?}",
            held(&log),
            log.notes
        );
        assert!(
            log.windows[0].start < 25.0,
            "{wild}: {}",
            log.windows[0].start
        );
    }
}

#[test]
fn a_pause_is_said_and_does_not_count() {
    let times = (0..1200).map(|i| i as f64 * 0.1 + if i < 600 { 0.0 } else { 900.0 });
    let log = clocked("pause.csv", &Vec::from_iter(times));
    assert!(
        has(&log, "more than 2 s (900 s at most)"),
        "{:?}",
        log.notes
    );
    assert!((log.seconds - 119.8).abs() < 1e-6, "{}", log.seconds);
    assert_eq!(log.windows[0].pieces, 2, "{:?}", log.windows);
    assert!(held(&log) > 110.0, "{}", held(&log));
}

#[test]
fn slow_and_coarse_clocks_are_no_jumps() {
    // One row in 2 s, in 10 s, in a minute; ten rows in each second of a clock that shows seconds.
    for step in [2.0, 10.0, 60.0] {
        let log = clocked(
            "slow.csv",
            &Vec::from_iter((0..200).map(|i| i as f64 * step)),
        );
        assert!(!has(&log, "clock"), "{step}: {:?}", log.notes);
        assert!(
            (log.seconds - 199.0 * step).abs() < 1e-6,
            "{step}: {}",
            log.seconds
        );
        assert!(held(&log) > 0.9 * log.seconds, "{step}: {} s", held(&log));
    }
    let log = clocked(
        "coarse.csv",
        &Vec::from_iter((0..600).map(|i| f64::from(i / 10))),
    );
    assert!(!has(&log, JUMPS), "{:?}", log.notes);
    assert!(held(&log) > 50.0, "{}", held(&log));
}

#[test]
fn a_count_of_nanoseconds_is_read_as_such_or_asked_about() {
    let nanoseconds =
        |i: usize| format!("{}", 1_700_000_000_000_000_000_u64 + i as u64 * 100_000_000);
    let log = bytes("ns.csv", idling("time [ns]", nanoseconds).as_bytes()).unwrap();
    assert!((log.seconds - 59.9).abs() < 1e-3, "{}", log.seconds);
    assert!(held(&log) > 55.0, "{}", held(&log));
    let bare = bytes("bare.csv", idling("time", nanoseconds).as_bytes()).unwrap();
    assert_eq!(held(&bare), held(&log));
    // 10 s of ms, or 10 ms of µs.
    let unclear = |i: usize| format!("{}", i * 10_000);
    let e = bytes("unclear.csv", idling("time", unclear).as_bytes()).unwrap_err();
    assert!(e.message().contains("steps do not tell"), "{e}");
    // Called seconds all the same: every row is a jump, and it is said.
    let log = bytes("wrong.csv", idling("time [s]", nanoseconds).as_bytes()).unwrap();
    assert!(
        log.windows.is_empty() && has(&log, JUMPS),
        "{:?}",
        log.notes
    );
}

#[test]
fn two_rows_and_times_that_repeat_have_an_answer() {
    for times in [
        [0.0, 1e9],
        [0.0, 1e308],
        [1e308, 0.0],
        [0.0, 0.1],
        [1e300, 1.1e300],
    ] {
        let text = format!(
            "time_s,engine_speed_rpm\n{},800\n{},800\n",
            times[0], times[1]
        );
        let path = written("two.csv", text.as_bytes());
        let run = bounded(&["log", path.to_str().unwrap()], 30);
        assert_eq!(run.status.code(), Some(0), "{times:?}: {}", said(&run));
    }
    let log = clocked("repeat.csv", &[[0.0; 300], [1.0; 300]].concat());
    assert!(log.windows.is_empty() && has(&log, "time of the row above"));
    // Not a number, or none: the time of the row above.
    let text = idling("time [s]", |i| match i % 10 {
        3 => "NaN".into(),
        5 => "inf".into(),
        7 => "1e999".into(),
        _ => format!("{:.1}", i as f64 * 0.1),
    });
    let log = bytes("nan.csv", text.as_bytes()).unwrap();
    assert!(
        held(&log) > 55.0 && has(&log, "rows without a time"),
        "{:?}",
        log.notes
    );
}

#[test]
fn a_million_rows_of_any_clock_take_seconds() {
    type Clock = fn(u64) -> f64;
    let clocks: [(&str, Clock); 5] = [
        ("back", |i| -5.0 * i as f64),
        ("minutes", |i| 60.0 * i as f64),
        ("there and back", |i| if i % 4 < 2 { i as f64 } else { 1e9 }),
        ("growing", |i| 1.0007f64.powi((i % 1_000_000) as i32)),
        ("hash", |i| {
            (i.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 20) as f64
        }),
    ];
    for (name, clock) in clocks {
        let mut text = String::from("time_s,engine_speed_rpm\n");
        for i in 0..1_000_000 {
            let _ = writeln!(text, "{},800", clock(i));
        }
        let path = written("million.csv", text.as_bytes());
        let start = Instant::now();
        let run = bounded(&["log", path.to_str().unwrap()], 30);
        assert_eq!(run.status.code(), Some(0), "{name}: {}", said(&run));
        println!("{name}: {:?}", start.elapsed());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// Steps of every size, either way.
    #[test]
    fn any_clock_gives_an_answer_soon(
        steps in prop::collection::vec((any::<bool>(), -300.0..308.0f64, 1..40usize), 1..40),
    ) {
        let mut times = vec![0.0f64];
        for (back, size, count) in steps {
            for _ in 0..count {
                let last = times[times.len() - 1];
                let step = 10f64.powf(size);
                times.push(if back { last - step } else { last + step });
            }
        }
        let mut text = String::from("time [s],engine speed [rpm],coolant [degC]\n");
        for time in &times {
            let _ = writeln!(text, "{time:e},800,90");
        }
        let start = Instant::now();
        if let Ok(log) = bytes(&format!("clock-{}.csv", std::process::id()), text.as_bytes()) {
            prop_assert!(log.seconds.is_finite() && log.seconds >= 0.0);
            prop_assert!(held(&log) <= log.seconds + 10.0, "{} of {}", held(&log), log.seconds);
            prop_assert!(log.seconds <= 120.0 * times.len() as f64);
            for window in &log.windows {
                prop_assert!(window.start.is_finite() && window.start >= 0.0);
            }
        }
        prop_assert!(start.elapsed() < Duration::from_secs(2));
    }

    /// One wild time anywhere in a good log costs at most what lies about it.
    #[test]
    fn one_wild_time_shortens_a_good_log_by_little(at in 0..600usize, size in 1.0..308.0f64, back in any::<bool>()) {
        let mut times = Vec::from_iter((0..600).map(|i| i as f64 * 0.1));
        times[at] += if back { -(10f64.powf(size)) } else { 10f64.powf(size) };
        let log = clocked(&format!("wild-{}.csv", std::process::id()), &times);
        prop_assert!(held(&log) >= 54.0, "{}", held(&log));
        prop_assert!((log.seconds - 59.9).abs() < 0.3, "{}", log.seconds);
    }
}
