//! Logs of engines that the program does not hold: named first, and not judged.

use super::drive::{BOOST, Column, LAMBDA, Now, TRIMS, with};
use super::*;
use falseair::input::log::Said;

/// What `log` says first of an engine that is none of the program's; `diagnose` and `vehicle fit`
/// give no answer but that.
fn not_diagnosed(name: &str, columns: &[Column], words: &[&str]) {
    let path = written(name, with(columns).as_bytes());
    let log = read(&path, &Mapping::default()).unwrap();
    for word in words {
        assert!(
            log.notes[0].contains(word),
            "{name}, {word}: {:?}",
            log.notes
        );
    }
    let car = root().join("scenarios/vehicles/brindle-16.toml");
    let readings = format!("vehicle = {:?}\n", car.to_str().unwrap());
    let readings = written("unlike.toml", readings.as_bytes());
    let [path, car, readings] = [&path, &car, &readings].map(|path| path.to_str().unwrap());
    for arguments in [
        &["diagnose", readings, "--log", path][..],
        &["vehicle", "fit", car, "--log", path],
    ] {
        let run = run(arguments);
        assert_eq!(run.status.code(), Some(2), "{name}: {}", said(&run));
        for word in words {
            assert!(said(&run).contains(word), "{name}: {}", said(&run));
        }
    }
    let log = run(&["log", path]);
    assert_eq!(log.status.code(), Some(0), "{name}: {}", said(&log));
}

#[test]
fn a_diesel_is_called_one() {
    let lean: Column = ("lambda", &|n| {
        format!(
            "{:.2}",
            if n.rpm < 1000.0 { 4.5 } else { 1.6 } + 0.01 * n.stir
        )
    });
    let open: Column = ("MAP [kPa abs]", &|n| format!("{:.1}", 100.0 + n.boost));
    not_diagnosed("diesel.csv", &[lean, open], &["diesel"]);
    let soot: Column = ("DPF differential pressure [kPa]", &|n| {
        format!("{:.1}", 1.0 + n.rpm / 1000.0)
    });
    not_diagnosed("filter.csv", &[open, soot], &["diesel"]);
    // A petrol engine whose sensor stands before the throttle is none.
    let log = bytes(
        "before.csv",
        with(&[LAMBDA, open, TRIMS[0], TRIMS[1]]).as_bytes(),
    )
    .unwrap();
    assert!(!has(&log, "diesel"), "{:?}", log.notes);
    let found = taken(&log, "MAP [kPa abs]").0;
    assert_eq!(
        found,
        Taken::Reading(channel("boost_sensor_kpa")),
        "{}",
        why(&log, "MAP [kPa abs]")
    );
}

#[test]
fn an_engine_without_a_turbo_is_called_one() {
    let breathes: Column = ("MAP [kPa abs]", &|n| format!("{:.1}", n.manifold.min(98.0)));
    not_diagnosed(
        "natural.csv",
        &[LAMBDA, breathes, TRIMS[0], TRIMS[1]],
        &["turbo", "full load"],
    );
    // A target above ambient, or a turbo's own sensor: that engine has one, and lacks its boost.
    let target: Column = ("boost target [kPa gauge]", &|n| {
        format!("{:.0}", 0.9 * n.pedal)
    });
    let log = bytes("pipe-off.csv", with(&[LAMBDA, breathes, target]).as_bytes()).unwrap();
    assert!(!log.notes[0].contains("without a turbo"), "{:?}", log.notes);
    // Never driven at full load: nothing is said of it.
    let gentle = |n: Now| format!("{:.1}", n.manifold.min(75.0));
    let text = with(&[LAMBDA, ("MAP [kPa abs]", &gentle)]).replace(",100.0,", ",30.0,");
    let log = bytes("gentle.csv", text.as_bytes()).unwrap();
    assert!(!has(&log, "without a turbo"), "{:?}", log.notes);
}

#[test]
fn two_banks_are_said_with_what_their_trims_show() {
    let two: [Column; 4] = [
        ("STFT B1", &|n| format!("{:.1}", n.stir)),
        ("LTFT B1", &|_| "1.6".into()),
        ("STFT B2", &|n| format!("{:.1}", 2.0 + n.stir)),
        ("LTFT B2", &|_| "10.2".into()),
    ];
    not_diagnosed(
        "banks.csv",
        &[&two[..], &[BOOST]].concat(),
        &["two banks", "+12.2 % in bank 2"],
    );
    // A second bank that a tool shows although there is none.
    let none: Column = ("SHRTFT2 (%)", &|_| "0.0".into());
    let log = bytes(
        "one-bank.csv",
        with(&[TRIMS[0], TRIMS[1], BOOST, none]).as_bytes(),
    )
    .unwrap();
    assert!(!has(&log, "two banks"), "{:?}", log.notes);
    // The sensor behind the catalyst is no second bank.
    let rear: Column = ("Lambda B1S2", &|n| format!("{:.2}", 1.0 + 0.01 * n.stir));
    let log = bytes("rear.csv", with(&[LAMBDA, BOOST, rear]).as_bytes()).unwrap();
    assert!(!has(&log, "two banks"), "{:?}", log.notes);
    let second: Column = ("Lambda 2", &|n| format!("{:.2}", 1.0 + 0.01 * n.stir));
    let log = bytes("rear-2.csv", with(&[LAMBDA, BOOST, second]).as_bytes()).unwrap();
    assert!(!has(&log, "two banks"), "{:?}", log.notes);
    // One bank is asked for by the mapping: its own affair.
    let ignored = ["STFT B2", "LTFT B2"].map(|name| (name.to_string(), Said::Ignore));
    let columns = ignored.into_iter().collect();
    let mapping = Mapping {
        columns,
        ..Mapping::default()
    };
    let log = read(&written("one.csv", with(&two).as_bytes()), &mapping).unwrap();
    assert!(!has(&log, "two banks"), "{:?}", log.notes);
}

/// A danger is said even where nothing is judged.
#[test]
fn a_danger_is_said_before_an_engine_is_refused() {
    let lean: Column = ("lambda", &|n| {
        format!("{:.2}", if n.pedal > 90.0 { 1.2 } else { 1.0 })
    });
    let second: Column = ("STFT B2", &|n| format!("{:.1}", n.stir));
    not_diagnosed(
        "lean-banks.csv",
        &[lean, BOOST, TRIMS[0], second],
        &["two banks"],
    );
    let car = root().join("scenarios/vehicles/brindle-16.toml");
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("logs/lean-banks.csv");
    let fit = [
        "vehicle",
        "fit",
        car.to_str().unwrap(),
        "--log",
        path.to_str().unwrap(),
    ];
    let fit = said(&run(&fit));
    let [danger, banks] = ["Lean under boost", "two banks"].map(|words| fit.find(words));
    assert!(danger.unwrap() < banks.unwrap(), "{fit}");
}
