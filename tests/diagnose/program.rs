//! The program itself.

use std::path::Path;
use std::process::{Command, Output};

fn diagnose(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_falseair"))
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")))
        .arg("diagnose")
        .args(arguments)
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn the_shipped_case_answers_the_same_twice_in_the_shape_promised() {
    let case = ["scenarios/readings/lean-at-idle.toml", "--format", "json"];
    let (one, two) = (diagnose(&case), diagnose(&case));
    assert!(one.status.success(), "{}", text(&one.stderr));
    assert_eq!(one.stdout, two.stdout);
    let answer: serde_json::Value = serde_json::from_slice(&one.stdout).unwrap();
    assert_eq!(answer["verdict"], "one_of_several");
    let first = &answer["hypotheses"][0];
    let size = &first["size"];
    let number = |key: &str| size[key].as_f64().unwrap();
    // The readings are those of a 2.2 mm hole.
    assert!(number("low90") < 2.2 && 2.2 < number("high90"));
    assert_eq!(size["unit"], "mm");
    assert!(first["fault"].is_string() && first["place"].is_string() && first["fit"].is_number());
    assert!(answer["inseparable"][0].as_array().unwrap().len() > 1);
    let next = &answer["next_tests"][0];
    assert!(next["expected_gain_bits"].as_f64().unwrap() > 0.0 && next["minutes"].is_number());
}

#[test]
fn mistakes_are_answered_with_place_and_spelling() {
    let folder = std::env::temp_dir().join(format!("falseair-readings-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("readings.toml");
    let vehicle = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/vehicles/brindle-16.toml");
    let refused = |body: &str, expected: &[&str]| {
        std::fs::write(
            &file,
            format!("vehicle = {:?}\n{body}\n", vehicle.display().to_string()),
        )
        .unwrap();
        let output = diagnose(&[file.to_str().unwrap()]);
        let said = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{said}");
        for words in expected {
            assert!(said.contains(words), "`{words}` not in: {said}");
        }
    };
    let idle = "[[condition]]\nname = \"idle\"\nidle = true\n";
    refused(
        &format!("{idle}readings = {{ metred_air = \"2 g/s\" }}"),
        &["metered_air", "readings.toml:5"],
    );
    refused(
        &format!("{idle}readings = {{ boost = \"80 kPa abs\" }}"),
        &["gauge"],
    );
    refused("codes = [\"P0177\"]", &["P0171"]);
    refused(
        "codes = []\n[[check]]\ncheck = \"look_at_filter\"\nfound = \"mouse\"",
        &["clogged_filter"],
    );
    refused("", &["nothing to judge by"]);
    refused("codes = []\n[log]", &["file"]);
    std::fs::remove_dir_all(&folder).unwrap();
}
