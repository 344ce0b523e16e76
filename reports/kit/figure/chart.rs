//! A chart: lines over an axis, named at their ends, with bands and marked values.

use crate::figure::axis::{Axis, Scale};
use crate::figure::ink::Ink;
use crate::figure::measure;
use crate::figure::scene::{Point, Scene, Side, Words};

/// A chart.
#[derive(Clone, Debug)]
pub struct Chart {
    /// Along the bottom.
    pub x: Axis,
    /// Upwards; its label is the chart's heading.
    pub y: Axis,
    /// In order of drawing.
    pub series: Vec<Series>,
    /// Areas behind the lines.
    pub bands: Vec<Band>,
    /// Values to mark.
    pub rules: Vec<Rule>,
    /// Room left and right of the lines, px, so that charts over one another agree.
    pub margins: Option<(f64, f64)>,
    /// Words beside points, on the side that is given, where there is room.
    pub notes: Vec<(Point, Side, String)>,
    /// Whether the x axis carries no words: another chart below has them.
    pub bare: bool,
}

/// A line.
#[derive(Clone, Debug)]
pub struct Series {
    /// Name at its end; empty for none.
    pub name: String,
    /// Its colour.
    pub ink: Ink,
    /// px; none for dots alone.
    pub width: f64,
    /// Radius of a dot at each point, px; none for a line alone.
    pub dots: f64,
    /// Points; a gap where a number is not finite.
    pub points: Vec<Point>,
    /// Where its numbers stand in the result for programs: a pointer with `*` for the
    /// element, `>` before a step if not every one is drawn. Empty where they do not.
    pub json: [String; 2],
}

impl Series {
    /// The healthy car's line.
    pub fn sound(points: Vec<Point>) -> Self {
        Self::new("healthy", Ink::Sound, 3.5, points)
    }

    /// The faulty car's line.
    pub fn faulty(points: Vec<Point>) -> Self {
        Self::new("faulty", Ink::Faulty, 1.75, points)
    }

    /// A line.
    pub fn new(name: impl Into<String>, ink: Ink, width: f64, points: Vec<Point>) -> Self {
        Self {
            name: name.into(),
            ink,
            width,
            dots: 0.0,
            points,
            json: [String::new(), String::new()],
        }
    }

    /// The same, with the places of its x and y in the result for programs.
    pub fn from_json(self, x: impl Into<String>, y: impl Into<String>) -> Self {
        let json = [x.into(), y.into()];
        Self { json, ..self }
    }
}

/// An area between two lines.
#[derive(Clone, Debug)]
pub struct Band {
    /// Its name, beside it.
    pub name: String,
    /// x, low, high.
    pub points: Vec<[f64; 3]>,
}

/// A value to mark.
#[derive(Clone, Debug)]
pub enum Rule {
    /// A y, all along.
    Level(f64, String),
    /// An x, all the way up.
    From(f64, String),
}

/// Letters of ticks and names, px.
const SMALL: f64 = 10.5;
/// Letters of the heading, px.
const LARGE: f64 = 12.0;
/// Height of the heading and of the foot, px.
const HEAD: f64 = 26.0;
const FOOT: f64 = 36.0;

impl Chart {
    /// A chart without lines yet.
    pub fn new(x: Axis, y: Axis) -> Self {
        Self {
            x,
            y,
            series: Vec::new(),
            bands: Vec::new(),
            rules: Vec::new(),
            margins: None,
            notes: Vec::new(),
            bare: false,
        }
    }

    /// As a picture of its own.
    pub fn scene(&self, width: f64, height: f64) -> Scene {
        let mut scene = Scene::new(width, height);
        self.draw(&mut scene, [0.0, 0.0, width, height]);
        scene
    }

