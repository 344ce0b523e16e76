//! What `simulate --time --format csv` writes, `log` reads.

use super::*;
use falseair::input::log::Only;
use sim::units::round;

#[test]
fn a_drive_of_the_program_reads_back() {
    let path = written("own.csv", b"");
    let run = Command::new(env!("CARGO_BIN_EXE_falseair"))
        .args([
            "simulate",
            "--time",
            "--interval",
            "0.1 s",
            "--format",
            "csv",
            "--force",
        ])
        .arg(root().join("scenarios/drive-log.toml"))
        .arg("--out")
        .arg(&path)
        .output()
        .unwrap();
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    let both = read(&path, &Mapping::default()).unwrap_err();
    assert!(both.message().contains("more than one car"), "{both}");
    let side = |side: &str| {
        let only = Some(Only {
            column: "side".into(),
            is: side.into(),
        });
        read(
            &path,
            &Mapping {
                only,
                ..Mapping::default()
            },
        )
        .unwrap()
    };
    let (healthy, faulty) = (side("healthy"), side("faulty"));
    // Every reading of the program is understood.
    let left: Vec<&str> = (healthy.mapping.iter())
        .filter(|m| m.taken == Taken::LeftOut)
        .map(|m| m.column.as_str())
        .collect();
    assert_eq!(left, ["piece", "side"]);
    let full = |log: &Log| {
        log.windows
            .iter()
            .rfind(|w| w.name().starts_with("full"))
            .cloned()
            .unwrap()
    };
    let [sound, leaking] = [&healthy, &faulty].map(full);
    let air = |w: &Window| mean(w, "metered_air_g_s").unwrap();
    let boost = |w: &Window| mean(w, "boost_kpa").unwrap();
    // The computer holds the boost, so the air lost through the hole is metered on top.
    assert!((boost(&sound) - boost(&leaking)).abs() < 0.5);
    assert!(
        air(&leaking) > 1.04 * air(&sound),
        "{} {}",
        round(air(&leaking), 4),
        round(air(&sound), 4)
    );
    let idle = &healthy.windows[0];
    assert!((mean(idle, "engine_speed_rpm").unwrap() - 800.0).abs() < 1.0);
}
