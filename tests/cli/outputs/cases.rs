//! Every command that reads and writes, with what it reads, and a folder to try it in.

use crate::root;
use std::fs;
use std::path::PathBuf;

/// A command with inputs: its words, the results it cannot do without, what it reads.
pub struct Case {
    pub command: &'static str,
    pub arguments: &'static [&'static str],
    pub needs: &'static [&'static str],
    pub reads: &'static [&'static str],
}

pub const CAR: &str = "scenarios/vehicles/brindle-16.toml";
const DOUBT: &str = "scenarios/vehicles/brindle-16.doubt.toml";
const TWIN: &str = "scenarios/twins/brindle-16/anna/2026-05-03.toml";
const SPLIT: &str = "scenarios/split-hose.toml";
const SOUND: &str = "scenarios/healthy.toml";
const RESULTS: &[&str] = &[
    "scenarios/class/keys.toml",
    "scenarios/class/ada.json",
    "scenarios/class/finn.json",
];
const RESULTS_READ: &[&str] = &[CAR, RESULTS[0], RESULTS[1], RESULTS[2]];
const LEAN: &str = "scenarios/readings/lean-at-idle.toml";
const WELL: &str = "scenarios/readings/healthy-car.toml";
const NUMBERS: &str = "numbers.toml";
pub const LOG: &str = "drive.csv";
const MAPPING: &str = "mapping.toml";

const fn case(
    command: &'static str,
    arguments: &'static [&'static str],
    reads: &'static [&'static str],
) -> Case {
    Case {
        command,
        arguments,
        needs: &[],
        reads,
    }
}

pub const CASES: &[Case] = &[
    case("simulate", &[SPLIT], &[SPLIT, CAR]),
    case("simulate", &[SPLIT, "--time"], &[SPLIT, CAR]),
    case(
        "simulate",
        &[SPLIT, "--compare", SOUND],
        &[SPLIT, SOUND, CAR],
    ),
    case("codes", &[CAR], &[CAR]),
    case("atlas", &[CAR], &[CAR]),
    case("threshold", &[CAR], &[CAR]),
    case("across", &[SPLIT], &[SPLIT, CAR]),
    case("branches", &[SPLIT], &[SPLIT, CAR]),
    case("sensitivity", &[SPLIT], &[SPLIT, CAR]),
    Case {
        needs: &["--out"],
        ..case(
            "sweep",
            &["scenarios/studies/leak-atlas.toml"],
            &["scenarios/studies/leak-atlas.toml", CAR],
        )
    },
    case("diagnose", &[LEAN, "--compare", WELL], &[LEAN, WELL, CAR]),
    case(
        "diagnose",
        &["named.toml"],
        &["named.toml", LOG, CAR, DOUBT],
    ),
    case(
        "diagnose",
        &["scenarios/readings/lean-at-idle.toml"],
        &["scenarios/readings/lean-at-idle.toml", CAR, DOUBT],
    ),
    case(
        "diagnose",
        &["scenarios/readings/drive-log.toml", "--log", LOG],
        &["scenarios/readings/drive-log.toml", LOG],
    ),
    case(
        "diagnose",
        &["scenarios/readings/lean-at-idle-tested.toml"],
        &[
            "scenarios/readings/lean-at-idle-tested.toml",
            CAR,
            DOUBT,
            TWIN,
        ],
    ),
    case(
        "diagnose plan",
        &["scenarios/readings/lean-at-idle.toml"],
        &["scenarios/readings/lean-at-idle.toml", CAR, DOUBT],
    ),
    case(
        "diagnose plan",
        &["scenarios/readings/drive-log.toml", "--log", LOG],
        &["scenarios/readings/drive-log.toml", LOG],
    ),
    case(
        "twin add",
        &[
            "scenarios/readings/healthy-car.toml",
            "--name",
            "anna",
            "--date",
            "2026-05-03",
        ],
        &["scenarios/readings/healthy-car.toml", CAR, DOUBT],
    ),
    case("twin list", &["scenarios/twins"], &[TWIN]),
    case("vehicle new", &["--numbers", NUMBERS], &[NUMBERS]),
    case(
        "vehicle fit",
        &[CAR, "--log", LOG, "--mapping", MAPPING],
        &[CAR, LOG, MAPPING],
    ),
    case(
        "vehicle gas-stand",
        &["scenarios/gas_stand/compressor.csv"],
        &["scenarios/gas_stand/compressor.csv"],
    ),
    case("log", &[LOG, "--mapping", MAPPING], &[LOG, MAPPING]),
    case(
        "workshop decay",
        &["scenarios/workshop/decay.toml"],
        &["scenarios/workshop/decay.toml", CAR],
    ),
    case(
        "workshop decay",
        &[
            "--vehicle",
            CAR,
            "--start-pressure",
            "50 kPa gauge",
            "--end-pressure",
            "20 kPa gauge",
            "--time",
            "9 s",
        ],
        &[CAR],
    ),
    case(
        "workshop flow",
        &["scenarios/workshop/flow.toml"],
        &["scenarios/workshop/flow.toml", CAR],
    ),
    case(
        "workshop gap",
        &["scenarios/workshop/gap.toml"],
        &["scenarios/workshop/gap.toml", CAR],
    ),
    case(
        "workshop seal",
        &["scenarios/workshop/seal.toml"],
        &["scenarios/workshop/seal.toml"],
    ),
    case(
        "workshop payback",
        &["scenarios/workshop/payback.toml"],
        &["scenarios/workshop/payback.toml", CAR],
    ),
    case(
        "workshop verify",
        &["scenarios/workshop/verify.toml"],
        &["scenarios/workshop/verify.toml", CAR],
    ),
    case(
        "workshop known-hole",
        &["scenarios/workshop/known-hole.toml"],
        &["scenarios/workshop/known-hole.toml", CAR],
    ),
    case("workshop plan", &[CAR], &[CAR]),
    Case {
        needs: &["--out"],
        ..case("bay", &[], &[])
    },
    Case {
        needs: &["--out"],
        ..case(
            "classroom",
            &[
                CAR,
                "--hide",
                SPLIT,
                "--passphrase-file",
                "phrase.txt",
                "--seed",
                "1",
            ],
            &[CAR, SPLIT, "phrase.txt"],
        )
    },
    case("classroom results", RESULTS, RESULTS_READ),
    Case {
        needs: &["--out"],
        ..case("classroom lessons", &[CAR], &[CAR])
    },
];

