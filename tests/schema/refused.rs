//! Bad files, each refused by the program, and by the schema it prints: `conform.sh` has an outside
//! checker apply that. What no JSON Schema can say stands in a list of its own, with the reason.

use crate::conform::{Cases, value};
use crate::root;
use falseair::commands::schema::{FileKind, json::schema};
use serde_json::{Value, json};
use sim::params::{Described, Form};
use sim::units::{Dimension, parse};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Kinds of file: a good one, and the command that reads it.
const KINDS: [(FileKind, &str, &[&str]); 4] = [
    (
        FileKind::Scenario,
        "scenarios/bowed-cover.toml",
        &["simulate"],
    ),
    (
        FileKind::Vehicle,
        "scenarios/vehicles/brindle-16.toml",
        &["vehicle", "check"],
    ),
    (
        FileKind::Readings,
        "scenarios/readings/boost-leak.toml",
        &["diagnose"],
    ),
    (
        FileKind::Study,
        "scenarios/studies/car-to-car.toml",
        &["sweep", "--out", "refused-sweep"],
    ),
];

/// What is changed in the good file of a kind: from, to.
type Change = (FileKind, &'static str, &'static str);

use FileKind::{Readings, Scenario, Study, Vehicle};

/// Refused by program and schema.
const BOTH: &[Change] = &[
    // Misspelt keys.
    (Scenario, "[ambient]", "[ambiant]"),
    (Scenario, "spans = ", "spanns = "),
    (Vehicle, "peak_head = ", "peek_head = "),
    (Vehicle, "[filter]", "[filtre]"),
    (Readings, "boost_sensor = ", "bost_kpa = "),
    (Readings, "name = \"idle\"", "nam = \"idle\""),
    (
        Readings,
        "codes = []",
        "[log]\ncolumns = { \"P\" = { readin = \"boost_kpa\" } }",
    ),
    (Study, "seed = 1", "sead = 1"),
    (Study, "from = \"-5 degC\"", "form = \"-5 degC\""),
    // No unit.
    (Scenario, "gap = \"15 thou\"", "gap = \"15\""),
    (Scenario, "gap = \"15 thou\"", "gap = 15"),
    (Vehicle, "[\"1500 rpm\", \"88 %\"]", "[\"1500\", \"88 %\"]"),
    (Vehicle, "volume = \"3.0 L\"", "volume = \"3.0\""),
    (Readings, "speed = \"3500 rpm\"", "speed = \"3500\""),
    (Readings, "speed = \"3500 rpm\"", "speed = 3500"),
    (Study, "diameter = \"3 mm\"", "diameter = \"3\""),
    // A unit of another kind, or of none.
    (Scenario, "gap = \"15 thou\"", "gap = \"15 kg\""),
    (Vehicle, "bore = \"54 mm\"", "bore = \"54 mm2\""),
    (Vehicle, "volume = \"3.0 L\"", "volume = \"3.0 Lt\""),
    (Readings, "\"101.8 g/s\"", "\"101.8 L/s\""),
    (Readings, "\"38 degC\"", "\"38 deg\""),
    (Study, "altitude = \"0 m\"", "altitude = \"0 s\""),
    // A pressure that counts from elsewhere, or does not say from where.
    (Scenario, "101.3 kPa abs", "101.3 kPa"),
    (Readings, "184.7 kPa abs", "184.7 kPa gauge"),
    (Vehicle, "\"7 kPa\"", "\"7 kPa gauge\""),
    // No such word.
    (Vehicle, "\"air_flow_meter\"", "\"airflow_meter\""),
    (Readings, "codes = []", "codes = [\"P9999\"]"),
    (
        Readings,
        "codes = []",
        "[log]\ncolumns = { \"P\" = { reading = \"bost_kpa\" } }",
    ),
    (
        Readings,
        "codes = []",
        "[log]\ncolumns = { \"P\" = \"ignored\" }",
    ),
    (Study, "\"sobol\"", "\"sobbol\""),
    (Study, "\"boost_kpa\"", "\"bost_kpa\""),
    // Two shapes of one leak, or none.
    (
        Scenario,
        "bowed_cover = ",
        "hose_off = { bore = \"30 mm\" }\nbowed_cover = ",
    ),
    (Study, "round_hole = { diameter = \"3 mm\" }", ""),
    // Below zero, or zero, where neither can be.
    (Scenario, "gap = \"15 thou\"", "gap = \"-15 thou\""),
    (Vehicle, "\"42.9 MJ/kg\"", "\"-42.9 MJ/kg\""),
    (Vehicle, "volume = \"3.0 L\"", "volume = \"0 L\""),
    (Vehicle, "work = 0.86", "work = \"-86 %\""),
    (Readings, "speed = \"3500 rpm\"", "speed = \"-3500 rpm\""),
    // A plain number out of range, a number that is none, a comma, too few, too many, missing.
    (Study, "humidity = \"40 %\"", "humidity = 40"),
    (Readings, "lambda = 0.943", "lambda = 9.43"),
    (Vehicle, "\"54 mm\"", "\"54,0 mm\""),
    (Vehicle, "\"54 mm\"", "\"5 4 mm\""),
    (Vehicle, "[\"1500 rpm\", \"88 %\"]", "[\"1500 rpm\"]"),
    (Readings, "idle = true", "idle = \"yes\""),
    (Readings, "vehicle = ", "# vehicle = "),
    (Readings, "codes = []", "[log]\nstoichiometric = 147"),
    (Readings, "codes = []", "[log]\ninterval = \"0.1\""),
    (
        Readings,
        "codes = []",
        "[log]\nonly = { column = \"side\" }",
    ),
    (Study, "key = \"ambient.temperature\"", ""),
];

