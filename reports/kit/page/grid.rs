//! A table as text for a terminal.

use crate::page::{Cell, Table};
use crate::text::printed::{Kind, Printed};
use crate::text::words::WIDTH;
use crate::text::wrap::wrap;

/// Blanks between columns.
const GAP: usize = 2;
/// Least width to which words in a column are folded.
const FOLDED: usize = 14;
/// Least room for names: one that is longer takes a line of its own.
const NAMES: usize = 28;
/// Most room for names in a table that is set as several.
const WHOLE: usize = 36;
/// Widest head of a column of numbers before it is folded.
const HEAD: usize = 12;

/// A column as it will stand.
struct Set {
    head: Vec<String>,
    cells: Vec<Vec<String>>,
    numbers: bool,
    width: usize,
    /// Whether folding may make it narrower.
    folds: bool,
}

fn long(text: &str) -> usize {
    text.chars().count()
}

/// Digits after the point of a number, the point among them.
fn after(cell: &str) -> usize {
    cell.find('.').map_or(0, |at| cell.len() - at)
}

fn shown(cell: Option<&Cell>) -> String {
    let text = cell.map_or("", |cell| cell.text.as_str());
    text.replace(['\u{2212}', '\u{2013}'], "-")
}

impl Set {
    fn new(table: &Table, index: usize) -> Self {
        let column = &table.head[index];
        let cell = |row: &Vec<Cell>| match table.heading(row) {
            Some(_) => String::new(),
            None => shown(row.get(index)),
        };
        let mut cells: Vec<String> = table.rows.iter().map(cell).collect();
        if column.numbers {
            // Points stand under each other.
            let deepest = cells.iter().map(|cell| after(cell)).max().unwrap_or(0);
            for cell in cells.iter_mut().filter(|cell| !cell.is_empty()) {
                *cell += &" ".repeat(deepest - after(cell));
            }
        }
        let widest = cells.iter().map(|cell| long(cell)).max().unwrap_or(0);
        let mut head = match column.numbers && long(&column.label) > HEAD.max(widest) {
            true => wrap(&column.label, HEAD.max(widest)),
            false => vec![column.label.clone()],
        };
        if !column.unit.is_empty() {
            head.push(column.unit.clone());
        }
        let widest = head.iter().map(|line| long(line)).fold(widest, usize::max);
        Self {
            head,
            cells: cells.into_iter().map(|cell| vec![cell]).collect(),
            numbers: column.numbers,
            width: widest,
            folds: !column.numbers && widest > FOLDED,
        }
    }

    /// Folds words to a width.
    fn fold(&mut self, width: usize) {
        for cell in &mut self.cells {
            *cell = wrap(&cell.join(" "), width);
        }
        self.head = self
            .head
            .iter()
            .flat_map(|line| wrap(line, width))
            .collect();
        let lines = self.cells.iter().flatten().chain(&self.head);
        self.width = lines.map(|line| long(line)).max().unwrap_or(0);
    }

    fn pad(&self, line: Option<&String>) -> String {
        let (line, width) = (line.map_or("", String::as_str), self.width);
        match self.numbers {
            true => format!("{line:>width$}"),
            false => format!("{line:width$}"),
        }
    }
}

fn total(columns: &[Set]) -> usize {
    let widths: usize = columns.iter().map(|column| column.width + GAP).sum();
    widths.saturating_sub(GAP)
}

/// Rows and columns; words are folded where the table is too wide, then columns go into a
/// second table under the first.
pub(super) fn grid(text: &mut Printed, table: &Table) {
    let whole = || -> Vec<Set> { (0..table.head.len()).map(|i| Set::new(table, i)).collect() };
    let mut columns = whole();
    loop {
        let over = total(&columns).saturating_sub(WIDTH);
        let words = columns.iter_mut().filter(|column| column.folds);
        let Some(widest) = words.max_by_key(|column| column.width) else {
            break;
        };
        if over == 0 {
            break;
        }
        let was = widest.width;
        widest.fold((was - over.min(was - FOLDED)).max(FOLDED));
        // A word is never broken.
        widest.folds = FOLDED < widest.width && widest.width < was;
    }
    if total(&columns) > WIDTH {
        // Folding did not help: names stand whole in each of several tables.
        columns = whole();
        if let Some(first) = columns.first_mut().filter(|first| first.width > WHOLE) {
            first.fold(WHOLE);
        }
    }
    if let Some((first, rest)) = columns.split_first_mut() {
        let room = WIDTH.saturating_sub(GAP + total(rest));
        if !first.numbers && (NAMES..first.width).contains(&room) {
            first.width = room;
        }
    }
    let Some((first, rest)) = columns.split_first() else {
        return;
    };
    let fits = |rest: &[Set]| {
        let mut fits = rest.len();
        while fits > 1 && first.width + GAP + total(&rest[..fits]) > WIDTH {
            fits -= 1;
        }
        fits
    };
    // As many columns in each table.
    let (mut tables, mut left) = (1, rest);
    while fits(left) < left.len() {
        tables += 1;
        left = &left[fits(left)..];
    }
    let even = rest.len().div_ceil(tables);
    let mut rest = rest;
    loop {
        let (now, later) = rest.split_at(fits(rest).min(even));
        rows(text, first, now, table);
        if later.is_empty() {
            return;
        }
        text.gap();
        rest = later;
    }
}

fn rows(text: &mut Printed, first: &Set, rest: &[Set], table: &Table) {
    let line = |of: &dyn Fn(&Set) -> Option<String>| {
        let all = std::iter::once(first).chain(rest);
        let cells: Vec<String> = all.map(|column| column.pad(of(column).as_ref())).collect();
        cells.join(&" ".repeat(GAP))
    };
    let all = || std::iter::once(first).chain(rest);
    let head = all().map(|column| column.head.len()).max().unwrap_or(0);
    for i in 0..head {
        // Heads stand on the first row.
        let of = |column: &Set| {
            let skipped = head - column.head.len();
            i.checked_sub(skipped).map(|i| column.head[i].clone())
        };
        text.line(Kind::Quiet, &line(&of));
    }
    for (row, cells) in table.rows.iter().enumerate() {
        if let Some(heading) = table.heading(cells) {
            text.paragraph(Kind::Quiet, "", &heading);
            continue;
        }
        let lines = all().map(|column| column.cells[row].len()).max();
        let name = first.cells[row]
            .first()
            .filter(|name| long(name) > first.width);
        if let Some(name) = name {
            text.line(Kind::Plain, name);
        }
        for i in 0..lines.unwrap_or(0) {
            text.line(
                Kind::Plain,
                &line(&|column| {
                    let cell = column.cells[row].get(i);
                    cell.filter(|cell| name.is_none_or(|name| !std::ptr::eq(*cell, name)))
                        .cloned()
                }),
            );
        }
    }
}
