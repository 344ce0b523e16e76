//! Columns as logs of the bay call them: common short names, the names of SAE J1979 and J1930,
//! spoilt letters, near spellings; what each is taken for, and that it is said.

use super::drive::{Now, with};
use super::*;
use falseair::input::log::read_bytes;

fn of(header: &str, cell: &dyn Fn(Now) -> String) -> Log {
    let text = with(&[(header, cell)]);
    read_bytes(
        Path::new("column.csv"),
        text.as_bytes(),
        &Mapping::default(),
    )
    .unwrap_or_else(|e| panic!("{header}: {e}"))
}

fn reads(header: &str, cell: &dyn Fn(Now) -> String, key: &str) {
    let log = of(header, cell);
    let found = log.mapping.last().unwrap();
    let wanted = Taken::Reading(channel(key));
    assert_eq!(found.taken, wanted, "{header}: {}", found.why);
}

fn lambda(n: Now) -> String {
    let rich = if n.pedal > 90.0 { 0.12 } else { 0.0 };
    format!("{:.3}", 1.0 - rich + 0.005 * n.stir)
}

fn ratio(n: Now) -> String {
    let rich = if n.pedal > 90.0 { 1.8 } else { 0.0 };
    format!("{:.2}", 14.7 - rich + 0.1 * n.stir)
}

#[test]
fn mixture_by_its_short_names() {
    for header in [
        "AFR",
        "A/F",
        "AF ratio",
        "Air/Fuel",
        "Air Fuel Ratio",
        "Measured AFR",
        "AFR 1",
        "Wideband",
        "Wideband O2",
        "WBO2",
        "Wide band",
        "AFR (wideband)",
        "O2 AFR",
        "UEGO",
        "Wideband AFR (:1)",
    ] {
        reads(header, &ratio, "lambda_sensor");
    }
    for header in [
        "Lambda",
        "λ",
        "Lambda 1",
        "Lambda B1S1",
        "UEGO lambda",
        "EQ_RAT11",
        "LAMBDA_ACT",
    ] {
        reads(header, &lambda, "lambda_sensor");
    }
    for header in [
        "AFR target",
        "Target AFR",
        "AFR cmd",
        "Desired A/F",
        "AFR Setpoint",
        "AFR set point",
    ] {
        reads(header, &ratio, "commanded_lambda");
    }
    for header in [
        "Lambda target",
        "Lambda specified",
        "Commanded lambda",
        "Lambda request",
        "EQ_RAT",
        "Target λ",
        "Lambda set",
    ] {
        reads(header, &lambda, "commanded_lambda");
    }
}

#[test]
fn throttle_pedal_trims_and_gear_by_their_short_names() {
    let throttle = |n: Now| format!("{:.1}", n.throttle);
    for header in [
        "TPS",
        "TPS (%)",
        "TPS1",
        "TP",
        "TP1 (%)",
        "Throttle",
        "Throttle angle (%)",
        "Throttle pos",
        "Throttle plate position",
        "Throttle opening %",
    ] {
        reads(header, &throttle, "throttle_pct");
    }
    let text = with(&[("AFR", &ratio)]).replacen("pedal [%]", "APP_D", 1);
    let log = bytes("app.csv", text.as_bytes()).unwrap();
    assert_eq!(taken(&log, "APP_D").0, Taken::Reading(channel("pedal_pct")));
    let trim = |n: Now| format!("{:.1}", 2.0 + n.stir);
    for header in [
        "STFT",
        "STFT1",
        "STFT B1 (%)",
        "SHRTFT1",
        "Short FT",
        "ST fuel trim",
        "STFT bank 1",
        "Short-term trim",
        "Fuel trim short",
        "Fuel trim (short term)",
    ] {
        reads(header, &trim, "short_trim_pct");
    }
    for header in [
        "LTFT",
        "LTFT1",
        "LTFT B1 (%)",
        "LONGFT1",
        "Long FT",
        "LT fuel trim",
        "Long-term trim",
        "Fuel trim long",
        "Fuel trim, long term",
    ] {
        reads(header, &trim, "long_trim_pct");
    }
    for header in [
        "Gear",
        "Current gear",
        "Gear number",
        "Selected gear",
        "Gear engaged",
    ] {
        reads(header, &|n| format!("{:.0}", n.gear), "gear");
    }
    reads("LOAD_PCT", &throttle, "calculated_load_pct");
    reads("LOAD_ABS", &throttle, "absolute_load_pct");
}

