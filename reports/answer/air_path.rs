//! The air path in a picture: pipes and parts as they stand in the one drawing of every page.

use crate::figure::ink::Ink;
use crate::figure::scene::{Point, Scene, Side, Words};
use crate::look::{AIR_MAP, DRAWINGS};
use serde::de::IgnoredAny;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Where everything lies.
#[derive(serde::Deserialize, Default)]
pub struct Map {
    /// Of the paper, px.
    pub size: [f64; 2],
    /// The ways that flows take, in pieces.
    ways: BTreeMap<String, Vec<Vec<Bit>>>,
    /// Leak places: x, y, the direction out of the pipe, degrees, and the room there is for an arrow.
    pub places: BTreeMap<String, [f64; 4]>,
    /// Parts: name, x, y and how it stands there: begins, is centred or ends.
    names: BTreeMap<String, Name>,
    /// Where it is said what the engine counts.
    pub counted: Point,
    /// And what it breathes.
    pub real: Point,
}

/// A piece names its section, then its points.
#[derive(serde::Deserialize)]
#[serde(untagged)]
enum Bit {
    Point(Point),
    Section(IgnoredAny),
}

fn points(piece: &[Bit]) -> Vec<Point> {
    let points = piece.iter().filter_map(|bit| match bit {
        Bit::Point(point) => Some(*point),
        Bit::Section(_) => None,
    });
    points.collect()
}

#[derive(serde::Deserialize)]
#[serde(untagged)]
enum Name {
    Part(String, f64, f64, char),
    Place(String, f64, f64, char, IgnoredAny),
}

/// The map of the one drawing.
pub static MAP: LazyLock<Map> = LazyLock::new(|| serde_json::from_str(AIR_MAP).unwrap_or_default());

/// Where a name goes instead where it has no room.
const ASIDE: [Point; 15] = [
    [0.0, 0.0],
    [26.0, 0.0],
    [-26.0, 0.0],
    [0.0, 24.0],
    [0.0, -24.0],
    [60.0, 0.0],
    [-60.0, 0.0],
    [40.0, 24.0],
    [-40.0, 24.0],
    [40.0, -24.0],
    [-40.0, -24.0],
    [100.0, 0.0],
    [-100.0, 0.0],
    [140.0, 0.0],
    [-140.0, 0.0],
];

/// Left, top, right, bottom of something that no words may cover.
pub type Taken = [f64; 4];

/// Whether words lie clear of all of these.
pub fn clear(words: &Words, taken: &[Taken]) -> bool {
    let [left, top, right, bottom] = words.bounds();
    let over = |b: &Taken| left < b[2] && b[0] < right && top < b[3] && b[1] < bottom;
    !taken.iter().any(over)
}

impl Map {
    /// The ways, each in the pieces that are drawn.
    pub fn ways(&self) -> impl Iterator<Item = (&str, Vec<Vec<Point>>)> {
        let pieces = |all: &[Vec<Bit>]| all.iter().map(|piece| points(piece)).collect();
        self.ways
            .iter()
            .map(move |(key, all)| (key.as_str(), pieces(all)))
    }

    /// One of them from end to end.
    pub fn way(&self, key: &str) -> Vec<Point> {
        let pieces = self.ways.get(key).into_iter().flatten();
        let mut way: Vec<Point> = pieces.flat_map(|piece| points(piece)).collect();
        way.dedup();
        way
    }

    /// Empty pipes and the parts in them.
    pub fn draw(&self, scene: &mut Scene) {
        let pipes = elements("air-pipes");
        for wall in [true, false] {
            for one in pipes.iter().filter(|one| one.is("wall") == wall) {
                one.pipe(scene);
            }
        }
        for one in elements("air-parts") {
            one.part(scene);
        }
    }

    /// What the parts are called, in letters of this size, px, clear of what is `taken`; `word` gives the name of a
    /// key in the reader's language, if there is one.
    pub fn name<'a>(
        &self,
        scene: &mut Scene,
        (size, taken): (f64, &[Taken]),
        word: impl Fn(&str) -> Option<&'a str>,
    ) {
        for (key, name) in &self.names {
            let (Name::Part(own, x, y, stands) | Name::Place(own, x, y, stands, _)) = name;
            let side = match stands {
                'm' => Side::Middle,
                'e' => Side::Left,
                _ => Side::Right,
            };
            let said = word(key).unwrap_or(own);
            let places = ASIDE.map(|[dx, dy]| {
                // The drawing's own words stand on their line.
                let at = [x + dx, y + dy - 0.35 * size];
                let words = Words::new(said, at, size, Ink::Text).side(side);
                // Within the paper.
                let [left, _, right, _] = words.bounds();
                let into = (4.0 - left).max(0.0) - (right - self.size[0] + 4.0).max(0.0);
                let at = [at[0] + into, at[1]];
                Words { at, ..words }
            });
            let (free, crossed): (Vec<Words>, Vec<Words>) =
                places.into_iter().partition(|words| clear(words, taken));
            scene.words_on_paper(free.into_iter().chain(crossed));
        }
    }
}