/// Refused by the program only, with the reason why no schema says it.
const PROGRAM_ONLY: &[(FileKind, &str, &str, &str)] = &[
    (
        Scenario,
        "gap = \"15 thou\"",
        "gap = \"15 ft\"",
        "the size of a number in a text",
    ),
    (
        Vehicle,
        "\"54 mm\"",
        "\"1e999 mm\"",
        "the size of a number in a text",
    ),
    (
        Study,
        "from = \"-5 degC\"",
        "from = \"-500 degC\"",
        "the size of a number in a text",
    ),
    (
        Readings,
        "idle = true",
        "idle = true\nspeed = \"900 rpm\"",
        "keys that contradict each other",
    ),
    (
        Vehicle,
        "[\"1500 rpm\"",
        "[\"500 rpm\"",
        "points of a curve in rising order",
    ),
    (
        Study,
        "from = \"-5 degC\"",
        "from = \"-5 kPa\"",
        "the unit follows from another key, `key`",
    ),
    (
        Study,
        "\"ambient.temperature\"",
        "\"ambient.temprature\"",
        "a dotted key names what another file holds",
    ),
    (
        Study,
        "count = 512",
        "",
        "whether a key is needed follows from another, `sampling`",
    ),
    (
        Readings,
        "../vehicles/brindle-16.toml",
        "../vehicles/brindle-17.toml",
        "whether a file is there",
    ),
];

/// The good file of a kind, changed.
fn changed(kind: FileKind, from: &str, to: &str) -> String {
    let good = KINDS.iter().find(|(of, ..)| *of == kind).unwrap().1;
    let text = fs::read_to_string(root().join(good)).unwrap();
    assert!(text.contains(from), "{good} has no {from}");
    text.replacen(from, to, 1)
}

