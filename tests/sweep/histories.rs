//! One case, one answer: whatever the order, the grid, the threads and the split.

use super::*;
use std::collections::HashMap;

/// A hole in the manifold gasket at idle and full load, where several steady states lie near each
/// other; `sizes` in mm, in this order.
fn gasket(folder: &Path, sizes: &[f64], rest: &str) -> PathBuf {
    let sizes: Vec<String> = sizes.iter().map(|size| format!("\"{size} mm\"")).collect();
    let text = format!(
        "title = \"gasket\"\nvehicle = {:?}\n{rest}\n[[leak]]\nplace = \"manifold_gasket\"\n\
         round_hole = {{ diameter = \"4 mm\" }}\n[[axis]]\nkey = \"leak.0.round_hole.diameter\"\n\
         values = [{}]\n[[point]]\nname = \"idle\"\nidle = true\n\
         [[point]]\nname = \"full\"\nspeed = \"4500 rpm\"\npedal = \"100 %\"\n",
        vehicle(),
        sizes.join(", ")
    );
    let path = folder.join("gasket.toml");
    fs::write(&path, text).unwrap();
    path
}

type Rows = HashMap<(String, String), HashMap<String, String>>;

fn by_size(folder: &Path) -> Rows {
    let head = "leak.0.round_hole.diameter [mm]";
    let rows = rows(folder).into_iter().map(|mut row| {
        row.remove("case");
        ((row[head].clone(), row["point"].clone()), row)
    });
    rows.collect()
}

fn spread(step: f64) -> Vec<f64> {
    let count = (12.0 / step).round() as usize;
    (0..=count).map(|i| 4.0 + step * i as f64).collect()
}

#[test]
fn order_grid_threads_and_split_change_no_row() {
    let folder = scratch("histories");
    let run = |name: &str, sizes: &[f64], further: &[&str]| {
        let own = folder.join(name);
        fs::create_dir_all(&own).unwrap();
        let out = own.join("out");
        sweep(&gasket(&own, sizes, ""), &out, further);
        out
    };
    let up = spread(0.25);
    let down: Vec<f64> = up.iter().rev().copied().collect();
    let whole = run("up", &up, &["--threads", "1"]);
    let wanted = by_size(&whole);
    assert_eq!(wanted.len(), 98);
    for (name, sizes) in [
        ("down", down),
        ("coarse", spread(0.5)),
        ("coarser", spread(1.0)),
        ("fine", spread(0.125)),
    ] {
        let rows = by_size(&run(name, &sizes, &["--threads", "2"]));
        let mut same = 0;
        for (key, row) in &wanted {
            if let Some(other) = rows.get(key) {
                assert_eq!(row, other, "{name} {key:?}");
                same += 1;
            }
        }
        assert!(same >= 26, "{name} {same}");
    }
    let threads = run("threads", &up, &["--threads", "2"]);
    assert_eq!(bytes(&threads), bytes(&whole));
    for n in [2, 3, 4] {
        let shares: Vec<PathBuf> = (1..=n)
            .map(|k| {
                run(
                    &format!("share-{k}-{n}"),
                    &up,
                    &["--part", &format!("{k}/{n}")],
                )
            })
            .collect();
        let out = folder.join(format!("joined-{n}"));
        let shares = shares.iter().map(|share| share.to_str().unwrap());
        let further = ["--out", out.to_str().unwrap()];
        let arguments: Vec<&str> = ["join"].into_iter().chain(shares).chain(further).collect();
        assert!(falseair(&arguments).status.success());
        assert_eq!(bytes(&out), bytes(&whole), "{n} shares");
    }
    // `simulate` at each size.
    let mut worst: f64 = 0.0;
    for size in spread(1.0) {
        let path = folder.join("case.toml");
        let text = fs::read_to_string(gasket(&folder, &[size], "")).unwrap();
        let case = text.split("[[axis]]").collect::<Vec<_>>();
        let points = &case[1][case[1].find("[[point]]").unwrap()..];
        let leak = case[0].replace("\"4 mm\"", &format!("\"{size} mm\""));
        fs::write(&path, format!("{leak}{points}")).unwrap();
        let mut command = Command::new(env!("CARGO_BIN_EXE_falseair"));
        command.args(["simulate", path.to_str().unwrap(), "--format", "csv"]);
        let said = command.output().unwrap();
        let mut reader = csv::Reader::from_reader(&said.stdout[..]);
        for row in reader.deserialize::<HashMap<String, String>>() {
            let row = row.unwrap();
            if row["side"] != "faulty" {
                continue;
            }
            let wanted = &wanted[&(size.to_string(), row["point"].clone())];
            assert_eq!(row["answer"] == "ok", wanted["answer"] == "ok", "{size}");
            for key in [
                "lambda",
                "boost_kpa",
                "metered_air_g_s",
                "fuel_trim_pct",
                "shaft_krpm",
            ] {
                let [a, b] = [&row[key], &wanted[key]].map(|text| text.parse::<f64>());
                if let (Ok(a), Ok(b)) = (a, b) {
                    worst = worst.max((a - b).abs() / b.abs().max(1.0));
                }
            }
        }
    }
    println!("simulate against sweep: {worst:.1e}");
    assert!(worst < 1e-9, "{worst}");
}

