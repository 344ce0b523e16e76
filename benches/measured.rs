//! The program held against measurements that may not enter the project: a folder with
//! `manifold-leak-bench.csv` (steady lines of an engine on a test bench, sound and with a hole at
//! the manifold of known size) and `road-log.csv` (a drive of a healthy car), either or both.
//! Run: `cargo bench --bench measured -- FOLDER`.
//!
//! Cars are made from their plates alone. What the folder's own notes guess of the bench's engine
//! is guessed here too: nothing below may hang on it.

use falseair::input::Source;
use falseair::input::log::{Mapping, read_bytes};
use sim::study::judging::diagnose::beside::Beside;
use sim::study::judging::diagnose::evidence::Evidence;
use sim::study::judging::diagnose::file::{ReadingsFile, Taken};
use sim::study::judging::diagnose::ladders::Ladders;
use sim::study::judging::diagnose::ranking::Diagnosis;
use sim::{Reading, Vehicle, size};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs::read_to_string;
use std::path::Path;
use std::time::Instant;

const BENCH: &str = "displacement = \"2.0 L\"\ncylinders = 4\nrated_power = \"180 kW\"\n\
    rated_speed = \"5500 rpm\"\npeak_torque = \"350 N m\"\npeak_torque_speed = \"1500 rpm\"\n\
    metering = \"air_flow_meter\"\n";
const ROAD: &str = "displacement = \"2.5 L\"\ncylinders = 4\nrated_power = \"225 kW\"\n\
    rated_speed = \"6000 rpm\"\npeak_torque = \"390 N m\"\npeak_torque_speed = \"4000 rpm\"\n\
    peak_boost = \"14.7 psi gauge\"\nmetering = \"air_flow_meter\"\n";
/// Idle up to this speed, part load from that one, rpm.
const SPEEDS: (f64, f64) = (1250.0, 1400.0);
/// Most sets of a run, readings of its healthy twin: idles, part loads.
const SETS: usize = 6;
const TWIN: (usize, usize) = (3, 8);
/// When the hole opens in its run, s.
const OPENS: f64 = 120.0;

fn car(plate: &str) -> Vehicle {
    let numbers = Source::from_text(Path::new("plate"), plate).parse();
    let numbers = numbers.unwrap_or_else(|e| panic!("{}", e.render(false)));
    size(&numbers).expect("the plate gives a car").vehicle
}

fn file(text: &str) -> ReadingsFile {
    let source = Source::from_text(Path::new("readings"), text);
    let read = source.parse();
    read.unwrap_or_else(|e| panic!("{}", e.render(false)))
}

/// A judgement with its twin, none where there is none.
fn judged(
    vehicle: &Vehicle,
    mut now: ReadingsFile,
    twin: Option<ReadingsFile>,
) -> Result<(Ladders, Evidence, Diagnosis), String> {
    let twins = twin.map(|twin| (0, twin)).into_iter().collect::<Vec<_>>();
    if !twins.is_empty() {
        let entry = "vehicle = \"x\"\n[[baseline]]\nreadings = \"healthy\"\n";
        now.baseline = file(entry).baseline;
    }
    let beside = Beside {
        twins,
        ..Beside::default()
    };
    let prepared = now.prepared(vehicle.clone(), |car| Ok(now.doubt(car)), beside);
    let (ladders, evidence) = prepared.map_err(|m| m.message)?;
    let diagnosis = Diagnosis::considered(&ladders, &evidence, false);
    Ok((ladders, evidence, diagnosis.map_err(|e| e.to_string())?))
}

fn says(found: &Result<(Ladders, Evidence, Diagnosis), String>) -> String {
    let (ladders, _, diagnosis) = match found {
        Ok(found) => found,
        Err(why) => return format!("no answer: {why}"),
    };
    let first = diagnosis.hypotheses.iter().take(3).map(|one| {
        let size = one.sizes.first();
        let size = size.map(|s| format!(" {:.1} ({:.1} to {:.1})", s.best, s.low90, s.high90));
        let name = one.name(ladders);
        format!(
            "{name} {:.0} %{}",
            100.0 * one.probability,
            size.unwrap_or_default()
        )
    });
    let first: Vec<String> = first.collect();
    format!("{:?}; {}", diagnosis.verdict, first.join("; "))
}

