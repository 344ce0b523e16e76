//! A fault in an input, as shown to a person.

use annotate_snippets::{AnnotationKind, Level, Origin, Renderer, Snippet};
use sim::spelling::{is_obeyed, visible};
use std::fmt;
use std::io::IsTerminal;
use std::ops::Range;
use std::path::{Path, PathBuf};

/// A fault in an input file.
#[derive(Clone, Debug, PartialEq)]
pub struct InputError {
    path: PathBuf,
    message: String,
    place: Option<Box<Place>>,
}

/// Where in the file.
#[derive(Clone, Debug, PartialEq)]
struct Place {
    key: String,
    /// From 1.
    line: usize,
    /// From 1, in characters.
    column: usize,
    /// The text of that line, and the faulty part of it in bytes; cut short
    /// if long, and left out if the fault is far along it.
    text: Option<(String, Range<usize>)>,
}

/// About how much of a long line is shown, bytes.
const WIDTH: usize = 200;

/// The start of a text, at most so many bytes.
fn clip(text: &str, bytes: usize) -> &str {
    let end = (0..=bytes.min(text.len()))
        .rev()
        .find(|at| text.is_char_boundary(*at));
    &text[..end.unwrap_or(0)]
}

/// A line with each character that would command a terminal replaced by one of as many bytes, so
/// that spans of it hold. The renderer shows control characters of one byte itself.
fn harmless(line: &str) -> String {
    let of = |c: char| match c.len_utf8() {
        2 => '·',
        3 => char::REPLACEMENT_CHARACTER,
        _ => c,
    };
    line.chars()
        .map(|c| if is_obeyed(c) { of(c) } else { c })
        .collect()
}

impl InputError {
    /// A fault of the whole file. The first line of `message` says what is
    /// wrong, each further line is shown as help.
    pub fn new(path: &Path, message: impl Into<String>) -> Self {
        Self {
            path: path.into(),
            message: message.into(),
            place: None,
        }
    }

    /// The same fault at a span (bytes) of the file's text and a dotted key.
    pub fn at(mut self, text: &str, span: Option<Range<usize>>, key: &str) -> Self {
        let Some(span) = span else {
            if !key.is_empty() {
                self.message = format!("`{key}`: {}", self.message);
            }
            return self;
        };
        let start = span.start.min(text.len());
        let line_start = text[..start].rfind('\n').map_or(0, |at| at + 1);
        let line = text[line_start..].split(['\n', '\r']).next();
        let line = line.unwrap_or_default();
        let from = (start - line_start).min(line.len());
        let to = (span.end.max(start) - line_start).clamp(from, line.len());
        let shown = clip(line, WIDTH.max(from + WIDTH / 2));
        self.place = Some(Box::new(Place {
            key: clip(key, WIDTH).into(),
            line: text[..line_start].matches('\n').count() + 1,
            column: line[..from].chars().count() + 1,
            text: (from < 4 * WIDTH).then(|| (harmless(shown), from..to.min(shown.len()))),
        }));
        self
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// What is wrong; help on further lines.
    pub fn message(&self) -> &str {
        &self.message
    }

    /// The line, from 1, where known.
    pub fn line(&self) -> Option<usize> {
        self.place.as_ref().map(|place| place.line)
    }

    /// The column, from 1 and in characters, where known.
    pub fn column(&self) -> Option<usize> {
        self.place.as_ref().map(|place| place.column)
    }

    /// The dotted key, list places as numbers from 0, where known.
    pub fn key(&self) -> Option<&str> {
        let key = self.place.as_ref().map(|place| place.key.as_str());
        key.filter(|key| !key.is_empty())
    }

    /// The code the program ends with: 2, the input is at fault.
    pub fn exit_code(&self) -> u8 {
        2
    }

    /// The report for a terminal, without a newline at its end.
    pub fn render(&self, colour: bool) -> String {
        let message = visible(&self.message);
        let mut lines = message.lines().map(|line| clip(line, 4 * WIDTH));
        let title = Level::ERROR.primary_title(lines.next().unwrap_or("unreadable"));
        let path = visible(&self.path.to_string_lossy());
        let mut group = match self.place.as_deref() {
            None => title.element(Origin::path(path)),
            Some(Place {
                text: Some((text, span)),
                key,
                line,
                ..
            }) => {
                let label = (!key.is_empty()).then(|| format!("`{}`", visible(key)));
                let mark = AnnotationKind::Primary.span(span.clone()).label(label);
                let snippet = Snippet::source(text.as_str()).line_start(*line);
                title.element(snippet.path(path).annotation(mark))
            }
            Some(place) => {
                let origin = Origin::path(path).line(place.line);
                title.element(origin.char_column(place.column))
            }
        };
        for line in lines {
            group = group.element(Level::HELP.message(line));
        }
        let renderer = match colour {
            true => Renderer::styled(),
            false => Renderer::plain(),
        };
        renderer.render(&[group])
    }
}

impl fmt::Display for InputError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.render(false))
    }
}

impl std::error::Error for InputError {}

/// Whether to colour what goes to `stream`: a terminal, or anything where `CLICOLOR_FORCE` is set
/// and not 0; never where `NO_COLOR` is set (conventions of bixense.com/clicolors and
/// no-color.org).
pub fn colour_on(stream: &impl IsTerminal) -> bool {
    let set = |name| std::env::var_os(name).filter(|value| !value.is_empty());
    let forced = set("CLICOLOR_FORCE").is_some_and(|value| value != "0");
    set("NO_COLOR").is_none() && (forced || stream.is_terminal())
}
