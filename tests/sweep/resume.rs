//! Stopped, cut, shared out and started again: the bytes of an undisturbed run.

use super::*;
use std::process::Stdio;
use std::time::{Duration, Instant};

fn small(name: &str) -> (PathBuf, PathBuf) {
    let folder = scratch(name);
    (study(&folder, &format!("{SMALL}{CRUISE}")), folder)
}

#[test]
fn one_two_and_eight_threads_write_the_same_bytes() {
    let (study, folder) = small("threads");
    let runs = ["1", "2", "8"].map(|threads| {
        let out = folder.join(threads);
        sweep(&study, &out, &["--threads", threads]);
        assert!(!out.join("chunks").exists());
        bytes(&out)
    });
    assert_eq!(runs[0], runs[1]);
    assert_eq!(runs[0], runs[2]);
}

#[test]
fn killed_twenty_times_at_random_moments_it_ends_with_the_same_bytes() {
    let (study, folder) = small("kill");
    let start = Instant::now();
    sweep(&study, &folder.join("whole"), &["--threads", "1"]);
    let whole = start.elapsed();
    let wanted = bytes(&folder.join("whole"));
    let (mut kills, mut cut, mut chance, mut round) = (0, 0, 1u64, 0);
    while kills < 20 {
        round += 1;
        let out = folder.join(format!("round-{round}"));
        loop {
            let mut child = Command::new(env!("CARGO_BIN_EXE_falseair"))
                .args(["sweep", study.to_str().unwrap(), "--threads", "1"])
                .args(["--out", out.to_str().unwrap()])
                .stdout(Stdio::null())
                .spawn()
                .unwrap();
            // Random to the reader of the folder, the same in every run of the test: MMIX by Knuth.
            chance = chance
                .wrapping_mul(6364136223846793005)
                .wrapping_add(1442695040888963407);
            let share = (chance >> 40) as f64 / (1u64 << 24) as f64;
            std::thread::sleep(Duration::from_secs_f64(share * 1.1 * whole.as_secs_f64()));
            child.kill().unwrap();
            if child.wait().unwrap().success() {
                break;
            }
            kills += 1;
            cut += u32::from(out.join("chunks/0000000.csv").exists());
            if kills % 5 == 0 {
                // In the folder as it is left, every fifth time, undisturbed to the end.
                sweep(&study, &out, &[]);
                break;
            }
        }
        assert_eq!(bytes(&out), wanted, "round {round}");
        let left: Vec<_> = fs::read_dir(&out)
            .unwrap()
            .flatten()
            .map(|e| e.file_name())
            .collect();
        let visible = left
            .iter()
            .filter(|name| !name.to_string_lossy().starts_with('.'));
        // The summary is made of them; beside them stand the texts of study and car.
        assert_eq!(visible.count(), FILES.len() + 3, "{left:?}");
    }
    assert!(
        cut > 3,
        "only {cut} of {kills} kills came between two chunks"
    );
}

#[test]
fn a_damaged_chunk_is_computed_again() {
    let (study, folder) = small("damage");
    sweep(&study, &folder.join("whole"), &[]);
    let share = folder.join("share");
    sweep(&study, &share, &["--part", "1/2"]);
    let chunk = share.join("chunks/0000002.csv");
    let good = fs::read(&chunk).unwrap();
    for damaged in [&good[..good.len() / 2], b"", &[&good[..], b"x"].concat()] {
        fs::write(&chunk, damaged).unwrap();
        sweep(&study, &share, &["--part", "1/2"]);
        assert_eq!(fs::read(&chunk).unwrap(), good);
    }
}

#[test]
fn three_shares_joined_are_the_whole() {
    let (study, folder) = small("shares");
    sweep(&study, &folder.join("whole"), &[]);
    let shares = ["1/3", "2/3", "3/3"].map(|part| {
        let out = folder.join(part.replace('/', "-of-"));
        sweep(&study, &out, &["--part", part]);
        out
    });
    let join = |folders: &[&PathBuf], out: &str| {
        let out = folder.join(out);
        let folders = folders.iter().map(|folder| folder.to_str().unwrap());
        let further = ["--out", out.to_str().unwrap()];
        let arguments: Vec<&str> = ["join"].into_iter().chain(folders).chain(further).collect();
        (falseair(&arguments), out)
    };
    // In any order, and one of them twice.
    let (output, joined) = join(&[&shares[2], &shares[0], &shares[1], &shares[0]], "joined");
    assert!(output.status.success(), "{output:?}");
    assert_eq!(bytes(&joined), bytes(&folder.join("whole")));

    let (output, _) = join(&[&shares[0], &shares[1]], "gap");
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("share 3/3 is missing"), "{said}");
    assert!(
        said.contains("cases from 32 on are in none of the folders"),
        "{said}"
    );

    let other = scratch("shares-other");
    let second = super::study(&other, &format!("seed = 2\n{SMALL}{CRUISE}"));
    sweep(&second, &other.join("out"), &["--part", "3/3"]);
    let (output, _) = join(&[&shares[0], &shares[1], &other.join("out")], "mixed");
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("different studies"), "{said}");
}

