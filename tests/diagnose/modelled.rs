//! Hazardous situations of the model, each put to every command that runs it: the danger is named
//! before all else, and the JSON says the same. What is wrong is invented.

use super::hazards::text_of;
use super::said::asked;
use super::*;
use rayon::prelude::*;
use serde_json::Value;

/// What is wrong, and the dangers that it brings.
struct Wrong {
    /// `fault` or `leak`.
    what: &'static str,
    /// Its keys, as in a table of one line.
    keys: &'static str,
    /// At idle and at full load.
    steady: &'static [&'static str],
    /// Across speed, at light and full load.
    across: &'static [&'static str],
    /// In a drive, as far as the computer lets it last.
    drive: &'static [&'static str],
    /// At what a repair is reckoned by: three speeds of full load, others than those of the rest.
    payback: &'static [&'static str],
}

const LEAN: &[&str] = &["lean_under_boost"];
const UNBURNT: &[&str] = &["lean_under_boost", "raw_fuel_in_exhaust"];
const GATE: &[&str] = &[
    "overboost",
    "turbo_over_speed",
    "exhaust_too_hot",
    "catalyst_too_hot",
    "knock",
];

const MODEL: [Wrong; 10] = [
    Wrong::fault("fuel_delivery = \"70 %\"", LEAN, LEAN),
    Wrong::fault("fuel_delivery = \"50 %\"", UNBURNT, UNBURNT),
    Wrong::fault("fuel_supply = \"50 %\"", UNBURNT, UNBURNT),
    Wrong::fault("meter_reads = \"70 %\"", LEAN, LEAN),
    Wrong::fault("meter_at_high_flow = \"60 %\"", LEAN, LEAN),
    Wrong::fault("oxygen_sensor = -0.2", LEAN, LEAN),
    Wrong::fault("wastegate_stuck_shut = \"0 %\"", GATE, &["overboost"]),
    Wrong::fault("boost_sensor = \"-35 kPa\"", &["overboost"], &["overboost"]),
    Wrong {
        across: UNBURNT,
        payback: &["brake_servo_without_vacuum", "raw_fuel_in_exhaust"],
        ..Wrong::leak(
            "place = \"manifold_gasket\", round_hole = { diameter = \"8 mm\" }",
            &["brake_servo_without_vacuum", "raw_fuel_in_exhaust"],
        )
    },
    Wrong {
        across: &[],
        payback: &[],
        ..Wrong::leak(
            "place = \"ventilation_valve\", round_hole = { diameter = \"8 mm\" }",
            &["crankcase_pressure"],
        )
    },
];

impl Wrong {
    const fn fault(
        keys: &'static str,
        steady: &'static [&'static str],
        drive: &'static [&'static str],
    ) -> Self {
        Self {
            what: "fault",
            keys,
            steady,
            across: steady,
            drive,
            payback: steady,
        }
    }

    const fn leak(keys: &'static str, steady: &'static [&'static str]) -> Self {
        Self {
            what: "leak",
            drive: &[],
            ..Self::fault(keys, steady, steady)
        }
    }

    /// As a table of a scenario.
    fn table(&self) -> String {
        let lines = match self.what {
            "leak" => self.keys.replacen(", ", "\n", 1),
            _ => self.keys.into(),
        };
        format!("[[{}]]\n{lines}\n", self.what)
    }
}

fn scenario(name: &str, wrong: &str) -> PathBuf {
    let path = scratch(&format!("{name}.toml"));
    let points = [2500, 3500, 5000].map(|rpm| {
        format!(
            "[[point]]\nname = \"full load {rpm} rpm\"\nspeed = \"{rpm} rpm\"\npedal = \"100 %\"\n"
        )
    });
    let text = format!(
        "title = \"hazard\"\nvehicle = {:?}\n{wrong}\
        [[point]]\nname = \"idle\"\nidle = true\n{}\
        [[drive]]\nname = \"cruise\"\nduration = \"12 s\"\npedal = \"25 %\"\ncoupling = \"held\"\n\
        speed = \"2000 rpm\"\n\
        [[drive]]\nname = \"pull\"\nduration = \"9 s\"\npedal = \"100 %\"\nramp = \"0.2 s\"\n\
        coupling = \"in_gear\"\n",
        vehicle(),
        points.concat()
    );
    std::fs::write(&path, text).unwrap();
    path
}