/// A line of a table by the names of its columns.
struct Line(BTreeMap<String, String>);

impl Line {
    fn number(&self, key: &str) -> f64 {
        self.0[key]
            .parse()
            .unwrap_or_else(|_| panic!("{key}: {}", self.0[key]))
    }

    /// Air within 15 % and speed within 5 %.
    fn steady(&self) -> bool {
        let within = |key: &str, sd: &str, share| self.number(sd) < share * self.number(key);
        within("metered_air_g_s", "metered_air_sd", 0.15)
            && within("engine_speed_rpm", "engine_speed_sd", 0.05)
    }

    fn condition(&self, text: &mut String, name: &str, idle: bool) {
        let speed = self.number("engine_speed_rpm");
        let [how, read] = match idle {
            true => [
                "idle = true".into(),
                format!("engine_speed = \"{speed} rpm\""),
            ],
            false => {
                let boost = self.number("charge_pressure_kpa") - self.number("ambient_kpa");
                let boost = format!("boost_sensor = \"{boost:.2} kPa gauge\"");
                [format!("speed = \"{speed} rpm\""), boost]
            }
        };
        let (pressure, air) = (self.number("manifold_kpa"), self.number("metered_air_g_s"));
        // A quarter turn is the whole way.
        let throttle = self.number("throttle_deg") / 0.9;
        writeln!(
            text,
            "[[condition]]\nname = \"{name}\"\n{how}\n[condition.readings]\n{read}\n\
             metered_air = \"{air} g/s\"\nmanifold_pressure = \"{pressure} kPa abs\"\n\
             throttle = \"{throttle:.2} %\""
        )
        .expect("a text takes all");
    }
}

fn lines(text: &str) -> Vec<Line> {
    let mut rows = text.lines().map(|line| line.split(',').map(str::to_string));
    let head: Vec<String> = rows.next().expect("a head").collect();
    let lines = rows.map(|row| Line(head.iter().cloned().zip(row).collect()));
    lines.filter(Line::steady).collect()
}

fn set(idles: &[&Line], parts: &[&Line]) -> ReadingsFile {
    let first = idles[0];
    let mut text = format!(
        "vehicle = \"x\"\ncodes = []\n[ambient]\npressure = \"{} kPa abs\"\ntemperature = \"{} degC\"\n",
        first.number("ambient_kpa"),
        first.number("ambient_c")
    );
    for (i, line) in idles.iter().enumerate() {
        line.condition(&mut text, &format!("idle {i}"), true);
    }
    for (i, line) in parts.iter().enumerate() {
        line.condition(&mut text, &format!("part {i}"), false);
    }
    file(&text)
}

/// Each idle of each run with the two part loads nearest in time, by the plate and beside the
/// other sound run.
fn bench(text: &str) {
    let vehicle = car(BENCH);
    let all = lines(text);
    let mut runs: BTreeMap<String, [Vec<&Line>; 2]> = BTreeMap::new();
    for line in &all {
        let speed = line.number("engine_speed_rpm");
        let run = runs.entry(line.0["run"].clone()).or_default();
        match speed {
            speed if speed < SPEEDS.0 => run[0].push(line),
            speed if speed >= SPEEDS.1 => run[1].push(line),
            _ => {}
        }
    }
    for (run, [idles, parts]) in &runs {
        let healthy = runs
            .iter()
            .find(|(name, _)| *name != run && name.starts_with("sound"));
        println!(
            "\n== {run}: {} steady idles, {} part loads",
            idles.len(),
            parts.len()
        );
        for idle in idles.iter().take(SETS) {
            let at = |line: &Line| line.number("time_s");
            let apart = |line: &&Line| (at(line) - at(idle)).abs();
            // A set is of one car: the hole opens in the middle of its run.
            let open = |line: &Line| line.number("leak_mm") > 0.0 && at(line) > OPENS;
            let mut near = parts.clone();
            near.retain(|line| open(line) == open(idle));
            near.sort_by(|a, b| apart(a).total_cmp(&apart(b)));
            near.truncate(2);
            println!(
                "{:6.1} s, idle at {} rpm",
                idle.number("time_s"),
                idle.0["engine_speed_rpm"]
            );
            let now = || set(&[idle], &near);
            println!(
                "    by its plate:       {}",
                says(&judged(&vehicle, now(), None))
            );
            let Some((_, [idles, parts])) = healthy else {
                continue;
            };
            let twin = set(
                &idles[..TWIN.0.min(idles.len())],
                &parts[..TWIN.1.min(parts.len())],
            );
            println!(
                "    beside a sound run: {}",
                says(&judged(&vehicle, now(), Some(twin)))
            );
        }
    }
}

