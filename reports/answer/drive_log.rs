//! A drive log as people see it: its columns, and its course with the seconds that are used.

use crate::figure::axis::Axis;
use crate::figure::chart::{Chart, LEAST, Rule, Series};
use crate::figure::ink::Ink;
use crate::figure::paper::Paper;
use crate::figure::scene::{Point, Scene, Words};
use crate::input::log::{Log, Mapped, Taken, short};
use crate::page::{Block, Cell, Column, Picture};
use crate::say::log as say;
use sim::network::Reading as R;
use sim::study::knowing::log::{Channel, Course, Kind, Use};
use sim::units::round;

/// Height of a row of marked seconds; where names stand above the marks, more.
fn row(paper: &Paper) -> f64 {
    if paper.held { 25.0 } else { 17.0 }
}

/// Room for the heading of the marked seconds; below for the time.
const HEAD: f64 = 24.0;
const FOOT: f64 = 34.0;
/// Panels at most.
const PANELS: usize = 6;
/// Significant digits of what is drawn: finer than a pixel.
const DIGITS: usize = 5;

/// A channel by the word for it in the log's answer.
pub(crate) fn reading(taken: Taken) -> Option<&'static str> {
    match taken {
        Taken::Time => Some("time"),
        Taken::Reading(channel) => Some(channel.key()),
        Taken::LeftOut => None,
    }
}

/// What each column was taken for, in which unit, and why, or why not.
pub(crate) fn columns(mapping: &[Mapped]) -> Block {
    let row = |mapped: &Mapped| {
        let taken = reading(mapped.taken).unwrap_or("left out");
        let name = short(&mapped.column);
        [&name, taken, &mapped.unit, &mapped.why]
            .map(Cell::words)
            .into()
    };
    let head = ["column", "taken for", "unit", "why"].map(Column::words);
    Block::table(say::TAKEN_FOR, head, mapping.iter().map(row))
}

/// What seconds are used for: a row each, by its place, its words and its ink.
pub(crate) fn used_for(of: Use) -> &'static str {
    match of {
        Use::Held(_) => say::HELD,
        Use::Moved(Kind::Overrun) => say::ON_OVERRUN,
        Use::Moved(_) => say::MOVING,
        Use::Pull => say::PULL,
        Use::Cold => say::COLD,
    }
}

const ROWS: [(&str, Ink); 5] = [
    (say::HELD, Ink::Faulty),
    (say::MOVING, Ink::Sound),
    (say::ON_OVERRUN, Ink::Quiet),
    (say::PULL, Ink::Text),
    (say::COLD, Ink::Hair),
];

/// What is drawn of a log: panels, the first that it holds of each.
fn panels(course: &Course) -> Vec<Panel> {
    let wanted: [&[&[R]]; 7] = [
        &[&[R::EngineSpeed]],
        &[&[R::Manifold], &[R::BoostSensor], &[R::Boost]],
        &[&[R::MeteredAir], &[R::AbsoluteLoad]],
        &[&[R::ShortTrim, R::LongTrim], &[R::FuelTrim]],
        &[&[R::LambdaSensor], &[R::Lambda]],
        &[&[R::BoostSensor], &[R::Boost]],
        &[&[R::Pedal], &[R::Throttle]],
    ];
    let mut shown: Vec<Channel> = Vec::new();
    let mut panels = Vec::new();
    for choices in wanted {
        let found = choices.iter().find_map(|group| {
            let group = group.iter().map(|reading| Channel::Read(*reading));
            let there = group.map(|channel| (channel, course.steps(channel)));
            let there =
                there.filter(|(channel, steps)| !steps.is_empty() && !shown.contains(channel));
            let there: Vec<_> = there.collect();
            (!there.is_empty()).then_some(there)
        });
        if let Some(found) = found {
            shown.extend(found.iter().map(|(channel, _)| *channel));
            panels.push(found);
        }
    }
    panels.truncate(PANELS);
    panels
}

/// The log over time, with the seconds that are used; none where there is nothing to draw.
pub(crate) fn course(log: &Log) -> Option<Picture> {
    let course = &log.course;
    let panels = panels(course);
    if panels.is_empty() || course.seconds() <= 0.0 {
        return None;
    }
    let scene = Paper::both([118.0, 112.0], [108.0, 74.0], |paper| {
        drawn(course, &panels, paper)
    });
    let caption = match course.is_cut() {
        true => format!("{} {}", say::COURSE, say::COURSE_CUT),
        false => say::COURSE.into(),
    };
    Some(Picture::new("log", caption, scene))
}

type Panel = Vec<(Channel, Vec<[f64; 3]>)>;

