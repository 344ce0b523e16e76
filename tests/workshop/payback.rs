//! Which repair pays: arithmetic against runs of the scenario command, doubt, rank.

use crate::{close, json, number, root, text};
use serde_json::Value;

const CAR: &str = "scenarios/vehicles/brindle-16.toml";

const HOSE: &str = "{ name = \"hose\", state = \"confirmed\", time = \"30 min\", parts = 30, \
                    leak = { place = \"cold_pipe\", round_hole = { diameter = \"6 mm\" } }";

fn pay(repairs: &[&str], more: &[&str]) -> Value {
    let mut arguments = vec!["payback", "--vehicle", CAR];
    for repair in repairs {
        arguments.extend(["--repair", repair]);
    }
    arguments.extend(more);
    json(&arguments)
}

/// A scenario's answers, sound and faulty, at the points that count.
fn simulated() -> Value {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("payback");
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("hose.toml");
    let mut file = format!(
        "title = \"t\"\nvehicle = \"{}\"\n[[leak]]\nplace = \"cold_pipe\"\nround_hole = {{ diameter = \"6 mm\" }}\n\
         [[point]]\nname = \"idle\"\nidle = true\n",
        root().join(CAR).display()
    );
    for rpm in [2000, 3500, 5000] {
        file += &format!("[[point]]\nname = \"{rpm}\"\nspeed = \"{rpm} rpm\"\npedal = \"100 %\"\n");
    }
    std::fs::write(&path, file).unwrap();
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_falseair"))
        .args(["simulate", path.to_str().unwrap(), "--format", "json"])
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Torque, power and fuel are those of `simulate`, healthy car less faulty (F: the sums).
#[test]
fn gains_are_those_of_the_simulation() {
    let run = simulated();
    let read =
        |point: usize, side: &str, key: &str| number(&run, &format!("points.{point}.{side}.{key}"));
    let change = |i: usize, key: &str| read(i, "healthy", key) - read(i, "faulty", key);
    let idle = &[
        "--duty",
        "idle=100 %, cruise=0 %, full_load=0 %, distance=10000 km, \
                  average_speed=10 m/s, fuel_density=0.75",
    ];
    let found = pay(&[&format!("{HOSE} }}")], idle);
    let alone = |key: &str| number(&found, &format!("repairs.0.alone.{key}"));
    let rpm = alone("torque_at_rpm");
    let at = [2000.0, 3500.0, 5000.0]
        .iter()
        .position(|r| *r == rpm)
        .unwrap();
    let largest = (1..4)
        .map(|i| change(i, "torque_nm").abs())
        .fold(0.0, f64::max);
    close(
        "torque",
        alone("torque_nm.value"),
        change(at + 1, "torque_nm"),
        1e-3,
    );
    close(
        "at its largest",
        alone("torque_nm.value").abs(),
        largest,
        1e-3,
    );
    // 10 000 km at 10 m/s are 1e6 s.
    let litres = -change(0, "fuel_g_s") * 1e6 / 1e3 / 0.75;
    assert!(
        (alone("fuel_l_year.value") - litres).abs() < 0.05,
        "{litres}"
    );
    assert!((alone("fuel_l_100km.value") - litres / 100.0).abs() < 1e-3);
    // Half an hour's work: twice as much an hour; one repair is all of them.
    let hour = number(&found, "repairs.0.per_hour.power_kw.value");
    close("an hour", hour, 2.0 * alone("power_kw.value"), 1e-12);
    close(
        "all",
        number(&found, "together.torque_nm.value"),
        alone("torque_nm.value"),
        1e-9,
    );
    // At full load alone: brake specific fuel consumption saved at the healthy car's power.
    let full = &[
        "--duty",
        "idle=0 %, cruise=0 %, full_load=100 %, distance=10000 km, \
                  average_speed=10 m/s, fuel_density=0.75",
    ];
    let found = pay(&[&format!("{HOSE} }}")], full);
    let rate: f64 = (1..4)
        .map(|i| -change(i, "bsfc_g_kwh") * read(i, "healthy", "power_kw") / 3600.0)
        .sum::<f64>()
        / 3.0;
    close(
        "full load",
        number(&found, "repairs.0.alone.fuel_l_year.value"),
        rate * 1e3 / 0.75,
        1e-3,
    );
}

/// The limits are the gains of a car with the fault at the limits of its size.
#[test]
fn doubt_of_the_size_is_carried() {
    let found = pay(&[&format!("{HOSE}, doubt = \"2 mm\" }}")], &[]);
    let at = |size: &str| {
        let repair = format!("{HOSE} }}").replace("6 mm", size);
        number(
            &pay(&[&repair], &[]),
            "repairs.0.alone.trim_margin_pct.value",
        )
    };
    let limit = |key: &str| number(&found, &format!("repairs.0.alone.trim_margin_pct.{key}"));
    let (a, b) = (at("4 mm"), at("8 mm"));
    assert!(
        (limit("low") - a.min(b)).abs() < 1e-6,
        "{} {a} {b}",
        limit("low")
    );
    assert!((limit("high") - a.max(b)).abs() < 1e-6);
    // Low and high instead, one-sided.
    let found = pay(
        &[&format!("{HOSE}, low = \"4 mm\", high = \"6 mm\" }}")],
        &[],
    );
    let limit = |key: &str| number(&found, &format!("repairs.0.alone.trim_margin_pct.{key}"));
    assert!((limit("value") - limit("high")).abs() < 1e-9 || limit("value") == limit("low"));
}

/// A suspected fault counts by its chance, and may be nothing.
#[test]
fn chance_counts() {
    let repair = format!("{HOSE}, chance = \"40 %\" }}").replace("confirmed", "suspected");
    let found = pay(&[&repair], &[]);
    let of = |which: &str, key: &str| number(&found, &format!("repairs.0.{which}.torque_nm.{key}"));
    close(
        "expected",
        of("expected", "value"),
        0.4 * of("alone", "value"),
        1e-12,
    );
    assert_eq!(of("expected", "low"), 0.0);
}

/// What is dangerous comes first, whatever else it gives: a weak fuel supply makes full load
/// lean.
#[test]
fn dangers_rank_first() {
    let weak = "{ name = \"fuel pump\", state = \"confirmed\", time = \"3 h\", parts = 200, \
                fault = { fuel_delivery = 0.72 } }";
    let found = pay(&[&format!("{HOSE} }}"), weak], &[]);
    assert_eq!(found["repairs"][0]["name"], "fuel pump");
    let risks = found["repairs"][0]["risks_removed"].as_array().unwrap();
    assert!(risks.iter().any(|risk| risk["kind"] == "danger"));
    let lean = |risk: &&Value| {
        risk["what"]
            .as_str()
            .unwrap()
            .contains("too lean at higher load")
    };
    assert!(risks.iter().any(|risk| lean(&risk)), "{risks:?}");
    assert!(found["says"].as_str().unwrap().contains("danger"));
    assert!(found["warnings"][0].as_str().unwrap().contains("fuel pump"));
}

/// The shipped case: gains do not add up, and it says so. P: a whole valve-and-breather
/// reseal takes about an hour.
#[test]
fn faults_that_touch_each_other() {
    let found = json(&["payback", "scenarios/workshop/payback.toml"]);
    assert!(!found["sum_differs"].as_array().unwrap().is_empty());
    let sum = number(&found, "sum_of_alone.torque_nm");
    let all = number(&found, "together.torque_nm.value");
    assert!((sum - all).abs() > 0.1 * all, "{sum} {all}");
    let rows = found["repairs"].as_array().unwrap();
    let reseal = rows
        .iter()
        .find(|row| row["name"] == "valve and breather reseal");
    assert_eq!(reseal.unwrap()["time_h"], 1.0);
    // One gain has one number: the sentence says what the table says, and how likely the fault is.
    let says = found["says"].as_str().unwrap();
    let alone = number(&found, "repairs.0.alone.torque_nm.value");
    assert!(says.contains(&format!("+{alone:.1} N m")), "{says}");
    assert!(
        says.contains("if it is there, which is 70 % likely"),
        "{says}"
    );
    assert!(rows.iter().all(|row| row["mended_first"].is_object()));
}
