//! A page as text for a terminal: what pictures show is left to pages, and what a screen has no room for
//! to `--full`.

use crate::page::grid::grid;
use crate::page::{Block, Face, Line, Page, Section, Table};
use crate::text::printed::{Kind, Printed};

/// Lines that a screen has room for. Dangers, cautions, the answer and what to note stand whole
/// however many they are; what else does not fit is left for `--full`.
const SCREEN: usize = 40;
/// Fewest rows of a table that are worth showing without the others.
const ROWS: usize = 3;
/// Parts left out that are named.
const NAMED: usize = 4;

impl Page {
    /// For a terminal: all of it, or one screen.
    pub fn printed(&self) -> Printed {
        let mut text = Printed::default();
        let dangers: Vec<&str> = self.dangers().collect();
        for words in &dangers {
            text.paragraph(Kind::Danger, "DANGER  ", words);
        }
        text.gap();
        text.paragraph(Kind::Heading, "", &self.title);
        for line in &self.lead {
            labelled(&mut text, Kind::Quiet, line);
        }
        let mut notes = Printed::default();
        for note in &self.notes {
            notes.paragraph(Kind::Plain, "- ", note);
        }
        let sections = self.sections.iter();
        let spoken: Vec<&Section> = sections
            .filter(|section| section.speaks(Face::Terminal))
            .collect();
        let pinned = spoken.iter().skip(1).filter(|section| section.pinned);
        let pinned: usize = pinned.map(|section| tall(section)).sum();
        let room = match self.whole {
            true => usize::MAX,
            // Blank lines and the line that names what is left out.
            false => SCREEN.saturating_sub(notes.len() + 4),
        };
        let mut left: Vec<&str> = Vec::new();
        let mut full = false;
        for (i, section) in spoken.iter().enumerate() {
            let fits = text.len() + tall(section) <= room;
            if section.folded && !self.whole {
                left.push(&section.heading);
            } else if section.pinned || (i > 0 && fits && !full) {
                part(&mut text, section);
            } else if i == 0 || (!full && section.may_be_cut()) {
                let begun = text.clone();
                let room = room.saturating_sub(if i == 0 { pinned } else { 0 });
                let shown = cut(&mut text, section, room, i == 0);
                full |= shown != Shown::All;
                match (shown, i) {
                    (Shown::All, _) => {}
                    (Shown::Some, _) | (Shown::Nothing, 0) => left.push(say::THE_REST),
                    (Shown::Nothing, _) => {
                        text = begun;
                        left.push(&section.heading);
                    }
                }
            } else {
                full = true;
                left.push(&section.heading);
            }
        }
        if !left.is_empty() {
            text.gap();
            text.paragraph(Kind::Quiet, "more  ", &say::more(&left));
        }
        text.gap();
        text.append(notes);
        text
    }
}

impl Section {
    /// Whether a beginning of it says something true by itself: tables and words do, steps of work do
    /// not.
    fn may_be_cut(&self) -> bool {
        let steps =
            |block: &Block| matches!(block, Block::Checks(_) | Block::List(_) | Block::Caution(_));
        !self.blocks.iter().any(steps)
    }
}

/// Lines that a part takes.
fn tall(section: &Section) -> usize {
    let mut text = Printed::default();
    // A part stands apart from what is before it.
    text.paragraph(Kind::Plain, "", "-");
    part(&mut text, section);
    text.len() - 1
}

/// How much of a part is shown.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Shown {
    All,
    Some,
    Nothing,
}

