//! A chart: lines over an axis, named at their ends, with bands and marked values.

mod names;

use crate::figure::axis::{Axis, Scale};
use crate::figure::ink::Ink;
use crate::figure::measure;
use crate::figure::scene::{Point, Scene, Side, Words, held_width};
use names::{name_band, name_rule};

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
    /// Whether it is drawn for a screen that is held: no letters smaller than the others.
    pub held: bool,
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
/// Least letters of a chart for a screen that is held, px.
pub const LEAST: f64 = SMALL;
/// Letters of the heading, px.
const LARGE: f64 = 12.0;
/// Height of a heading of one line, px.
const HEAD: f64 = 26.0;
/// Height of a name in a list of them, px.
const KEY: f64 = 14.0;
/// Height of the foot, px.
pub const FOOT: f64 = 36.0;

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
            held: false,
        }
    }

    /// As a picture of its own.
    pub fn scene(&self, width: f64, height: f64) -> Scene {
        let plain = |chart: &Self, width: f64, height: f64| {
            let mut scene = Scene::new(width, height);
            chart.draw(&mut scene, [0.0, 0.0, width, height]);
            scene
        };
        let held = Self {
            margins: None,
            held: true,
            ..self.clone()
        };
        let narrow = held_width(LEAST);
        let tall = (0.8 * narrow).min(height) + held.head(narrow) - HEAD;
        plain(self, width, height).with_held(plain(&held, narrow, tall))
    }

    /// Letters of notes, px.
    fn notes(&self) -> f64 {
        if self.held { SMALL } else { SMALL - 1.0 }
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
        let head = self.head(right - left);
        let y = self.y.scale(ys, bottom - foot, top + head);
        let about = (((bottom - top) / 32.0) as usize).clamp(3, 7);
        let ticks = y.ticks(about);
        let widest = (ticks.iter())
            .map(|(_, words)| measure::width(words, SMALL, false))
            .fold(0.0, f64::max);
        let names = match self.listed(right - left) {
            true => 0.0,
            false => self.longest(),
        };
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
        let frame = [from, top + head, to, bottom - foot];
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
        match self.listed(right - left) {
            true => self.list(scene, [left, top + head - 2.0]),
            false => self.name_lines(scene, (&x, &y), frame),
        }
        for (point, side, text) in &self.notes {
            let beside = match side {
                Side::Left => -6.0,
                Side::Middle => 0.0,
                Side::Right => 6.0,
            };
            let at = [x.at(point[0]) + beside, y.at(point[1])];
            scene.words_where_room([Words::new(text, at, self.notes(), Ink::Quiet).side(*side)]);
        }
        for rule in &self.rules {
            name_rule(scene, rule, (&x, &y), frame, self.notes());
        }
        for band in &self.bands {
            name_band(scene, band, (&x, &y), self.notes());
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
        for (k, title) in self.heading(room).into_iter().enumerate() {
            let at = [outer[0] + 4.0, outer[1] + 10.0 + 1.2 * LARGE * k as f64];
            scene.words(Words::new(title, at, LARGE, Ink::Text).bold());
        }
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