/// What the computer aims at is not what is.
#[test]
fn target_boost_is_a_reading_of_its_own() {
    let target = |n: Now| format!("{:.1}", if n.pedal > 90.0 { 90.0 } else { 0.0 });
    for header in [
        "Boost target (kPa)",
        "Target boost [kPa gauge]",
        "Desired boost kPa",
        "Boost setpoint [kPa]",
        "Boost pressure specified (kPa)",
        "Requested charge pressure [kPa]",
        "Commanded boost (kPa)",
    ] {
        let text = with(&[
            ("Boost [kPa gauge]", &|n| format!("{:.1}", n.boost)),
            (header, &target),
        ]);
        let log = bytes("target.csv", text.as_bytes()).unwrap();
        let found = log.mapping.last().unwrap();
        let wanted = Taken::Reading(channel("commanded_boost_kpa"));
        assert_eq!(found.taken, wanted, "{header}: {}", found.why);
        assert_eq!(found.unit, "kPa gauge", "{header}");
        let boost = Taken::Reading(channel("boost_sensor_kpa"));
        assert_eq!(taken(&log, "Boost [kPa gauge]").0, boost);
    }
    // Absolute, at rest the air around: told by the standing and idling engine.
    let absolute = |n: Now| format!("{:.1}", if n.pedal > 90.0 { 190.0 } else { 100.0 });
    let log = of("Boost target (kPa)", &absolute);
    assert_eq!(taken(&log, "Boost target (kPa)").1, "kPa abs");
}

/// Air is warmed by the turbo and cooled again on its way: two sensors are two readings.
#[test]
fn air_at_the_meter_and_in_the_manifold_are_told_apart() {
    let meter: &dyn Fn(Now) -> String = &|n| format!("{:.0}", 24.0 + n.stir);
    let manifold: &dyn Fn(Now) -> String = &|n| format!("{:.0}", 41.0 + n.stir);
    for (at_meter, inside) in [
        ("MAF temperature [°C]", "Manifold air temperature [°C]"),
        ("IAT [°C]", "MAT [°C]"),
        ("Intake air temp (°C)", "Charge air temp (°C)"),
        ("Air meter temperature (°C)", "IAT (°C)"),
        (
            "Intake air temperature at meter (°C)",
            "Intake air temperature (°C)",
        ),
    ] {
        for turned in [false, true] {
            let mut two = [(at_meter, meter), (inside, manifold)];
            if turned {
                two.reverse();
            }
            let log = bytes("airs.csv", with(&two).as_bytes()).unwrap();
            let idle = &log.windows[0];
            let meter = mean(idle, "meter_air_temp_c").unwrap_or_else(|| panic!("{at_meter}"));
            let manifold = mean(idle, "intake_temp_c").unwrap_or_else(|| panic!("{inside}"));
            assert!((meter - 24.0).abs() < 0.5, "{at_meter}, {inside}: {meter}");
            assert!(
                (manifold - 41.0).abs() < 0.5,
                "{at_meter}, {inside}: {manifold}"
            );
        }
    }
    // Alone it may be either, and that is said.
    let log = of("IAT [°C]", manifold);
    assert!(
        why(&log, "IAT [°C]").contains("mass air flow"),
        "{}",
        why(&log, "IAT [°C]")
    );
}

