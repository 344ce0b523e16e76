//! A drive as charts over one time axis.

use crate::commands::simulate::drives::{Drives, Open, Piece};
use crate::figure::axis::Axis;
use crate::figure::chart::{Chart, Rule, Series};
use crate::figure::ink::Ink;
use crate::figure::paper::Paper;
use crate::figure::scene::{Point, Scene, Words};
use crate::say::simulate as say;
use sim::network::Reading as R;
use sim::network::readings::FORMS;
use sim::study::running::openings::VALVES;
use sim::study::running::trace::Trace;

/// Room over the charts for the names of the drive's pieces, and below for the time.
const HEAD: f64 = 20.0;
const FOOT: f64 = 34.0;
/// Height of a valve's bars with their heading.
const STRIP: f64 = 46.0;
/// Most points of a line that are drawn.
const POINTS: usize = 450;

const PANELS: [(R, &str, &str); 8] = [
    (R::Boost, "boost (gauge)", "kPa"),
    (R::MeteredAir, "air as the engine computer counts it", "g/s"),
    (R::EngineAir, "air into the engine", "g/s"),
    (R::Lambda, "lambda in the cylinders (0.6 to 1.4 shown)", ""),
    (R::FuelTrim, "fuel trim", "%"),
    (R::ShaftSpeed, "turbo speed", "krpm"),
    (R::Torque, "torque", "N m"),
    (R::EngineSpeed, "engine speed", "rpm"),
];

/// Lambda as drawn: spikes of a closing throttle would flatten the rest.
const LAMBDA: (f64, f64) = (0.6, 1.4);

/// The drive.
pub fn drive(drives: &Drives) -> Scene {
    Paper::both([132.0, 112.0], [58.0, 52.0], |paper| drawn(drives, paper))
}

fn drawn(drives: &Drives, paper: &Paper) -> Scene {
    let strips = STRIP * VALVES.len() as f64;
    let height = HEAD + strips + paper.panel * PANELS.len() as f64 + FOOT;
    let mut scene = Scene::new(paper.width, height);
    pieces(&mut scene, drives, paper);
    for (i, (_, valve, ..)) in VALVES.iter().enumerate() {
        strip(&mut scene, drives, valve, (paper, HEAD + STRIP * i as f64));
    }
    for (i, panel) in PANELS.iter().enumerate() {
        let last = i + 1 == PANELS.len();
        let top = HEAD + strips + paper.panel * i as f64;
        let bottom = top + paper.panel + if last { FOOT } else { 0.0 };
        let mut chart = chart(panel, drives, last);
        chart.margins = Some(paper.margins);
        chart.held = paper.held;
        chart.draw(&mut scene, [0.0, top, paper.width, bottom]);
    }
    scene
}

/// Where a time stands across the drawing.
fn across(drives: &Drives, paper: &Paper, time: f64) -> f64 {
    paper.across(time / drives.duration)
}

/// When a valve stands open: a bar for each time, the healthy car's over the faulty one's.
fn strip(scene: &mut Scene, drives: &Drives, valve: &str, (paper, top): (&Paper, f64)) {
    let heading = Words::new(format!("{valve} open"), [4.0, top + 12.0], 12.0, Ink::Text).bold();
    scene.words(heading);
    let ends = [0.0, drives.duration].map(|time| across(drives, paper, time));
    for y in [top + 27.0, top + 37.0] {
        scene.line(vec![[ends[0], y], [ends[1], y]], Ink::Hair, 1.0);
    }
    let openings = drives.openings().into_iter().enumerate();
    for (
        i,
        Open {
            side,
            open_s,
            shut_s,
            ..
        },
    ) in openings.filter(|(_, open)| open.valve == valve)
    {
        let (y, ink) = match side {
            "healthy" => (top + 27.0, Ink::Sound),
            _ => (top + 37.0, Ink::Faulty),
        };
        let ends = [open_s, shut_s.unwrap_or(drives.duration)];
        let [from_x, to_x] = ends.map(|time| across(drives, paper, time));
        scene.number(&format!("/valves/{i}/open_s"), open_s, |scene| {
            scene.rectangle([from_x, y - 4.0, to_x.max(from_x + 1.5), y + 4.0], ink);
        });
    }
}

fn chart(&(reading, label, unit): &(R, &str, &str), drives: &Drives, last: bool) -> Chart {
    let time = Axis::new("time", "s").over(0.0, drives.duration);
    let value = Axis::new(label, unit);
    let value = match reading {
        R::Lambda => value.over(LAMBDA.0, LAMBDA.1),
        _ => value,
    };
    let mut chart = Chart::new(time, value);
    chart.bare = !last;
    for (which, trace) in drives.sides() {
        if let Ok(trace) = trace {
            let (points, step) = line(trace, reading);
            let series = match which {
                "healthy" => Series::sound(points),
                _ => Series::faulty(points),
            };
            let key = FORMS[reading as usize].key;
            let at = |key: &str| format!("/{which}/*{step}/{key}");
            chart.series.push(series.from_json(at("time_s"), at(key)));
        }
    }
    if reading == R::Boost {
        let surges = drives.surges().into_iter();
        chart.rules.extend(
            surges.map(|open| Rule::From(open.open_s, format!("{} ({})", say::SURGE, open.side))),
        );
    }
    let begins = drives.pieces.iter().skip(1);
    chart
        .rules
        .extend(begins.map(|piece| Rule::From(piece.from_s, String::new())));
    for set in drives.codes() {
        let said = format!("{} set ({})", set.code, set.side);
        let said = if last { said } else { String::new() };
        chart.rules.push(Rule::From(set.time_s, said));
    }
    chart
}

/// The line of a reading, and of how many samples one is drawn.
fn line(trace: &Trace, reading: R) -> (Vec<Point>, usize) {
    let step = trace.samples.len().div_ceil(POINTS).max(1);
    let points = trace.samples.iter().step_by(step).map(|sample| {
        let value = sample.readings.get(reading).unwrap_or(f64::NAN);
        [sample.time, value]
    });
    (points.collect(), step)
}

/// Names of the drive's pieces where each begins; one that would run into another is left out.
fn pieces(scene: &mut Scene, drives: &Drives, paper: &Paper) {
    for Piece { from_s, name } in &drives.pieces {
        let x = across(drives, paper, *from_s);
        let words = Words::new(name, [x + 3.0, 10.0], 11.0, Ink::Text).bold();
        scene.words_where_room([words]);
    }
}
