//! A page: one file that opens from disk, with pictures and tables; every text is escaped.

mod shell;

use crate::figure::scene::Scene;
use crate::text::number::number;

/// Cautions of every page about a running engine.
pub const CAUTION: &str = "Boosted pipes and hoses can let go; fans, belts and the turbo spin; exhaust \
    is hot and poisonous; fuel vapour burns; a lean engine under full load can destroy itself. Follow \
    the maker's procedure and local codes, and leave licensed work to those who hold the licence.";

/// A page.
#[derive(Clone, Debug, Default)]
pub struct Page {
    /// Its heading.
    pub title: String,
    /// What the page is about, under the heading.
    pub lead: Vec<String>,
    /// Its parts, in order.
    pub sections: Vec<Section>,
    /// Cautions and limits, at the end.
    pub notes: Vec<String>,
}

/// A part of a page.
#[derive(Clone, Debug, Default)]
pub struct Section {
    /// Its heading.
    pub heading: String,
    /// What is in it.
    pub blocks: Vec<Block>,
}

/// Something in a part.
#[derive(Clone, Debug)]
pub enum Block {
    /// A paragraph.
    Words(String),
    /// The answer in a sentence, set large.
    Says(String),
    /// A caution.
    Caution(String),
    /// A danger: wherever it stands, it is drawn above all of the page's parts.
    Danger(String),
    /// Paragraphs in a list.
    List(Vec<String>),
    /// A picture across the page.
    Picture(Picture),
    /// Small pictures side by side.
    Row(Vec<Picture>),
    /// A table.
    Table(Table),
}

/// A picture with its words.
#[derive(Clone, Debug)]
pub struct Picture {
    /// Its file's name, without an ending: lower case, digits, `-`.
    pub name: String,
    /// What it shows, in a sentence, under it and for those who cannot see it.
    pub caption: String,
    /// What is drawn.
    pub scene: Scene,
}

/// A table.
#[derive(Clone, Debug, Default)]
pub struct Table {
    /// What it holds.
    pub caption: String,
    /// Headings; the first column names the rows.
    pub head: Vec<Column>,
    /// Rows.
    pub rows: Vec<Vec<Cell>>,
}

/// A column's heading.
#[derive(Clone, Debug, Default)]
pub struct Column {
    /// What stands in it.
    pub label: String,
    /// In which unit; empty where there is none.
    pub unit: String,
    /// Whether it holds numbers.
    pub numbers: bool,
}

/// A cell.
#[derive(Clone, Debug, Default)]
pub struct Cell {
    /// Its text.
    pub text: String,
    /// The number it shows: where it stands in the result for programs, and its value.
    pub number: Option<(String, f64)>,
    /// Whether it matters most in its row.
    pub strong: bool,
}

impl Column {
    /// A column of words.
    pub fn words(label: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            ..Self::default()
        }
    }

    /// A column of numbers.
    pub fn numbers(label: impl Into<String>, unit: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            unit: unit.into(),
            numbers: true,
        }
    }
}

impl Cell {
    /// Words.
    pub fn words(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }

    /// A number with so many decimals, and where it stands in the result for programs;
    /// a dash where it is not finite.
    pub fn number(value: f64, decimals: usize, json: impl Into<String>) -> Self {
        let (text, number) = match value.is_finite() {
            true => (number(value, decimals), Some((json.into(), value))),
            false => ("–".into(), None),
        };
        Self {
            text,
            number,
            strong: false,
        }
    }

    /// The same, set so that it stands out.
    pub fn strong(self) -> Self {
        Self {
            strong: true,
            ..self
        }
    }
}

impl Page {
    /// All pictures.
    pub fn pictures(&self) -> impl Iterator<Item = &Picture> {
        let blocks = self.sections.iter().flat_map(|section| &section.blocks);
        blocks.flat_map(|block| match block {
            Block::Picture(picture) => std::slice::from_ref(picture),
            Block::Row(pictures) => pictures,
            _ => &[],
        })
    }
}
