//! What Arrow readers find in a Parquet file beside its own schema: type, unit and meaning of each
//! column. An Arrow schema message (the format's own Schema.fbs and Message.fbs) in FlatBuffers, base64;
//! so little of both is needed that a crate for each would cost more than it saves.

use crate::commands::sweep::columns::{Column, Kind};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;

/// Its key in the file's metadata.
pub const KEY: &str = "ARROW:schema";

/// What stands before a message: that it is one, then its length.
const CONTINUED: [u8; 4] = [0xFF; 4];

/// A field of a FlatBuffers table.
enum Part<'a> {
    Absent,
    Byte(u8),
    Short(i16),
    Int(i32),
    Long(i64),
    Text(&'a str),
    Table(Vec<Part<'a>>),
    Tables(Vec<Vec<Part<'a>>>),
}

impl Part<'_> {
    fn size(&self) -> usize {
        match self {
            Part::Absent => 0,
            Part::Byte(_) => 1,
            Part::Short(_) => 2,
            Part::Int(_) | Part::Text(_) | Part::Table(_) | Part::Tables(_) => 4,
            Part::Long(_) => 8,
        }
    }
}

/// The note on these columns, and what else is known of the table.
pub fn note(columns: &[Column], further: &[(&str, String)]) -> String {
    // Version 5 of the metadata; the header is a schema, little-endian; no body.
    let fields = Part::Tables(columns.iter().map(field).collect());
    let known = further.iter().map(|(key, value)| pair(key, value));
    let known = Part::Tables(known.collect());
    let schema = Part::Table(vec![Part::Short(0), fields, known]);
    let message = [Part::Short(4), Part::Byte(1), schema, Part::Long(0)];
    let mut out = vec![0; 4];
    let root = write_table(&mut out, &message);
    out[..4].copy_from_slice(&(root as u32).to_le_bytes());
    pad(&mut out, 8);
    let length = (out.len() as u32).to_le_bytes();
    STANDARD.encode([&CONTINUED[..], &length, &out].concat())
}

fn field(column: &Column) -> Vec<Part<'_>> {
    let whole = |bits| Part::Table(vec![Part::Int(bits), Part::Byte(1)]);
    let (nullable, kind, of, dictionary) = match column.kind {
        Kind::Whole => (0, 2, whole(64), Part::Absent),
        Kind::Number => (1, 3, Part::Table(vec![Part::Short(2)]), Part::Absent),
        Kind::Text => (0, 5, Part::Table(vec![]), Part::Absent),
        // Categories: texts behind 32-bit numbers.
        Kind::Word => {
            let categories = vec![Part::Long(0), whole(32)];
            (0, 5, Part::Table(vec![]), Part::Table(categories))
        }
    };
    vec![
        Part::Text(&column.name),
        Part::Byte(nullable),
        Part::Byte(kind),
        of,
        dictionary,
        Part::Tables(vec![]),
        Part::Tables(vec![
            pair("unit", &column.unit),
            pair("about", &column.about),
        ]),
    ]
}

fn pair<'a>(key: &'a str, value: &'a str) -> Vec<Part<'a>> {
    vec![Part::Text(key), Part::Text(value)]
}

fn pad(out: &mut Vec<u8>, to: usize) {
    out.resize(out.len().next_multiple_of(to), 0);
}

/// Writes a table behind its list of places, and what it refers to behind it; where it begins.
fn write_table(out: &mut Vec<u8>, parts: &[Part]) -> usize {
    let mut end = 4;
    let places: Vec<usize> = (parts.iter())
        .map(|part| match part.size() {
            0 => 0,
            size => {
                let place = usize::next_multiple_of(end, size);
                end = place + size;
                place
            }
        })
        .collect();
    pad(out, 2);
    let list = out.len();
    for number in [4 + 2 * parts.len(), end].iter().chain(&places) {
        out.extend((*number as u16).to_le_bytes());
    }
    pad(out, 8);
    let table = out.len();
    out.extend(((table - list) as i32).to_le_bytes());
    out.resize(table + end, 0);
    for (part, place) in parts.iter().zip(places) {
        let at = table + place;
        match part {
            Part::Absent => {}
            Part::Byte(value) => out[at] = *value,
            Part::Short(value) => out[at..at + 2].copy_from_slice(&value.to_le_bytes()),
            Part::Int(value) => out[at..at + 4].copy_from_slice(&value.to_le_bytes()),
            Part::Long(value) => out[at..at + 8].copy_from_slice(&value.to_le_bytes()),
            Part::Text(text) => {
                let to = counted(out, text.len());
                out.extend(text.as_bytes());
                out.push(0);
                refer(out, at, to);
            }
            Part::Table(inner) => {
                let to = write_table(out, inner);
                refer(out, at, to);
            }
            Part::Tables(all) => {
                let to = counted(out, all.len());
                out.resize(to + 4 + 4 * all.len(), 0);
                for (i, inner) in all.iter().enumerate() {
                    let table = write_table(out, inner);
                    refer(out, to + 4 + 4 * i, table);
                }
                refer(out, at, to);
            }
        }
    }
    table
}

