//! What came out, printed.

use super::Outcome;
use super::wrongs::WRONGS;
use sim::study::judging::diagnose::ranking::Verdict;
use std::collections::BTreeMap;

pub fn share(part: usize, whole: usize) -> String {
    format!(
        "{part} of {whole} ({:.1} %)",
        100.0 * part as f64 / whole.max(1) as f64
    )
}

/// A line a car: what is wrong, the verdict, what is likeliest, and how it reads.
fn each(all: &[Outcome]) {
    for o in all {
        let wrong = o.truth.map(|i| WRONGS[i].0);
        let off = o.off.iter().map(|((condition, name), value)| {
            format!("{} {name} {value:.1}", ["idle", "part", "full"][*condition])
        });
        println!(
            "  type {}, {wrong:?}: {:?}, place {:?}; {}; {}",
            o.kind,
            o.verdict,
            o.rank,
            o.likeliest,
            off.collect::<Vec<_>>().join(", ")
        );
    }
}

pub fn report(outcomes: Vec<Result<Outcome, String>>) {
    let mut whys: BTreeMap<String, usize> = BTreeMap::new();
    let mut all = Vec::new();
    for outcome in outcomes {
        match outcome {
            Ok(outcome) => all.push(outcome),
            Err(why) => *whys.entry(why).or_default() += 1,
        }
    }
    for (why, count) in whys {
        println!("no answer, {count} times: {why}");
    }
    if std::env::args().any(|a| a == "each") {
        each(&all);
    }
    let misfits = all.iter().map(|o| o.misfits).sum::<usize>();
    println!(
        "readings not followed, a car: {:.2}",
        misfits as f64 / all.len().max(1) as f64
    );
    let mut off: BTreeMap<(usize, &str), Vec<f64>> = BTreeMap::new();
    for o in all.iter().filter(|o| o.truth.is_none()) {
        for (at, value) in &o.off {
            off.entry(*at).or_default().push(*value);
        }
    }
    println!("healthy cars less the model's, mean and standard deviation:");
    for ((condition, name), values) in off {
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        let square = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / count;
        println!(
            "  {} {name}: {mean:.2} {:.2}",
            ["idle", "part", "full"][condition],
            square.sqrt()
        );
    }
    let definite = |o: &&Outcome| matches!(o.verdict, Verdict::Fault | Verdict::OneOfSeveral);
    let healthy = |of: &[&Outcome]| of.iter().map(|o| o.healthy).collect::<Vec<_>>();
    let (well, ill): (Vec<&Outcome>, Vec<&Outcome>) = all.iter().partition(|o| o.truth.is_none());
    let accused: Vec<&&Outcome> = well
        .iter()
        .filter(|o| definite(o) || o.verdict == Verdict::NothingFits)
        .collect();
    println!(
        "healthy cars called faulty: {}",
        share(accused.len(), well.len())
    );
    let cleared = well
        .iter()
        .filter(|o| o.verdict == Verdict::NoFaultShown)
        .count();
    println!(
        "healthy cars called healthy: {}",
        share(cleared, well.len())
    );
    let mut kinds: BTreeMap<(usize, &str), usize> = BTreeMap::new();
    for o in accused {
        *kinds.entry((o.kind, &o.first)).or_default() += 1;
    }
    println!("accused, by type and first suspect: {kinds:?}");
    let sure: Vec<&&Outcome> = ill.iter().filter(|o| definite(o)).collect();
    let right = sure.iter().filter(|o| o.right).count();
    println!(
        "faulty cars with a definite verdict: {}",
        share(sure.len(), ill.len())
    );
    println!("  of these right: {}", share(right, sure.len()));
    for o in sure.iter().filter(|o| !o.right) {
        let wrong = o.truth.map(|i| WRONGS[i].0);
        println!(
            "  wrong: type {}, {wrong:?}: {} {:.2}, healthy {:.3}",
            o.kind, o.first, o.sure, o.healthy
        );
    }
    let mut sureness: Vec<(i32, bool)> = (sure.iter())
        .map(|o| ((100.0 * o.sure) as i32, o.right))
        .collect();
    sureness.sort_unstable();
    println!("  how sure, in per cent, and whether right: {sureness:?}");
    calibration(&all);
    let nothing = ill
        .iter()
        .filter(|o| o.verdict == Verdict::NothingFits)
        .count();
    println!("faulty cars, nothing fits: {}", share(nothing, ill.len()));
    let three = ill
        .iter()
        .filter(|o| o.rank.is_some_and(|rank| rank < 3))
        .count();
    println!("truth among the first three: {}", share(three, ill.len()));
    let sizes: Vec<bool> = ill.iter().filter_map(|o| o.covered).collect();
    let held = sizes.iter().filter(|c| **c).count();
    println!(
        "90 % intervals hold the nominal size: {}",
        share(held, sizes.len())
    );
    println!(
        "area under the curve of P(healthy): {:.3}",
        area(&healthy(&well), &healthy(&ill))
    );
    for (i, (wrong, _)) in WRONGS.iter().enumerate() {
        let of: Vec<&&Outcome> = ill.iter().filter(|o| o.truth == Some(i)).collect();
        let sure: Vec<&&&Outcome> = of.iter().filter(|o| definite(o)).collect();
        let right = sure.iter().filter(|o| o.right).count();
        let first = of.iter().filter(|o| o.rank == Some(0)).count();
        let three = of
            .iter()
            .filter(|o| o.rank.is_some_and(|rank| rank < 3))
            .count();
        // Those that the interval leaves out are marked.
        let sizes: Vec<String> = (of.iter())
            .filter_map(|o| Some((o.ratio?, o.covered?)))
            .map(|(ratio, held)| format!("{ratio:.2}{}", if held { "" } else { "!" }))
            .collect();
        println!(
            "  {wrong:?}: {} cars, {} definite ({right} right), first {first}, in three {three}, \
             sizes found over nominal {}",
            of.len(),
            sure.len(),
            sizes.join(" ")
        );
    }
}

/// How often the first answer, with what is not told from it, is right, beside how sure it is.
fn calibration(all: &[Outcome]) {
    println!("first answer, how sure and how often right:");
    for (from, to) in [
        (0.0, 0.2),
        (0.2, 0.5),
        (0.5, 0.8),
        (0.8, 0.95),
        (0.95, 1.01),
    ] {
        let of: Vec<&Outcome> = all
            .iter()
            .filter(|o| (from..to).contains(&o.sure))
            .collect();
        if of.is_empty() {
            continue;
        }
        let right = of.iter().filter(|o| o.right).count();
        let sure = of.iter().map(|o| o.sure).sum::<f64>() / of.len() as f64;
        println!("  {:.0} %: {}", 100.0 * sure, share(right, of.len()));
    }
}

/// Probability that a healthy car is called healthy with more confidence than a faulty one.
pub fn area(well: &[f64], ill: &[f64]) -> f64 {
    let pairs = well.iter().flat_map(|w| ill.iter().map(move |i| (w, i)));
    let wins = pairs.map(|(w, i)| match w.total_cmp(i) {
        std::cmp::Ordering::Greater => 1.0,
        std::cmp::Ordering::Equal => 0.5,
        std::cmp::Ordering::Less => 0.0,
    });
    wins.sum::<f64>() / (well.len() * ill.len()).max(1) as f64
}
