//! What a command says to people, as one description: set as a page (one file that opens from
//! disk), as text for a terminal, or as Markdown.

mod grid;
mod markdown;
pub mod record;
mod shell;
mod table;
mod terminal;

pub use table::{Cell, Column, Fact, Table, facts};

use crate::figure::scene::Scene;

/// The program's version.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// What made a page.
const MADE_BY: &str = concat!("falseair ", env!("CARGO_PKG_VERSION"));

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
    pub lead: Vec<Line>,
    /// Its parts, in order.
    pub sections: Vec<Section>,
    /// Cautions and limits, at the end.
    pub notes: Vec<String>,
    /// The files it is made from, each with what tells its bytes.
    pub made_from: Vec<String>,
    /// Whether a terminal shows all of it, however long: else what a screen has room for.
    pub whole: bool,
}

/// A line of words, with what they are about before them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Line {
    /// `car`, `codes`; may be empty.
    pub label: String,
    /// What is said.
    pub words: String,
}

impl Line {
    /// A labelled line.
    pub fn new(label: impl Into<String>, words: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            words: words.into(),
        }
    }

    /// `car: Brindle`.
    fn said(&self) -> String {
        match self.label.is_empty() {
            true => self.words.clone(),
            false => format!("{}: {}", self.label, self.words),
        }
    }
}

impl<S: Into<String>> From<S> for Line {
    fn from(words: S) -> Self {
        Self::new("", words)
    }
}

/// Where something is shown that is not shown everywhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// On a page.
    Page,
    /// On a terminal.
    Terminal,
}

/// A part of a page.
#[derive(Clone, Debug, Default)]
pub struct Section {
    /// Its heading; empty where it needs none.
    pub heading: String,
    /// What is in it.
    pub blocks: Vec<Block>,
    /// Whether it stands behind a fold: opened by a press on a page, left out on a terminal, whole
    /// on paper.
    pub folded: bool,
    /// Whether it is left out on paper while its fold is shut: what one looks up on a screen.
    pub off_paper: bool,
    /// Whether a terminal shows it whole however little room is left.
    pub pinned: bool,
}

/// Something in a part.
#[derive(Clone, Debug)]
pub enum Block {
    /// A paragraph.
    Words(String),
    /// A paragraph that says first what it is about.
    Labelled(Line),
    /// The answer in a sentence, set large.
    Says(String),
    /// A caution.
    Caution(String),
    /// A danger: wherever it stands, it is drawn above all of the page's parts.
    Danger(String),
    /// Paragraphs in a list.
    List(Vec<String>),
    /// What is to be done, each to be ticked off.
    Checks(Vec<String>),
    /// Text that stays as it is, line by line: part of a file.
    Code(String),
    /// A picture across the page.
    Picture(Picture),
    /// Small pictures side by side.
    Row(Vec<Picture>),
    /// A table.
    Table(Table),
    /// Something that one face shows and the other does not.
    Only(Face, Box<Block>),
}

impl Section {
    /// A part.
    pub fn new(heading: impl Into<String>, blocks: Vec<Block>) -> Self {
        Self {
            heading: heading.into(),
            blocks,
            ..Self::default()
        }
    }

    /// The same, behind a fold if so.
    #[must_use]
    pub fn folded(self, folded: bool) -> Self {
        Self { folded, ..self }
    }

    /// The same, whole on a terminal however little room is left.
    #[must_use]
    pub fn pinned(self) -> Self {
        Self {
            pinned: true,
            ..self
        }
    }

    /// The same, left out on paper while its fold is shut if so.
    #[must_use]
    pub fn off_paper(self, off_paper: bool) -> Self {
        Self { off_paper, ..self }
    }
}

impl Picture {
    /// A picture.
    pub fn new(name: impl Into<String>, caption: impl Into<String>, scene: Scene) -> Self {
        Self {
            name: name.into(),
            caption: caption.into(),
            scene,
        }
    }
}

impl Block {
    /// A table.
    pub fn table(
        caption: impl Into<String>,
        head: impl IntoIterator<Item = Column>,
        rows: impl IntoIterator<Item = Vec<Cell>>,
    ) -> Self {
        Block::Table(Table {
            caption: caption.into(),
            head: head.into_iter().collect(),
            rows: rows.into_iter().collect(),
        })
    }

    /// A list; none where there is nothing in it.
    pub fn list(items: impl IntoIterator<Item = String>) -> Option<Self> {
        let items: Vec<String> = items.into_iter().collect();
        (!items.is_empty()).then_some(Block::List(items))
    }

    /// This, on pages only.
    pub fn on_page(self) -> Self {
        Block::Only(Face::Page, Box::new(self))
    }

    /// This, on terminals only.
    pub fn on_terminal(self) -> Self {
        Block::Only(Face::Terminal, Box::new(self))
    }
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

impl Page {
    /// By which version, and from which files.
    fn made_by(&self) -> String {
        match self.made_from.is_empty() {
            true => format!("Made by {MADE_BY}."),
            false => format!("Made by {MADE_BY} from {}.", self.made_from.join(", ")),
        }
    }

    /// All pictures.
    pub fn pictures(&self) -> impl Iterator<Item = &Picture> {
        let blocks = self.sections.iter().flat_map(|section| &section.blocks);
        blocks.flat_map(Block::pictures)
    }
}

impl Section {
    /// Whether a face that is text has something to say here.
    fn speaks(&self, face: Face) -> bool {
        self.blocks.iter().any(|block| block.speaks(face))
    }
}

impl Block {
    fn speaks(&self, face: Face) -> bool {
        match self {
            Block::Picture(_) | Block::Row(_) | Block::Danger(_) => false,
            Block::Only(only, block) => *only == face && block.speaks(face),
            _ => true,
        }
    }

    fn pictures(&self) -> &[Picture] {
        match self {
            Block::Picture(picture) => std::slice::from_ref(picture),
            Block::Row(pictures) => pictures,
            Block::Only(Face::Page, block) => block.pictures(),
            _ => &[],
        }
    }
}
