//! Pressures that no test goes above: on the car 138 kPa, on the bench 1.5 times normal boost and at
//! most 200 kPa; above, nothing is worked out.

use crate::{json, root, text, workshop};
use std::path::Path;

const CAR: &str = "scenarios/vehicles/brindle-16.toml";

/// Refused with exit code 2 and these words, or answered.
fn asked(arguments: &[&str], refused: Option<&str>) {
    let done = workshop(arguments);
    let said = text(&done.stderr);
    match refused {
        None => assert!(done.status.success(), "{arguments:?}: {said}"),
        Some(words) => {
            assert_eq!(done.status.code(), Some(2), "{arguments:?}");
            assert!(said.contains(words), "{arguments:?}: {said}");
            assert!(done.stdout.is_empty());
        }
    }
}

fn both(pressure: &str, more: &[&str], refused: Option<&str>) {
    let flow = ["flow", "--flow", "1 g/s", "--pressure", pressure];
    asked(&[&flow[..], more].concat(), refused);
    let decay = [
        "decay",
        "--volume",
        "8 L",
        "--time",
        "8 s",
        "--end-pressure",
        "30 kPa gauge",
    ];
    asked(
        &[&decay[..], &["--start-pressure", pressure], more].concat(),
        refused,
    );
}

#[test]
fn on_the_car_nothing_above_138_kpa() {
    both("138 kPa gauge", &[], None);
    both("20 psi gauge", &[], None);
    both(
        "138.1 kPa gauge",
        &[],
        Some("on the car nothing is tested above 138 kPa"),
    );
    both(
        "150 kPa gauge",
        &["--vehicle", CAR],
        Some("Let the pressure off"),
    );
    // The second reading presses too.
    let second = [
        "--second-flow",
        "2 g/s",
        "--second-pressure",
        "180 kPa gauge",
    ];
    let flow = ["flow", "--flow", "1 g/s", "--pressure", "50 kPa gauge"];
    asked(&[&flow[..], &second].concat(), Some("180 kPa gauge"));
}

/// 1.5 times 85 kPa is 127.5 kPa.
#[test]
fn on_the_bench_half_as_much_again_as_normal_boost() {
    both("127.5 kPa gauge", &["--vehicle", CAR, "--bench"], None);
    both(
        "128 kPa gauge",
        &["--vehicle", CAR, "--bench"],
        Some("here 127.5 kPa"),
    );
    both("150 kPa gauge", &["--bench"], Some("give the `vehicle`"));
    // 150 kPa of boost: 200 kPa, not 225.
    let strong = std::fs::read_to_string(root().join(CAR)).unwrap();
    let strong = strong.replace("\"85 kPa gauge\"", "\"150 kPa gauge\"");
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("strong.toml");
    std::fs::write(&path, strong).unwrap();
    let path = path.to_str().unwrap();
    both("200 kPa gauge", &["--vehicle", path, "--bench"], None);
    both(
        "201 kPa gauge",
        &["--vehicle", path, "--bench"],
        Some("here 200 kPa"),
    );
    // The section's limits are those of the car: on the bench it is said how to test.
    let arguments = [
        "flow",
        "--flow",
        "1 g/s",
        "--pressure",
        "120 kPa gauge",
        "--vehicle",
        CAR,
        "--bench",
    ];
    let said = json(&arguments)["warnings"][0]
        .as_str()
        .unwrap()
        .to_string();
    assert!(
        said.contains("off the car") && !said.contains("workshop plan"),
        "{said}"
    );
}

/// The decay tests of a repair are warned of, and refused, as any other.
#[test]
fn a_repair_is_tested_within_the_same_limits() {
    let case = std::fs::read_to_string(root().join("scenarios/workshop/verify.toml")).unwrap();
    let car = root().join(CAR);
    let case = case.replace("../vehicles/brindle-16.toml", car.to_str().unwrap());
    let verify = |name: &str, from: &str| {
        let case = case.replace(
            "start_pressure = \"60 kPa gauge\"",
            &format!("start_pressure = \"{from}\""),
        );
        let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        std::fs::write(&path, case).unwrap();
        path.to_str().unwrap().to_string()
    };
    // 65 kPa is the manifold's.
    let said = json(&["verify", &verify("gentle-verify.toml", "64 kPa gauge")]);
    assert!(
        !said["warnings"].to_string().contains("workshop plan"),
        "{said:#}"
    );
    let firm = verify("firm-verify.toml", "80 kPa gauge");
    let said = json(&["verify", &firm])["warnings"].clone();
    let first = said[0].as_str().unwrap();
    assert!(
        first.contains("80 kPa gauge") && first.contains("65 kPa"),
        "{first}"
    );
    assert!(text(&workshop(&["verify", &firm]).stdout).starts_with("DANGER  the test pressure"));
    asked(
        &["verify", &verify("hard-verify.toml", "140 kPa gauge")],
        Some("138 kPa"),
    );
}
