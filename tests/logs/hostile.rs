//! Files that are no logs, and logs that are broken: an error that says why, never a panic.

use super::*;

const HEAD: &str = "time [s],engine speed [rpm],boost [kPa gauge]\n";

fn refused(name: &str, content: &[u8], words: &str) {
    let e = bytes(name, content).map(|log| log.mapping).unwrap_err();
    assert!(e.message().contains(words), "{name}: {e}");
    assert_eq!(e.exit_code(), 2);
}

#[test]
fn what_is_no_log_is_refused_with_the_reason() {
    refused("empty.csv", b"", "empty");
    refused("blank.csv", b"\n\n\n  \n", "separator");
    refused("nul.csv", &[0u8; 5000], "binary");
    let noise: Vec<u8> = (0..20_000u32)
        .map(|i| (i.wrapping_mul(2_654_435_761) >> 24) as u8)
        .collect();
    refused("noise.bin", &noise, "binary");
    refused("zip.csv", b"PK\x03\x04rest", "zip");
    refused("utf16.csv", b"\xFF\xFEt\0i\0m\0e\0", "separator");
    refused("half.csv", b"\xFE\xFF\0t\0,\xD8", "separator");
    refused("long.csv", &vec![b'1'; 10_000_000], "longer than 1 MB");
    refused(
        "no-head.csv",
        b"1,2,3\n2,3,4\n3,4,5\n",
        "no row of column names",
    );
    refused("words.csv", b"a,b,c\nd,e,f\ng,h,i\n", "no row of numbers");
    refused("head-only.csv", HEAD.as_bytes(), "no row of numbers");
    refused(
        "prose.csv",
        b"Dear reader\nthis is a letter.\n",
        "separator",
    );
    refused(
        "no-time.csv",
        b"rpm,boost [kPa gauge]\n800,1\n810,2\n",
        "time",
    );
    refused(
        "no-speed.csv",
        b"time [s],boost [kPa gauge]\n0,1\n1,2\n",
        "engine's speed",
    );
    refused(
        "still.csv",
        b"time,rpm\n1,800\n1,800\n1,800\n",
        "never goes on",
    );
    let e = read(Path::new("/nonexistent/log.csv"), &Mapping::default()).unwrap_err();
    assert!(e.message().contains("no"), "{e}");
    let e = read(root(), &Mapping::default()).unwrap_err();
    assert!(e.message().contains("folder"), "{e}");
}

#[test]
fn a_late_long_line_is_named() {
    let mut text = String::from(HEAD);
    text += "0,800,1\n1,800,1\n";
    text += &"9".repeat(2_000_000);
    refused("late-long.csv", text.as_bytes(), "line 4");
}

#[test]
fn broken_cells_are_missing_cells() {
    let rows: String = (0..400)
        .map(|i| {
            let t = f64::from(i) * 0.1;
            match i % 7 {
                1 => format!("{t},NaN,inf\n"),
                2 => format!("{t},-1e400,1\n"),
                3 => format!("{t},8\u{fc}0,1.2.3\n"),
                4 => format!("{t}\n"),
                5 => format!("{t},800,\"2,,,,,,,\n"),
                _ => format!("{t},801,1.5,extra,\"x\n"),
            }
        })
        .collect();
    let log = bytes("cells.csv", format!("{HEAD}{rows}").as_bytes()).unwrap();
    let idle = &log.windows[0];
    assert!((mean(idle, "engine_speed_rpm").unwrap() - 800.6).abs() < 0.3);
    assert!(idle.get(channel("boost_sensor_kpa")).unwrap().mean < 2.1);
    // Power lost in the middle of a write.
    let mut torn = format!("{HEAD}{}", "0,800,1\n".repeat(10)).into_bytes();
    torn.extend([0u8; 700]);
    torn.extend(b"\n5,800,1\n6,800,1\n");
    // The zeros lie within what is looked at for a binary file.
    assert!(bytes("torn-early.csv", &torn).is_err());
    let mut late = format!("{HEAD}{}", "0,800,1\n1,800,1\n".repeat(400)).into_bytes();
    late.extend([0u8; 700]);
    late.extend(b"\n900,800,1\n");
    let log = bytes("torn-late.csv", &late).unwrap();
    assert!(
        log.notes.iter().any(|note| note.contains("no text holds")),
        "{:?}",
        log.notes
    );
}

#[test]
fn any_bytes_give_an_answer_or_an_error() {
    let plain = std::fs::read(shipped("plain.csv")).unwrap();
    let mut state = 12345u64;
    let mut next = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize
    };
    for _ in 0..60 {
        let mut changed = plain.clone();
        for _ in 0..next() % 200 {
            let at = next() % changed.len();
            changed[at] = b",;\n\"\t.-0e\xFF"[next() % 10];
        }
        changed.truncate(next() % plain.len());
        let _ = bytes("changed.csv", &changed);
    }
}

#[test]
fn the_program_ends_with_2_and_names_the_file() {
    let path = written("letters.csv", b"Dear reader\n");
    let run = Command::new(env!("CARGO_BIN_EXE_falseair"))
        .arg("log")
        .arg(&path)
        .output()
        .unwrap();
    assert_eq!(run.status.code(), Some(2));
    let said = String::from_utf8(run.stderr).unwrap();
    assert!(
        said.contains("letters.csv") && said.contains("separator"),
        "{said}"
    );
    let mapping = written(
        "wrong.toml",
        b"[columns]\n\"Boost\" = { reading = \"bost_kpa\" }\n",
    );
    let run = Command::new(env!("CARGO_BIN_EXE_falseair"))
        .arg("log")
        .arg(shipped("plain.csv"))
        .arg("--mapping")
        .arg(&mapping)
        .output()
        .unwrap();
    assert_eq!(run.status.code(), Some(2));
    let said = String::from_utf8(run.stderr).unwrap();
    assert!(said.contains("did you mean `boost_kpa`"), "{said}");
}

/// Names that are no names, as many and as long as a file holds: they cost no time.
#[test]
fn names_of_any_length_and_number_are_read_soon() {
    let rows: String = (0..600)
        .map(|i| format!("{:.1},800,1\n", f64::from(i) * 0.1))
        .collect();
    let words: String = (0..100_000).map(|i| format!("{:x} ", i * 7919)).collect();
    let many = |name: &str| vec![name; 1900].join(",");
    for names in [
        words,
        "air".repeat(300_000),
        many(&("airstftmap".repeat(5) + "x")),
        many(&"manifoldd ".repeat(20)),
        many("\u{c3}\u{201a}\u{c2}"),
    ] {
        let text = format!("time [s],engine speed [rpm],{names}\n{rows}");
        let start = std::time::Instant::now();
        let log = bytes("names.csv", text.as_bytes()).unwrap();
        assert!(
            start.elapsed() < std::time::Duration::from_secs(30),
            "{:?}",
            start.elapsed()
        );
        assert_eq!(log.windows.len(), 1);
    }
}
