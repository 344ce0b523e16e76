//! Tables of cases: the same cases from CSV, from Parquet and from axes; what is wrong at its place.

use super::*;

const TABLE: &str = "leak.0.round_hole.diameter [mm],leak.0.place,ambient.temperature [degC]\n\
                     1.5,inlet_duct,0\n0.5,cold_pipe,30\n5,cold_pipe,12.5\n2.25,hot_pipe,-3\n";

fn written(folder: &Path, name: &str, text: &str) -> PathBuf {
    let path = folder.join(name);
    fs::write(&path, text).unwrap();
    path
}

fn with<'a>(cases: &'a Path, further: &[&'a str]) -> Vec<&'a str> {
    [&["--cases", cases.to_str().unwrap()], further].concat()
}

/// A number of a row.
fn at(row: &std::collections::HashMap<String, String>, column: &str) -> f64 {
    row[column].parse().unwrap()
}

#[test]
fn rows_of_a_table_are_cases_however_it_is_written() {
    let folder = scratch("cases");
    let study = study(&folder, CRUISE);
    let table = written(&folder, "cases.csv", TABLE);
    sweep(&study, &folder.join("csv"), &with(&table, &[]));
    let found = rows(&folder.join("csv"));
    assert_eq!(found.len(), 4);
    assert_eq!(found[1]["leak.0.round_hole.diameter [mm]"], "0.5");
    assert_eq!(found[3]["leak.0.place"], "hot_pipe");
    assert_eq!(found[3]["ambient.temperature [degC]"], "-3");

    // With units in the cells, behind semicolons, after a byte-order mark, without a last line's end.
    let text = "\u{feff}ambient.temperature;leak.0.place;leak.0.round_hole.diameter\r\n\
                273.15 K;inlet_duct;0.15 cm\r\n30 degC;cold_pipe;500 um\r\n\
                \"12.5 degC\";cold_pipe;5 mm\r\n-3 degC;hot_pipe;2.25 mm";
    let other = written(&folder, "other.csv", text);
    sweep(&study, &folder.join("other"), &with(&other, &[]));
    for (one, two) in found.iter().zip(&rows(&folder.join("other"))) {
        for reading in ["boost_kpa", "fuel_trim_pct", "torque_nm"] {
            let (one, two) = (at(one, reading), at(two, reading));
            assert!(
                (one - two).abs() <= 1e-9 * one.abs().max(1.0),
                "{one} {two}"
            );
        }
    }
}

#[test]
fn a_table_comes_to_what_axes_come_to() {
    let folder = scratch("cases-axes");
    let grid = study(&folder, &format!("{SMALL}{CRUISE}"));
    sweep(&grid, &folder.join("grid"), &[]);
    let wanted = rows(&folder.join("grid"));
    let heads = [
        "leak.0.place",
        "ambient.temperature [degC]",
        "leak.0.round_hole.diameter [mm]",
    ];
    // Backwards: what a case comes to does not hang on those before it.
    let mut text = heads.join(",") + "\n";
    for row in wanted.iter().rev() {
        text += &(heads.map(|head| row[head].clone()).join(",") + "\n");
    }
    let table = written(&folder, "cases.csv", &text);
    let plain = study(&folder, CRUISE);
    sweep(&plain, &folder.join("table"), &with(&table, &[]));
    let found = rows(&folder.join("table"));
    assert_eq!(found.len(), wanted.len());
    for (one, two) in wanted.iter().rev().zip(&found) {
        assert_eq!(one["branch"], two["branch"]);
        for reading in ["boost_kpa", "fuel_trim_pct", "engine_air_g_s"] {
            let (one, two) = (at(one, reading), at(two, reading));
            assert!(
                (one - two).abs() <= 1e-9 * one.abs().max(1.0),
                "{one} {two}"
            );
        }
    }
    // Results are a table of cases, too, with these columns.
    let summary = fs::read_to_string(folder.join("table/manifest.json")).unwrap();
    assert!(summary.contains("\"sampling\": \"table\""), "{summary}");
}

#[test]
fn a_table_beside_an_axis_is_every_row_with_every_value_and_shares_join() {
    let folder = scratch("cases-beside");
    let axis = "[[axis]]\nkey = \"point.0.torque\"\nvalues = [\"30 N m\", \"60 N m\"]\n";
    let study = study(&folder, &format!("{axis}{CRUISE}"));
    let many: String = (0..20)
        .map(|i| format!("{},cold_pipe,20\n", 0.5 + 0.1 * f64::from(i)))
        .collect();
    let head = TABLE.lines().next().unwrap();
    let table = written(&folder, "cases.csv", &format!("{head}\n{many}"));
    let whole = folder.join("whole");
    sweep(&study, &whole, &with(&table, &["--threads", "1"]));
    let found = rows(&whole);
    assert_eq!(found.len(), 40);
    assert_eq!(found[3]["leak.0.round_hole.diameter [mm]"], "0.6");
    assert_eq!(found[3]["point.0.torque [N m]"], "60");
    let shares = ["1/2", "2/2"].map(|part| {
        let out = folder.join(part.replace('/', "-"));
        sweep(&study, &out, &with(&table, &["--part", part]));
        out
    });
    let joined = folder.join("joined");
    let paths = shares.each_ref().map(|share| share.to_str().unwrap());
    let output = falseair(&[
        "join",
        paths[0],
        paths[1],
        "--out",
        joined.to_str().unwrap(),
    ]);
    assert!(output.status.success(), "{output:?}");
    assert_eq!(bytes(&joined), bytes(&whole));
    // Another table is another study.
    fs::write(&table, TABLE).unwrap();
    let said = refused(&study, &whole, &with(&table, &[]));
    assert!(said.contains("belongs to another study"), "{said}");
}

#[test]
fn mistakes_in_a_table_are_shown_at_their_cell() {
    let folder = scratch("cases-mistakes");
    let study = study(&folder, CRUISE);
    let cases = [
        (
            TABLE.replace("diameter", "diametre"),
            "1:1",
            "did you mean `diameter`?",
        ),
        (
            TABLE.replace("hot_pipe", "hot_pip"),
            "5:6",
            "did you mean `hot_pipe`?",
        ),
        (
            TABLE.replace("leak.0.place", "leak.4.place"),
            "1:33",
            "no such value to vary",
        ),
        (TABLE.replace("[mm]", "[kg]"), "1:1", "kg"),
        (TABLE.replace("2.25,", ","), "5:1", "this cell is empty"),
        (
            TABLE.replace("2.25,", "2.25,7,"),
            "5:1",
            "4 cells, where the head has 3",
        ),
        (TABLE.replace("2.25,", "225,"), "5:1", "out of range"),
        (TABLE.replace("2.25,", "few,"), "5:1", "few"),
        (
            TABLE.replace("ambient.temperature [degC]", "leak.0.place"),
            "1:46",
            "two columns",
        ),
        (
            TABLE.replace("ambient.temperature [degC]", "turbine.throat_area"),
            "1:46",
            "`vehicle.turbine.throat_area`",
        ),
        (TABLE.lines().next().unwrap().into(), "1:1", "no cases"),
        (String::new(), "cases.csv", "empty"),
    ];
    for (text, place, said) in &cases {
        let table = written(&folder, "cases.csv", text);
        let found = refused(&study, &folder.join("out"), &with(&table, &[]));
        assert!(found.contains(said), "wanted: {said}\n{found}");
        assert!(found.contains(place), "wanted: {place}\n{found}");
        assert!(!folder.join("out").exists());
    }
    let table = written(&folder, "cases.csv", TABLE);
    let sampled = super::study(
        &folder,
        &format!("sampling = \"sobol\"\ncount = 8\n{CRUISE}"),
    );
    let said = refused(&sampled, &folder.join("out"), &with(&table, &[]));
    assert!(said.contains("leave out `sampling`"), "{said}");
    let arrow = written(&folder, "cases.arrow", "ARROW1\0\0");
    let said = refused(&study, &folder.join("out"), &with(&arrow, &[]));
    assert!(said.contains("Parquet or CSV"), "{said}");
}
