//! Text for a terminal as lines that know what they are, so that colour needs no guess.

use crate::text::words::{WIDTH, plain};
use crate::text::wrap::wrap;
use std::fmt::{Display, Formatter, Result};

/// What a line is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A title, or the head of a part.
    Heading,
    /// What can hurt someone.
    Danger,
    /// What to beware of.
    Caution,
    /// About the car, the air, the file.
    Quiet,
    /// All else.
    Plain,
}

impl Kind {
    /// Its sign on a terminal that shows colour (ECMA-48, select graphic rendition).
    const fn sign(self) -> &'static str {
        match self {
            Kind::Heading => "1",
            Kind::Danger => "1;31",
            Kind::Caution => "33",
            Kind::Quiet => "2",
            Kind::Plain => "",
        }
    }
}

/// What the head of a part begins with.
const RULE: &str = "-- ";

/// Lines of at most 79 columns.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Printed {
    lines: Vec<(Kind, String)>,
}

impl Printed {
    /// An empty line, unless the text or a part begins here or one stands already.
    pub fn gap(&mut self) {
        let begins = |(kind, line): &(Kind, String)| {
            line.is_empty() || (*kind == Kind::Heading && line.starts_with(RULE))
        };
        if self.lines.last().is_some_and(|last| !begins(last)) {
            self.lines.push((Kind::Plain, String::new()));
        }
    }

    /// How many lines it has.
    pub fn len(&self) -> usize {
        self.lines.len()
    }

    /// Whether it has none.
    pub fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// The lines of another under its own.
    pub fn append(&mut self, mut other: Printed) {
        self.lines.append(&mut other.lines);
    }

    /// A heading across the page.
    pub fn heading(&mut self, name: &str) {
        let name: String = plain(name).chars().take(WIDTH - 8).collect();
        let rule = "-".repeat(WIDTH - 4 - name.chars().count());
        self.gap();
        self.lines
            .push((Kind::Heading, format!("{RULE}{name} {rule}")));
    }

    /// `label` and words, wrapped; further lines stand under the first word.
    pub fn paragraph(&mut self, kind: Kind, label: &str, words: &str) {
        let indent = label.chars().count();
        let room = WIDTH.saturating_sub(indent);
        for (i, line) in wrap(words, room).into_iter().enumerate() {
            let line = match i {
                0 => format!("{label}{line}"),
                _ => format!("{:indent$}{line}", ""),
            };
            self.lines.push((kind, line));
        }
    }

    /// A line as it is, but for blanks at its end.
    pub fn line(&mut self, kind: Kind, text: &str) {
        self.lines.push((kind, plain(text).trim_end().to_string()));
    }

    /// With colours.
    pub fn coloured(&self) -> String {
        let lines = self.lines.iter().map(|(kind, line)| match kind.sign() {
            sign if sign.is_empty() || line.is_empty() => format!("{line}\n"),
            sign => format!("\x1b[{sign}m{line}\x1b[0m\n"),
        });
        lines.collect()
    }
}

impl Display for Printed {
    fn fmt(&self, f: &mut Formatter) -> Result {
        self.lines
            .iter()
            .try_for_each(|(_, line)| writeln!(f, "{line}"))
    }
}

/// What a command prints.
#[derive(Clone, Debug)]
pub enum Text {
    /// For programs (JSON, CSV, a script): as it stands.
    Raw(String),
    /// For people.
    Lines(Printed),
}

impl Text {
    /// With colours where it is for people.
    pub fn coloured(&self) -> String {
        match self {
            Text::Raw(text) => text.clone(),
            Text::Lines(lines) => lines.coloured(),
        }
    }
}

impl Display for Text {
    fn fmt(&self, f: &mut Formatter) -> Result {
        match self {
            Text::Raw(text) => f.write_str(text),
            Text::Lines(lines) => lines.fmt(f),
        }
    }
}

impl From<String> for Text {
    fn from(text: String) -> Self {
        Text::Raw(text)
    }
}

impl From<Printed> for Text {
    fn from(lines: Printed) -> Self {
        Text::Lines(lines)
    }
}

#[cfg(test)]
mod tests {
    use super::{Kind, Printed};

    #[test]
    fn colour_only_adds_signs() {
        let mut text = Printed::default();
        text.heading("idle");
        text.paragraph(Kind::Danger, "DANGER  ", &"lean ".repeat(30));
        text.paragraph(Kind::Plain, "", "as \x1b[31mit is");
        let (plain, coloured) = (text.to_string(), text.coloured());
        assert!(coloured.contains("\x1b[1;31mDANGER  lean") && !plain.contains('\x1b'));
        // The second line of a danger is as red as the first.
        assert_eq!(coloured.matches("\x1b[1;31m").count(), 3);
        let bare: String = coloured
            .split('\x1b')
            .map(|part| {
                part.split_once('m')
                    .map_or(part, |(sign, rest)| match sign {
                        "[0" | "[1" | "[1;31" => rest,
                        _ => part,
                    })
            })
            .collect();
        assert_eq!(bare, plain);
    }
}
