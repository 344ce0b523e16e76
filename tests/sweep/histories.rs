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