/// A fresh folder with all that the cases read.
pub fn bay(name: &str) -> PathBuf {
    let folder = crate::scratch("outputs").join(name);
    let _ = fs::remove_dir_all(&folder);
    for part in [
        "",
        "vehicles",
        "class",
        "workshop",
        "readings",
        "studies",
        "gas_stand",
        "twins/brindle-16/anna",
        "twins/brindle-16/ben",
    ] {
        fs::create_dir_all(folder.join("scenarios").join(part)).unwrap();
        for entry in fs::read_dir(root().join("scenarios").join(part)).unwrap() {
            let path = entry.unwrap().path();
            if path.is_file() {
                let name = path.file_name().unwrap();
                fs::copy(&path, folder.join("scenarios").join(part).join(name)).unwrap();
            }
        }
    }
    let log = root().join("tests/logs/files/plain.csv");
    fs::copy(log, folder.join(LOG)).unwrap();
    let numbers = "displacement = \"1.6 L\"\ncylinders = 4\nrated_power = \"132 kW\"\n\
                   rated_speed = \"5500 rpm\"\npeak_torque = \"250 N m\"\n\
                   peak_torque_speed = \"2000 rpm\"\npeak_boost = \"85 kPa gauge\"\n";
    let named = "title = \"a logged drive\"\nvehicle = \"scenarios/vehicles/brindle-16.toml\"\n\
                 [log]\nfile = \"drive.csv\"\n";
    for (name, text) in [
        (NUMBERS, numbers),
        (MAPPING, "ambient = \"98.5 kPa abs\"\n"),
        ("named.toml", named),
        ("phrase.txt", "open sesame, and shut\n"),
        (DOUBT, "vehicle = \"brindle-16.toml\"\nnumber = []\n"),
    ] {
        fs::write(folder.join(name), text).unwrap();
    }
    folder
}
