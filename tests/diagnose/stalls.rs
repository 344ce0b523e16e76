//! Engines that do not run.

use super::*;
use sim::study::judging::diagnose::garage::evidence_by;
use sim::study::judging::diagnose::grown::Onset;

/// The healthy car's readings, but for a condition at which the engine is said not to run.
#[test]
fn a_car_that_does_not_run_is_not_called_sound() {
    for stalled in 0..3 {
        let mut found = read(&car(), &[], 41);
        found.reads.retain(|read| read.condition != stalled);
        found.not_running.push(stalled);
        let answer = diagnose(&found);
        assert_ne!(
            answer.verdict,
            Verdict::NoFaultShown,
            "stalls at {stalled}: {}",
            summary(&answer)
        );
    }
}

/// The same through a file; and the answer says why.
#[test]
fn a_file_that_says_so_is_not_answered_with_no_fault() {
    let text = "[[condition]]\nname = \"idle\"\nidle = true\nruns = false\n\
        [[condition]]\nname = \"cruise\"\nspeed = \"250 rad/s\"\ntorque = \"42 N m\"\n\
        [condition.readings]\nlong_trim = \"0 %\"\nshort_trim = \"0 %\"\n";
    let file = readings_file("does_not_idle", text);
    let run = falseair(&["diagnose", file.to_str().unwrap(), "--format", "json"]);
    let json: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    assert_ne!(json["verdict"], "no_fault_shown", "{}", json["says"]);
    let says = json["says"].as_str().unwrap();
    assert!(says.contains("does not run at idle"), "{says}");
}

/// The least hole behind the throttle with which the engine no longer idles when it opens at
/// once. (Where it has grown, the idle opening follows it, and the engine idles on.)
#[test]
fn a_hole_that_just_stalls_the_engine_is_explained() {
    let gasket = ladders().suspects[suspect("leak: manifold gasket")];
    let opened = |size: f64, seed: u64| {
        let (faults, mut chance) = ([(gasket, size)], Chance::new(seed));
        let (car, conditions) = (car(), conditions());
        evidence_by(
            Onset::Opened,
            &car,
            &faults,
            &conditions,
            &PLUG,
            &mut chance,
        )
    };
    let stalls = |size: f64| opened(size, 42).not_running.contains(&0);
    let (mut runs, mut stands) = (4e-3, 8e-3);
    assert!(stalls(stands) && !stalls(runs));
    while stands - runs > 0.05e-3 {
        let middle = 0.5 * (runs + stands);
        match stalls(middle) {
            true => stands = middle,
            false => runs = middle,
        }
    }
    for (size, seed) in [(stands, 42), (stands, 43), (runs, 42), (runs, 43)] {
        let found = opened(size, seed);
        let answer = diagnose(&found);
        let said = format!(
            "{:.2} mm, {:?}: {}",
            size * 1e3,
            found.not_running,
            summary(&answer)
        );
        println!("{said}");
        assert!(
            answer.verdict != Verdict::NothingFits && called_faulty(&answer),
            "{said}"
        );
        let twins = ["leak: manifold gasket", "leak: vacuum line"];
        let p: f64 = twins.iter().map(|name| probability(&answer, name)).sum();
        assert!(p > 0.5, "{said}");
    }
}
