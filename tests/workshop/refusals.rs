//! Nonsense is refused with its reason, its place, and exit code 2.

use crate::{text, workshop};

pub fn refused(arguments: &[&str], reasons: &[&str]) {
    let output = workshop(arguments);
    let said = text(&output.stderr).replace("\n  = help:", " ");
    assert_eq!(output.status.code(), Some(2), "{arguments:?}: {said}");
    assert!(output.stdout.is_empty());
    for reason in reasons {
        assert!(said.contains(reason), "{arguments:?}: {said}");
    }
}

const START: [&str; 5] = [
    "decay",
    "--volume",
    "8 L",
    "--start-pressure",
    "60 kPa gauge",
];

#[test]
fn decay() {
    let with = |more: &[&'static str], reasons: &[&str]| refused(&[&START, more].concat(), reasons);
    with(
        &["--end-pressure", "61 kPa gauge", "--time", "10 s"],
        &[
            "end pressure is above the start",
            "command line:3",
            "`end_pressure`",
        ],
    );
    with(
        &["--end-pressure", "40 kPa gauge", "--time", "0 s"],
        &["no time passed"],
    );
    with(
        &["--end-pressure", "40 kPa gauge", "--time", "-5 s"],
        &["out of range"],
    );
    with(
        &["--end-pressure", "0 kPa gauge", "--time", "5 s"],
        &["back at ambient"],
    );
    with(&["--end-pressure", "40 kPa gauge"], &["missing key `time`"]);
    with(
        &["--end-pressure", "141 kPa abs", "--time", "5 s"],
        &["counts from vacuum", "gauge pressure is needed"],
    );
    with(
        &["--end-pressure", "40 kPa", "--time", "5 s"],
        &["does not say from where it counts"],
    );
    with(
        &["--end-pressure", "40 kPa gauge", "--time", "5"],
        &["has no unit"],
    );
    with(
        &[
            "--end-pressure",
            "40 kPa gauge",
            "--time",
            "5 s",
            "--place",
            "cold_pip",
        ],
        &["did you mean `cold_pipe`?"],
    );
    with(
        &[
            "--end-pressure",
            "40 kPa gauge",
            "--time",
            "5 s",
            "--ambient-pressure",
            "0 kPa gauge",
        ],
        &["absolute pressure is needed"],
    );
    with(
        &[
            "--end-pressure",
            "40 kPa gauge",
            "--time",
            "5 s",
            "--reference",
            "start_pressure=60 kPa gauge, end_pressure=20 kPa gauge, time=5 s",
        ],
        &["more gets out than before"],
    );
    with(
        &["--leak", "round_hole diameter=1 mm"],
        &["either `end_pressure` or `time`"],
    );
    with(
        &[
            "--leak",
            "round_hole diameter=0 mm",
            "--end-pressure",
            "5 kPa gauge",
        ],
        &["as good as tight"],
    );
    with(
        &["--leak", "round_hol diameter=1 mm", "--time", "5 s"],
        &["did you mean `round_hole`?"],
    );
    with(
        &["--leak", "round_hole diametr=1 mm", "--time", "5 s"],
        &["did you mean `diameter`?"],
    );
    with(&["--end-presure", "40 kPa gauge"], &["--end-pressure"]);
    with(
        &[
            "--vehicle",
            "scenarios/vehicles/brindle.toml",
            "--end-pressure",
            "40 kPa gauge",
            "--time",
            "5 s",
        ],
        &["vehicle file cannot be read"],
    );
    refused(
        &[
            "decay",
            "--start-pressure",
            "60 kPa gauge",
            "--end-pressure",
            "40 kPa gauge",
            "--time",
            "5 s",
        ],
        &["`volume`", "`vehicle`"],
    );
    refused(&["decay"], &["give a TOML file, or flags"]);
    refused(
        &["decay", "scenarios/workshop/trace.toml", "--time", "5 s"],
        &["not both"],
    );
}

#[test]
fn vacuum() {
    refused(
        &[
            "decay",
            "--volume",
            "2 L",
            "--start-pressure",
            "-50 kPa gauge",
            "--end-pressure",
            "-60 kPa gauge",
            "--time",
            "5 s",
        ],
        &["deeper at the end"],
    );
    refused(
        &[
            "decay",
            "--volume",
            "2 L",
            "--start-pressure",
            "-105 kPa gauge",
            "--end-pressure",
            "-60 kPa gauge",
            "--time",
            "5 s",
        ],
        &["below a perfect vacuum"],
    );
}

#[test]
fn flow() {
    refused(
        &["flow", "--flow", "6 scf", "--pressure", "1 psi gauge"],
        &["scfh", "g/s"],
    );
    refused(
        &["flow", "--flow", "0 g/s", "--pressure", "1 psi gauge"],
        &["no flow"],
    );
    refused(
        &["flow", "--flow", "1 g/s", "--pressure", "0 psi gauge"],
        &["no area follows"],
    );
    refused(
        &[
            "flow",
            "--flow",
            "1 g/s",
            "--blanked-flow",
            "2 g/s",
            "--pressure",
            "1 psi gauge",
        ],
        &["more than before"],
    );
    refused(
        &["flow", "--flow", "1 g/s", "--pressure", "108 kPa abs"],
        &["counts from vacuum"],
    );
    refused(
        &[
            "flow",
            "--flow",
            "1 g/s",
            "--pressure",
            "1 psi gauge",
            "--second-flow",
            "3 g/s",
        ],
        &["second_pressure"],
    );
    // Eight times the flow at four times the pressure: a split that opens.
    refused(
        &[
            "flow",
            "--flow",
            "1 g/s",
            "--pressure",
            "5 kPa gauge",
            "--second-flow",
            "8 g/s",
            "--second-pressure",
            "20 kPa gauge",
        ],
        &["opening grows with pressure"],
    );
}

#[test]
fn gap() {
    refused(
        &["gap", "--pressure", "1 bar gauge"],
        &["missing key `opening`"],
    );
    refused(
        &["gap", "--opening", "slot gap=15 thou, length=20 mm"],
        &["depth"],
    );
    refused(
        &[
            "gap",
            "--opening",
            "slot gap=15 tho, length=20 mm, depth=5 mm",
        ],
        &["thou"],
    );
    let slot = [
        "gap",
        "--opening",
        "slot gap=15 thou, length=20 mm, depth=5 mm",
    ];
    refused(
        &[&slot[..], &["--pressure", "0 bar gauge"]].concat(),
        &["without a pressure difference"],
    );
    refused(
        &[&slot[..], &["--place", "cold_pipe"]].concat(),
        &["needs a `vehicle`"],
    );
    refused(
        &[
            &slot[..],
            &["--vehicle", "scenarios/vehicles/brindle-16.toml"],
        ]
        .concat(),
        &["needs the `place`"],
    );
    refused(
        &[&slot[..], &["--allowed-boost-loss", "1 kPa"]].concat(),
        &["needs a `vehicle`"],
    );
}

#[test]
fn seal() {
    refused(&["seal", "--crush-to-seal", "5 %"], &["nothing is asked"]);
    refused(
        &[
            "seal",
            "--pipe-diameter",
            "10 mm",
            "--bore-diameter",
            "9 mm",
        ],
        &["not larger"],
    );
    refused(
        &["seal", "--pipe-diameter", "10 mm"],
        &["needs a `bore_diameter`"],
    );
    refused(&["seal", "--section", "2 mm"], &["needs its gland"]);
    refused(
        &[
            "seal",
            "--gland-depth",
            "1.6 mm",
            "--new-section",
            "2 mm",
            "--used-section",
            "2.2 mm",
        ],
        &["has swollen"],
    );
    refused(
        &[
            "seal",
            "--gland-depth",
            "2.1 mm",
            "--new-section",
            "2 mm",
            "--used-section",
            "1.9 mm",
        ],
        &["never squeezed"],
    );
    refused(
        &[
            "seal",
            "--pipe-diameter",
            "10 mm",
            "--bore-diameter",
            "13.2 mm",
            "--section",
            "2 mm",
            "--cut-from",
            "9 mm",
        ],
        &["too short"],
    );
    refused(
        &["seal", "--bow", "0.2 mm", "--crush-to-seal", "30 %"],
        &["must be below"],
    );
}
