//! No result replaces a file that the same call reads, and no two results meet in one file:
//! every command that the program knows, with every option of it that names a result.

pub mod cases;

use crate::text;
use cases::{CAR, CASES, Case, LOG, bay};
use clap::CommandFactory;
use falseair::answer::write::{OutFile, OutFolder};
use falseair::cli::Args;
use std::any::TypeId;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Commands that write and read no file that is named to them; `sweep join` reads folders.
const WITHOUT_INPUT: [&str; 7] = [
    "schema",
    "schema answer",
    "completions",
    "manual",
    "notices",
    "glossary",
    "sweep join",
];

/// Options that name a file to read; any other path is a result and says so by its type.
const INPUTS: [&str; 12] = [
    "cases",
    "compare",
    "log",
    "twin",
    "twins",
    "vehicle",
    "readings",
    "mapping",
    "numbers",
    "hide",
    "passphrase-file",
    "words",
];

/// A study of two cases.
const STUDY: &str = "title = \"few\"\nvehicle = \"scenarios/vehicles/brindle-16.toml\"\n\
    [[point]]\nname = \"cruise\"\nspeed = \"2500 rpm\"\ntorque = \"45 N m\"\n\
    [[axis]]\nkey = \"ambient.temperature\"\nvalues = [\"0 degC\", \"30 degC\"]\n\
    [[leak]]\nplace = \"cold_pipe\"\nround_hole = { diameter = \"1 mm\" }\n";

/// Every file and folder in a folder, with what is in it.
fn contents(folder: &Path) -> BTreeMap<PathBuf, Option<Vec<u8>>> {
    let mut all = BTreeMap::new();
    let mut todo = vec![folder.to_path_buf()];
    while let Some(folder) = todo.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let entry = entry.unwrap();
            let (path, kind) = (entry.path(), entry.file_type().unwrap());
            // A link is not followed: it may lead back.
            let bytes = kind.is_file().then(|| fs::read(&path).unwrap());
            todo.extend(kind.is_dir().then(|| path.clone()));
            all.insert(path, bytes);
        }
    }
    all
}

/// The options of a command that name a result: whether each is a file, not a folder.
type Options = BTreeMap<String, bool>;

/// Every command of the program with its options of that kind.
fn all_commands() -> BTreeMap<String, Options> {
    let mut all = BTreeMap::new();
    let mut todo = vec![(String::new(), Args::command())];
    while let Some((path, command)) = todo.pop() {
        let mut found = Options::new();
        for argument in command.get_arguments() {
            let Some(long) = argument.get_long() else {
                continue;
            };
            let kind = argument.get_value_parser().type_id();
            if kind == TypeId::of::<OutFile>() || kind == TypeId::of::<OutFolder>() {
                let file = kind == TypeId::of::<OutFile>();
                found.insert(format!("--{long}"), file);
            }
            assert!(
                kind != TypeId::of::<PathBuf>() || INPUTS.contains(&long),
                "`{path} --{long}` takes a path: a result is an `OutFile` or `OutFolder`"
            );
        }
        for sub in command.get_subcommands() {
            let name = format!("{path} {}", sub.get_name()).trim().to_string();
            todo.push((name, sub.clone()));
        }
        if !found.is_empty() {
            all.insert(path, found);
        }
    }
    all
}

fn run(folder: &Path, command: &str, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_falseair"))
        .current_dir(folder)
        .args(command.split(' '))
        .args(arguments)
        .output()
        .unwrap()
}

/// Refused with both names, and nothing in the folder is new, gone or changed; whoever says
/// that what is there may go is refused as well.
fn refused(folder: &Path, command: &str, arguments: &[&str], names: &[&str]) {
    let before = contents(folder);
    let done = run(folder, command, &[arguments, &["--force"]].concat());
    let said = text(&done.stderr);
    let what = format!("{command} {arguments:?}: {said}");
    assert_eq!(done.status.code(), Some(2), "{what}");
    assert!(said.contains("nothing was written"), "{what}");
    for name in names {
        assert!(said.contains(name), "`{name}` is not named: {what}");
    }
    assert!(contents(folder) == before, "something was written: {what}");
}

/// The case's words with results where `given` says, and what it needs besides.
fn words<'a>(case: &Case, given: &[(&'a str, &'a str)]) -> Vec<&'a str> {
    let mut all: Vec<&str> = case.arguments.to_vec();
    for need in case.needs {
        if given.iter().all(|(option, _)| option != need) {
            all.extend([need, "new-place"]);
        }
    }
    all.extend(given.iter().flat_map(|(option, path)| [*option, *path]));
    all
}

#[test]
fn every_command_that_writes_is_tried() {
    let tried: BTreeSet<&str> = CASES.iter().map(|case| case.command).collect();
    for command in all_commands().keys() {
        assert!(
            tried.contains(command.as_str()) || WITHOUT_INPUT.contains(&command.as_str()),
            "`{command}` writes and is tried nowhere"
        );
    }
}

