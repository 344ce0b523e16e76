//! The shipped example tables: made here, and fitted as a user would.

use crate::file::{falseair, text};
use crate::fit::{TURBINE, WHEEL, coefficients, table, turbine_table};
use falseair::commands::vehicle::gas_stand::{Fitted, Origin, fit};
use falseair::input::gas_stand::StandTable;
use std::f64::consts::PI;
use std::fmt::Write;
use std::path::{Path, PathBuf};

fn shipped(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("scenarios/gas_stand")
        .join(name)
}

const FORM: &str = "\
## A `#` line with a colon says something about the table, a `##` line is a remark.
";

/// About 1 % of scatter, even and seeded, on flow, pressure and efficiency.
const SCATTER: f64 = 0.01;

fn compressor() -> String {
    let mut text = String::from(
        "\
## INVENTED MACHINE. Computed from the law of an invented compressor, with 1 % of
## seeded scatter on flow, pressure ratio and efficiency. No maker's data.
##
",
    );
    text += FORM;
    text += "\
## Pressure ratio and efficiency: total to total. Columns may stand in any order
## and unit; efficiency as a share or in percent.
# machine: compressor
# name: Orrel 49 (invented)
# reference temperature: 25 degC
# reference pressure: 100 kPa abs
# wheel diameter: 49 mm

corrected flow [kg/s], pressure ratio, efficiency [%], corrected speed [rpm]
";
    for (i, p) in table(SCATTER).points.iter().enumerate() {
        if i % 7 == 0 {
            let _ = writeln!(text, "## speed line {}", i / 7 + 1);
        }
        let _ = writeln!(
            text,
            "{:.5}, {:.4}, {:.2}, {:.0}",
            p.corrected_flow,
            p.pressure_ratio,
            100.0 * p.efficiency,
            p.corrected_speed * 30.0 / PI
        );
    }
    text
}

fn turbine() -> String {
    let mut text = String::from(
        "\
## INVENTED MACHINE. Computed from the law of an invented turbine, with 1 % of
## seeded scatter on flow and efficiency. No maker's data.
##
",
    );
    text += FORM;
    text += "\
## Expansion ratio and efficiency: total to static, bearing loss taken off.
## Blade-speed ratio: tip speed over spouting speed.
# machine: turbine
# name: Orrel 44 (invented)
# reference temperature: 15 degC
# reference pressure: 101.325 kPa abs
# stand temperature: 600 degC
# wheel diameter: 44 mm

expansion ratio; corrected flow [g/s]; efficiency; blade-speed ratio
";
    for p in &turbine_table(SCATTER).points {
        let _ = writeln!(
            text,
            "{:.2}; {:.2}; {:.4}; {:.3}",
            p.expansion_ratio,
            1e3 * p.corrected_flow,
            p.efficiency,
            p.blade_speed_ratio
        );
    }
    text
}

#[test]
#[ignore = "writes the shipped tables anew"]
fn write_the_examples() {
    std::fs::write(shipped("compressor.csv"), compressor()).unwrap();
    std::fs::write(shipped("turbine.csv"), turbine()).unwrap();
}

#[test]
fn the_shipped_tables_are_those_made_here() {
    for (name, made) in [("compressor.csv", compressor()), ("turbine.csv", turbine())] {
        assert_eq!(
            std::fs::read_to_string(shipped(name)).unwrap(),
            made,
            "{name}"
        );
    }
}

fn fitted(name: &str) -> Fitted {
    fit(StandTable::read(&shipped(name)).unwrap()).unwrap()
}

#[test]
fn the_shipped_tables_give_their_machines_within_the_stated_doubt() {
    let mut known = coefficients(&WHEEL);
    known.retain(|(name, _)| name != "wheel_diameter");
    let compressor = fitted("compressor.csv");
    let turbine = fitted("turbine.csv");
    TURBINE.map(&mut |name, value| known.push((name.into(), value)));
    let mut told = 0;
    for value in compressor.values.iter().chain(&turbine.values) {
        let Origin::Fitted(doubt) = value.origin else {
            continue;
        };
        let (_, law) = known
            .iter()
            .find(|(name, _)| name == value.field.name)
            .unwrap();
        assert!((value.si - law).abs() < 3.5 * doubt, "{value:?} for {law}");
        told += 1;
    }
    assert_eq!(told, 8 + 3);
    for one in [compressor, turbine] {
        assert!(one.quality.deviations.iter().all(|d| d.rms < 2.0 * SCATTER));
    }
}

#[test]
fn reports_fit_80_columns_and_say_invented() {
    for name in ["compressor.csv", "turbine.csv"] {
        let path = Path::new("scenarios/gas_stand").join(name);
        let output = falseair(&["vehicle", "gas-stand", path.to_str().unwrap()]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        let shown = text(&output.stdout);
        for line in shown.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        assert!(!shown.contains("NaN") && !shown.contains("inf "), "{shown}");
        for word in ["invented", "rms", "at line", "±", "stated"] {
            assert!(shown.contains(word), "`{word}` is missing in:\n{shown}");
        }
        let help = falseair(&["vehicle", "gas-stand", "--help"]);
        let help = text(&help.stdout);
        for line in help.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        assert!(help.contains("# reference temperature: 25 degC"));
    }
}
