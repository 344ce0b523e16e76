//! The program's pages: every number on them is the one in the result for programs, texts do
//! not lie on one another, names are text, the same input gives the same bytes. A real browser
//! looks at them in `look.sh`.

mod gallery;
mod glands;
mod held;
mod numbers;

use numbers::{check, result};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn run(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_falseair"));
    command
        .args(arguments)
        // The last run's files may be there.
        .arg("--force")
        .current_dir(root())
        .output()
        .unwrap()
}

fn scratch(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("falseair-pages-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    folder.join(name)
}

const CAR: &str = "scenarios/vehicles/brindle-16.toml";

/// Commands that draw, with a name each.
const DRAWN: [(&str, &[&str]); 23] = [
    ("split-hose", &["simulate", "scenarios/split-hose.toml"]),
    ("manifold", &["simulate", "scenarios/manifold-gasket.toml"]),
    ("healthy", &["simulate", "scenarios/healthy.toml"]),
    (
        "drive",
        &["simulate", "scenarios/split-hose.toml", "--time"],
    ),
    (
        "wastegate",
        &["simulate", "scenarios/stuck-wastegate.toml", "--time"],
    ),
    (
        "boost-leak",
        &["diagnose", "scenarios/readings/boost-leak.toml"],
    ),
    (
        "idle-leak",
        &["diagnose", "scenarios/readings/lean-at-idle.toml"],
    ),
    (
        "sound",
        &["diagnose", "scenarios/readings/healthy-car.toml"],
    ),
    (
        "before-after",
        &[
            "diagnose",
            "scenarios/readings/lean-at-idle.toml",
            "--compare",
            "scenarios/readings/healthy-car.toml",
        ],
    ),
    ("threshold", &["threshold", CAR]),
    (
        "tolerance",
        &[
            "threshold",
            CAR,
            "--tolerance",
            "place = 'manifold_gasket', slot = { gap = '1 mm', length = '20 mm', depth = '5 mm' }",
            "--symptom",
            "fuel_trim_pct off 5",
            "--symptom",
            "fuel_trim_pct off 10",
            "--symptom",
            "fuel_trim_pct off 20",
            "--symptom",
            "lambda off 0.03",
            "--symptom",
            "P0171",
        ],
    ),
    (
        "decay",
        &["workshop", "decay", "scenarios/workshop/decay.toml"],
    ),
    (
        "decay-forward",
        &[
            "workshop",
            "decay",
            "--volume",
            "8 L",
            "--start-pressure",
            "60 kPa gauge",
            "--time",
            "30 s",
            "--leak",
            "round_hole diameter=1 mm",
        ],
    ),
    (
        "flow",
        &["workshop", "flow", "scenarios/workshop/flow.toml"],
    ),
    ("gap", &["workshop", "gap", "scenarios/workshop/gap.toml"]),
    (
        "seal",
        &["workshop", "seal", "scenarios/workshop/seal.toml"],
    ),
    (
        "payback",
        &["workshop", "payback", "scenarios/workshop/payback.toml"],
    ),
    (
        "verify",
        &["workshop", "verify", "scenarios/workshop/verify.toml"],
    ),
    ("plan", &["workshop", "plan", CAR]),
    ("across", &["across", "scenarios/split-hose.toml"]),
    (
        "across-stall",
        &[
            "across",
            "scenarios/manifold-gasket.toml",
            "--from",
            "900 rpm",
        ],
    ),
    (
        "sensitivity",
        &["sensitivity", "scenarios/split-hose.toml", "--top", "6"],
    ),
    ("atlas", &["atlas", CAR]),
];

/// The page of a command, and its result for programs.
fn page(name: &str, arguments: &[&str]) -> (String, serde_json::Value) {
    let out = scratch(&format!("{name}.html"));
    let report = ["--format", "json", "--report", out.to_str().unwrap()];
    let done = run(&[arguments, &report].concat());
    assert!(
        done.status.code() != Some(2),
        "{name}: {}",
        String::from_utf8_lossy(&done.stderr)
    );
    (std::fs::read_to_string(out).unwrap(), result(&done.stdout))
}

#[test]
fn every_number_on_a_page_is_that_of_the_result() {
    for (name, arguments) in DRAWN {
        let (page, json) = page(name, arguments);
        let found = check(&page, &json).unwrap_or_else(|wrong| panic!("{name}: {wrong}"));
        assert!(found > 10, "{name}: only {found} numbers carry their place");
        assert!(page.len() < 1_500_000, "{name}: {} bytes", page.len());
        assert!(!page.contains("NaN") && !page.contains(">inf"), "{name}");
        assert!(
            !page.contains("src=\"http") && !page.contains("href=\"http"),
            "{name}"
        );
    }
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let drawn = |threads: &str| {
        let (html, folder) = (scratch(&format!("same-{threads}.html")), scratch("same"));
        let arguments = [
            "simulate",
            "scenarios/split-hose.toml",
            "--threads",
            threads,
        ];
        let folder_text = folder.to_str().unwrap();
        let pictures = [
            "--report",
            html.to_str().unwrap(),
            "--svg",
            folder_text,
            "--png",
            folder_text,
        ];
        assert!(run(&[&arguments[..], &pictures].concat()).status.success());
        let mut files: Vec<PathBuf> = std::fs::read_dir(&folder)
            .unwrap()
            .map(|f| f.unwrap().path())
            .collect();
        files.sort();
        assert!(files.len() >= 10, "{files:?}");
        let bytes = files.iter().map(|file| std::fs::read(file).unwrap());
        (std::fs::read(html).unwrap(), bytes.collect::<Vec<_>>())
    };
    assert!(drawn("1") == drawn("4"));
}

/// Names that a browser must not take for its own, in every place where one comes from a file.
#[test]
fn names_are_text() {
    let name = "<script>alert(1)</script> & Söhne \"½\"";
    let quoted = serde_json::to_string(name).unwrap();
    let car = std::fs::read_to_string(root().join(CAR)).unwrap();
    let line = car.lines().find(|line| line.starts_with("name")).unwrap();
    let vehicle = scratch("hostile.toml");
    std::fs::write(&vehicle, car.replacen(line, &format!("name = {quoted}"), 1)).unwrap();
    let scenario = format!(
        "title = {quoted}\nvehicle = \"hostile.toml\"\n\
         [[leak]]\nplace = \"cold_pipe\"\nround_hole = {{ diameter = \"3 mm\" }}\n\
         [[point]]\nname = {quoted}\nspeed = \"3000 rpm\"\npedal = \"100 %\"\n"
    );
    let case = scratch("hostile-case.toml");
    std::fs::write(&case, scenario).unwrap();
    let readings = format!(
        "title = {quoted}\nvehicle = \"hostile.toml\"\n\
         [[condition]]\nname = {quoted}\nidle = true\nreadings = {{ long_trim = \"20 %\", metered_air = \"1.6 g/s\" }}\n"
    );
    let bay = scratch("hostile-readings.toml");
    std::fs::write(&bay, readings).unwrap();
    // The shipped questions about that car, with its name also where they name something.
    let asked = |question: &str, names: &[&str]| {
        let file = root().join(format!("scenarios/workshop/{question}.toml"));
        let text = std::fs::read_to_string(file).unwrap();
        let car = "vehicle = \"../vehicles/brindle-16.toml\"";
        let mut text = text.replacen(car, "vehicle = \"hostile.toml\"", 1);
        for named in names {
            assert!(text.contains(named), "{question}: {named}");
            text = text.replacen(named, &quoted, 1);
        }
        let file = scratch(&format!("hostile-{question}.toml"));
        std::fs::write(&file, text).unwrap();
        file
    };
    let flow = asked("flow", &[]);
    let payback = asked("payback", &["\"manifold gasket\"", "\"EUR\""]);
    let verify = asked("verify", &["\"14 March\""]);
    let all = [&vehicle, &case, &bay, &flow, &payback, &verify];
    let [vehicle, case, bay, flow, payback, verify] = all.map(|path| path.to_str().unwrap());
    for (kind, arguments) in [
        ("h-simulate", vec!["simulate", case]),
        ("h-sensitivity", vec!["sensitivity", case]),
        (
            "h-threshold",
            vec!["threshold", vehicle, "--symptom", "boost_kpa down 5"],
        ),
        ("h-across", vec!["across", case, "--count", "3"]),
        ("h-diagnose", vec!["diagnose", bay]),
        ("h-plan", vec!["workshop", "plan", vehicle]),
        ("h-flow", vec!["workshop", "flow", flow]),
        ("h-payback", vec!["workshop", "payback", payback]),
        ("h-verify", vec!["workshop", "verify", verify]),
    ] {
        let (page, _) = page(kind, &arguments);
        assert!(!page.contains("<script>alert"), "{kind}");
        assert!(
            page.contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp; S"),
            "{kind}"
        );
    }
}

#[test]
fn pictures_that_cannot_be_written_leave_nothing_half() {
    let file = scratch("a-file");
    std::fs::write(&file, "x").unwrap();
    let done = run(&[
        "simulate",
        "scenarios/healthy.toml",
        "--svg",
        file.to_str().unwrap(),
    ]);
    assert_eq!(done.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&done.stderr).contains("a-file"));
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "x");
}
