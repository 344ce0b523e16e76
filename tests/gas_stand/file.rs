//! The file side: the forms a table may take, and what is written.

use crate::fit::{table, turbine_table};
use falseair::answer::Answers;
use falseair::commands::vehicle::gas_stand::{Fitted, fit};
use falseair::input::gas_stand::{Points, StandTable};
use falseair::input::{InputError, Source};
use serde_json::Value;
use sim::machine::compressor::Compressor;
use sim::machine::gas_stand::CompressorTable;
use sim::machine::turbine::Turbine;
use sim::params::Table;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

pub fn falseair(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_falseair"))
        .args(arguments)
        // The last run's files may be there.
        .arg("--force")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap()
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A fresh folder in the build's own folder for tests.
pub fn scratch(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join("gas_stand")
        .join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

pub fn read(text: &str) -> Result<StandTable, InputError> {
    StandTable::from_source(Source::from_text(Path::new("table.csv"), text))
}

fn fitted(text: &str) -> Fitted {
    read(text).and_then(fit).unwrap_or_else(|e| panic!("{e}"))
}

pub const HEAD: &str = "\
# machine: compressor
# reference temperature: 25 degC
# reference pressure: 100 kPa abs
# wheel diameter: 49 mm
";

/// The points of a table without scatter, one row each, as `form` writes them.
fn rows(form: &dyn Fn([f64; 4]) -> String) -> String {
    let points = table(0.0).points;
    let rows = points.iter().map(|p| {
        form([
            p.corrected_flow,
            p.pressure_ratio,
            p.efficiency,
            p.corrected_speed,
        ])
    });
    rows.collect::<Vec<_>>().join("\n")
}

pub fn plain_table() -> String {
    let rows =
        rows(&|[flow, ratio, efficiency, speed]| format!("{flow},{ratio},{efficiency},{speed}"));
    format!(
        "{HEAD}corrected flow [kg/s],pressure ratio,efficiency,corrected speed [rad/s]\n{rows}\n"
    )
}

fn compressor_points(text: &str) -> CompressorTable {
    match read(text).unwrap_or_else(|e| panic!("{e}")).points {
        Points::Compressor(table) => table,
        Points::Turbine(_) => panic!("a turbine"),
    }
}

fn same(a: &CompressorTable, b: &CompressorTable) {
    let near = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 1e-12, "{a} for {b}");
    assert_eq!(a.points.len(), b.points.len());
    near(a.reference_temperature, b.reference_temperature);
    near(a.reference_pressure, b.reference_pressure);
    near(a.wheel_diameter, b.wheel_diameter);
    for (a, b) in a.points.iter().zip(&b.points) {
        near(a.corrected_flow, b.corrected_flow);
        near(a.pressure_ratio, b.pressure_ratio);
        near(a.efficiency, b.efficiency);
        near(a.corrected_speed, b.corrected_speed);
    }
}

#[test]
fn a_plain_table_is_read_as_it_stands() {
    same(&compressor_points(&plain_table()), &table(0.0));
}

/// Factors F: 1 lb is 0.45359237 kg, 1 rpm is 2π/60 rad/s.
#[test]
fn any_order_unit_delimiter_and_decimal_mark() {
    let lb_min = 60.0 / 0.453_592_37;
    let krpm = 60e-3 / std::f64::consts::TAU;
    let comma = |x: f64| x.to_string().replace('.', ",");
    let pounds = rows(&|[flow, ratio, efficiency, speed]| {
        format!(
            "  {} ,\t{ratio}, {}, {flow_lb}",
            speed * krpm,
            100.0 * efficiency,
            flow_lb = flow * lb_min
        )
    });
    let pounds = format!(
        "## made up, with: a colon\n{HEAD}\n\
         Corrected Speed [krpm], Pressure_Ratio [-], EFFICIENCY [%], corrected  flow [lb/min]\r\n\
         \r\n# no colon here\r\n{}\r\n\r\n",
        pounds.replace('\n', "\r\n")
    );
    same(&compressor_points(&pounds), &table(0.0));

    // As a spreadsheet of a decimal-comma country leaves it: padded and quoted.
    let sheet = rows(&|[flow, ratio, efficiency, speed]| {
        let [flow, ratio, efficiency] = [1e3 * flow, ratio, efficiency].map(comma);
        format!("{flow};{ratio};\"{efficiency}\";{};;", comma(speed))
    });
    let head = HEAD
        .replace('\n', ";;;;;\n")
        .replace("25 degC", "25,0 degC");
    let head = head.replace("# wheel diameter: 49 mm", "\"# wheel diameter: 49 mm\"");
    let sheet = format!(
        "{head};;;;;\ncorrected flow [g/s];pressure ratio;efficiency;corrected speed [rad/s];;\n{sheet}\n;;;;;\n"
    );
    same(&compressor_points(&sheet), &table(0.0));
    let tabs = sheet.replace(';', "\t");
    same(&compressor_points(&tabs), &table(0.0));
}

#[derive(serde::Deserialize)]
struct File {
    compressor: Option<Compressor>,
    turbine: Option<Turbine>,
}

fn numbers<T: Table>(map: impl Fn(&mut dyn FnMut(&str, f64))) -> Vec<(String, f64)> {
    let mut all = Vec::new();
    map(&mut |name, value| all.push((name.to_owned(), value)));
    assert_eq!(all.len(), T::FIELDS.len());
    all
}

/// Every number in the table written is the number reported, bit for bit, and
/// the number fitted to the six digits written.
#[test]
fn the_written_table_reads_back_as_the_same_machine() {
    for text in [plain_table(), turbine_text()] {
        let fitted = fitted(&text);
        let toml = fitted.toml();
        let file: File = toml::from_str(&toml).unwrap_or_else(|e| panic!("{e}\n{toml}"));
        let read = match (file.compressor, file.turbine) {
            (Some(c), None) => numbers::<Compressor>(|each| {
                c.map(&mut |n, v| each(n, v));
            }),
            (None, Some(t)) => numbers::<Turbine>(|each| {
                t.map(&mut |n, v| each(n, v));
            }),
            _ => panic!("{toml}"),
        };
        for ((name, number), value) in read.iter().zip(&fitted.values) {
            assert_eq!((name.as_str(), *number), (value.field.name, value.si));
        }
        for c in &fitted.quality.coefficients {
            let (_, read) = read.iter().find(|(name, _)| name == c.name).unwrap();
            assert!(
                (read - c.value).abs() <= 1e-5 * c.value.abs(),
                "{c:?} is {read}"
            );
        }
    }
}

fn turbine_text() -> String {
    let made = turbine_table(0.01);
    let mut text = String::from(
        "# machine: turbine\n# name: bad \u{1b}[31m name\n# reference temperature: 15 degC\n\
         # reference pressure: 101.325 kPa abs\n# stand temperature: 600 degC\n\
         # wheel diameter: 44 mm\nblade speed ratio,expansion ratio,efficiency [%],corrected flow [g/s]\n",
    );
    for p in &made.points {
        text += &format!(
            "{},{},{},{}\n",
            p.blade_speed_ratio,
            p.expansion_ratio,
            100.0 * p.efficiency,
            1e3 * p.corrected_flow
        );
    }
    text
}

#[test]
fn a_file_for_a_vehicle_and_json() {
    let folder = scratch("out");
    let (table, out) = (folder.join("table.csv"), folder.join("part.toml"));
    // With the byte-order mark some editors put first.
    std::fs::write(&table, format!("\u{feff}{}", turbine_text())).unwrap();
    let (table, path) = (table.to_str().unwrap(), out.to_str().unwrap());
    let output = falseair(&[
        "vehicle",
        "gas-stand",
        table,
        "--out",
        path,
        "--format",
        "json",
    ]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let written = std::fs::read_to_string(&out).unwrap();
    assert_eq!(answer["vehicle_table"].as_str(), Some(written.as_str()));
    assert_eq!(answer["machine"], "turbine");
    assert_eq!(answer["points"], 20);
    assert_eq!(
        answer["values"].as_array().unwrap().len(),
        Turbine::FIELDS.len()
    );
    let worst = answer["deviations"][0]["worst_line"].as_u64().unwrap();
    assert!((8..28).contains(&worst), "{worst}");
    // A name cannot reach the terminal's controls, nor end a comment.
    assert!(!written.contains('\u{1b}'));
    let shown = falseair(&["vehicle", "gas-stand", table]);
    assert!(!text(&shown.stdout).contains('\u{1b}'));
}

#[test]
fn points_outside_are_listed_by_line() {
    // A point far beyond the flow at zero head of its speed line.
    let text = plain_table() + "0.2,1.01,0.1,7000\n";
    let fitted = fitted(&text);
    let last = text.lines().count();
    assert_eq!(fitted.table.line(35), last);
    if fitted.quality.outside.contains(&35) {
        let report = fitted.page().printed().to_string();
        let mut lines = report.lines();
        let listed = lines.any(|line| line.split_whitespace().next() == Some(&last.to_string()));
        assert!(listed, "{report}");
        assert!(report.contains("beyond its flow at zero head"), "{report}");
    } else {
        panic!("{}", fitted.quality);
    }
}