#[test]
fn dangers_of_the_model_are_named_first() {
    MODEL.par_iter().enumerate().for_each(|(i, wrong)| {
        let name = format!("model_{i}");
        let sound = scenario(&format!("{name}-sound"), "");
        let path = scenario(&name, &wrong.table());
        let (sound, path) = (sound.to_str().unwrap(), path.to_str().unwrap());
        // Where there is none, a command may not be able to run so bad a car everywhere.
        let named = |command: &[&str], kinds: &[&str]| {
            if kinds.is_empty() {
                return;
            }
            let what = format!("{} {name}", command[..command.len().min(2)].join(" "));
            let said = asked(&what.replace('/', "-"), command);
            kinds.iter().for_each(|kind| said.names(kind));
        };
        named(&["simulate", path], wrong.steady);
        named(&["simulate", sound, "--compare", path], wrong.steady);
        named(&["sensitivity", path], wrong.steady);
        // These take the longest: one kind of danger twice is not tried.
        if i % 3 == 1 || wrong.what == "leak" {
            named(&["branches", path], wrong.steady);
            named(&["across", path], wrong.across);
        }
        named(&["simulate", path, "--time"], wrong.drive);
        let repair = format!(
            "vehicle = {:?}\n[[repair]]\nname = \"it\"\nstate = \"confirmed\"\ntime = \"1 h\"\n\
            {} = {{ {} }}\n",
            vehicle(),
            wrong.what,
            wrong.keys
        );
        let file = scratch(&format!("{name}-payback.toml"));
        std::fs::write(&file, repair).unwrap();
        named(
            &["workshop", "payback", file.to_str().unwrap()],
            wrong.payback,
        );
        sweep(&name, &wrong.table(), wrong.steady);
    });
}

/// A study of the same: its table of results names the danger in every row that has it, its
/// summary counts them.
fn sweep(name: &str, wrong: &str, kinds: &[&str]) {
    let study = scratch(&format!("{name}-study.toml"));
    let points = [2500, 3500, 5000].map(|rpm| {
        format!("[[point]]\nname = \"{rpm}\"\nspeed = \"{rpm} rpm\"\npedal = \"100 %\"\n")
    });
    let text = format!(
        "title = \"hazard\"\nvehicle = {:?}\n{wrong}\
        [[axis]]\nkey = \"ambient.temperature\"\nvalues = [\"15 degC\", \"25 degC\"]\n\
        [[point]]\nname = \"idle\"\nidle = true\n{}",
        vehicle(),
        points.concat()
    );
    std::fs::write(&study, text).unwrap();
    let out = scratch(&format!("{name}-sweep"));
    let _ = std::fs::remove_dir_all(&out);
    let (study, folder) = (study.to_str().unwrap(), out.to_str().unwrap());
    let page = out.with_extension("html");
    let page = page.to_str().unwrap();
    // Without a page first: people and programs are told all the same.
    let bare = falseair(&["sweep", study, "--out", folder, "--full"]);
    assert!(bare.status.success(), "{name}: {}", text_of(&bare));
    let said = printed(&bare);
    assert!(
        said.starts_with("DANGER") && said.contains("of 8 rows"),
        "{said}"
    );
    assert!(out.join("summary.json").exists(), "{name}: no summary");
    let arguments = ["sweep", study, "--out", folder, "--report", page];
    let done = falseair(&arguments);
    assert!(done.status.success(), "{name}: {}", text_of(&done));
    assert!(printed(&done).starts_with("DANGER"), "{}", printed(&done));
    let summary = std::fs::read_to_string(out.join("summary.json")).unwrap();
    let summary: Value = serde_json::from_str(&summary).unwrap();
    let table = std::fs::read_to_string(out.join("results.csv")).unwrap();
    let dangers = summary["dangers"].as_array().unwrap();
    for kind in kinds {
        let points = summary["points"].as_array().unwrap();
        let counted = points.iter().filter_map(|p| p["dangers"][kind].as_u64());
        let counted = counted.sum::<u64>() as usize;
        assert!(counted > 0, "{name} {kind}: {points:#?}");
        let rows = table.lines().filter(|line| line.contains(kind)).count();
        assert_eq!(rows, counted, "{table}");
        let named = dangers.iter().any(|danger| danger["kind"] == *kind);
        assert!(named, "{dangers:#?}");
    }
    assert!(std::fs::read_to_string(page).unwrap().contains("Danger:"));
}

fn printed(done: &Output) -> String {
    text(&done.stdout)
}

/// A log of a drive whose engine runs out of fuel: without a car, and with one.
#[test]
fn a_log_names_what_was_driven() {
    let path = scenario("logged", &MODEL[0].table());
    let log = scratch("hazard-log.csv");
    let (path, log) = (path.to_str().unwrap(), log.to_str().unwrap());
    let run = falseair(&["simulate", path, "--time", "--format", "csv", "--out", log]);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let only = ["log", log, "--only", "side=faulty"];
    asked("log lean", &only).names("lean_under_boost");
    let healthy = falseair(&["log", log, "--only", "side=healthy", "--format", "json"]);
    let healthy: Value = serde_json::from_slice(&healthy.stdout).unwrap();
    assert_eq!(healthy["dangers"], Value::Array(Vec::new()));
}
