//! What a picture is made of, before it is drawn: lines, areas, dots and words in pixels,
//! in groups that carry the numbers they show.

use crate::figure::ink::Ink;
use crate::figure::measure;

/// A point, px from the left and from the top.
pub type Point = [f64; 2];

/// Where a text stands from its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Begins there.
    Right,
    /// Centred there.
    Middle,
    /// Ends there.
    Left,
}

/// A line of text, centred in height on its point.
#[derive(Clone, Debug)]
pub struct Words {
    /// The text.
    pub text: String,
    /// Its point.
    pub at: Point,
    /// How it stands there.
    pub side: Side,
    /// Height of the letters' body, px.
    pub size: f64,
    /// Its colour.
    pub ink: Ink,
    /// Whether it is bold.
    pub bold: bool,
}

impl Words {
    /// Plain words that begin at `at`.
    pub fn new(text: impl Into<String>, at: Point, size: f64, ink: Ink) -> Self {
        Self {
            text: text.into(),
            at,
            side: Side::Right,
            size,
            ink,
            bold: false,
        }
    }

    /// The same, standing otherwise.
    pub fn side(self, side: Side) -> Self {
        Self { side, ..self }
    }

    /// The same in bold.
    pub fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    /// Its width, px, at most.
    pub fn width(&self) -> f64 {
        measure::width(&self.text, self.size, self.bold)
    }

    /// Left, top, right, bottom.
    pub fn bounds(&self) -> [f64; 4] {
        let width = self.width();
        let left = match self.side {
            Side::Right => self.at[0],
            Side::Middle => self.at[0] - width / 2.0,
            Side::Left => self.at[0] - width,
        };
        let half = 0.52 * self.size;
        [left, self.at[1] - half, left + width, self.at[1] + half]
    }
}

/// One thing drawn.
#[derive(Clone, Debug)]
pub enum Shape {
    /// A line through points.
    Line(Vec<Point>, Ink, f64),
    /// A filled area.
    Area(Vec<Point>, Ink),
    /// A disc, or a ring of this width.
    Dot(Point, f64, Ink, Option<f64>),
    /// A line of text.
    Words(Words),
    /// A group begins, with these attributes.
    Open(Vec<(&'static str, String)>),
    /// The group ends.
    Close,
}

/// A picture.
#[derive(Clone, Debug)]
pub struct Scene {
    /// px.
    pub width: f64,
    /// px.
    pub height: f64,
    /// In order of drawing.
    pub shapes: Vec<Shape>,
    /// Whether its lengths are those of the things drawn, and must stay so on paper.
    pub true_scale: bool,
    /// The same drawn for a screen that is held, where letters are to stand at 16 px.
    pub held: Option<Box<Scene>>,
}

/// Width of a picture whose letters of this size stand at 16 px on the narrowest screen that is
/// held: 360 px less the page's margins.
pub fn held_width(letters: f64) -> f64 {
    (331.0 * letters / 16.0).floor()
}

impl Scene {
    /// Empty paper.
    pub fn new(width: f64, height: f64) -> Self {
        let shapes = Vec::new();
        Self {
            width,
            height,
            shapes,
            true_scale: false,
            held: None,
        }
    }

    /// The same, drawn otherwise for a screen that is held.
    #[must_use]
    pub fn with_held(self, held: Scene) -> Self {
        Self {
            held: Some(Box::new(held)),
            ..self
        }
    }

    /// A line of this width.
    pub fn line(&mut self, points: Vec<Point>, ink: Ink, width: f64) {
        self.shapes.push(Shape::Line(points, ink, width));
    }

    /// A filled area.
    pub fn area(&mut self, points: Vec<Point>, ink: Ink) {
        self.shapes.push(Shape::Area(points, ink));
    }

    /// A filled rectangle.
    pub fn rectangle(&mut self, [left, top, right, bottom]: [f64; 4], ink: Ink) {
        let corners = vec![[left, top], [right, top], [right, bottom], [left, bottom]];
        self.area(corners, ink);
    }

    /// A disc.
    pub fn dot(&mut self, at: Point, radius: f64, ink: Ink) {
        self.shapes.push(Shape::Dot(at, radius, ink, None));
    }

    /// A circle drawn with this width.
    pub fn ring(&mut self, at: Point, radius: f64, ink: Ink, width: f64) {
        self.shapes.push(Shape::Dot(at, radius, ink, Some(width)));
    }

    /// A line of text.
    pub fn words(&mut self, words: Words) {
        self.shapes.push(Shape::Words(words));
    }

    /// The first of these that has room: within the paper, on no other text. Whether one had.
    pub fn words_where_room(&mut self, candidates: impl IntoIterator<Item = Words>) -> bool {
        let found = candidates.into_iter().find(|words| self.has_room(words));
        let any = found.is_some();
        self.shapes.extend(found.map(Shape::Words));
        any
    }

    /// The same on a strip of paper, so that lines behind do not cross it.
    pub fn words_on_paper(&mut self, candidates: impl IntoIterator<Item = Words>) {
        let found = candidates.into_iter().find(|words| self.has_room(words));
        if let Some(words) = found {
            self.rectangle(words.bounds(), Ink::Paper);
            self.words(words);
        }
    }

    /// Whether the text lies within the paper and on no other text.
    pub fn has_room(&self, words: &Words) -> bool {
        let [left, top, right, bottom] = words.bounds();
        let within = left >= 0.0 && top >= 0.0 && right <= self.width && bottom <= self.height;
        within && self.texts().all(|other| !overlap(words, other))
    }

    /// What `draw` adds, as a group with these attributes.
    pub fn group(&mut self, attributes: Vec<(&'static str, String)>, draw: impl FnOnce(&mut Self)) {
        self.shapes.push(Shape::Open(attributes));
        draw(self);
        self.shapes.push(Shape::Close);
    }

    /// What `draw` adds, as the picture of one number of the result for programs.
    pub fn number(&mut self, pointer: &str, value: f64, draw: impl FnOnce(&mut Self)) {
        let attributes = vec![
            ("data-json", pointer.to_string()),
            ("data-value", value.to_string()),
        ];
        self.group(attributes, draw);
    }

    /// Its first words in bold, which it is headed with.
    pub fn heading(&self) -> Option<&str> {
        let bold = self.texts().find(|words| words.bold);
        bold.map(|words| words.text.as_str())
    }

    fn texts(&self) -> impl Iterator<Item = &Words> {
        self.shapes.iter().filter_map(|shape| match shape {
            Shape::Words(words) => Some(words),
            _ => None,
        })
    }

    /// Texts that lie on one another or over the edge, in words: none in a picture to ship.
    pub fn clashes(&self) -> Vec<String> {
        let texts: Vec<_> = self.texts().collect();
        let mut found = self
            .held
            .as_ref()
            .map_or_else(Vec::new, |held| held.clashes());
        for (i, a) in texts.iter().enumerate() {
            let [left, top, right, bottom] = a.bounds();
            if left < 0.0 || top < 0.0 || right > self.width || bottom > self.height {
                found.push(format!("`{}` runs over the edge", a.text));
            }
            let on = texts[i + 1..].iter().filter(|b| overlap(a, b));
            found.extend(on.map(|b| format!("`{}` lies on `{}`", a.text, b.text)));
        }
        found
    }
}

/// Whether two texts lie on one another by more than a hair.
fn overlap(a: &Words, b: &Words) -> bool {
    let (a, b) = (a.bounds(), b.bounds());
    let depth = |low: usize, high: usize| a[high].min(b[high]) - a[low].max(b[low]);
    depth(0, 2) > 0.5 && depth(1, 3) > 0.5
}