/// What the program says of a file that it refuses; none where it takes it.
fn refusal(kind: FileKind, text: &str, number: usize) -> Option<String> {
    let words = KINDS.iter().find(|(of, ..)| *of == kind).unwrap().2;
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("refused");
    fs::create_dir_all(&folder).unwrap();
    let path: PathBuf = folder.join(format!("{kind:?}-{number}.toml"));
    let cars = format!("\"{}/", root().join("scenarios/vehicles").display());
    let text = text.replace("\"../vehicles/", &cars);
    fs::write(&path, text.replace("\"vehicles/", &cars)).unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_falseair"));
    let done = command.args(words).arg(&path).current_dir(&folder).output();
    let done = done.unwrap();
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    match done.status.code() {
        Some(2) => Some(said),
        _ => None,
    }
}

#[test]
fn bad_files_conform_to_nothing() {
    assert!(BOTH.len() >= 25);
    for (kind, ..) in KINDS {
        let mut cases = Cases::of(kind);
        for (i, (of, from, to)) in BOTH.iter().enumerate() {
            if *of == kind {
                let (text, what) = (changed(kind, from, to), format!("{from} -> {to}"));
                cases.expect(&value(&text), false, &what);
                let said = refusal(kind, &text, i);
                assert!(
                    said.is_some_and(|said| said.starts_with("error: ")),
                    "taken: {what}"
                );
            }
        }
        for (i, (of, from, to, why)) in PROGRAM_ONLY.iter().enumerate() {
            if *of == kind {
                let (text, what) = (changed(kind, from, to), format!("{from} -> {to}: {why}"));
                cases.expect(&value(&text), true, &what);
                let said = refusal(kind, &text, 100 + i);
                assert!(
                    said.is_some_and(|said| said.starts_with("error: ")),
                    "taken: {what}"
                );
            }
        }
        cases.write(&format!("bad-{kind:?}"));
    }
}

/// A plain number is taken wherever the quantity has no unit, as text is.
#[test]
fn plain_numbers_conform_where_there_is_no_unit() {
    let mut cases = Cases::of(Study);
    let axis = "from = \"0.97\"\nto = \"1.03\"";
    for written in [
        "from = 0.97\nto = 1.03",
        "from = 0.97\nto = \"103 %\"",
        "values = [0.97, 1, \"1.03\"]",
    ] {
        let text = changed(Study, axis, written);
        cases.expect(&value(&text), true, written);
        let study: sim::study::asking::sweep::Study = crate::read(&text).unwrap();
        let axis = &study.axis[3];
        sim::study::asking::sweep::Axis::read(axis, 3, false)
            .unwrap_or_else(|m| panic!("{}", m.message));
    }
    // Not where it has one.
    let text = changed(Study, "from = \"-5 degC\"", "from = -5");
    let study: sim::study::asking::sweep::Study = crate::read(&text).unwrap();
    let refused = sim::study::asking::sweep::Axis::read(&study.axis[0], 0, false).unwrap_err();
    assert!(
        refused.message.contains("has no unit"),
        "{}",
        refused.message
    );
    cases.write("plain");
}

/// Every way to write a unit, right and wrong: the pattern takes what the reader takes.
#[test]
fn patterns_conform_to_the_reader() {
    const NUMBERS: [&str; 18] = [
        "5",
        "-5",
        "+.5",
        "5.",
        "1e3",
        "\u{2212}5",
        " 5 ",
        "",
        ".",
        "5,0",
        "1 600",
        "1_000",
        "5-7",
        "1/2",
        "1.5.2",
        "1e",
        "5 1",
        "5 *.",
    ];
    for dimension in Dimension::ALL {
        let mut cases = Cases::with(json!({
            "type": "string", "pattern": sim::units::pattern(dimension),
        }));
        let mut units: Vec<String> = (Dimension::ALL.iter())
            .flat_map(|other| sim::units::accepted(*other))
            .collect();
        units.extend(
            "|/s|1 /s|1./s|/min|1/min|degs|°C|º F|µm|μs|mm²|m³|N·m|N m|lb-ft|lb ft|cu in|in H₂O|\"Hg|KPA ABS|kpa gage|\
             bar absolute|psi vac|psig|k Pa abs|abs|per cent|M M|MS|ps|kg·m^2|W/(K)|bar.|x"
                .split('|')
                .map(String::from),
        );
        let mut taken = 0;
        for unit in &units {
            for (between, number) in [("", "5"), (" ", "5"), (" .", "5"), ("*", "5")]
                .into_iter()
                .chain(NUMBERS.map(|number| (" ", number)))
            {
                let text = format!("{number}{between}{unit}");
                let fits = match parse(&text, dimension) {
                    // Vacuum and absolute zero are limits of size.
                    Err(sim::units::UnitError::Below(..)) | Ok(_) => true,
                    Err(_) => false,
                };
                taken += usize::from(fits);
                cases.expect(&Value::from(text.clone()), fits, &text);
            }
        }
        assert!(taken > 10, "{dimension:?}: {taken}");
        cases.write(&format!("pattern-{dimension:?}"));
    }
}

