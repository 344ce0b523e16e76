//! The top of a log: what separates its cells, where the names stand, where the units.

use crate::InputError;
use crate::log::groups::Mark;
use crate::log::letters::repair;
use crate::log::lines::{Held, Lines, number, split, text};
use crate::log::moment::clock;
use crate::log::rate::{Stated, stated};
use crate::log::unit;
use crate::log::words::{Meaning, meaning};
use std::cell::OnceCell;

/// Lines looked at.
const LOOKED_AT: usize = 300;
/// Most columns.
const MOST_COLUMNS: usize = 2000;

/// What stands at the top of a log.
#[derive(Clone, Debug)]
pub(super) struct Head {
    /// Between cells.
    pub delimiter: u8,
    /// Lines before the first row of numbers.
    pub lines: u64,
    /// The line with the names, from 1.
    pub line: u64,
    /// Names of the columns, empty where there is none; spoilt letters put right.
    pub names: Vec<String>,
    /// How many of them had letters spoilt by a wrong encoding.
    pub spoilt: usize,
    /// A sampling rate that stands above the names.
    pub stated: Option<Stated>,
    /// Their units from a row of their own; empty where there is none.
    pub units: Vec<String>,
    /// What parts the thousands in each column; empty until it is known.
    pub parted: Vec<Option<Mark>>,
}

/// Reads the top of a log.
///
/// # Errors
/// The file cannot be read, holds no row of names, or no numbers under one.
pub(super) fn head(log: Held) -> Result<Head, InputError> {
    let path = log.path;
    let mut lines = Lines::open(log)?;
    let mut top = Vec::new();
    while let Some(line) = lines.next()? {
        top.push((line.to_vec(), lines.number));
        if top.len() == LOOKED_AT {
            break;
        }
    }
    let found = [b'\t', b';', b',', b'|'];
    let found = found.into_iter().filter_map(|d| under(&top, d));
    // The separator that leaves the most columns; at a tie the first of the list.
    let best = found.reduce(|best, next| match next.names.len() > best.names.len() {
        true => next,
        false => best,
    });
    let head = best.ok_or_else(|| InputError::new(path, refused(&top)))?;
    if head.names.len() > MOST_COLUMNS {
        let message = format!(
            "the log has {} columns; at most {MOST_COLUMNS} can be read",
            head.names.len()
        );
        return Err(InputError::new(path, message));
    }
    Ok(head)
}

/// What is in a row of cells.
struct Row {
    cells: Vec<String>,
    filled: usize,
    numbers: usize,
    /// Asked once: every row of numbers below asks the one above them.
    units: OnceCell<bool>,
}

fn row(line: &[u8], delimiter: u8) -> Row {
    let mut spans = Vec::new();
    split(line, delimiter, &mut spans);
    let cells = spans.iter().map(|span| &line[span.clone()]);
    let filled = || cells.clone().filter(|cell| !cell.is_empty());
    Row {
        filled: filled().count(),
        numbers: filled()
            .filter(|c| number(c).is_some() || clock(c).is_some())
            .count(),
        cells: cells.clone().map(text).collect(),
        units: OnceCell::new(),
    }
}

impl Row {
    /// Numbers in two cells at least and in half of those filled.
    fn is_data(&self) -> bool {
        self.numbers >= 2 && 2 * self.numbers >= self.filled
    }

    /// Words in two cells at least, and no numbers.
    fn is_names(&self) -> bool {
        self.filled >= 2 && self.numbers == 0
    }

    /// Units in most of the cells that are filled.
    fn is_units(&self) -> bool {
        *self.units.get_or_init(|| {
            let known = self.cells.iter().filter(|cell| unit::stands_alone(cell));
            self.filled >= 1 && 2 * known.count() > self.filled
        })
    }
}

/// Rows of names over numbers that are compared: remarks at the top may look like them.
const COMPARED: usize = 8;