    /// Into this part of a picture: left, top, right, bottom.
    pub fn draw(&self, scene: &mut Scene, [left, top, right, bottom]: [f64; 4]) {
        let rules = self.rules.iter();
        let levels = rules.clone().filter_map(|rule| match rule {
            Rule::Level(y, _) => Some(*y),
            Rule::From(..) => None,
        });
        let points = || self.series.iter().flat_map(|series| &series.points);
        let bands = || self.bands.iter().flat_map(|band| &band.points);
        let ys = points().map(|p| p[1]).chain(levels);
        let ys = ys.chain(bands().flat_map(|[_, low, high]| [*low, *high]));
        let foot = if self.bare { 6.0 } else { FOOT };
        let y = self.y.scale(ys, bottom - foot, top + HEAD);
        let about = (((bottom - top) / 32.0) as usize).clamp(3, 7);
        let ticks = y.ticks(about);
        let widest = (ticks.iter())
            .map(|(_, words)| measure::width(words, SMALL, false))
            .fold(0.0, f64::max);
        let names = (self.series.iter())
            .map(|series| measure::width(&series.name, SMALL, true))
            .fold(0.0, f64::max);
        let own = (widest + 12.0, if names > 0.0 { names + 10.0 } else { 14.0 });
        let (before, after) = self.margins.unwrap_or(own);
        let (from, to) = (left + before, right - after);
        let xs = points().map(|p| p[0]).chain(bands().map(|b| b[0]));
        let exact = Axis {
            // Lines reach from edge to edge.
            range: self.x.range.or_else(|| ends(xs.clone(), self.x.log)),
            ..self.x.clone()
        };
        let x = exact.scale(xs, from, to);
        let frame = [from, top + HEAD, to, bottom - foot];
        self.grid(scene, frame, (&x, &y), &ticks, [left, top, right, bottom]);
        let attributes = vec![
            ("data-frame", frame.map(|px| px.to_string()).join(" ")),
            ("data-x", x.attribute()),
            ("data-y", y.attribute()),
            ("data-x-label", self.x.label.clone()),
            ("data-x-unit", self.x.unit.clone()),
            ("data-y-unit", self.y.unit.clone()),
        ];
        scene.group(attributes, |scene| {
            for band in &self.bands {
                draw_band(scene, band, (&x, &y));
            }
            for rule in &self.rules {
                draw_rule(scene, rule, (&x, &y), frame);
            }
            for series in &self.series {
                draw_series(scene, series, (&x, &y));
            }
        });
        self.name_lines(scene, (&x, &y), frame);
        for (point, side, text) in &self.notes {
            let beside = match side {
                Side::Left => -6.0,
                Side::Middle => 0.0,
                Side::Right => 6.0,
            };
            let at = [x.at(point[0]) + beside, y.at(point[1])];
            scene.words_where_room([Words::new(text, at, SMALL - 1.0, Ink::Quiet).side(*side)]);
        }
        for rule in &self.rules {
            name_rule(scene, rule, (&x, &y), frame);
        }
        for band in &self.bands {
            name_band(scene, band, (&x, &y));
        }
    }

    fn grid(
        &self,
        scene: &mut Scene,
        [left, _, right, bottom]: [f64; 4],
        (x, y): (&Scale, &Scale),
        ticks: &[(f64, String)],
        outer: [f64; 4],
    ) {
        let small = |text: &str, at, side| Words::new(text, at, SMALL, Ink::Quiet).side(side);
        let room = outer[2] - outer[0] - 10.0;
        let title = measure::cut(&self.y.title(), LARGE, true, room);
        scene.words(Words::new(title, [outer[0] + 4.0, outer[1] + 10.0], LARGE, Ink::Text).bold());
        for (value, words) in ticks {
            let at = y.at(*value);
            scene.line(vec![[left, at], [right, at]], Ink::Hair, 0.75);
            scene.words_where_room([small(words, [left - 6.0, at], Side::Left)]);
        }
        if y.low < 0.0 && y.high > 0.0 {
            let at = y.at(0.0);
            scene.line(vec![[left, at], [right, at]], Ink::Quiet, 1.0);
        }
        scene.line(vec![[left, bottom], [right, bottom]], Ink::Quiet, 1.0);
        if self.bare {
            return;
        }
        for (value, words) in x.ticks((((right - left) / 48.0) as usize).clamp(3, 9)) {
            let at = x.at(value);
            scene.line(vec![[at, bottom], [at, bottom + 4.0]], Ink::Quiet, 1.0);
            let middle = small(&words, [at, bottom + 12.0], Side::Middle);
            scene.words_where_room([middle]);
        }
        let title = measure::cut(&self.x.title(), SMALL, false, room);
        scene.words(small(&title, [right, bottom + 27.0], Side::Left));
    }

    /// Names at the lines' ends, pushed apart where lines end together.
    fn name_lines(&self, scene: &mut Scene, (_, y): (&Scale, &Scale), frame: [f64; 4]) {
        let [_, top, right, bottom] = frame;
        let last = |series: &Series| {
            let points = series.points.iter().rev();
            points.map(|p| p[1]).find(|y| y.is_finite())
        };
        let mut ends: Vec<_> = (self.series.iter())
            .filter(|series| !series.name.is_empty())
            .filter_map(|series| Some((y.at(last(series)?), series)))
            .collect();
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        let apart = SMALL * 1.12;
        let most = bottom - top;
        let room = apart * ends.len().saturating_sub(1) as f64;
        let mut next = top;
        for (i, (at, series)) in ends.iter().enumerate() {
            let below = apart * (ends.len() - 1 - i) as f64;
            let latest = if room <= most {
                bottom - below
            } else {
                f64::INFINITY
            };
            let at = at.max(next).min(latest);
            let words = Words::new(&series.name, [right + 6.0, at], SMALL, letters(series.ink));
            scene.words(words.bold());
            next = at + apart;
        }
    }
}

/// A ghost's name must be readable.
fn letters(ink: Ink) -> Ink {
    match ink {
        Ink::Sound | Ink::Hair | Ink::Band => Ink::Quiet,
        other => other,
    }
}

