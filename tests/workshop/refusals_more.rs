//! Nonsense refused by the commands that decide: payback, verify, plan; and by the newer
//! keys of the others.

use crate::refusals::refused;

const CAR: &str = "scenarios/vehicles/brindle-16.toml";

fn repair(more: &str) -> String {
    format!(
        "{{ name = \"x\", time = \"1 h\", leak = {{ place = \"cold_pipe\", round_hole = {{ \
         diameter = \"3 mm\" }} }}, {more} }}"
    )
}

#[test]
fn payback() {
    let with = |more: &str, reasons: &[&str]| {
        refused(
            &["payback", "--vehicle", CAR, "--repair", &repair(more)],
            reasons,
        );
    };
    refused(&["payback", "--vehicle", CAR], &["missing key `repair`"]);
    with("parts = 3", &["missing key `state`"]);
    let sure = "state = \"confirmed\"";
    with(
        &format!("{sure}, chance = 0.5"),
        &["confirmed fault is there"],
    );
    with(
        &format!("{sure}, doubt = \"1 kPa\""),
        &["is for a pressure"],
    );
    with(&format!("{sure}, doubt = 1"), &["has no unit"]);
    with(&format!("{sure}, doubt = \"-1 mm\""), &["below zero"]);
    with(&format!("{sure}, low = \"1 mm\""), &["needs its `high`"]);
    with(
        &format!("{sure}, low = \"4 mm\", high = \"5 mm\""),
        &["does not lie between"],
    );
    with(
        &format!("{sure}, fault = {{ meter_reads = 0.9 }}"),
        &["either a `leak` or a `fault`"],
    );
    with(&format!("{sure}, tim = \"1 h\""), &["did you mean `time`?"]);
    let one = repair(sure);
    refused(
        &[
            "payback",
            "--vehicle",
            CAR,
            "--repair",
            &one,
            "--duty",
            "idle=50 %, cruise=60 %",
        ],
        &["add up to 115.0 %"],
    );
    let many = ["--repair", &one].repeat(5);
    refused(
        &[&["payback", "--vehicle", CAR][..], &many].concat(),
        &["at most 4 leaks"],
    );
    refused(&["payback", "--repair", &one], &["missing key `vehicle`"]);
}

#[test]
fn verify() {
    let leak = "{ place = \"manifold_gasket\", round_hole = { diameter = \"2 mm\" } }";
    let taken = "{ at = \"idle\", reading = \"fuel_trim_pct\", value = 10, doubt = 1 }";
    let with = |more: &[&str], reasons: &[&str]| {
        let start = ["verify", "--vehicle", CAR, "--leak", leak];
        refused(&[&start, more].concat(), reasons);
    };
    with(&[], &["nothing was read before"]);
    with(&["--before", taken], &["nothing was read after"]);
    let wrong = |from: &str, to: &str, reasons: &[&str]| {
        with(
            &["--before", &taken.replace(from, to), "--after", taken],
            reasons,
        );
    };
    wrong("doubt = 1", "doubt = 0", &["count for everything"]);
    wrong("\"idle\"", "\"idel\"", &["did you mean `idle`?"]);
    wrong(
        "fuel_trim_pct",
        "fuel_trim",
        &["did you mean `fuel_trim_pct`?"],
    );
    wrong("value = 10", "value = \"10 kPa\"", &["not a number in %"]);
    refused(
        &[
            "verify",
            "--vehicle",
            CAR,
            "--before",
            taken,
            "--after",
            taken,
        ],
        &["missing key `leak` or `fault`"],
    );
    let test = "{ start_pressure = \"60 kPa gauge\", end_pressure = \"20 kPa gauge\", \
                time = \"9 s\" }";
    with(
        &[
            "--before",
            taken,
            "--after",
            taken,
            "--before-decay",
            &test.replace("60", "10"),
        ],
        &["above the start"],
    );
    refused(
        &[
            "verify",
            "--vehicle",
            CAR,
            "--leak",
            &leak.replace("manifold_gasket", "exhaust_manifold"),
            "--before-decay",
            test,
            "--after",
            taken,
        ],
        &["no section of a decay test holds it"],
    );
}

#[test]
fn plan() {
    refused(
        &["plan", "scenarios/vehicles/brindle.toml"],
        &["no such file"],
    );
    refused(&["plan", "scenarios/breather-seal.toml"], &["key"]);
}

/// A leak outside the section that was shut in cannot be what the gauge shows.
#[test]
fn places_outside_the_section() {
    for (section, place) in [
        ("compressor_to_throttle", "manifold_gasket"),
        ("compressor_to_manifold", "inlet_duct"),
        ("manifold", "cold_pipe"),
    ] {
        refused(
            &[
                "decay",
                "--vehicle",
                CAR,
                "--section",
                section,
                "--place",
                place,
                "--start-pressure",
                "60 kPa gauge",
                "--end-pressure",
                "30 kPa gauge",
                "--time",
                "9 s",
            ],
            &["lets no air out of the section", "sections that hold it"],
        );
    }
}

#[test]
fn off_centre() {
    refused(
        &[
            "seal",
            "--gland-depth",
            "1.6 mm",
            "--section",
            "2 mm",
            "--off-centre",
            "1.6 mm",
        ],
        &["touch the bore"],
    );
}