#[test]
fn a_folder_of_another_study_or_of_other_things_is_left_alone() {
    let (study, folder) = small("folders");
    let out = folder.join("out");
    sweep(&study, &out, &[]);
    let before = bytes(&out);
    assert!(sweep(&study, &out, &[]).contains("was finished before"));
    let text = fs::read_to_string(&study).unwrap();
    fs::write(&study, text.replace("5 mm", "6 mm")).unwrap();
    let said = refused(&study, &out, &[]);
    assert!(said.contains("belongs to another study"), "{said}");
    assert_eq!(bytes(&out), before);

    // The study's own folder holds other things.
    let said = refused(&study, &folder, &[]);
    assert!(said.contains("is not one of a sweep and holds"), "{said}");
    let said = refused(&study, &study, &[]);
    assert!(said.contains("error:"), "{said}");
    let said = refused(&study, Path::new("/proc/nowhere"), &[]);
    assert!(said.contains("/proc/nowhere"), "{said}");
}

/// A file system of so many kilobytes, until it is dropped.
struct SmallDisk(PathBuf);

impl SmallDisk {
    fn new(at: &Path, kilobytes: u32) -> Self {
        fs::create_dir_all(at).unwrap();
        let size = format!("size={kilobytes}k");
        let mut mount = Command::new("mount");
        mount.args(["-t", "tmpfs", "-o", &size, "tmpfs"]).arg(at);
        let output = mount.output().unwrap();
        assert!(output.status.success(), "{output:?}");
        Self(at.into())
    }

    fn grow(&self, kilobytes: u32) {
        let size = format!("remount,size={kilobytes}k");
        let status = Command::new("mount")
            .args(["-o", &size])
            .arg(&self.0)
            .status();
        assert!(status.unwrap().success());
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.0).status();
    }
}

/// What `ulimit -f` allows a file, blocks of 512 bytes, stands for a disk that takes no more:
/// where no disk may be mounted, this is tested all the same.
#[cfg(unix)]
#[test]
fn a_file_that_may_not_grow_stops_it_and_loses_nothing() {
    let (study, folder) = small("limited");
    sweep(&study, &folder.join("whole"), &[]);
    let out = folder.join("out");
    let limited = |blocks: u32| {
        let script = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$@\"");
        let mut command = Command::new("sh");
        command.args(["-c", &script, "sh", env!("CARGO_BIN_EXE_falseair"), "sweep"]);
        command.arg(&study).arg("--out").arg(&out);
        let output = command.output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{output:?}");
        String::from_utf8(output.stderr).unwrap()
    };
    // Room for the manifest of about 8 kB, for no chunk of about 12.
    let said = limited(20);
    assert!(said.contains("larger than files may be here"), "{said}");
    assert!(said.contains("what was finished is kept"), "{said}");
    // Room for every chunk, not for the results together.
    let said = limited(48);
    assert!(said.contains("results"), "{said}");
    let chunks = fs::read_dir(out.join("chunks")).unwrap().count();
    assert!(chunks >= 4, "{chunks}");
    sweep(&study, &out, &[]);
    assert_eq!(bytes(&out), bytes(&folder.join("whole")));
}

#[test]
#[ignore = "mounts a small disk, as root: `.ci/long` runs it"]
fn a_full_disk_stops_it_and_loses_nothing() {
    let (study, folder) = small("full");
    sweep(&study, &folder.join("whole"), &[]);
    let at = folder.join("disk");
    // Room for the manifest and some of the four chunks of about 12 kB.
    let disk = SmallDisk::new(&at, 48);
    let out = at.join("out");
    let said = refused(&study, &out, &["--threads", "1"]);
    assert!(said.contains("the disk is full"), "{said}");
    assert!(said.contains("what was finished is kept"), "{said}");
    let kept: Vec<PathBuf> = (fs::read_dir(out.join("chunks")).unwrap().flatten())
        .map(|entry| entry.path())
        .collect();
    assert!((1..4).contains(&kept.len()), "{kept:?}");
    let before: Vec<Vec<u8>> = kept.iter().map(|path| fs::read(path).unwrap()).collect();
    // Still full: still an error, still nothing lost.
    refused(&study, &out, &[]);
    let after: Vec<Vec<u8>> = kept.iter().map(|path| fs::read(path).unwrap()).collect();
    assert_eq!(before, after);
    // Full when the results are put together.
    disk.grow(80);
    let said = refused(&study, &out, &[]);
    assert!(
        said.contains("results") && said.contains("the disk is full"),
        "{said}"
    );
    disk.grow(1000);
    sweep(&study, &out, &[]);
    assert_eq!(bytes(&out), bytes(&folder.join("whole")));
}