/// A part as far as there is room, of a table as many rows as fit; of the first part cautions and
/// answer whole.
fn cut(text: &mut Printed, section: &Section, room: usize, first: bool) -> Shown {
    heading(text, section);
    let mut shown = Shown::All;
    // What must be shown takes its room before what may be.
    let must = |block: &&Block| first && matches!(block, Block::Caution(_) | Block::Says(_));
    let speaks = |block: &&Block| block.speaks(Face::Terminal);
    let blocks: Vec<&Block> = section.blocks.iter().filter(speaks).collect();
    let mut any = false;
    for (i, block) in blocks.iter().enumerate() {
        let mut longer = text.clone();
        set(&mut longer, block);
        let mut later = longer.clone();
        // Words that lead over to what follows stand with it or not at all.
        let leads = matches!(block, Block::Words(words) if words.ends_with(':'));
        let rest = blocks[i + 1..].iter().enumerate();
        let rest = rest.filter(|(k, block)| must(block) || (leads && *k == 0));
        rest.for_each(|(_, block)| set(&mut later, block));
        if must(block) || (shown == Shown::All && later.len() <= room) {
            *text = longer;
            any = true;
            continue;
        }
        if shown == Shown::All
            && let Some(table) = table_of(block)
        {
            any |= shortened(text, table, room.saturating_sub(later.len() - longer.len()));
        }
        shown = Shown::Some;
    }
    match any {
        true => shown,
        false => Shown::Nothing,
    }
}

/// The table that a terminal sees in a block.
fn table_of(block: &Block) -> Option<&Table> {
    match block {
        Block::Table(table) => Some(table),
        Block::Only(Face::Terminal, block) => table_of(block),
        _ => None,
    }
}

/// As many of a table's first rows as fit, where that is worth it; whether it was.
fn shortened(text: &mut Printed, table: &Table, room: usize) -> bool {
    for count in (ROWS..table.rows.len()).rev() {
        let mut longer = text.clone();
        let some = Table {
            rows: table.rows[..count].to_vec(),
            ..table.clone()
        };
        set(&mut longer, &Block::Table(some));
        longer.paragraph(Kind::Quiet, "", &say::more_rows(table.rows.len() - count));
        if longer.len() <= room {
            *text = longer;
            return true;
        }
    }
    false
}

fn heading(text: &mut Printed, section: &Section) {
    match section.heading.is_empty() {
        true => text.gap(),
        false => text.heading(&section.heading),
    }
}

fn part(text: &mut Printed, section: &Section) {
    heading(text, section);
    section.blocks.iter().for_each(|block| set(text, block));
}

/// Words about what is left out.
mod say {
    use super::NAMED;

    /// Of a part without a heading.
    pub const THE_REST: &str = "the rest of the answer";

    /// Parts that are left out, the first of them by name.
    pub fn more(left: &[&str]) -> String {
        let mut named: Vec<&str> = Vec::new();
        for name in left.iter().filter(|name| !name.is_empty()) {
            if !named.contains(name) {
                named.push(name);
            }
        }
        let others = named.len().saturating_sub(NAMED);
        named.truncate(NAMED);
        match others {
            0 => format!("{}: all of it with --full", named.join(", ")),
            _ => format!(
                "{} and {others} more: all of it with --full",
                named.join(", ")
            ),
        }
    }

    /// Rows that are left out.
    pub fn more_rows(count: usize) -> String {
        match count {
            1 => "... and one row more".into(),
            _ => format!("... and {count} rows more"),
        }
    }
}

fn labelled(text: &mut Printed, kind: Kind, line: &Line) {
    let label = match line.label.is_empty() {
        true => String::new(),
        false => format!("{:4}  ", line.label),
    };
    text.paragraph(kind, &label, &line.words);
}

fn set(text: &mut Printed, block: &Block) {
    match block {
        Block::Words(words) | Block::Says(words) => text.paragraph(Kind::Plain, "", words),
        Block::Labelled(line) => labelled(text, Kind::Plain, line),
        Block::Caution(words) => text.paragraph(Kind::Caution, "CAUTION  ", words),
        Block::List(items) => {
            for item in items {
                text.paragraph(Kind::Plain, "- ", item);
            }
        }
        Block::Checks(items) => {
            for item in items {
                text.paragraph(Kind::Plain, "[ ] ", item);
            }
        }
        Block::Code(lines) => lines.lines().for_each(|line| text.line(Kind::Plain, line)),
        Block::Table(table) => {
            text.gap();
            text.paragraph(Kind::Quiet, "", &table.caption);
            grid(text, table);
            text.gap();
        }
        Block::Only(Face::Terminal, block) => set(text, block),
        Block::Only(Face::Page, _) | Block::Picture(_) | Block::Row(_) | Block::Danger(_) => {}
    }
}