/// The first row of numbers under the row of names that is understood best, with this separator.
fn under(top: &[(Vec<u8>, u64)], delimiter: u8) -> Option<Head> {
    let rows: Vec<(Row, u64)> = (top.iter())
        .filter(|(line, _)| !line.iter().all(|b| b.is_ascii_whitespace()))
        .map(|(line, number)| (row(line, delimiter), *number))
        .collect();
    let all = (1..rows.len()).filter_map(|i| {
        // The first rows of a log may hold the time alone.
        let begun = |row: &Row| row.numbers > 0 && row.numbers == row.filled;
        let back = rows[..i].iter().rev().take_while(|(row, _)| begun(row));
        let first = i - back.count();
        let (above, _) = rows.get(first.checked_sub(1)?)?;
        (rows[i].0.is_data() && (above.is_names() || above.is_units())).then_some(first)
    });
    let mut all: Vec<usize> = all.take(LOOKED_AT).collect();
    all.dedup();
    all.truncate(COMPARED);
    let best = |best: usize, next: usize| match understood(&rows, next) > understood(&rows, best) {
        true => next,
        false => best,
    };
    let at = all.into_iter().reduce(best)?;
    Some(taken(top, &rows, (delimiter, at)))
}

/// How many names are understood that stand over the numbers from row `at` on.
fn understood(rows: &[(Row, u64)], at: usize) -> usize {
    let names = &rows[names_over(rows, at)].0.cells;
    let known = |name: &&String| !matches!(meaning(name, "", false), Meaning::Unknown(_));
    names.iter().take(MOST_COLUMNS).filter(known).count()
}

/// The row with the names of the numbers from row `at` on: above that of the units, if there is one.
fn names_over(rows: &[(Row, u64)], at: usize) -> usize {
    let (above, _) = &rows[at - 1];
    let names_above = |row: &Row| row.is_names() && row.cells.len() >= above.filled;
    let with_units = at >= 2 && above.is_units() && names_above(&rows[at - 2].0);
    at - 1 - usize::from(with_units)
}

/// What stands at the top of a log whose numbers begin in row `at`.
fn taken(top: &[(Vec<u8>, u64)], rows: &[(Row, u64)], (delimiter, at): (u8, usize)) -> Head {
    let (above, _) = &rows[at - 1];
    let over = names_over(rows, at);
    let (names, names_at) = &rows[over];
    let units = if over + 1 < at {
        above.cells.clone()
    } else {
        Vec::new()
    };
    let said = &names.cells[..];
    let empty = said.iter().rev().take_while(|name| name.is_empty());
    let said = &said[..said.len() - empty.count()];
    let above = top.iter().take_while(|(_, number)| number < names_at);
    let right = |name: &String| repair(&name.replace("\"\"", "\"")).into_owned();
    Head {
        delimiter,
        lines: rows[at].1 - 1,
        line: *names_at,
        units: (0..said.len())
            .map(|i| units.get(i).map(right).unwrap_or_default())
            .collect(),
        names: said.iter().map(right).collect(),
        parted: Vec::new(),
        spoilt: said.iter().filter(|name| repair(name) != **name).count(),
        stated: stated(above.map(|(line, number)| (&line[..], *number))),
    }
}

/// Why there is no log in the file, in words.
fn refused(top: &[(Vec<u8>, u64)]) -> String {
    let any = |test: &dyn Fn(&Row) -> bool| {
        let rows = top
            .iter()
            .flat_map(|(line, _)| b"\t;,|".map(|d| row(line, d)));
        rows.into_iter().any(|row| test(&row))
    };
    let what = if any(&Row::is_data) {
        "no row of column names stands above the numbers"
    } else if any(&Row::is_names) {
        "no row of numbers follows the column names"
    } else if any(&|row| row.filled >= 2) {
        "there is no row of numbers"
    } else {
        "no column separator was found (comma, semicolon or tab)"
    };
    format!(
        "{what}\na log has one row of names such as `time [s], engine speed [rpm], boost [kPa gauge]`, then one row a moment"
    )
}