#[test]
fn letters_spoilt_by_a_wrong_encoding_are_read() {
    let warm = |n: Now| format!("{:.0}", 41.0 + n.stir);
    for degree in [
        "°C",
        "Â°C",
        "Ã‚Â°C",
        "Ãƒâ€šÃ‚Â°C",
        "\u{fffd}C",
        "?C",
        "øC",
        "¡C",
        "ºC",
        "˚C",
        "℃",
    ] {
        let header = format!("Intake temperature [{degree}]");
        let log = of(&header, &warm);
        let found = log.mapping.last().unwrap();
        assert_eq!(
            found.taken,
            Taken::Reading(channel("intake_temp_c")),
            "{header}: {}",
            found.why
        );
        assert_eq!(found.unit, "degC", "{header}");
        // What a person reads is what was meant.
        if degree.starts_with(['Â', 'Ã']) {
            assert_eq!(found.column, "Intake temperature [°C]");
            assert!(
                log.notes.iter().any(|note| note.contains("wrong encoding")),
                "{:?}",
                log.notes
            );
        }
    }
    for header in ["Î»", "ÃŽÂ»"] {
        reads(header, &lambda, "lambda_sensor");
    }
    // A mapping may name the column either way.
    for header in ["Frischluft [Â°C]", "Frischluft [°C]"] {
        let text = with(&[("Frischluft [Â°C]", &warm)]);
        let toml = format!("[columns]\n\"{header}\" = {{ reading = \"ambient_temp_c\" }}\n");
        let toml = written("spoilt.toml", toml.as_bytes());
        let mapping: Mapping = falseair::input::read_toml(&toml).unwrap();
        let log = read(&written("spoilt.csv", text.as_bytes()), &mapping).unwrap();
        let found = log.mapping.last().unwrap();
        assert_eq!(
            found.taken,
            Taken::Reading(channel("ambient_temp_c")),
            "{}",
            found.why
        );
        assert_eq!(found.unit, "degC");
    }
}

#[test]
fn near_spellings_are_read_and_said() {
    let warm = |n: Now| format!("{:.0}", 41.0 + n.stir);
    let kpa = |n: Now| format!("{:.1}", n.boost);
    let share = |n: Now| format!("{:.1}", n.throttle);
    type Case<'a> = (&'a str, &'a dyn Fn(Now) -> String, &'a str);
    let cases: [Case; 6] = [
        ("Intake temprature [degC]", &warm, "intake_temp_c"),
        ("Intake tempreture [degC]", &warm, "intake_temp_c"),
        ("Throtle positon [%]", &share, "throttle_pct"),
        ("Taget boost [kPa gauge]", &kpa, "commanded_boost_kpa"),
        ("Westgate duty [%]", &share, "wastegate_solenoid_duty_pct"),
        (
            "Barometirc presure [kPa abs]",
            &|_| "100".into(),
            "ambient_kpa",
        ),
    ];
    for (header, cell, key) in cases {
        reads(header, cell, key);
        let log = of(header, cell);
        assert!(
            why(&log, header).contains("spelling"),
            "{}",
            why(&log, header)
        );
    }
    let joined: [Case; 4] = [
        ("throttleposition", &share, "throttle_pct"),
        ("boostpressure [kPa gauge]", &kpa, "boost_sensor_kpa"),
        ("intakeairtemp [degC]", &warm, "intake_temp_c"),
        ("shorttermfueltrim", &share, "short_trim_pct"),
    ];
    for (header, cell, key) in joined {
        reads(header, cell, key);
    }
    // Words of the trade that are near another one mean something else.
    for header in [
        "Cooler temperature [degC]",
        "Exhaust target",
        "Brake pressure [kPa gauge]",
        "Oil pressure [kPa gauge]",
        "Rail pressure [kPa gauge]",
        "Trans temperature [degC]",
        "Boost error [kPa gauge]",
        "Gear ratio",
        "Ignition timing [deg]",
        "Knock retard",
        "Throttle target error",
    ] {
        let log = of(header, &warm);
        assert_eq!(
            log.mapping.last().unwrap().taken,
            Taken::LeftOut,
            "{header}"
        );
    }
}

#[test]
fn doubled_quotes_inside_quotes_are_one_quote() {
    let log = of("Boost \"cold side\", 1\" pipe", &|n| {
        format!("{:.1}", n.boost)
    });
    assert_eq!(log.mapping.len(), 6);
    assert_eq!(log.mapping[5].column, "Boost \"cold side\", 1\" pipe");
    let log = of("Note", &|n| format!("row \"{}\", fine, 5", n.row));
    assert!(
        log.notes.iter().all(|note| !note.contains("fewer")),
        "{:?}",
        log.notes
    );
    // A column behind the words stays in its place.
    let text = with(&[("Note", &|_| "a \"b\", c".into()), ("AFR", &ratio)]);
    let log = bytes("quotes.csv", text.as_bytes()).unwrap();
    let lambda = mean(&log.windows[0], "lambda_sensor").unwrap();
    assert!((lambda - 1.0).abs() < 0.01, "{lambda}");
}
