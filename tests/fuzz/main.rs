//! Every reader on the shipped files, each with small faults put in: the short run. Where a
//! fault makes a reader panic, the smallest text that still does is printed.

mod cars;
mod targets;

use std::fs;
use std::panic::catch_unwind;
use std::path::{Path, PathBuf};
use targets::{TARGETS, Target};

/// Texts tried for each reader.
const TRIED: u64 = 2_000;
/// Longest text tried, bytes: a log's first rows say all that matters here.
const LONGEST: usize = 20_000;

/// Drawn numbers, the same in every run (SplitMix64, `steele2014`).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut x = self.0;
        x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        x ^ (x >> 31)
    }

    fn below(&mut self, count: usize) -> usize {
        (self.next() % count.max(1) as u64) as usize
    }
}

/// What people and loggers put where it does not belong.
const ODD: [&[u8]; 24] = [
    b"",
    b"0",
    b"-1",
    b"1e308",
    b"-1e-308",
    b"1e999",
    b"nan",
    b"inf",
    b"\"",
    b"\"\"",
    b"[",
    b"]]",
    b"{ x = 1 }",
    b"= =",
    b"#",
    b",",
    b";",
    b"\t",
    b"\n\n",
    b"\0",
    b"\xff\xfe",
    "\u{202e}".as_bytes(),
    "µ°²".as_bytes(),
    b"9999999999999999999999",
];

/// The text with a few small faults.
fn spoilt(text: &[u8], chance: &mut Chance) -> Vec<u8> {
    let mut text = text[..text.len().min(LONGEST)].to_vec();
    for _ in 0..=chance.below(3) {
        let at = chance.below(text.len() + 1);
        let to = (at + chance.below(12)).min(text.len());
        let odd = ODD[chance.below(ODD.len())];
        match chance.below(6) {
            0 => drop(text.splice(at..to, [])),
            1 => drop(text.splice(at..at, odd.iter().copied())),
            2 => drop(text.splice(at..to, odd.iter().copied())),
            3 => {
                // A line twice, or elsewhere.
                let lines: Vec<&[u8]> = text.split_inclusive(|byte| *byte == b'\n').collect();
                let line = lines[chance.below(lines.len())].to_vec();
                let before: usize = lines[..chance.below(lines.len())]
                    .iter()
                    .map(|l| l.len())
                    .sum();
                drop(text.splice(before..before, line));
            }
            4 if at < text.len() => text[at] ^= 1 << chance.below(8),
            _ => text.truncate(at),
        }
        if text.is_empty() {
            break;
        }
    }
    text
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn files(folder: &str) -> Vec<Vec<u8>> {
    let mut paths: Vec<PathBuf> = fs::read_dir(root().join(folder))
        .unwrap_or_else(|e| panic!("{folder}: {e}"))
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_file())
        .collect();
    paths.sort();
    assert!(!paths.is_empty(), "{folder} is empty");
    paths.iter().map(|path| fs::read(path).unwrap()).collect()
}

/// The shipped files of a reader.
fn corpus(target: &str) -> Vec<Vec<u8>> {
    match target {
        "scenario" => files("scenarios"),
        "vehicle" => files("scenarios/vehicles"),
        "readings" => files("scenarios/readings"),
        "study" => files("scenarios/studies"),
        "log" => files("tests/logs/files"),
        "gas_stand" => files("scenarios/gas_stand"),
        _ => vec![
            br#"{"trouble":{"leak":[{"place":"cold_pipe","round_hole":{"diameter":"3 mm"}}]},"seed":7}"#.to_vec(),
            b"AAECAwQFBgcICQ==".to_vec(),
        ],
    }
}

/// Cuts pieces out of a text as long as the reader still panics.
fn smallest((_, read): Target, mut text: Vec<u8>) -> Vec<u8> {
    let panics = |text: &[u8]| catch_unwind(|| read(text)).is_err();
    let mut piece = text.len() / 2;
    while piece > 0 {
        let mut at = 0;
        while at < text.len() {
            let mut shorter = text.clone();
            drop(shorter.splice(at..(at + piece).min(text.len()), []));
            match panics(&shorter) {
                true => text = shorter,
                false => at += piece,
            }
        }
        piece /= 2;
    }
    text
}

fn run(name: &str) {
    let target = TARGETS
        .into_iter()
        .find(|(known, _)| *known == name)
        .unwrap();
    let corpus = corpus(name);
    for text in &corpus {
        (target.1)(text);
    }
    let mut chance = Chance(name.len() as u64);
    for i in 0..TRIED {
        let text = spoilt(&corpus[chance.below(corpus.len())], &mut chance);
        if catch_unwind(|| (target.1)(&text)).is_err() {
            let small = smallest(target, text);
            let at = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}-panic"));
            fs::write(&at, &small).unwrap();
            panic!(
                "text {i} makes `{name}` panic; the smallest that does, in {}:\n{}",
                at.display(),
                String::from_utf8_lossy(&small)
            );
        }
    }
}

/// Texts that libFuzzer found: what commands a terminal, on the line that a fault shows.
#[test]
fn no_fault_commands_the_terminal() {
    for text in [
        "\u{81} ",
        "a\u{9b}31m",
        "\u{202e}a",
        "\u{61c} =",
        "\u{1b}[2J",
    ] {
        for (_, read) in TARGETS {
            read(text.as_bytes());
        }
    }
}

macro_rules! short_runs {
    ( $( $name:ident )+ ) => {
        $( #[test] fn $name() { run(stringify!($name)); } )+

        #[test]
        fn every_reader_has_its_run() {
            let run = [$( stringify!($name) ),+];
            let known: Vec<&str> = TARGETS.iter().map(|(name, _)| *name).collect();
            assert_eq!(known, run);
        }
    };
}

short_runs! { scenario vehicle readings study log gas_stand lesson }