fn drawn(course: &Course, panels: &[Panel], paper: &Paper) -> Scene {
    let marked = HEAD + row(paper) * ROWS.len() as f64 + 8.0;
    let height = marked + paper.panel * panels.len() as f64 + FOOT;
    let mut scene = Scene::new(paper.width, height);
    let spans = ROWS.map(|(name, _)| merged(course, paper, name));
    // Behind the lines, what was held and what was pulled.
    for [from, to] in spans[0].iter().chain(&spans[3]) {
        scene.rectangle([*from, HEAD, *to, height - FOOT - 2.0], Ink::Band);
    }
    marks(&mut scene, &spans, paper);
    for (i, panel) in panels.iter().enumerate() {
        let last = i + 1 == panels.len();
        let top = marked + paper.panel * i as f64;
        let bottom = top + paper.panel + if last { FOOT } else { 0.0 };
        let chart = chart(course, panel, (paper, last));
        chart.draw(&mut scene, [0.0, top, paper.width, bottom]);
    }
    scene
}

/// Where a time stands across the drawing.
fn across(course: &Course, paper: &Paper, time: f64) -> f64 {
    paper.across((time / course.seconds()).clamp(0.0, 1.0))
}

/// Spans of one use as drawn, px: a pixel wide at least, those that touch as one.
fn merged(course: &Course, paper: &Paper, name: &str) -> Vec<[f64; 2]> {
    let own = course
        .spans()
        .iter()
        .filter(|span| used_for(span.of) == name);
    let own = own.map(|span| [span.start, span.end].map(|time| across(course, paper, time)));
    let mut own: Vec<[f64; 2]> = own.map(|[from, to]| [from, to.max(from + 1.0)]).collect();
    own.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut all: Vec<[f64; 2]> = Vec::new();
    for [from, to] in own {
        match all.last_mut().filter(|last| from <= last[1] + 0.25) {
            Some(last) => last[1] = last[1].max(to),
            None => all.push([from, to]),
        }
    }
    all
}

fn marks(scene: &mut Scene, spans: &[Vec<[f64; 2]>; 5], paper: &Paper) {
    scene.words(Words::new(say::USED_FOR, [4.0, 11.0], 12.0, Ink::Text).bold());
    let (left, right) = (paper.margins.0, paper.width - paper.margins.1);
    for (i, ((name, ink), spans)) in ROWS.iter().zip(spans).enumerate() {
        let y = HEAD + row(paper) * (i as f64 + if paper.held { 0.75 } else { 0.5 });
        scene.line(vec![[left, y], [right, y]], Ink::Hair, 1.0);
        for [from, to] in spans {
            scene.rectangle([*from, y - 5.0, *to, y + 5.0], *ink);
        }
        let quiet = if spans.is_empty() {
            Ink::Quiet
        } else {
            Ink::Text
        };
        let at = match paper.held {
            true => [4.0, y - 12.0],
            false => [right + 6.0, y],
        };
        let words = Words::new(*name, at, LEAST, quiet);
        if paper.held {
            scene.rectangle(words.bounds(), Ink::Paper);
        }
        scene.words(words);
    }
}

fn chart(course: &Course, panel: &Panel, (paper, last): (&Paper, bool)) -> Chart {
    let first = panel[0].0;
    let label = match panel.len() {
        1 => first.label().into(),
        _ => say::TRIMS.to_string(),
    };
    let broken = !course.breaks().is_empty();
    let time = if broken {
        say::TIME_WITHOUT_BREAKS
    } else {
        say::TIME
    };
    let time = Axis::new(time, "s").over(0.0, course.seconds());
    let mut chart = Chart::new(time, Axis::new(label, first.unit()));
    chart.margins = Some(paper.margins);
    chart.held = paper.held;
    chart.bare = !last;
    let inks = [(Ink::Faulty, 1.25), (Ink::Text, 2.0)];
    for ((channel, steps), (ink, width)) in panel.iter().zip(inks) {
        let name = if panel.len() > 1 { channel.label() } else { "" };
        // The heading says already what both are.
        let name = if paper.held {
            name.trim_end_matches(" trim")
        } else {
            name
        };
        (chart.series).push(Series::new(name, ink, width, points(course, steps)));
    }
    // More would be a wall.
    let few = course.breaks().len() <= 12;
    let breaks = course.breaks().iter().filter(|_| few);
    chart.rules = breaks.map(|at| Rule::From(at.at, String::new())).collect();
    chart
}

/// Least and most of each step, so that no peak is lost; a gap at each break of the log.
fn points(course: &Course, steps: &[[f64; 3]]) -> Vec<Point> {
    let rounded = |value: f64| round(value, DIGITS).parse().unwrap_or(value);
    let mut breaks = course.breaks().iter().peekable();
    let mut points = Vec::new();
    for [time, least, most] in steps {
        let mut broken = false;
        while breaks.next_if(|at| at.at <= *time).is_some() {
            broken = true;
        }
        if broken {
            points.push([*time, f64::NAN]);
        }
        points.push([rounded(*time), rounded(*least)]);
        if most > least {
            points.push([rounded(*time), rounded(*most)]);
        }
    }
    points
}