/// One element of the drawing.
struct Element {
    name: &'static str,
    attributes: &'static str,
}

/// Those of one of its groups, in order.
fn elements(group: &str) -> Vec<Element> {
    let from = DRAWINGS.split_once(&format!("<g id=\"{group}\">"));
    let to = from.and_then(|(_, rest)| rest.split("<g id=").next());
    let tags = to.unwrap_or_default().split('<').skip(1);
    let tags = tags.filter_map(|tag| tag.split('>').next()?.split_once(' '));
    tags.filter(|(name, _)| ["path", "rect", "circle"].contains(name))
        .map(|(name, attributes)| Element { name, attributes })
        .collect()
}

impl Element {
    fn attribute(&self, name: &str) -> &'static str {
        let padded = [name, "=\""].concat();
        let at = self
            .attributes
            .match_indices(&padded)
            .find(|(at, _)| *at == 0 || self.attributes.as_bytes()[at - 1] == b' ');
        let value = at.and_then(|(at, _)| self.attributes[at + padded.len()..].split('"').next());
        value.unwrap_or_default()
    }

    fn number(&self, name: &str) -> f64 {
        self.attribute(name).parse().unwrap_or(0.0)
    }

    /// Whether one of its classes begins so.
    fn is(&self, class: &str) -> bool {
        let mut classes = self.attribute("class").split(' ');
        classes.any(|own| own.starts_with(class))
    }

    /// Its outlines, curves in short steps, and whether they are closed.
    fn outlines(&self) -> Vec<Vec<Point>> {
        match self.name {
            "path" => path(self.attribute("d")),
            "rect" => vec![self.rounded()],
            _ => vec![arc(
                [self.number("cx"), self.number("cy")],
                self.number("r"),
                0.0,
                1.0,
            )],
        }
    }

    /// A rectangle with its round corners.
    fn rounded(&self) -> Vec<Point> {
        let [x, y] = ["x", "y"].map(|key| self.number(key));
        let [width, height] = ["width", "height"].map(|key| self.number(key));
        let r = self.number("rx").min(0.5 * width).min(0.5 * height);
        let [left, top, right, bottom] = [x + r, y + r, x + width - r, y + height - r];
        let corners = [[right, bottom], [left, bottom], [left, top], [right, top]];
        let corners = corners.into_iter().enumerate();
        let mut points: Vec<Point> = corners
            .flat_map(|(i, corner)| arc(corner, r, 0.25 * i as f64, 0.25))
            .collect();
        points.extend(points.first().copied());
        points
    }

    /// A pipe: its wall, then what is within, which is left empty.
    fn pipe(&self, scene: &mut Scene) {
        let width = |wide, mid, thin| match () {
            () if self.is("wall-wide") || self.is("in-wide") => wide,
            () if self.is("wall-mid") || self.is("in-mid") => mid,
            () => thin,
        };
        let lines = self.outlines();
        if self.is("wall-body") || self.is("body") {
            let edge = if self.is("snail") { None } else { Some(2.0) };
            return filled(scene, lines, Ink::Paper, edge);
        }
        let (ink, width) = match () {
            () if self.is("wall-") => (Ink::Quiet, width(50.0, 26.0, 16.0)),
            () if self.is("in-") => (Ink::Paper, width(46.0, 22.0, 12.0)),
            () if self.is("line") => (Ink::Quiet, 1.5),
            () => return,
        };
        for line in lines {
            scene.line(line, ink, width);
        }
    }

    fn part(&self, scene: &mut Scene) {
        let lines = self.outlines();
        let line = |scene: &mut Scene, width| {
            for line in lines.clone() {
                scene.line(line, Ink::Quiet, width);
            }
        };
        match () {
            () if self.is("dots") || self.is("gas") => {}
            () if self.is("piston") => filled(scene, lines, Ink::Hair, Some(2.0)),
            () if self.is("part") || self.is("body") || self.is("eye") || self.is("pin") => {
                filled(scene, lines, Ink::Paper, Some(2.0));
            }
            () if self.is("lid") || self.is("probe") => line(scene, 4.0),
            () if self.is("rod") || self.is("shaft") => line(scene, 6.0),
            () => line(scene, 1.5),
        }
    }
}

fn filled(scene: &mut Scene, outlines: Vec<Vec<Point>>, ink: Ink, edge: Option<f64>) {
    for outline in outlines {
        scene.area(outline.clone(), ink);
        if let Some(width) = edge {
            scene.line(outline, Ink::Quiet, width);
        }
    }
}

