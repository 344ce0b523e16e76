//! Logs as they come: no column of time, clocks of all sorts, a cold start, cells that cannot
//! be true, an idle alone, engines that the program does not hold.

use super::drive::{BOOST, Column, LAMBDA, MANIFOLD, Now, RATE, TRIMS, with};
use super::*;

/// Without the column of time.
fn untimed(text: &str) -> String {
    let lines = text.lines().map(|line| line.split_once(',').unwrap().1);
    lines.map(|line| format!("{line}\n")).collect()
}

#[test]
fn no_column_of_time_but_a_stated_rate() {
    let timed = bytes("timed.csv", with(&[LAMBDA, BOOST]).as_bytes()).unwrap();
    let text = untimed(&with(&[LAMBDA, BOOST]));
    let bare = written("untimed.csv", text.as_bytes());
    let bare = bare.to_str().unwrap();
    let refused = run(&["log", bare]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(
        said(&refused).contains("--samples-per-second"),
        "{}",
        said(&refused)
    );
    let told = run(&["log", bare, "--samples-per-second", "10"]);
    assert_eq!(told.status.code(), Some(0), "{}", said(&told));
    assert!(
        said(&told).contains("1700 rows, 169.9 s"),
        "{}",
        said(&told)
    );
    for wrong in ["0", "-1", "1e9", "ten", "NaN"] {
        let run = run(&["log", bare, "--samples-per-second", wrong]);
        assert_eq!(run.status.code(), Some(2), "{wrong}");
    }
    for line in [
        "# Sample rate: 10 Hz",
        "Logging interval: 100 ms",
        "Samples per second,10",
        "sampling frequency = 10 Hz",
        "// recorded at 10 samples/s",
        "Sample period (s);0.1",
    ] {
        let text = format!("Drive log of an invented car\n{line}\n\n{text}");
        let log = bytes("stated.csv", text.as_bytes()).unwrap_or_else(|e| panic!("{line}: {e}"));
        assert_eq!(log.windows.len(), timed.windows.len(), "{line}");
        assert!(
            (log.seconds - timed.seconds).abs() < 0.11,
            "{line}: {}",
            log.seconds
        );
        assert!(has(&log, "line 2"), "{line}: {:?}", log.notes);
    }
    // Other numbers in remarks state no rate.
    for line in [
        "Rate this drive: 10",
        "Heart rate 60",
        "Service interval: 15000 km",
    ] {
        let text = format!("{line}\n{text}");
        assert!(bytes("unstated.csv", text.as_bytes()).is_err(), "{line}");
    }
}

#[test]
fn diagnosis_and_fit_take_the_rate_as_well() {
    let plain = std::fs::read_to_string(shipped("plain.csv")).unwrap();
    let bare = written("untimed-plain.csv", untimed(&plain).as_bytes());
    let car = root().join("scenarios/vehicles/brindle-16.toml");
    let readings = format!("vehicle = {:?}\n", car.to_str().unwrap());
    let readings = written("untimed.toml", readings.as_bytes());
    let [bare, car, readings] = [&bare, &car, &readings].map(|path| path.to_str().unwrap());
    for arguments in [
        &["diagnose", readings, "--log", bare][..],
        &["vehicle", "fit", car, "--log", bare],
    ] {
        let rate = [arguments, &["--samples-per-second", "2"]].concat();
        let run = run(&rate);
        assert_eq!(run.status.code(), Some(0), "{}", said(&run));
        assert!(said(&run).contains("full load"), "{}", said(&run));
    }
}

#[test]
fn clocks_without_a_unit_are_told_by_their_steps() {
    let stamp = |n: Now, unit: f64| format!("{:.0}", n.time * unit);
    let clocks: [(&str, &dyn Fn(Now) -> String); 8] = [
        ("ms", &|n| stamp(n, 1e3)),
        ("us", &|n| stamp(n, 1e6)),
        ("ns", &|n| stamp(n, 1e9)),
        ("s", &|n| format!("{:.3}", 1_700_000_000.0 + n.time)),
        ("ms", &|n| {
            format!("{:.0}", 1_700_000_000_000.0 + n.time * 1e3)
        }),
        ("us", &|n| {
            format!("{}", 1_700_000_000_000_000_u64 + n.row as u64 * 100_000)
        }),
        ("ns", &|n| {
            format!(
                "{}",
                1_700_000_000_000_000_000_u64 + n.row as u64 * 100_000_000
            )
        }),
        ("clock", &|n| {
            format!("2026-05-01T09:{:02}:{:05.2}Z", n.row / 600, n.time % 60.0)
        }),
    ];
    for (unit, clock) in clocks {
        let body = untimed(&with(&[BOOST]));
        let rows = body.lines().enumerate().map(|(i, line)| match i {
            0 => format!("timestamp,{line}\n"),
            _ => format!("{},{line}\n", clock(drive::at(i - 1))),
        });
        let log = bytes("bare-clock.csv", rows.collect::<String>().as_bytes())
            .unwrap_or_else(|e| panic!("{unit}: {e}"));
        assert_eq!(taken(&log, "timestamp"), (Taken::Time, unit));
        assert!(
            (log.seconds - 169.9).abs() < 0.01,
            "{unit}: {}",
            log.seconds
        );
        let seen = why(&log, "timestamp");
        assert!(
            unit == "clock" || seen.contains("step") || seen.contains("1970"),
            "{unit}: {seen}"
        );
    }
    // Minutes are a unit too, if they are called so.
    let body = untimed(&with(&[BOOST]));
    let rows = body.lines().enumerate().map(|(i, line)| match i {
        0 => format!("Time (min),{line}\n"),
        _ => format!("{:.6},{line}\n", drive::at(i - 1).time / 60.0),
    });
    let log = bytes("minutes.csv", rows.collect::<String>().as_bytes()).unwrap();
    assert!((log.seconds - 169.9).abs() < 0.1, "{}", log.seconds);
}

#[test]
fn a_jump_of_the_clock_is_said_with_its_usual_step() {
    let text = with(&[BOOST]).replacen("\n100.0,", "\n1700000000.0,", 1);
    let log = bytes("epoch-row.csv", text.as_bytes()).unwrap();
    assert!(has(&log, "jumps away and comes back"), "{:?}", log.notes);
    assert!(has(&log, "0.1 s"), "{:?}", log.notes);
}

#[test]
fn the_warm_up_is_left_out_and_said_with_its_seconds() {
    let coolant = |n: Now| format!("{:.0}", (20.0 + 1.25 * n.time).min(88.0));
    let whole = with(&[BOOST]).replace(",coolant temperature [degC]", ",oil [degC]");
    let heads = ["Coolant [degC]", "ECT", "Water temp", "Coolant (°F)"];
    for header in heads {
        let fahrenheit = |n: Now| format!("{:.0}", coolant(n).parse::<f64>().unwrap() * 1.8 + 32.0);
        let cell: &dyn Fn(Now) -> String = match header.contains('F') {
            true => &fahrenheit,
            false => &coolant,
        };
        let text =
            with(&[BOOST, (header, cell)]).replace("coolant temperature [degC]", "oil [degC]");
        let log = bytes("cold.csv", text.as_bytes()).unwrap();
        // 70 °C after 40 s.
        let note = log
            .notes
            .iter()
            .find(|note| note.contains("the engine was cold"));
        let note = note.unwrap_or_else(|| panic!("{header}: {:?} {:?}", log.notes, log.mapping));
        assert!(
            note.contains("40 s") || note.contains("39 s"),
            "{header}: {note}"
        );
        assert!(!has(&log, "taken to be warm"), "{header}: {:?}", log.notes);
        assert!(log.windows[0].start >= 40.0, "{header}");
    }
    // Never warm: no window, and the reason.
    let text = whole.replacen("oil [degC]", "ECT", 1);
    let cold = text.lines().enumerate().map(|(i, line)| {
        let cells: Vec<&str> = line.split(',').collect();
        match i {
            0 => format!("{line}\n"),
            _ => format!(
                "{},{},{},{},{:.0},{}\n",
                cells[0],
                cells[1],
                cells[2],
                cells[3],
                15.0 + i as f64 / 50.0,
                cells[5]
            ),
        }
    });
    let log = bytes("never-warm.csv", cold.collect::<String>().as_bytes()).unwrap();
    assert!(log.windows.is_empty(), "{:?}", log.windows);
    assert!(has(&log, "the engine was cold"), "{:?}", log.notes);
    // It comes once in ten seconds, from the fourth on: cold all the same.
    let seldom = |n: Now| match n.row % 100 == 40 {
        true => coolant(n),
        false => String::new(),
    };
    let text =
        with(&[BOOST, ("ECT [°C]", &seldom)]).replace("coolant temperature [degC]", "oil [degC]");
    let log = bytes("seldom.csv", text.as_bytes()).unwrap();
    assert!(
        log.windows.iter().all(|window| window.start >= 40.0),
        "{:?}",
        log.windows
    );
    // None at all: what is not known is not called warm.
    let log = bytes("no-coolant.csv", whole.as_bytes()).unwrap();
    assert!(has(&log, "no coolant temperature"), "{:?}", log.notes);
    assert!(!has(&log, "taken to be warm"), "{:?}", log.notes);
}

#[test]
fn values_that_cannot_be_true_are_set_aside_and_counted_by_column() {
    let wild = |n: Now, good: String, bad: &str| match n.row % 97 == 5 {
        true => bad.to_string(),
        false => good,
    };
    let columns: [Column; 7] = [
        ("lambda", &|n| {
            wild(n, format!("{:.3}", 1.0 + 0.004 * n.stir), "65535")
        }),
        ("boost", &|n| {
            wild(n, format!("{:.2}", (n.boost + 100.0) / 6.894_757), "9999")
        }),
        ("STFT", &|n| wild(n, format!("{:.1}", n.stir), "99.2")),
        ("LTFT", &|n| wild(n, "1.6".into(), "-100")),
        ("TPS", &|n| wild(n, format!("{:.1}", n.throttle), "655.35")),
        ("IAT", &|n| wild(n, format!("{:.0}", 40.0 + n.stir), "215")),
        ("MAF (g/s)", &|n| wild(n, format!("{:.2}", n.air), "655.35")),
    ];
    let text = with(&columns);
    let log = bytes("cannot.csv", text.as_bytes()).unwrap();
    for (column, key, idle) in [
        ("lambda", "lambda_sensor", 1.0),
        ("boost", "boost_sensor_kpa", 0.0),
        ("STFT", "short_trim_pct", 0.0),
        ("LTFT", "long_trim_pct", 1.6),
        ("TPS", "throttle_pct", 5.0),
        ("IAT", "intake_temp_c", 40.0),
        ("MAF (g/s)", "metered_air_g_s", 2.6),
    ] {
        assert_eq!(
            taken(&log, column).0,
            Taken::Reading(channel(key)),
            "{}",
            why(&log, column)
        );
        let read = mean(&log.windows[0], key).unwrap();
        assert!((read - idle).abs() < 0.5, "{key}: {read}");
        let note = log
            .notes
            .iter()
            .find(|note| note.contains(&format!("`{column}`")));
        let note = note.unwrap_or_else(|| panic!("{column}: {:?}", log.notes));
        assert!(note.contains("18"), "{note}");
    }
    // Whoever says what the column is gets it; a column with nothing else is left out.
    let log = bytes(
        "all-wild.csv",
        with(&[BOOST, ("TPS", &|_| "65535".into())]).as_bytes(),
    )
    .unwrap();
    assert_eq!(taken(&log, "TPS").0, Taken::LeftOut);
    assert!(why(&log, "TPS").contains("outside"), "{}", why(&log, "TPS"));
}

/// Only what came while the car stood.
fn standing(text: &str) -> String {
    text.lines()
        .take(1 + (60.0 * RATE) as usize)
        .map(|line| format!("{line}\n"))
        .collect()
}

#[test]
fn a_standing_idle_with_a_pedal_that_never_moves_is_idle() {
    // The idle opening wanders, as it does with consumers on.
    let wanders = |n: Now| format!("{:.1}", 5.0 + 4.0 * (f64::from(n.row as u32 / 200) - 1.0));
    for rest in ["0.0", "14.9"] {
        let text =
            with(&[("TPS [%]", &wanders), MANIFOLD]).replace(",0.0,0.0,", &format!(",{rest},0.0,"));
        let log = bytes("standing.csv", standing(&text).as_bytes()).unwrap();
        assert!(!log.windows.is_empty(), "{rest}: {:?}", log.notes);
        for window in &log.windows {
            assert_eq!(window.name(), "idle", "{rest}");
        }
    }
    // The throttle alone: the overrun closes it further than an idle does.
    let closes = |n: Now| match n.time {
        t if (130.0..132.0).contains(&t) => "0.0".into(),
        _ => format!("{:.1}", n.throttle),
    };
    let text = with(&[("TPS [%]", &closes), MANIFOLD]).replace("pedal [%]", "remark");
    let log = bytes("throttle-idle.csv", text.as_bytes()).unwrap();
    assert_eq!(log.windows[0].name(), "idle", "{:?}", log.windows);
    assert!(
        log.windows.iter().skip(1).all(|w| w.speed > 2000.0),
        "{:?}",
        log.windows
    );
}

#[test]
fn a_pull_is_found_by_the_throttle_where_no_pedal_is_logged() {
    // A plate that is wide open at 84 %.
    let text = with(&[
        ("TPS [%]", &|n| format!("{:.1}", 0.84 * n.throttle)),
        MANIFOLD,
    ]);
    let log = bytes(
        "throttle-pull.csv",
        text.replace("pedal [%]", "remark").as_bytes(),
    )
    .unwrap();
    assert_eq!(log.pulls.len(), 1);
    // Neither: it is said that full load is not told.
    let log = bytes(
        "no-pedal.csv",
        with(&[MANIFOLD]).replace("pedal [%]", "remark").as_bytes(),
    )
    .unwrap();
    assert!(has(&log, "neither pedal nor throttle"), "{:?}", log.notes);
}

#[test]
fn what_a_leak_is_found_by_is_missed_first() {
    let log = bytes("bare.csv", with(&[LAMBDA]).as_bytes()).unwrap();
    assert!(log.notes[0].contains("no fuel trim"), "{:?}", log.notes);
    assert!(log.notes[1].contains("no boost"), "{:?}", log.notes);
    let log = bytes("no-long.csv", with(&[TRIMS[0], BOOST]).as_bytes()).unwrap();
    assert!(
        log.notes[0].contains("no long-term fuel trim"),
        "{:?}",
        log.notes
    );
    let log = bytes("no-short.csv", with(&[TRIMS[1], MANIFOLD]).as_bytes()).unwrap();
    assert!(
        log.notes[0].contains("no short-term fuel trim"),
        "{:?}",
        log.notes
    );
    let log = bytes("both.csv", with(&[TRIMS[0], TRIMS[1], BOOST]).as_bytes()).unwrap();
    assert!(
        !has(&log, "no fuel trim") && !has(&log, "no boost"),
        "{:?}",
        log.notes
    );
}

#[test]
fn one_wide_header_cell_does_not_fill_the_page() {
    let wide = format!("Boost {}", "very wide indeed ".repeat(200));
    let path = written(
        "wide.csv",
        with(&[(&wide, &|n| format!("{:.1}", n.boost)), BOOST]).as_bytes(),
    );
    let path = path.to_str().unwrap();
    let narrow = written(
        "narrow.csv",
        with(&[("Boost x", &|n| format!("{:.1}", n.boost)), BOOST]).as_bytes(),
    );
    let lines = |path: &str| {
        let out = run(&["log", path]);
        let text = String::from_utf8(out.stdout).unwrap();
        let longest = text.lines().map(|line| line.chars().count()).max().unwrap();
        (text.lines().count(), longest)
    };
    let (wide, plain) = (lines(path), lines(narrow.to_str().unwrap()));
    assert!(wide.0 <= plain.0 + 6, "{wide:?} {plain:?}");
    assert!(wide.1 <= plain.1.max(120), "{wide:?} {plain:?}");
    let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join("logs/wide.html");
    let page = run(&["log", path, "--report", file.to_str().unwrap(), "--force"]);
    assert!(page.status.success(), "{}", said(&page));
    let page = std::fs::read_to_string(file).unwrap();
    assert!(page.matches("very wide indeed").count() < 12);
    // Nor the error that names the columns.
    let mapping = written("wide.toml", b"[columns]\n\"Bost\" = \"ignore\"\n");
    let error = run(&["log", path, "--mapping", mapping.to_str().unwrap()]);
    assert_eq!(error.status.code(), Some(2));
    assert!(said(&error).len() < 1000, "{}", said(&error));
}
