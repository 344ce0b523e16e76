//! Cells put aside on disk. A Parquet row group is written column by column and rows
//! come one by one: in memory stays one block of them, however many there are.

use crate::commands::sweep::columns::{Column, Kind};
use std::fs::File;
use std::io::{self, Error, ErrorKind, Read, Seek, SeekFrom, Write};

/// Rows of a block.
const BLOCK: usize = 1024;

/// Cells of a column, as many as a block has rows.
#[derive(Debug, PartialEq)]
pub enum Cells {
    /// Whole numbers.
    Whole(Vec<i64>),
    /// The numbers that are there, and for each row whether one is.
    Number(Vec<f64>, Vec<i16>),
    /// Texts.
    Text(Vec<Vec<u8>>),
}

/// Rows put aside.
pub struct Aside {
    file: File,
    kinds: Vec<Kind>,
    /// The block that is being filled: bytes of each column.
    open: Vec<Vec<u8>>,
    filled: usize,
    /// Where each column of each block begins in the file.
    begins: Vec<u64>,
    end: u64,
    rows: usize,
}

impl Aside {
    /// Rows of these columns, in an empty file that can be read and written.
    pub fn new(file: File, columns: &[Column]) -> Self {
        Self {
            file,
            kinds: columns.iter().map(|column| column.kind).collect(),
            open: vec![Vec::new(); columns.len()],
            filled: 0,
            begins: Vec::new(),
            end: 0,
            rows: 0,
        }
    }

    /// Rows so far.
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// One more row.
    ///
    /// # Errors
    /// The file cannot be written, or a cell is not what its column holds.
    pub fn row<'a>(&mut self, cells: impl Iterator<Item = &'a str>) -> io::Result<()> {
        for ((kind, bytes), text) in self.kinds.iter().zip(&mut self.open).zip(cells) {
            let wrong = || Error::new(ErrorKind::InvalidData, format!("`{text}` is not a number"));
            match kind {
                Kind::Whole => {
                    let value: i64 = text.parse().map_err(|_| wrong())?;
                    bytes.extend(value.to_le_bytes());
                }
                // No cell holds a not-a-number: it stands for an empty one.
                Kind::Number if text.is_empty() => bytes.extend(f64::NAN.to_le_bytes()),
                Kind::Number => {
                    let value: f64 = text.parse().map_err(|_| wrong())?;
                    bytes.extend(value.to_le_bytes());
                }
                Kind::Text | Kind::Word => {
                    let length = u32::try_from(text.len()).map_err(Error::other)?;
                    bytes.extend(length.to_le_bytes());
                    bytes.extend(text.as_bytes());
                }
            }
        }
        (self.rows, self.filled) = (self.rows + 1, self.filled + 1);
        match self.filled {
            BLOCK => self.close(),
            _ => Ok(()),
        }
    }

    /// Puts the open block into the file.
    fn close(&mut self) -> io::Result<()> {
        if self.filled == 0 {
            return Ok(());
        }
        self.filled = 0;
        for bytes in &mut self.open {
            self.file.write_all(bytes)?;
            self.begins.push(self.end);
            self.end += bytes.len() as u64;
            bytes.clear();
        }
        Ok(())
    }

    /// Gives all cells of a column, block by block, to `each`.
    ///
    /// # Errors
    /// The file cannot be read or written, and those of `each`.
    pub fn column<E: From<Error>>(
        &mut self,
        column: usize,
        mut each: impl FnMut(Cells) -> Result<(), E>,
    ) -> Result<(), E> {
        self.close()?;
        let mut bytes = Vec::new();
        for at in (column..self.begins.len()).step_by(self.kinds.len()) {
            let begin = self.begins[at];
            let end = self.begins.get(at + 1).copied().unwrap_or(self.end);
            bytes.resize((end - begin) as usize, 0);
            self.file.seek(SeekFrom::Start(begin))?;
            self.file.read_exact(&mut bytes)?;
            each(cells(self.kinds[column], &bytes))?;
        }
        self.file.seek(SeekFrom::Start(self.end))?;
        Ok(())
    }

    /// Forgets all rows.
    ///
    /// # Errors
    /// The file cannot be cut.
    pub fn clear(&mut self) -> io::Result<()> {
        (self.rows, self.filled, self.end) = (0, 0, 0);
        self.begins.clear();
        self.open.iter_mut().for_each(Vec::clear);
        self.file.set_len(0)?;
        self.file.rewind()
    }
}

fn cells(kind: Kind, bytes: &[u8]) -> Cells {
    let (eights, _) = bytes.as_chunks::<8>();
    match kind {
        Kind::Whole => Cells::Whole(eights.iter().map(|b| i64::from_le_bytes(*b)).collect()),
        Kind::Number => {
            let all = eights.iter().map(|b| f64::from_le_bytes(*b));
            let there = all.clone().map(|value| i16::from(!value.is_nan()));
            Cells::Number(
                all.clone().filter(|v| !v.is_nan()).collect(),
                there.collect(),
            )
        }
        Kind::Text | Kind::Word => {
            let (mut texts, mut rest) = (Vec::new(), bytes);
            while let Some((length, after)) = rest.split_first_chunk::<4>() {
                let (text, after) = after.split_at(u32::from_le_bytes(*length) as usize);
                texts.push(text.to_vec());
                rest = after;
            }
            Cells::Text(texts)
        }
    }
}
