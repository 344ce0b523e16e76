//! The page of a sweep, and what its shares of variance are worth.

#[path = "../pages/numbers.rs"]
mod numbers;

use super::{refused, scratch, sweep};
use sim::study::asking::sweep::sample::SobolPoints;
use sim::study::asking::sweep::tally::{Look, Tally, share};
use std::f64::consts::PI;
use std::fs;
use std::path::{Path, PathBuf};

/// First-order indices of the Ishigami function, a = 7, b = 0.1: 0.3139, 0.4424 and 0
/// (Saltelli et al., Global Sensitivity Analysis, 2008; closed form of Ishigami and Homma, 1990;
/// from memory, and the closed form gives them again below).
#[test]
fn shares_of_variance_are_the_published_ones() {
    let (a, b) = (7.0, 0.1);
    let variance = a * a / 8.0 + b * PI.powi(4) / 5.0 + b * b * PI.powi(8) / 18.0 + 0.5;
    let first = 0.5 * (1.0 + b * PI.powi(4) / 5.0).powi(2) / variance;
    let second = a * a / 8.0 / variance;
    assert!((first - 0.3139).abs() < 1e-4 && (second - 0.4424).abs() < 1e-4);
    let sobol = SobolPoints::new(3, 1);
    let points: Vec<[f64; 3]> = (0..16384)
        .map(|i| [0, 1, 2].map(|axis| PI * (2.0 * sobol.at(i, axis) - 1.0)))
        .collect();
    let value = |x: &[f64; 3]| x[0].sin() + a * x[1].sin().powi(2) + b * x[2].powi(4) * x[0].sin();
    let mut all = Tally::default();
    points.iter().for_each(|x| all.add(value(x)));
    assert!((all.mean - a / 2.0).abs() < 1e-2, "{}", all.mean);
    assert!((all.squares / all.count as f64 / variance - 1.0).abs() < 1e-2);
    // A mean over a sixteenth of the range flattens a sine of n waves by (sin h / h)^2, h = n pi/16.
    let flat = |h: f64| -> f64 { (h.sin() / h).powi(2) };
    let expected = [first * flat(PI / 16.0), second * flat(PI / 8.0), 0.0];
    for (axis, expected) in expected.into_iter().enumerate() {
        let mut look = Look::new(false);
        points.iter().for_each(|x| look.see(&x[axis].to_string()));
        let bins = look.bins().unwrap();
        let mut tallies = vec![Tally::default(); bins.len()];
        for x in &points {
            let bin = bins.of(&x[axis].to_string()).unwrap();
            tallies[bin].add(value(x));
        }
        let found = share(&all, &tallies).unwrap();
        assert!(
            (found - expected).abs() < 2e-3,
            "{axis}: {found} {expected}"
        );
    }
}

fn atlas() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/studies/leak-atlas.toml")
}

/// The page says first which reading moves most, between what, and at which place and size; what stands
/// there is the summary's own.
fn answered_first(page: &str, json: &serde_json::Value) {
    let (_, says) = page.split_once("<p class=\"says\">").unwrap();
    let (says, _) = says.split_once("</p>").unwrap();
    let points = json["points"].as_array().unwrap().iter();
    let said = points.flat_map(|point| {
        let readings = point["readings"].as_array().unwrap().iter();
        readings.filter_map(move |reading| {
            let [low, high] = ["low", "high"].map(|end| reading["all"][end].as_f64().unwrap());
            let about = reading["about"].as_str().unwrap();
            let begins = format!(
                "{about} at {} moves most: ",
                point["name"].as_str().unwrap()
            );
            let small = says.to_lowercase();
            let rest = small.strip_prefix(&begins.to_lowercase())?;
            let shown = format!("{low:.2} to {high:.2} ");
            Some((rest.starts_with(&shown), shown))
        })
    });
    let said: Vec<(bool, String)> = said.collect();
    assert!(matches!(&said[..], [(true, _)]), "{says}: {said:?}");
    assert!(
        says.contains("by place (") && says.contains("diameter ("),
        "{says}"
    );
    assert!(says.contains(" mm)"), "{says}");
    let before = page.find("<p class=\"says\">").unwrap();
    assert!(before < page.find("<svg").unwrap());
}

#[test]
fn every_number_on_the_page_is_that_of_the_summary() {
    let out = scratch("page");
    let html = out.with_extension("html");
    for _ in 0..2 {
        // The second time the sweep was finished before.
        sweep(
            &atlas(),
            &out,
            &["--report", html.to_str().unwrap(), "--force"],
        );
        let json = fs::read(out.join("summary.json")).unwrap();
        let page = fs::read_to_string(&html).unwrap();
        let found = numbers::check(&page, &numbers::result(&json)).unwrap();
        assert!(found > 500, "{found}");
        assert!(!page.contains("NaN") && page.len() < 1_500_000);
        answered_first(&page, &numbers::result(&json));
        fs::remove_file(&html).unwrap();
    }
    // A mean of the summary, from the rows.
    let json = numbers::result(&fs::read(out.join("summary.json")).unwrap());
    let mut rows = csv::Reader::from_path(out.join("results.csv")).unwrap();
    let head = rows.headers().unwrap().clone();
    let at = |name: &str| head.iter().position(|head| head == name).unwrap();
    let trims: Vec<f64> = (rows.records().map(Result::unwrap))
        .filter(|row| &row[at("point")] == "idle" && &row[at("leak.0.place")] == "manifold_gasket")
        .filter_map(|row| row[at("fuel_trim_pct")].parse().ok())
        .collect();
    let readings = json["points"][0]["readings"].as_array().unwrap();
    let trim = readings.iter().find(|r| r["column"] == "fuel_trim_pct");
    let bins = trim.unwrap()["over"][0]["bins"].as_array().unwrap();
    let bin = bins
        .iter()
        .find(|bin| bin["name"] == "manifold_gasket")
        .unwrap();
    let mean = trims.iter().sum::<f64>() / trims.len() as f64;
    assert!((bin["mean"].as_f64().unwrap() - mean).abs() < 1e-9 * mean.abs());
    assert_eq!(bin["count"].as_u64().unwrap() as usize, trims.len());
}

#[test]
fn what_cannot_be_drawn_is_said_before_anything_is_computed() {
    let out = scratch("undrawn");
    for (more, said) in [
        (["--part", "1/2"], "join"),
        (["--format", "parquet"], "`csv`"),
    ] {
        let why = refused(
            &atlas(),
            &out,
            &[&["--report", "x.html"][..], &more].concat(),
        );
        assert!(why.contains(said), "{why}");
        assert_eq!(fs::read_dir(&out).unwrap().count(), 0);
    }
}