/// What a person typed is shown as it was typed; the limits, in the same unit, are short and are
/// themselves allowed.
#[test]
fn limits_shown_are_allowed() {
    use serde::de::IntoDeserializer;
    use serde::de::value::{Error, StrDeserializer};
    let mut tried = 0;
    let mut fields = Vec::new();
    for kind in KINDS.map(|(kind, ..)| kind) {
        crate::walk("", &kind.form(), &mut |_, entry| match &entry.form {
            Form::Quantity(field) => fields.push(*field),
            Form::Curve { x, y, .. } => fields.extend([*x, *y]),
            _ => {}
        });
    }
    for form in [
        sim::study::workshop::decay::DecayTest::<f64>::form(),
        sim::study::making::sizing::TenNumbers::<f64>::form(),
    ] {
        crate::walk("", &form, &mut |_, entry| {
            if let Form::Quantity(field) = &entry.form {
                fields.push(*field);
            }
        });
    }
    for field in &fields {
        for unit in std::iter::once(String::new()).chain(sim::units::accepted(field.dimension)) {
            let typed = format!("7.25 {unit}");
            let shown = sim::units::show_range_as(field.low, field.high, field.dimension, &typed);
            let limits = shown
                .trim_start_matches("at least ")
                .trim_start_matches("at most ");
            for limit in limits.split(" to ") {
                let text: StrDeserializer<Error> = limit.into_deserializer();
                let read = serde::de::DeserializeSeed::deserialize(field, text);
                assert!(read.is_ok(), "{}: {shown}: {limit}", field.name);
                let number = limit.split([' ', 'e']).next().unwrap();
                let digits = number.trim_start_matches(['-', '0', '.']).replace('.', "");
                let digits = digits.trim_end_matches('0').len();
                assert!(digits <= 4, "{}: {shown}", field.name);
                tried += 1;
            }
        }
    }
    assert!(tried > 2000, "{tried}");
}

#[test]
fn what_was_typed_is_shown_as_typed() {
    let said = |kind, from, to| refusal(kind, &changed(kind, from, to), 999).unwrap();
    let speed = said(Readings, "speed = \"3500 rpm\"", "speed = \"9000.50 rpm\"");
    assert!(
        speed.contains("found 9000.50 rpm, allowed 600 rpm to 8600 rpm"),
        "{speed}"
    );
    let gap = said(Scenario, "gap = \"15 thou\"", "gap = \"-15 thou\"");
    assert!(
        gap.contains("found -15 thou, allowed 0 thou to 196 thou"),
        "{gap}"
    );
    let temperature = said(Readings, "\"38 degC\"", "\"380 degC\"");
    assert!(
        temperature.contains("found 380 degC, allowed -50 degC to 180 degC"),
        "{temperature}"
    );
}

#[test]
fn schemas_name_their_units_once() {
    for (kind, ..) in KINDS {
        let text = schema(&kind.form(), kind.title()).to_string();
        assert!(text.matches("inH2O abs").count() <= 1, "{kind:?}");
    }
}
