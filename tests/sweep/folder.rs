//! The folder: one at work in it at a time, what stands in it, what a sweep would be beforehand.

use super::*;
use std::process::Stdio;

#[test]
fn of_two_in_one_folder_the_second_is_told_and_nothing_is_lost() {
    let folder = scratch("two");
    let study = study(&folder, &format!("{SMALL}{CRUISE}"));
    sweep(&study, &folder.join("whole"), &[]);
    let wanted = bytes(&folder.join("whole"));
    let mut told = 0;
    for round in 0..20 {
        let out = folder.join(format!("round-{round}"));
        let begin = || {
            Command::new(env!("CARGO_BIN_EXE_falseair"))
                .args(["sweep", study.to_str().unwrap(), "--threads", "1"])
                .args(["--out", out.to_str().unwrap()])
                .stdout(Stdio::piped())
                .stderr(Stdio::piped())
                .spawn()
                .unwrap()
        };
        let both = [begin(), begin()].map(|child| child.wait_with_output().unwrap());
        let ended = both.iter().filter(|output| output.status.success());
        assert!(ended.count() >= 1, "{both:?}");
        for output in both.iter().filter(|output| !output.status.success()) {
            assert_eq!(output.status.code(), Some(2), "{output:?}");
            let said = String::from_utf8_lossy(&output.stderr);
            assert!(said.contains("another sweep is at work in"), "{said}");
            told += 1;
        }
        assert_eq!(bytes(&out), wanted, "round {round}");
    }
    // Begun together, one is seldom done before the other has come to the folder.
    assert!(told >= 10, "{told}");
}

#[test]
fn a_share_without_cases_says_so() {
    let folder = scratch("empty-share");
    let study = study(&folder, &format!("{SMALL}{CRUISE}"));
    let said = sweep(&study, &folder.join("out"), &["--part", "5/5"]);
    // Lines are broken where the terminal ends.
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("has no cases: the study is cut into 4 pieces"),
        "{said}"
    );
    let said = sweep(&study, &folder.join("second"), &["--part", "4/5"]);
    assert!(!said.contains("has no cases"), "{said}");
}

#[test]
fn beforehand_it_says_how_many_how_long_how_large_and_writes_nothing() {
    let folder = scratch("dry");
    let study = study(&folder, &format!("{SMALL}{CRUISE}"));
    let out = folder.join("out");
    let said = sweep(&study, &out, &["--dry-run", "--part", "2/3"]);
    for words in [
        "64 cases, 64 rows",
        "16 of them in share 2/3",
        "threads of this machine",
        "kB",
    ] {
        assert!(said.contains(words), "wanted {words}\n{said}");
    }
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 1);
}

#[test]
fn study_and_car_stand_beside_the_results() {
    let folder = scratch("texts");
    let study = study(&folder, &format!("{SMALL}{CRUISE}"));
    let out = folder.join("out");
    sweep(&study, &out, &[]);
    assert_eq!(
        fs::read(out.join("study.toml")).unwrap(),
        fs::read(&study).unwrap()
    );
    assert_eq!(
        fs::read(out.join("vehicle.toml")).unwrap(),
        fs::read(vehicle()).unwrap()
    );
}