#[test]
fn no_input_is_replaced() {
    let folder = bay("replaced");
    let commands = all_commands();
    for case in CASES {
        for (option, _) in commands[case.command].iter().filter(|(_, file)| **file) {
            for input in case.reads {
                let name = Path::new(input).file_name().unwrap().to_str().unwrap();
                let arguments = words(case, &[(option, input)]);
                refused(&folder, case.command, &arguments, &[input, name]);
            }
        }
    }
}

#[test]
fn no_two_results_meet() {
    let folder = bay("met");
    fs::create_dir(folder.join("there")).unwrap();
    let commands = all_commands();
    for case in CASES {
        let options: Vec<(&String, &bool)> = commands[case.command].iter().collect();
        for (i, (first, is_file)) in options.iter().enumerate() {
            for (second, file) in &options[i + 1..] {
                // Two folders may be one.
                if !**is_file && !**file {
                    continue;
                }
                let given = [(first.as_str(), "new"), (second.as_str(), "there/../new")];
                refused(
                    &folder,
                    case.command,
                    &words(case, &given),
                    &["`new`", "there/../new"],
                );
            }
        }
    }
}

/// What stands there was made by somebody: every command, every option that names a result.
#[test]
fn what_is_there_is_kept() {
    let folder = bay("kept");
    fs::write(folder.join("mine.txt"), "mine").unwrap();
    let commands = all_commands();
    for (command, options) in &commands {
        let Some(case) = CASES.iter().find(|case| case.command == *command) else {
            assert!(WITHOUT_INPUT.contains(&command.as_str()));
            continue;
        };
        for (option, _) in options.iter().filter(|(_, file)| **file) {
            let before = contents(&folder);
            let done = run(&folder, command, &words(case, &[(option, "mine.txt")]));
            let said = text(&done.stderr);
            assert_eq!(done.status.code(), Some(2), "{command} {option}: {said}");
            let expected = "error: `mine.txt` is there already; nothing was written\n\
                            to write over it, add --force\n";
            assert_eq!(said, expected, "{command} {option}");
            assert!(contents(&folder) == before);
        }
    }
    // In a folder too, and in place of what belongs to a file: then it is said, and done.
    let decay = ["scenarios/workshop/decay.toml", "--svg", "pictures"];
    let again = |further: &[&str]| run(&folder, "workshop decay", &[&decay[..], further].concat());
    assert!(again(&[]).status.success());
    let picture = folder.join("pictures/gauge-trace.svg");
    let drawn = fs::read(&picture).unwrap();
    fs::write(&picture, "mine").unwrap();
    let done = again(&[]);
    assert_eq!(done.status.code(), Some(2));
    assert!(text(&done.stderr).contains("gauge-trace.svg` is there already"));
    assert_eq!(fs::read(&picture).unwrap(), b"mine");
    assert!(again(&["--force"]).status.success());
    assert!(fs::read(&picture).unwrap() == drawn);
}

/// A link in a folder of results leads nowhere else, whatever is allowed.
#[cfg(unix)]
#[test]
fn no_result_goes_through_a_link() {
    use std::os::unix::fs::symlink;
    let folder = bay("through");
    fs::create_dir(folder.join("pictures")).unwrap();
    fs::write(folder.join("mine.txt"), "mine").unwrap();
    symlink("../mine.txt", folder.join("pictures/gauge-trace.svg")).unwrap();
    let decay = ["scenarios/workshop/decay.toml", "--svg", "pictures"];
    for force in [&[][..], &["--force"]] {
        let done = run(&folder, "workshop decay", &[&decay[..], force].concat());
        assert_eq!(done.status.code(), Some(2), "{}", text(&done.stderr));
        assert_eq!(fs::read(folder.join("mine.txt")).unwrap(), b"mine");
        // Nor is a part of the rest there.
        assert_eq!(fs::read_dir(folder.join("pictures")).unwrap().count(), 1);
    }
    // Nor does a sweep's own folder for what is not finished.
    fs::create_dir_all(folder.join("sweep")).unwrap();
    fs::create_dir(folder.join("elsewhere")).unwrap();
    fs::write(folder.join("study.toml"), STUDY).unwrap();
    let sweep = ["study.toml", "--out", "sweep"];
    let share = [&sweep[..], &["--part", "1/2"]].concat();
    assert!(run(&folder, "sweep", &share).status.success());
    fs::remove_dir_all(folder.join("sweep/chunks")).unwrap();
    symlink("../elsewhere", folder.join("sweep/chunks")).unwrap();
    let done = run(&folder, "sweep", &share);
    assert_eq!(done.status.code(), Some(2));
    assert!(
        text(&done.stderr).contains("it is a link"),
        "{}",
        text(&done.stderr)
    );
    assert_eq!(fs::read_dir(folder.join("elsewhere")).unwrap().count(), 0);
}