/// Part of a circle, from and over these shares of a turn.
fn arc([x, y]: Point, radius: f64, from: f64, over: f64) -> Vec<Point> {
    let steps = (48.0 * over).ceil();
    let turn = |i: usize| (from + over * i as f64 / steps) * std::f64::consts::TAU;
    (0..=steps as usize)
        .map(|i| [x + radius * turn(i).cos(), y + radius * turn(i).sin()])
        .collect()
}

/// Steps of a curve.
const CURVE: usize = 8;

/// The lines of a path as the drawing writes them: M, L, H, V, Q, Z, from the paper's corner or, small, from
/// where the last ended.
fn path(d: &str) -> Vec<Vec<Point>> {
    let apart = |c: char| match c {
        ',' => " ".to_string(),
        c if c.is_ascii_alphabetic() => format!(" {c} "),
        c => c.to_string(),
    };
    let text: String = d.chars().map(apart).collect();
    let mut words = text.split_whitespace().peekable();
    let (mut lines, mut at, mut command) = (Vec::<Vec<Point>>::new(), [0.0; 2], "M");
    while let Some(word) = words.peek() {
        if word.parse::<f64>().is_err() {
            command = word;
            words.next();
        }
        let from = if command == command.to_lowercase() {
            at
        } else {
            [0.0; 2]
        };
        let mut number = || {
            words
                .next()
                .and_then(|word| word.parse().ok())
                .unwrap_or(0.0)
        };
        let point = |number: &mut dyn FnMut() -> f64| [from[0] + number(), from[1] + number()];
        let mut to = Vec::new();
        match command.to_uppercase().as_str() {
            "H" => to.push([from[0] + number(), at[1]]),
            "V" => to.push([at[0], from[1] + number()]),
            "Q" => {
                let (bend, end) = (point(&mut number), point(&mut number));
                to.extend((1..=CURVE).map(|i| {
                    let t = i as f64 / CURVE as f64;
                    let s = 1.0 - t;
                    [0, 1].map(|k| s * s * at[k] + 2.0 * s * t * bend[k] + t * t * end[k])
                }));
            }
            "Z" => to.extend(lines.last().and_then(|line| line.first()).copied()),
            _ => to.push(point(&mut number)),
        }
        at = to.last().copied().unwrap_or(at);
        match (command, lines.last_mut()) {
            ("M" | "m", _) => lines.push(to),
            (_, Some(line)) => line.extend(to),
            _ => {}
        }
        // What follows a move without a letter is a line.
        command = match command {
            "M" => "L",
            "m" => "l",
            other => other,
        };
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::scene::Shape;
    use sim::network::Place;
    use sim::network::flows::FLOWS;

    #[test]
    fn the_drawing_is_read_whole() {
        assert_eq!(MAP.names.len(), 20);
        // What moves a valve goes nowhere; leaks have arrows of their own.
        let drawn = |key: &str| !["signal", "chamber", "leak"].contains(&key);
        for (key, ..) in FLOWS.iter().filter(|(key, ..)| drawn(key)) {
            assert!(MAP.way(key).len() > 1, "no way for {key}");
        }
        for (word, ..) in Place::WORDS {
            assert!(MAP.places.contains_key(*word), "no place for {word}");
        }
        assert!(elements("air-pipes").len() > 30 && elements("air-parts").len() > 40);
        let all = elements("air-parts")
            .into_iter()
            .chain(elements("air-pipes"));
        for outline in all.flat_map(|one| one.outlines()).flatten() {
            let [x, y] = outline;
            assert!(
                (0.0..960.0).contains(&x) && (0.0..560.0).contains(&y),
                "{x}, {y}"
            );
        }
    }

    #[test]
    fn every_part_has_its_name() {
        let german = include_str!("../commands/classroom/lessons-de.json");
        let german: serde_json::Value = serde_json::from_str(german).unwrap();
        for (size, words) in [(17.0, None), (20.0, None), (20.0, Some(&german["parts"]))] {
            let mut scene = Scene::new(MAP.size[0], MAP.size[1]);
            MAP.name(&mut scene, (size, &[]), |key| words?[key].as_str());
            let written = scene.shapes.iter().filter(|s| matches!(s, Shape::Words(_)));
            assert_eq!(written.count(), MAP.names.len());
            assert!(words.is_none_or(|words| MAP.names.keys().all(|key| words[key].is_string())));
        }
    }

    #[test]
    fn a_path_goes_where_the_drawing_says() {
        let lines = path("M10,20 H30 V50 l-5,5 -5,-5 Z m1,2 q4,0 4,4");
        assert_eq!(lines.len(), 2);
        let corners = [
            [10.0, 20.0],
            [30.0, 20.0],
            [30.0, 50.0],
            [25.0, 55.0],
            [20.0, 50.0],
            [10.0, 20.0],
        ];
        assert_eq!(lines[0], corners);
        assert_eq!(lines[1].first(), Some(&[11.0, 22.0]));
        assert_eq!(lines[1].last(), Some(&[15.0, 26.0]));
    }
}