#[test]
fn a_study_may_vary_the_history() {
    let folder = scratch("history-axis");
    let axis = "[[axis]]\nkey = \"history\"\nvalues = [\"grown\", \"sudden\", \"restarted\"]\n";
    let out = folder.join("out");
    sweep(&gasket(&folder, &[1.5, 8.0], axis), &out, &[]);
    let rows = rows(&out);
    assert_eq!(rows.len(), 12);
    let answer = |history: &str, size: &str, point: &str| {
        let head = "leak.0.round_hole.diameter [mm]";
        let mut found = rows.iter();
        let found =
            found.find(|r| r["history"] == history && r[head] == size && r["point"] == point);
        found.unwrap()["answer"].clone()
    };
    for history in ["grown", "sudden", "restarted"] {
        assert_eq!(answer(history, "1.5", "idle"), "ok");
    }
    // Grown the engine runs on, roughly; the same hole opened at once stalls it.
    assert_eq!(answer("grown", "8", "idle"), "ok");
    assert_ne!(answer("sudden", "8", "idle"), "ok");
}

/// Cases drawn at random, each once in a study and once alone: 1e-9 between them, and one history.
/// `FALSEAIR_CASES` says how many; more than a test has time for are for `benches/records.md`.
#[test]
fn cases_of_a_sample_are_those_of_each_alone() {
    use sim::network::readings::Reading;
    use sim::study::asking::sweep::{Outcome, Plan, Study, Sweep};
    use sim::study::running::simulate::Comparison;
    let count: u64 = std::env::var("FALSEAIR_CASES").map_or(200, |text| text.parse().unwrap());
    let text = format!(
        "title = \"random\"\nvehicle = \"x\"\nsampling = \"sobol\"\ncount = {count}\nseed = 3\n\
         [[leak]]\nplace = \"manifold_gasket\"\nround_hole = {{ diameter = \"4 mm\" }}\n\
         [[fault]]\nmeter_reads = 0.95\n\
         [[axis]]\nkey = \"leak.0.place\"\nvalues = [\"manifold_gasket\", \"cold_pipe\", \"inlet_duct\", \"exhaust_manifold\"]\n\
         [[axis]]\nkey = \"leak.0.round_hole.diameter\"\nfrom = \"0.3 mm\"\nto = \"16 mm\"\n\
         [[axis]]\nkey = \"fault.0.meter_reads\"\nfrom = \"0.8\"\nto = \"1.1\"\n\
         [[axis]]\nkey = \"ambient.temperature\"\nfrom = \"-10 degC\"\nto = \"40 degC\"\n\
         [[point]]\nname = \"idle\"\nidle = true\n\
         [[point]]\nname = \"full\"\nspeed = \"4500 rpm\"\npedal = \"100 %\"\n"
    );
    let study: Study = toml::from_str(&text).unwrap();
    let car: sim::Vehicle = falseair::input::read_toml(&vehicle()).unwrap();
    let plan = Plan::new(&study, car).unwrap();
    let cases = Sweep::new(&plan);
    let (mut worst, mut other, mut seen): (f64, u64, u64) = (0.0, 0, 0);
    for chunk in 0..plan.chunks() {
        cases.chunk(chunk, &mut |row| {
            let (scenario, network) = plan.built(&row.values).unwrap();
            let command = scenario.point[row.point].command().unwrap();
            let alone = Comparison::new(&network).point("", command).faulty.unwrap();
            seen += 1;
            match (&row.outcome, alone) {
                (Outcome::Point(side, ..), Ok(alone)) => {
                    let far = [
                        Reading::Lambda,
                        Reading::Torque,
                        Reading::Boost,
                        Reading::FuelTrim,
                    ]
                    .map(|r| {
                        let [a, b] =
                            [&side.readings, &alone.readings].map(|all| all.values[r as usize]);
                        if a.is_nan() && b.is_nan() {
                            0.0
                        } else {
                            (a - b).abs() / b.abs().max(1.0)
                        }
                    });
                    let far = far.into_iter().fold(0.0, f64::max);
                    other += u64::from(far > 1e-6);
                    worst = worst.max(if far > 1e-6 { 0.0 } else { far });
                    if far > 1e-6 {
                        println!(
                            "case {} point {} {:?}: {far}",
                            row.case, row.point, row.values
                        );
                    }
                }
                (Outcome::None(_), Err(_)) => {}
                (a, b) => {
                    other += 1;
                    println!(
                        "case {} {:?} {} {}",
                        row.case,
                        row.values,
                        matches!(a, Outcome::None(_)),
                        b.is_err()
                    );
                }
            }
        });
    }
    println!("{seen} rows: {other} with another answer, the rest within {worst:.1e}");
    assert_eq!(other, 0);
    assert!(worst < 1e-8, "{worst}");
}