#[cfg(unix)]
#[test]
fn by_whatever_name_it_is_one_file() {
    let folder = bay("spelled");
    fs::create_dir(folder.join("other")).unwrap();
    fs::hard_link(folder.join(LOG), folder.join("hard.csv")).unwrap();
    std::os::unix::fs::symlink(LOG, folder.join("soft.csv")).unwrap();
    std::os::unix::fs::symlink(".", folder.join("again")).unwrap();
    let whole = folder.join(LOG);
    for name in [
        "./drive.csv",
        "other/../drive.csv",
        "hard.csv",
        "soft.csv",
        "again/drive.csv",
        whole.to_str().unwrap(),
    ] {
        refused(&folder, "log", &[LOG, "--out", name], &[name, LOG]);
        // And the other way round.
        refused(&folder, "log", &[name, "--out", LOG], &[name, LOG]);
    }
    let two = ["--out", "new.html", "--report", "again/new.html"];
    let seal = ["scenarios/workshop/seal.toml"];
    refused(
        &folder,
        "workshop seal",
        &[&seal[..], &two].concat(),
        &["new.html", "again/new.html"],
    );
    // Nothing is lost where nothing is kept: a device, and a name that only looks alike.
    let seal = |further: &[&str]| run(&folder, "workshop seal", &[&seal[..], further].concat());
    let done = seal(&["--out", "/dev/null", "--report", "/dev/null"]);
    assert!(done.status.success(), "{}", text(&done.stderr));
    let done = seal(&["--out", "a.html", "--report", "other/a.html"]);
    assert!(done.status.success(), "{}", text(&done.stderr));
}

/// What stands in a folder of pictures has names of its own.
#[test]
fn files_within_folders() {
    let folder = bay("within");
    let decay = ["scenarios/workshop/decay.toml"];
    let drawn = |further: &[&'static str]| [&decay[..], further].concat();
    // Two results, the folder not there yet.
    refused(
        &folder,
        "workshop decay",
        &drawn(&["--svg", "new", "--out", "new/gauge-trace.svg"]),
        &["new/gauge-trace.svg"],
    );
    refused(
        &folder,
        "workshop decay",
        &drawn(&["--svg", "new", "--plot", "new/gauge-trace.svg"]),
        &["new/gauge-trace.svg"],
    );
    // A file that is a folder to another result.
    refused(
        &folder,
        "workshop decay",
        &drawn(&["--svg", "new/deep", "--report", "new"]),
        &["`new`", "`new/deep`"],
    );
    // An input that has a picture's name.
    fs::copy(folder.join(CAR), folder.join("gauge-trace.svg")).unwrap();
    let own = [
        "--vehicle",
        "gauge-trace.svg",
        "--start-pressure",
        "50 kPa gauge",
    ];
    let own = [
        &own[..],
        &["--end-pressure", "20 kPa gauge", "--time", "9 s"],
    ]
    .concat();
    refused(
        &folder,
        "workshop decay",
        &[&own[..], &["--svg", "."]].concat(),
        &["gauge-trace.svg"],
    );
    // One folder for both kinds of pictures is well.
    let done = run(
        &folder,
        "workshop decay",
        &drawn(&["--svg", "both", "--png", "both", "--out", "both.txt"]),
    );
    assert!(done.status.success(), "{}", text(&done.stderr));
    assert!(folder.join("both/gauge-trace.svg").is_file());
    assert!(folder.join("both/gauge-trace.png").is_file());
}

/// A sweep's folder holds files of the sweep's own, and shares are read when they are joined.
#[test]
fn the_folders_of_a_sweep() {
    let folder = bay("sweep");
    fs::write(folder.join("study.toml"), STUDY).unwrap();
    for name in ["manifest.json", "results.csv", "summary.json", "chunks"] {
        let page = format!("./whole/{name}");
        let arguments = ["study.toml", "--out", "whole", "--report", &page];
        refused(&folder, "sweep", &arguments, &[&page, name]);
    }
    let done = run(
        &folder,
        "sweep",
        &["study.toml", "--out", "share", "--part", "1/2"],
    );
    assert!(done.status.success(), "{}", text(&done.stderr));
    for page in ["share/manifest.json", "share/chunks/0000000.csv"] {
        let arguments = ["join", "share", "--out", "whole", "--report", page];
        refused(&folder, "sweep", &arguments, &[page]);
    }
    let arguments = ["join", "share", "--out", "whole", "--report", "whole.html"];
    let done = run(&folder, "sweep", &arguments);
    assert!(done.status.success(), "{}", text(&done.stderr));
}
