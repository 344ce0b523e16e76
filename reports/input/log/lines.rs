//! Lines of a file of any length, in bounded memory, and their cells.

use super::utf16::Utf16;
use crate::InputError;
use std::io::{BufRead, BufReader, Read};
use std::ops::Range;
use std::path::Path;

/// Longest line, bytes.
const LONGEST: u64 = 1 << 20;

/// A log: a file, or bytes that stand in memory under a name.
#[derive(Clone, Copy, Debug)]
pub(super) struct Held<'a> {
    /// The file, or what messages call the bytes.
    pub path: &'a Path,
    /// The bytes, if they are not in a file.
    pub bytes: Option<&'a [u8]>,
}

/// A log, line by line.
pub(super) struct Lines<'a> {
    path: &'a Path,
    from: BufReader<Box<dyn Read + 'a>>,
    line: Vec<u8>,
    /// What ends a line.
    end: u8,
    /// Lines read so far.
    pub number: u64,
    /// Lines with bytes that no text holds (a logger that lost its power leaves them).
    pub spoilt: u64,
}

impl<'a> Lines<'a> {
    /// Opens a log.
    ///
    /// # Errors
    /// It is missing, a folder, not readable, or of a kind that is no table of text.
    pub fn open(Held { path, bytes }: Held<'a>) -> Result<Self, InputError> {
        let from: Box<dyn Read> = match bytes {
            Some(bytes) => Box::new(bytes),
            None => Box::new(crate::open(path)?),
        };
        let mut lines = Self {
            path,
            from: BufReader::with_capacity(1 << 20, from),
            line: Vec::new(),
            end: b'\n',
            number: 0,
            spoilt: 0,
        };
        let start = lines.from.fill_buf().map_err(|e| unread(path, &e))?;
        if let Some(big) = Utf16::<&[u8]>::begins(start) {
            lines.from.consume(2);
            let text: Box<dyn Read + 'a> = Box::new(Utf16::new(lines.from, big));
            lines.from = BufReader::with_capacity(1 << 20, text);
        }
        let start = lines.from.fill_buf().map_err(|e| unread(path, &e))?;
        let kinds: [(&[u8], &str); 4] = [
            (
                b"PK\x03\x04",
                "a zip archive or a spreadsheet\nsave the sheet as CSV",
            ),
            (&[0x1F, 0x8B], "compressed\nunpack it first"),
            (b"%PDF", "a PDF\na log is separated text"),
            (
                &[0xD0, 0xCF, 0x11, 0xE0],
                "a spreadsheet\nsave the sheet as CSV",
            ),
        ];
        if let Some((_, what)) = kinds.iter().find(|(mark, _)| start.starts_with(mark)) {
            return Err(InputError::new(path, format!("the file is {what}")));
        }
        let head = &start[..start.len().min(4096)];
        if head.contains(&0) {
            return Err(InputError::new(
                path,
                "the file is binary, not separated text",
            ));
        }
        if start.is_empty() {
            return Err(InputError::new(path, "the file is empty"));
        }
        // Some tools end lines with a carriage return alone.
        if start.contains(&b'\r') && !start.contains(&b'\n') {
            lines.end = b'\r';
        }
        if start.starts_with(&[0xEF, 0xBB, 0xBF]) {
            lines.from.consume(3);
        }
        Ok(lines)
    }

    /// The next line without its end; none at the end of the file.
    ///
    /// # Errors
    /// The file cannot be read, or a line is longer than 1 MB.
    pub fn next(&mut self) -> Result<Option<&[u8]>, InputError> {
        loop {
            self.line.clear();
            let mut piece = (&mut self.from).take(LONGEST + 1);
            let read = piece.read_until(self.end, &mut self.line);
            let read = read.map_err(|e| unread(self.path, &e))?;
            if read == 0 {
                return Ok(None);
            }
            self.number += 1;
            if read as u64 > LONGEST {
                let message = format!("line {} is longer than 1 MB: this is no log", self.number);
                return Err(InputError::new(self.path, message));
            }
            while let Some(b'\n' | b'\r') = self.line.last() {
                self.line.pop();
            }
            if self.line.contains(&0) {
                self.spoilt += 1;
                continue;
            }
            return Ok(Some(&self.line));
        }
    }
}

fn unread(path: &Path, why: &std::io::Error) -> InputError {
    InputError::new(path, format!("the file could not be read: {why}"))
}

/// The cells of a line, as spans without the spaces and quotes around them. Within quotes a
/// doubled one stands for one (RFC 4180). A quote that is not closed ends with its line.
pub(super) fn split(line: &[u8], delimiter: u8, cells: &mut Vec<Range<usize>>) {
    cells.clear();
    let mut from = 0;
    loop {
        let start = line[from..].iter().take_while(|b| **b == b' ').count() + from;
        let inner = (line.get(start) == Some(&b'"'))
            .then(|| Some(start + 1..closing(line, start + 1)?))
            .flatten();
        let end = inner.as_ref().map_or(from, |inner| inner.end);
        let to = line[end..].iter().position(|b| *b == delimiter);
        let to = to.map_or(line.len(), |at| end + at);
        // What stands behind the closing quote belongs to a cell that is not quite quoted.
        let whole = inner.filter(|inner| line[inner.end + 1..to].iter().all(|b| *b == b' '));
        cells.push(match whole {
            Some(inner) => trim(line, inner, |_| false),
            None => trim(line, from..to, |b| b == b'"'),
        });
        if to >= line.len() {
            return;
        }
        from = to + 1;
    }
}

/// The quote that ends what begins at `from`, doubled ones passed over.
fn closing(line: &[u8], mut from: usize) -> Option<usize> {
    loop {
        let at = from + line[from..].iter().position(|b| *b == b'"')?;
        if line.get(at + 1) != Some(&b'"') {
            return Some(at);
        }
        from = at + 2;
    }
}

fn trim(line: &[u8], span: Range<usize>, also: impl Fn(u8) -> bool) -> Range<usize> {
    let outer = |b: &u8| b.is_ascii_whitespace() || also(*b);
    let cell = &line[span.clone()];
    let front = cell.iter().take_while(|b| outer(b)).count();
    let back = cell[front..].iter().rev().take_while(|b| outer(b)).count();
    span.start + front..span.end - back
}

/// The text of bytes: UTF-8, or else Latin-1, in which every byte is a character.
pub(super) fn text(bytes: &[u8]) -> String {
    match std::str::from_utf8(bytes) {
        Ok(text) => text.into(),
        Err(_) => bytes.iter().map(|b| char::from(*b)).collect(),
    }
}

/// The number in a cell, with a point or a comma; none where it is empty, a word, or not
/// finite.
pub(super) fn number(cell: &[u8]) -> Option<f64> {
    let first = *cell.first()?;
    if !(first.is_ascii_digit() || b"+-.,".contains(&first)) {
        return None;
    }
    let text = std::str::from_utf8(cell).ok()?;
    let text = text.strip_suffix('%').unwrap_or(text).trim_end();
    let value = match text.parse::<f64>() {
        Ok(value) => value,
        Err(_) if text.contains('.') => return None,
        Err(_) => text.replacen(',', ".", 1).parse().ok()?,
    };
    value.is_finite().then_some(value)
}
