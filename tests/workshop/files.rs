//! The shipped files answer, as a new user would try them.

use crate::{json, number, root, text, workshop};

#[test]
fn every_shipped_file_answers_in_words() {
    let folder = root().join("scenarios/workshop");
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let stem = path.file_stem().unwrap().to_string_lossy().into_owned();
        let command = match stem.as_str() {
            "trace" => "decay",
            _ => &stem,
        };
        let file = path.to_str().unwrap();
        let output = workshop(&[command, file]);
        let said = text(&output.stdout);
        assert!(output.status.success(), "{stem}: {}", text(&output.stderr));
        assert!(
            said.lines().all(|line| line.chars().count() <= 80),
            "{stem}: {said}"
        );
        // A sentence first, cautions last.
        assert!(
            json(&[command, file])["says"]
                .as_str()
                .unwrap()
                .ends_with('.')
        );
        assert!(said.contains("licence"), "{stem}");
        assert!(said.contains(match command {
            "seal" | "gap" | "payback" => "oxygen sensors",
            "known-hole" => "idle only",
            _ => "eye protection",
        }));
    }
}

/// From a decay reading to "what does this do to the car" in one command.
#[test]
fn from_a_reading_to_the_car() {
    let found = json(&[
        "decay",
        "--start-pressure",
        "60 kPa gauge",
        "--end-pressure",
        "5 kPa gauge",
        "--time",
        "8 s",
        "--vehicle",
        "scenarios/vehicles/brindle-16.toml",
        "--place",
        "manifold_gasket",
    ]);
    // Hot pipe 1.6 L, cold pipe 3.2 L, manifold 2.4 L: the car's own volumes.
    assert!((number(&found, "found.volume_l") - 7.2).abs() < 1e-9);
    assert_eq!(found["in_car"]["points"][0]["name"], "idle");
    // Air drawn in behind the meter: lean before trim, so fuel is added (F, sign).
    assert!(number(&found, "in_car.points.0.trim_pct") > 10.0);
    let limits = &found["in_car"]["points"][0]["trim_limits_pct"];
    assert!(limits[0].as_f64() <= limits[1].as_f64());
    assert!(found["says"].as_str().unwrap().contains("manifold gasket"));
}

#[test]
fn above_normal_boost_is_warned_of() {
    let found = json(&[
        "decay",
        "--start-pressure",
        "120 kPa gauge",
        "--end-pressure",
        "90 kPa gauge",
        "--time",
        "8 s",
        "--vehicle",
        "scenarios/vehicles/brindle-16.toml",
    ]);
    assert!(
        found["warnings"][0]
            .as_str()
            .unwrap()
            .contains("never test above")
    );
}

#[test]
fn a_trace_is_drawn() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("workshop");
    std::fs::create_dir_all(&folder).unwrap();
    let svg = folder.join("trace.svg");
    let output = workshop(&[
        "decay",
        "scenarios/workshop/decay.toml",
        "--plot",
        svg.to_str().unwrap(),
    ]);
    assert!(output.status.success());
    let drawn = std::fs::read_to_string(svg).unwrap();
    assert!(
        drawn.starts_with("<svg")
            && drawn.contains("gauge, kPa")
            && drawn.contains("read on the gauge")
    );
}
