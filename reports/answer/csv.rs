//! Comma-separated values.

use crate::answer::Trouble;
use ::csv::Writer;

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
        out.write_record(row).map_err(trouble)?;
    }
    let bytes = out.into_inner().map_err(trouble)?;
    String::from_utf8(bytes).map_err(trouble)
}

/// The shortest text that reads back the same; empty where there is no number.
pub fn number(value: impl Into<Option<f64>>) -> String {
    let value = value.into().filter(|value| value.is_finite());
    value.map_or(String::new(), |value| value.to_string())
}
