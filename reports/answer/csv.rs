//! Comma-separated values.

use crate::answer::Trouble;
use ::csv::Writer;
use std::borrow::Cow;

/// A head and rows as text, each row written as it comes.
///
/// # Errors
/// A row of another length than the head.
pub fn rows<H, R>(
    head: impl IntoIterator<Item = H>,
    rows: impl IntoIterator<Item = R>,
) -> Result<String, Trouble>
where
    H: AsRef<[u8]>,
    R: IntoIterator<Item: AsRef<[u8]>>,
{
    fn trouble(e: impl ToString) -> Trouble {
        Trouble::Other(e.to_string())
    }
    let mut out = Writer::from_writer(Vec::new());
    out.write_record(head).map_err(trouble)?;
    for row in rows {
        for cell in row {
            out.write_field(inert(cell.as_ref())).map_err(trouble)?;
        }
        out.write_record(None::<&[u8]>).map_err(trouble)?;
    }
    let bytes = out.into_inner().map_err(trouble)?;
    String::from_utf8(bytes).map_err(trouble)
}

/// A cell that no spreadsheet takes for a formula: what begins as one and is no number stands
/// behind an apostrophe.
pub fn inert(cell: &[u8]) -> Cow<'_, [u8]> {
    let begins = cell
        .first()
        .is_some_and(|first| b"=+-@\t\r".contains(first));
    let number = || std::str::from_utf8(cell).is_ok_and(|text| text.parse::<f64>().is_ok());
    match begins && !number() {
        true => [b"'", cell].concat().into(),
        false => cell.into(),
    }
}

/// The shortest text that reads back the same; empty where there is no number.
pub fn number(value: impl Into<Option<f64>>) -> String {
    let value = value.into().filter(|value| value.is_finite());
    value.map_or(String::new(), |value| value.to_string())
}