/// Begins a list of so many.
fn counted(out: &mut Vec<u8>, count: usize) -> usize {
    pad(out, 4);
    let place = out.len();
    out.extend((count as u32).to_le_bytes());
    place
}

/// Makes the four bytes `at` lead `to`.
fn refer(out: &mut [u8], at: usize, to: usize) {
    out[at..at + 4].copy_from_slice(&((to - at) as u32).to_le_bytes());
}

/// Name and unit of the fields whose metadata name a unit; nothing of what is no such note.
pub fn units(note: &str) -> Vec<(String, String)> {
    let Ok(bytes) = STANDARD.decode(note.trim()) else {
        return Vec::new();
    };
    let message = match bytes.strip_prefix(&CONTINUED) {
        Some(rest) => rest.get(4..),
        None => bytes.get(4..),
    };
    message
        .and_then(|message| found(&Bytes(message)))
        .unwrap_or_default()
}

fn found(bytes: &Bytes) -> Option<Vec<(String, String)>> {
    let message = bytes.to(0)?;
    let schema = bytes.to(bytes.part(message, 2)?)?;
    let mut all = Vec::new();
    for field in bytes.tables(schema, 1)? {
        let name = bytes.text(field, 0)?;
        for pair in bytes.tables(field, 6).unwrap_or_default() {
            if bytes.text(pair, 0)? == "unit" {
                all.push((name.clone(), bytes.text(pair, 1)?));
            }
        }
    }
    Some(all)
}

/// FlatBuffers, read with every place checked.
struct Bytes<'a>(&'a [u8]);

impl Bytes<'_> {
    fn number(&self, at: usize) -> Option<usize> {
        let bytes = self.0.get(at..)?.first_chunk()?;
        Some(u32::from_le_bytes(*bytes) as usize)
    }

    fn short(&self, at: usize) -> Option<usize> {
        let bytes = self.0.get(at..)?.first_chunk()?;
        Some(u16::from_le_bytes(*bytes) as usize)
    }

    /// Where the reference at a place leads.
    fn to(&self, at: usize) -> Option<usize> {
        at.checked_add(self.number(at)?)
    }

    /// Where a table has its part of this number, if it has it.
    fn part(&self, table: usize, number: usize) -> Option<usize> {
        let back = self.0.get(table..)?.first_chunk()?;
        let list = table.checked_add_signed(-(i32::from_le_bytes(*back) as isize))?;
        let at = 4 + 2 * number;
        match self.short(list)? {
            length if at + 2 <= length => {
                let place = self.short(list + at)?;
                (place > 0).then_some(table + place)
            }
            _ => None,
        }
    }

    fn text(&self, table: usize, number: usize) -> Option<String> {
        let at = self.to(self.part(table, number)?)?;
        let text = self.0.get(at + 4..)?.get(..self.number(at)?)?;
        String::from_utf8(text.to_vec()).ok()
    }

    fn tables(&self, table: usize, number: usize) -> Option<Vec<usize>> {
        let at = self.to(self.part(table, number)?)?;
        // A count that is larger than the bytes is none.
        let count = self.number(at).filter(|count| *count <= self.0.len() / 4)?;
        (0..count).map(|i| self.to(at + 4 + 4 * i)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_read_back_and_no_bytes_are_too_odd() {
        let column = |name: &str, unit: &str, kind| Column {
            name: name.into(),
            unit: unit.into(),
            about: "what it is".into(),
            kind,
        };
        let columns = [
            column("case", "", Kind::Whole),
            column("leak.0.place", "", Kind::Word),
            column("boost", "kPa", Kind::Number),
            column("reason", "", Kind::Text),
        ];
        let note = note(&columns, &[("title", "odd".into())]);
        let wanted = columns.map(|c| (c.name, c.unit));
        assert_eq!(units(&note), wanted);
        let bytes = STANDARD.decode(&note).unwrap();
        for i in 0..bytes.len() {
            let mut odd = bytes.clone();
            odd[i] ^= 0xA5;
            units(&STANDARD.encode(&odd));
            units(&STANDARD.encode(&bytes[..i]));
        }
    }
}
