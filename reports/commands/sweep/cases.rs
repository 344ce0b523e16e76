//! A table of cases from a file, CSV or Parquet: its head are keys as axes have them, with units.

use crate::commands::sweep::arrow;
use crate::input::{self, InputError, read_at_most};
use ::csv::{ByteRecord, ReaderBuilder};
use ::parquet::file::metadata::FileMetaData;
use ::parquet::file::reader::{FileReader, SerializedFileReader};
use ::parquet::record::Field;
use bytes::Bytes;
use sim::spelling::quote;
use sim::study::asking::sweep::{CaseTable, Misfit};
use std::collections::HashMap;
use std::io::ErrorKind;
use std::ops::Range;
use std::path::{Path, PathBuf};

/// Largest file, bytes: it is held in memory while it is read.
const LONGEST: u64 = 1 << 30;

/// A table as it was read.
pub struct Cases {
    /// What it holds.
    pub table: CaseTable,
    /// All bytes of its file.
    pub bytes: Bytes,
    heads: Heads,
}

/// Where the head of each column stands, to point at it.
pub struct Heads {
    path: PathBuf,
    /// The line of a CSV file's head; empty for Parquet.
    line: String,
    columns: Vec<(String, Range<usize>)>,
}

impl Cases {
    /// Reads a file.
    ///
    /// # Errors
    /// It cannot be read, is no table, or has a head or a cell that cannot be used; with its place.
    pub fn read(path: &Path) -> Result<Self, InputError> {
        let bytes = read_at_most(input::open(path)?, LONGEST).map_err(|e| {
            InputError::new(
                path,
                match e.kind() {
                    ErrorKind::FileTooLarge => "the file is larger than 1 GiB".into(),
                    _ => format!("the file could not be read: {e}"),
                },
            )
        })?;
        let bytes = Bytes::from(bytes);
        let (table, heads) = match &bytes[..] {
            [b'P', b'A', b'R', b'1', ..] => parquet(path, bytes.clone())?,
            [b'A', b'R', b'R', b'O', b'W', b'1', ..] => {
                let message = "this is an Arrow file\nwrite the table as Parquet or CSV";
                return Err(InputError::new(path, message));
            }
            _ => csv(path, &bytes)?,
        };
        Ok(Self {
            table,
            bytes,
            heads,
        })
    }

    /// The table, and where its heads stand.
    pub fn parts(self) -> (CaseTable, Heads) {
        (self.table, self.heads)
    }
}

impl Heads {
    /// A fault of a column, found when the study was made of it.
    pub fn error(&self, column: usize, message: &str) -> InputError {
        let error = InputError::new(&self.path, message);
        match self.columns.get(column) {
            None => error,
            Some((key, _)) if self.line.is_empty() => error.at("", None, key),
            Some((key, span)) => error.at(&self.line, Some(span.clone()), key),
        }
    }
}

/// `leak.0.round_hole.diameter [mm]`: the key and the unit.
fn head(text: &str) -> (&str, &str) {
    let text = text.trim();
    let unit = |open, close| text.strip_suffix(close).and_then(|t| t.rsplit_once(open));
    match unit('[', ']').or_else(|| unit('(', ')')) {
        Some((key, unit)) => (key.trim(), unit.trim()),
        None => (text, ""),
    }
}

