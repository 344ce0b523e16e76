//! Columns whose names tell no unit, or a doubtful one: the values decide.

use super::drive::{BOOST, MANIFOLD, with};
use super::*;

#[test]
fn trims_as_factors_or_shares_are_no_per_cents() {
    for (unit, at_zero, per_cent) in [
        ("factor", 1.0, 0.01),
        ("share of 1", 0.0, 0.01),
        ("%", 0.0, 1.0),
    ] {
        let cell = |percents: f64| format!("{:.4}", at_zero + per_cent * percents);
        let text = with(&[
            MANIFOLD,
            ("STFT", &|n| cell(2.0 * n.stir)),
            ("LTFT", &|_| cell(3.0)),
        ]);
        let log = bytes("trims.csv", text.as_bytes()).unwrap();
        for (column, key, wanted) in [
            ("STFT", "short_trim_pct", 0.0),
            ("LTFT", "long_trim_pct", 3.0),
        ] {
            assert_eq!(taken(&log, column), (Taken::Reading(channel(key)), unit));
            let read = mean(&log.windows[0], key).unwrap();
            assert!((read - wanted).abs() < 0.3, "{unit}, {key}: {read}");
        }
    }
    // A learnt trim that stays at 1 % beside one in per cents.
    let text = with(&[
        MANIFOLD,
        ("STFT", &|n| format!("{:.2}", 3.0 * n.stir)),
        ("LTFT", &|_| "1.0".into()),
    ]);
    let log = bytes("learnt.csv", text.as_bytes()).unwrap();
    assert_eq!(taken(&log, "LTFT").1, "%");
}

#[test]
fn a_lambda_sensor_at_its_end_over_the_overrun_is_still_lambda() {
    for (name, factor, unit) in [("Wideband", 1.0, ""), ("Wideband", 14.7, "air/fuel")] {
        let text = with(&[
            BOOST,
            (name, &|n| match n.time {
                t if (117.0..120.0).contains(&t) => format!("{:.2}", 7.99 * factor),
                t if (90.0..91.0).contains(&t) => format!("{:.2}", 0.33 * factor),
                _ => format!("{:.3}", factor * (1.0 + 0.004 * n.stir)),
            }),
        ]);
        let log = bytes("end.csv", text.as_bytes()).unwrap();
        assert_eq!(
            taken(&log, name),
            (Taken::Reading(channel("lambda_sensor")), unit),
            "{}",
            why(&log, name)
        );
        let idle = mean(&log.windows[0], "lambda_sensor").unwrap();
        assert!((idle - 1.0).abs() < 0.01, "{unit}: {idle}");
    }
}

#[test]
fn the_letter_of_a_sensor_says_nothing_of_vacuum() {
    let names = [
        "Boost pressure sensor A [kPa]",
        "BP_A_ACT [kPa]",
        "Turbo Boost Pressure A [kPa]",
    ];
    for (name, air, unit) in (names.iter())
        .flat_map(|name| [(*name, 0.0, "kPa gauge"), (*name, 100.0, "kPa abs")])
        // A datum that the values at idle speak against is none either.
        .chain([
            ("Boost absolute [kPa]", 0.0, "kPa gauge"),
            ("Boost gauge [kPa]", 100.0, "kPa abs"),
        ])
    {
        let text = with(&[MANIFOLD, (name, &|n| format!("{:.1}", n.boost + air))]);
        let log = bytes("letter.csv", text.as_bytes()).unwrap();
        assert_eq!(
            taken(&log, name),
            (Taken::Reading(channel("boost_sensor_kpa")), unit),
            "{}",
            why(&log, name)
        );
        let idle = mean(&log.windows[0], "boost_sensor_kpa").unwrap();
        assert!(idle.abs() < 2.0, "{name}: {idle}");
    }
}

#[test]
fn boost_and_speed_without_units_are_told_beside_others() {
    for (name, unit) in [("MAP", "manifold"), ("barometric pressure", "barometer")] {
        let text = with(&[
            ("boost pressure", &|n| format!("{:.0}", n.boost + 100.0)),
            (name, &|n| match name {
                "MAP" => format!("{:.0}", n.manifold),
                _ => "100".into(),
            }),
        ]);
        let text = text.replace("vehicle speed [km/h]", "vehicle speed");
        let log = bytes("beside.csv", text.as_bytes()).unwrap();
        let found = taken(&log, "boost pressure");
        assert_eq!(
            found,
            (Taken::Reading(channel("boost_sensor_kpa")), "kPa abs")
        );
        assert!(why(&log, "boost pressure").contains(unit));
        assert_eq!(taken(&log, "vehicle speed").1, "km/h");
    }
    // Where miles are driven it may be either.
    let text = with(&[("boost [psi gauge]", BOOST.1)]);
    let text = text.replace("vehicle speed [km/h]", "vehicle speed");
    let log = bytes("miles.csv", text.as_bytes()).unwrap();
    assert_eq!(taken(&log, "vehicle speed").0, Taken::LeftOut);
}

#[test]
fn parted_thousands_are_no_decimals() {
    let plain = bytes("whole.csv", with(&[MANIFOLD]).as_bytes()).unwrap();
    for (mark, delimiter) in [
        (",", ";"),
        (".", ";"),
        (" ", ","),
        ("\u{a0}", ","),
        ("'", ","),
    ] {
        let text = with(&[MANIFOLD]);
        let rows = text.lines().map(|line| {
            let mut cells: Vec<String> = line.split(',').map(String::from).collect();
            if cells[1].len() == 4 {
                cells[1].insert_str(1, mark);
            }
            if mark == "." {
                cells
                    .iter_mut()
                    .skip(2)
                    .for_each(|cell| *cell = cell.replace('.', ","));
            }
            cells.join(delimiter) + "\n"
        });
        let log = bytes("parted.csv", rows.collect::<String>().as_bytes())
            .unwrap_or_else(|e| panic!("{mark}: {e}"));
        let speeds = |log: &Log| -> Vec<f64> { log.windows.iter().map(|w| w.speed).collect() };
        assert_eq!(speeds(&log), speeds(&plain), "{mark}");
        assert_eq!(log.pulls.len(), 1, "{mark}");
        assert!(
            has(&log, "thousands are taken to be parted"),
            "{mark}: {:?}",
            log.notes
        );
    }
}
