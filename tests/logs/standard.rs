//! Names of SAE J1979 and the trade's short ones.

use super::drive::{BOOST, Column, MANIFOLD, with};
use super::*;

#[test]
fn names_of_the_standard_are_understood() {
    for (header, value, key) in [
        ("LOAD_PCT [%]", 40.0, "calculated_load_pct"),
        ("Charge air cooler temperature [°C]", 40.0, "intake_temp_c"),
        ("CACT11 [°C]", 40.0, "intake_temp_c"),
        ("Wastegate control [%]", 40.0, "wastegate_solenoid_duty_pct"),
        (
            "Boost control solenoid duty [%]",
            40.0,
            "wastegate_solenoid_duty_pct",
        ),
        ("Air Fuel Equivalence Ratio", 1.0, "lambda_sensor"),
        ("MAF A [g/s]", 4.0, "metered_air_g_s"),
        ("MAF [gm/s]", 4.0, "metered_air_g_s"),
        ("MAF (gm/sec)", 4.0, "metered_air_g_s"),
        ("Throttle position A [%]", 4.0, "throttle_pct"),
        ("TP_R [%]", 4.0, "throttle_pct"),
        ("IAT2 [°C]", 40.0, "intake_temp_c"),
    ] {
        let text = with(&[
            BOOST,
            (header, &|n| format!("{:.2}", value * (1.0 + 0.01 * n.stir))),
        ]);
        let log = bytes("standard.csv", text.as_bytes()).unwrap();
        let found = taken(&log, header).0;
        assert_eq!(
            found,
            Taken::Reading(channel(key)),
            "{header}: {}",
            why(&log, header)
        );
        let idle = mean(&log.windows[0], key).unwrap();
        assert!((idle / value - 1.0).abs() < 0.02, "{header}: {idle}");
    }
    for header in [
        "APP_R [%]",
        "Relative accelerator pedal position [%]",
        "APP_E [%]",
        "Accelerator pedal position F [%]",
    ] {
        let text = with(&[MANIFOLD]).replace("pedal [%]", header);
        let log = bytes("pedals.csv", text.as_bytes()).unwrap();
        assert_eq!(log.pulls.len(), 1, "{header}: {}", why(&log, header));
    }
}

#[test]
fn a_pedal_counted_from_zero_goes_before_its_other_tracks() {
    let half: Column = ("APP_E [%]", &|n| format!("{:.1}", 0.5 * n.pedal));
    let rest: Column = ("TP_R [%]", &|n| format!("{:.1}", n.throttle - 5.0));
    let whole: Column = ("TP [%]", &|n| format!("{:.1}", n.throttle));
    // What stands first in the file does not decide.
    let text = with(&[
        half,
        rest,
        MANIFOLD,
        whole,
        ("APP_D [%]", &|n| format!("{:.1}", n.pedal)),
    ]);
    let log = bytes("tracks.csv", text.replace("pedal [%]", "remark").as_bytes()).unwrap();
    for (column, key) in [("APP_D [%]", "pedal_pct"), ("TP [%]", "throttle_pct")] {
        assert_eq!(taken(&log, column).0, Taken::Reading(channel(key)));
    }
    for column in ["APP_E [%]", "TP_R [%]"] {
        assert_eq!(taken(&log, column).0, Taken::LeftOut);
    }
}

#[test]
fn vacuum_counts_down_from_the_air_around() {
    let barometer: Column = ("barometric pressure [kPa]", &|_| "100".into());
    let kpa = |inches: f64| inches * 3.386_389;
    for sign in [1.0, -1.0] {
        let vacuum: Column = ("Manifold vacuum [inHg]", &|n| {
            format!("{:.2}", sign * (100.0 - n.manifold) / kpa(1.0))
        });
        let log = bytes("vacuum.csv", with(&[barometer, vacuum]).as_bytes()).unwrap();
        let idle = mean(&log.windows[0], "manifold_kpa").unwrap();
        assert!((idle - 32.0).abs() < 0.5, "{sign}: {idle}");
        let full = log.pulls[0].at(4000.0).unwrap();
        let full = full
            .iter()
            .find(|a| a.channel == channel("manifold_kpa"))
            .unwrap();
        assert!((full.mean - 188.0).abs() < 2.0, "{sign}: {}", full.mean);
    }
    let gauge: Column = ("Boost/vacuum [kPa]", &|n| {
        format!("{:.1}", n.manifold - 100.0)
    });
    let log = bytes("both.csv", with(&[barometer, gauge]).as_bytes()).unwrap();
    let idle = mean(&log.windows[0], "manifold_kpa").unwrap();
    assert!((idle - 32.0).abs() < 0.5, "{idle}");
}