fn csv(path: &Path, bytes: &[u8]) -> Result<(CaseTable, Heads), InputError> {
    let error = |message: String| InputError::new(path, message);
    let text = std::str::from_utf8(bytes).map_err(|_| {
        error("the file is neither UTF-8 text nor Parquet\nsave it as CSV in UTF-8".into())
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let first = text.trim_start().lines().next().unwrap_or_default();
    let often = |separator: &u8| first.bytes().filter(|byte| byte == separator).count();
    // Of equals the last: a comma stands in no key.
    let separator = [b'\t', b';', b','].into_iter().max_by_key(often);
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator.unwrap_or(b','))
        .from_reader(text.as_bytes());
    let mut row = ByteRecord::new();
    let mut table: Option<(CaseTable, Heads)> = None;
    while (reader.read_byte_record(&mut row)).map_err(|e| error(e.to_string()))? {
        let cells = (row.iter()).map(|cell| std::str::from_utf8(cell).unwrap_or_default());
        let taken = match &mut table {
            None => {
                let heads: Vec<(&str, &str)> = cells.map(head).collect();
                CaseTable::new(heads.iter().copied()).map(|begun| {
                    let keys = heads.iter().enumerate();
                    let columns =
                        keys.map(|(i, (key, _))| ((*key).to_string(), place(text, &row, i)));
                    let heads = Heads {
                        path: path.into(),
                        line: text.into(),
                        columns: columns.collect(),
                    };
                    table = Some((begun, heads));
                })
            }
            Some((table, _)) => table.push(cells.collect::<Vec<_>>().into_iter()),
        };
        taken.map_err(|misfit: Misfit| {
            let span = place(text, &row, misfit.column);
            error(misfit.to_string()).at(text, Some(span), &misfit.key)
        })?;
    }
    let (table, mut heads) = table.ok_or_else(|| error("the file is empty".into()))?;
    let end = heads.columns.last().map_or(0, |(_, span)| span.end);
    heads.line.truncate(end);
    Ok((table, heads))
}

/// Where a cell stands in the text; its whole line where cells are quoted.
fn place(text: &str, row: &ByteRecord, cell: usize) -> Range<usize> {
    let begin = row
        .position()
        .map_or(0, |at| at.byte() as usize)
        .min(text.len());
    let begin = text.len() - text[begin..].trim_start_matches(['\n', '\r']).len();
    let line = text[begin..].lines().next().unwrap_or_default();
    let whole = begin..begin + line.len();
    match row.range(cell) {
        Some(span) if !line.contains('"') => begin + span.start + cell..begin + span.end + cell,
        _ => whole,
    }
}

fn parquet(path: &Path, bytes: Bytes) -> Result<(CaseTable, Heads), InputError> {
    let error = |why: ::parquet::errors::ParquetError| {
        InputError::new(
            path,
            format!(
                "the Parquet file could not be read: {why}\nit may be without compression or with \
                 Snappy, its columns plain numbers and texts"
            ),
        )
    };
    let reader = SerializedFileReader::new(bytes).map_err(error)?;
    let about = reader.metadata().file_metadata();
    let units = units(about);
    let columns = about.schema().get_fields();
    let names: Vec<String> = columns
        .iter()
        .map(|field| field.name().to_string())
        .collect();
    let heads: Vec<(&str, &str)> = (names.iter())
        .map(|name| match head(name) {
            (key, "") => (key, units.get(name).map_or("", String::as_str)),
            both => both,
        })
        .collect();
    let misfit = |row: Option<u64>, misfit: Misfit| {
        let row = row.map_or(String::new(), |row| format!("row {row}: "));
        let error = InputError::new(path, format!("{row}{misfit}"));
        let name = names.get(misfit.column).map_or("", String::as_str);
        error.at("", None, &format!("column {}, {name}", misfit.column + 1))
    };
    let mut table = CaseTable::new(heads.iter().copied()).map_err(|e| misfit(None, e))?;
    let rows = reader.get_row_iter(None).map_err(error)?;
    for (row, number) in rows.zip(1..) {
        let row = row.map_err(error)?;
        let cells: Result<Vec<String>, InputError> = (row.get_column_iter())
            .map(|(name, field)| {
                cell(field).ok_or_else(|| {
                    let message = format!(
                        "row {number}: {} is neither a number nor a text",
                        quote(&field.to_string())
                    );
                    InputError::new(path, message).at("", None, name)
                })
            })
            .collect();
        let cells = cells?;
        let taken = table.push(cells.iter().map(String::as_str));
        taken.map_err(|e| misfit(Some(number), e))?;
    }
    let columns = heads.iter().map(|(key, _)| ((*key).to_string(), 0..0));
    let heads = Heads {
        path: path.into(),
        line: String::new(),
        columns: columns.collect(),
    };
    Ok((table, heads))
}

/// A value as one would type it: the shortest number that reads back the same.
fn cell(field: &Field) -> Option<String> {
    Some(match field {
        Field::Null => String::new(),
        Field::Byte(value) => value.to_string(),
        Field::Short(value) => value.to_string(),
        Field::Int(value) => value.to_string(),
        Field::Long(value) => value.to_string(),
        Field::UByte(value) => value.to_string(),
        Field::UShort(value) => value.to_string(),
        Field::UInt(value) => value.to_string(),
        Field::ULong(value) => value.to_string(),
        Field::Float(value) => value.to_string(),
        Field::Double(value) => value.to_string(),
        Field::Str(text) => text.clone(),
        _ => return None,
    })
}

/// The units of columns by name: from the fields' metadata, or as our own results note them.
fn units(about: &FileMetaData) -> HashMap<String, String> {
    let mut all = HashMap::new();
    for note in about.key_value_metadata().into_iter().flatten() {
        let Some(value) = &note.value else { continue };
        if let Some(name) = note.key.strip_prefix("unit:") {
            all.insert(name.into(), value.clone());
        }
        if note.key == arrow::KEY {
            all.extend(arrow::units(value));
        }
    }
    all
}