fn ends(values: impl Iterator<Item = f64>, log: bool) -> Option<(f64, f64)> {
    let finite = values.filter(|value| value.is_finite() && (!log || *value > 0.0));
    let (low, high) = finite.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    });
    (low < high).then_some((low, high))
}

fn draw_band(scene: &mut Scene, band: &Band, (x, y): (&Scale, &Scale)) {
    let edge = |pick: usize| move |p: &[f64; 3]| [x.at(p[0]), y.at(p[pick])];
    let finite = band
        .points
        .iter()
        .filter(|p| p.iter().all(|v| v.is_finite()));
    let low = finite.clone().map(edge(1));
    let high = finite.rev().map(edge(2));
    scene.area(low.chain(high).collect(), Ink::Band);
}

fn draw_rule(scene: &mut Scene, rule: &Rule, (x, y): (&Scale, &Scale), frame: [f64; 4]) {
    let [left, top, right, bottom] = frame;
    let ends = match rule {
        Rule::Level(value, _) if y.holds(*value) => [[left, y.at(*value)], [right, y.at(*value)]],
        Rule::From(value, _) if x.holds(*value) => [[x.at(*value), top], [x.at(*value), bottom]],
        _ => return,
    };
    scene.line(ends.to_vec(), Ink::Text, 0.75);
}

fn name_rule(scene: &mut Scene, rule: &Rule, (x, y): (&Scale, &Scale), frame: [f64; 4]) {
    let [left, top, right, bottom] = frame;
    let words = |text: &String, at, side| Words::new(text, at, SMALL - 1.0, Ink::Text).side(side);
    let half = 0.62 * SMALL;
    match rule {
        Rule::Level(value, text) if y.holds(*value) => {
            let at = y.at(*value);
            let places = [at - half, at + half].into_iter().flat_map(|at| {
                let first = words(text, [left + 4.0, at], Side::Right);
                [first, words(text, [right - 4.0, at], Side::Left)]
            });
            scene.words_on_paper(places.collect::<Vec<_>>());
        }
        Rule::From(value, text) if x.holds(*value) => {
            let at = x.at(*value);
            let lines = ((bottom - top) / (2.0 * half)) as usize;
            let places = (0..lines).flat_map(|line| {
                let height = top + half + 2.0 * half * line as f64;
                let first = words(text, [at + 4.0, height], Side::Right);
                [first, words(text, [at - 4.0, height], Side::Left)]
            });
            let within = places.filter(|words| {
                let [from, _, to, _] = words.bounds();
                from >= left && to <= right
            });
            scene.words_on_paper(within.collect::<Vec<_>>());
        }
        _ => {}
    }
}

fn name_band(scene: &mut Scene, band: &Band, (x, y): (&Scale, &Scale)) {
    let widest = (band.points.iter())
        .filter(|p| p.iter().all(|v| v.is_finite()))
        .max_by(|a, b| (a[2] - a[1]).total_cmp(&(b[2] - b[1])));
    if let Some([at, low, high]) = widest {
        let places = [0.5, 0.8, 0.2].into_iter().flat_map(|share| {
            let height = y.at(low + share * (high - low));
            [Side::Middle, Side::Right, Side::Left].map(|side| {
                Words::new(&band.name, [x.at(*at), height], SMALL - 1.0, Ink::Quiet).side(side)
            })
        });
        scene.words_where_room(places.collect::<Vec<_>>());
    }
}

fn draw_series(scene: &mut Scene, series: &Series, (x, y): (&Scale, &Scale)) {
    let numbers = |pick: usize| {
        let all = series.points.iter();
        let words = all.map(|p| {
            if p[pick].is_finite() {
                p[pick].to_string()
            } else {
                "-".into()
            }
        });
        words.collect::<Vec<_>>().join(" ")
    };
    let mut attributes = vec![
        ("data-series", series.name.clone()),
        ("data-xs", numbers(0)),
        ("data-ys", numbers(1)),
    ];
    if !series.json[1].is_empty() {
        attributes.push(("data-json-xs", series.json[0].clone()));
        attributes.push(("data-json-ys", series.json[1].clone()));
    }
    scene.group(attributes, |scene| {
        let runs = series.points.split(|p| !p.iter().all(|v| v.is_finite()));
        for run in runs.filter(|run| !run.is_empty()) {
            let line: Vec<_> = run.iter().map(|p| [x.at(p[0]), y.at(p[1])]).collect();
            if series.dots > 0.0 {
                for point in &line {
                    scene.dot(*point, series.dots, series.ink);
                }
            }
            if series.width > 0.0 && line.len() > 1 {
                scene.line(line, series.ink, series.width);
            } else if series.dots == 0.0 {
                scene.dot(line[0], series.width.max(1.5), series.ink);
            }
        }
    });
}