struct Logged {
    file: ReadingsFile,
    used: f64,
    warm: f64,
}

fn logged(vehicle: &Vehicle, text: &str) -> Logged {
    let log = read_bytes(Path::new("log"), text.as_bytes(), &Mapping::default());
    let log = log.unwrap_or_else(|e| panic!("{}", e.render(false)));
    let mut judged = log.drive().judged();
    let mut file = file("vehicle = \"x\"\ncodes = []\n");
    file.condition = judged.conditions.clone();
    file.ambient.pressure = Some(log.ambient);
    let all = file.condition.len();
    let drivable = file.drivable(vehicle, 0..all);
    let out = drivable.unwrap_or_else(|m| panic!("{}", m.message)).out;
    judged.without(&out);
    for (name, why) in out {
        println!("left out: {name} ({why})");
    }
    Logged {
        file,
        used: judged.used(),
        warm: log.warm,
    }
}

/// What was read less what the healthy car of the answer shows, by speed and load.
fn residuals(ladders: &Ladders, evidence: &Evidence, conditions: &[Taken]) {
    println!("condition, what was read, and what the healthy car of the plate shows");
    for (c, taken) in conditions.iter().enumerate() {
        let Some(spot) = ladders.sound.spots[c].as_ref() else {
            continue;
        };
        let mut words = format!("  {:48}", taken.name);
        for reading in [Reading::MeteredAir, Reading::Manifold, Reading::FuelTrim] {
            let here = |r: &&sim::Read| r.condition == c && r.reading == reading;
            let read = evidence.reads.iter().find(here);
            let pair = read.zip(spot.readings.get(reading));
            let pair = pair.map(|(read, shown)| format!("{:8.2} {shown:8.2}", read.value));
            let _ = write!(words, " | {:17}", pair.unwrap_or_default());
        }
        println!("{words}");
    }
}

fn road(text: &str) {
    let vehicle = car(ROAD);
    let rows: Vec<&str> = text.lines().collect();
    let part = |from: usize, to: usize| [&[rows[0]], &rows[from..to]].concat().join("\n");
    let middle = rows.len() / 2;
    println!("\n== Drive of a healthy car");
    let start = Instant::now();
    let whole = logged(&vehicle, text);
    println!(
        "judged by {:.0} s of {:.0} s in which the engine ran warm",
        whole.used, whole.warm
    );
    let conditions = whole.file.condition.clone();
    let found = judged(&vehicle, whole.file, None);
    println!(
        "by its plate: {} ({:.1} s)",
        says(&found),
        start.elapsed().as_secs_f64()
    );
    if let Ok((ladders, evidence, _)) = &found {
        residuals(ladders, evidence, &conditions);
    }
    let half = |from, to| logged(&vehicle, &part(from, to)).file;
    let halves = [(1, middle), (middle, rows.len())].map(|(from, to)| half(from, to));
    let [first, second] = halves;
    println!(
        "first half beside the second: {}",
        says(&judged(&vehicle, first.clone(), Some(second.clone())))
    );
    println!(
        "second half beside the first: {}",
        says(&judged(&vehicle, second, Some(first)))
    );
}

fn main() {
    let folder = std::env::args().skip(1).find(|a| !a.starts_with('-'));
    let Some(folder) = folder else {
        println!("no folder of measurements given: nothing is compared");
        return;
    };
    let found = |name: &str| read_to_string(Path::new(&folder).join(name)).ok();
    match found("manifold-leak-bench.csv") {
        Some(text) => bench(&text),
        None => println!("no manifold-leak-bench.csv there"),
    }
    match found("road-log.csv") {
        Some(text) => road(&text),
        None => println!("no road-log.csv there"),
    }
}
