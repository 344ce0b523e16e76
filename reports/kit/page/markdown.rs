//! A page as Markdown: words and tables.

use crate::page::{Block, Cell, Face, Page, Table};
use std::fmt::Write;

/// What Markdown would take for a sign stands as a letter.
fn plain(text: &str) -> String {
    let text = text.replace('|', "\\|").replace('<', "&lt;");
    text.replace(['\n', '\r'], " ")
}

impl Page {
    /// As Markdown.
    pub fn markdown(&self) -> String {
        let mut text = format!("# {}\n", plain(&self.title));
        for words in self.dangers() {
            let _ = write!(text, "\n**Danger: {}**\n", plain(words));
        }
        for line in &self.lead {
            let _ = write!(text, "\n{}\n", plain(&line.said()));
        }
        let sections = self.sections.iter();
        for section in sections.filter(|section| section.speaks(Face::Page)) {
            if !section.heading.is_empty() {
                let _ = write!(text, "\n## {}\n", plain(&section.heading));
            }
            section
                .blocks
                .iter()
                .for_each(|block| set(&mut text, block));
        }
        text.push('\n');
        for note in &self.notes {
            let _ = writeln!(text, "- {}", plain(note));
        }
        let _ = writeln!(text, "\n{}", plain(&self.made_by()));
        text
    }
}

fn set(text: &mut String, block: &Block) {
    let _ = match block {
        Block::Words(words) | Block::Says(words) => write!(text, "\n{}\n", plain(words)),
        Block::Labelled(line) => write!(text, "\n{}\n", plain(&line.said())),
        Block::Caution(words) => write!(text, "\n**Caution:** {}\n", plain(words)),
        Block::List(items) => {
            text.push('\n');
            items
                .iter()
                .try_for_each(|item| writeln!(text, "- {}", plain(item)))
        }
        Block::Checks(items) => {
            text.push('\n');
            items
                .iter()
                .try_for_each(|item| writeln!(text, "- [ ] {}", plain(item)))
        }
        Block::Code(lines) => write!(text, "\n```\n{lines}```\n"),
        Block::Table(table) => write!(text, "\n{}\n\n{}", plain(&table.caption), rows(table)),
        Block::Only(Face::Page, block) => return set(text, block),
        Block::Only(Face::Terminal, _) | Block::Picture(_) | Block::Row(_) | Block::Danger(_) => {
            Ok(())
        }
    };
}

fn rows(table: &Table) -> String {
    let row = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
    let head = table.head.iter().map(|column| match column.unit.as_str() {
        "" => plain(&column.label),
        unit => plain(&format!("{}, {unit}", column.label)),
    });
    let mut text = row(head.collect());
    text += &format!("|{}\n", "---|".repeat(table.head.len()));
    for cells in &table.rows {
        let cell = |cell: &Cell| plain(&cell.text);
        text += &row(cells.iter().map(cell).collect());
    }
    text
}
