//! A log that grows while it is followed.

use super::*;
use std::io::Write;
use std::time::Duration;

/// A thread writes an idle, then a cruise, with lines broken in the middle; the program says the first
/// and the second once each, and ends by itself when nothing new has come for a minute of the log.
#[test]
fn a_log_that_grows_is_said_when_it_is_new_and_stands_in_the_end() {
    let path = written(
        "growing.csv",
        b"time [s],engine speed [rpm],manifold [kPa abs]\n0.0,80",
    );
    let writer = path.clone();
    let thread = std::thread::spawn(move || {
        let mut file = std::fs::OpenOptions::new()
            .append(true)
            .open(writer)
            .unwrap();
        // The rest of the first line, then pieces of 30 s that end within a line.
        let mut text = String::from("0,30\n");
        for second in 1..400 {
            let (rpm, kpa) = if second < 60 { (800, 30) } else { (2000, 50) };
            text += &format!("{second}.0,{rpm},{kpa}\n");
        }
        let bytes = text.as_bytes();
        for piece in bytes.chunks(bytes.len() / 13) {
            if file.write_all(piece).is_err() {
                return;
            }
            file.flush().unwrap();
            std::thread::sleep(Duration::from_millis(900));
        }
    });
    let run = Command::new(env!("CARGO_BIN_EXE_falseair"))
        .args(["log", path.to_str().unwrap(), "--follow"])
        .output()
        .unwrap();
    thread.join().unwrap();
    let (out, err) = (
        String::from_utf8_lossy(&run.stdout),
        String::from_utf8_lossy(&run.stderr),
    );
    assert!(run.status.success(), "{err}");
    assert!(err.contains("The answer stands"), "{err}");
    let said = out.matches("What this log holds").count();
    assert!((2..=4).contains(&said), "{said} times: {out}");
    assert!(out.contains("part load 2000 rpm"), "{out}");
    // No line that was half written was read: the engine never ran at 80 rpm.
    assert!(!out.contains("80 rpm"), "{out}");
}
