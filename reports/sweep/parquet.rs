//! The answer as a Parquet file: the same numbers as the CSV file, units and meanings
//! as key-value metadata (`unit:NAME`, `about:NAME`).

use super::columns::{Column, Kind};
use parquet::basic::{Compression, LogicalType, Repetition, Type as Physical};
use parquet::data_type::{ByteArray, ByteArrayType, DoubleType, Int64Type};
use parquet::errors::{ParquetError, Result};
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::types::{Type, TypePtr};
use std::io::Write;
use std::sync::Arc;

/// Values of a row group at most: what is held in memory before it is written.
const VALUES: usize = 500_000;

/// Writes rows as they come.
pub struct ParquetRows<W: Write + Send> {
    out: SerializedFileWriter<W>,
    columns: Vec<Column>,
    waiting: Vec<Cells>,
    rows: usize,
}

/// Values of a column that wait for their row group.
enum Cells {
    Whole(Vec<i64>),
    /// The values that are there, and for each row whether one is.
    Number(Vec<f64>, Vec<i16>),
    Text(Vec<ByteArray>),
}

impl<W: Write + Send> ParquetRows<W> {
    /// Begins a file.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn new(out: W, columns: &[Column], further: &[(&str, String)]) -> Result<Self> {
        let pair = |key: String, value: &str| KeyValue::new(key, value.to_string());
        let mut notes: Vec<KeyValue> = (further.iter())
            .map(|(key, value)| pair((*key).into(), value))
            .collect();
        for column in columns {
            notes.push(pair(format!("unit:{}", column.name), &column.unit));
            notes.push(pair(format!("about:{}", column.name), &column.about));
        }
        let properties = WriterProperties::builder()
            .set_created_by(concat!("falseair ", env!("CARGO_PKG_VERSION")).into())
            .set_compression(Compression::SNAPPY)
            .set_key_value_metadata(Some(notes))
            .build();
        Ok(Self {
            out: SerializedFileWriter::new(out, schema(columns)?, Arc::new(properties))?,
            columns: columns.to_vec(),
            waiting: columns.iter().map(empty).collect(),
            rows: 0,
        })
    }

    /// One row.
    ///
    /// # Errors
    /// The file cannot be written, or a cell is not what its column holds.
    pub fn row<'a>(&mut self, cells: impl Iterator<Item = &'a str>) -> Result<()> {
        for (waiting, text) in self.waiting.iter_mut().zip(cells) {
            let wrong = |_| ParquetError::General(format!("`{text}` is not a number"));
            match waiting {
                Cells::Whole(values) => {
                    let value = text.parse::<i64>();
                    values.push(value.map_err(|_| wrong(()))?);
                }
                Cells::Number(_, there) if text.is_empty() => there.push(0),
                Cells::Number(values, there) => {
                    values.push(text.parse::<f64>().map_err(|_| wrong(()))?);
                    there.push(1);
                }
                Cells::Text(values) => values.push(text.into()),
            }
        }
        self.rows += 1;
        if self.rows * self.columns.len() >= VALUES {
            self.flush()?;
        }
        Ok(())
    }

    /// Ends the file and gives back what it was written to.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn finish(mut self) -> Result<W> {
        self.flush()?;
        self.out.into_inner()
    }

    fn flush(&mut self) -> Result<()> {
        if self.rows == 0 {
            return Ok(());
        }
        self.rows = 0;
        let mut group = self.out.next_row_group()?;
        for (waiting, column) in self.waiting.iter_mut().zip(&self.columns) {
            write_column(&mut group, &std::mem::replace(waiting, empty(column)))?;
        }
        group.close().map(|_| ())
    }
}

fn empty(column: &Column) -> Cells {
    match column.kind {
        Kind::Whole => Cells::Whole(Vec::new()),
        Kind::Number => Cells::Number(Vec::new(), Vec::new()),
        Kind::Text => Cells::Text(Vec::new()),
    }
}

fn write_column<W: Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    cells: &Cells,
) -> Result<()> {
    let Some(mut column) = group.next_column()? else {
        return Err(ParquetError::General("more columns than the schema".into()));
    };
    match cells {
        Cells::Whole(values) => column
            .typed::<Int64Type>()
            .write_batch(values, None, None)?,
        Cells::Number(values, there) => {
            (column.typed::<DoubleType>()).write_batch(values, Some(there), None)?
        }
        Cells::Text(values) => column
            .typed::<ByteArrayType>()
            .write_batch(values, None, None)?,
    };
    column.close()
}

fn schema(columns: &[Column]) -> Result<TypePtr> {
    let fields = columns.iter().map(|column| {
        let (physical, repetition, logical) = match column.kind {
            Kind::Whole => (Physical::INT64, Repetition::REQUIRED, None),
            Kind::Number => (Physical::DOUBLE, Repetition::OPTIONAL, None),
            Kind::Text => (
                Physical::BYTE_ARRAY,
                Repetition::REQUIRED,
                Some(LogicalType::String),
            ),
        };
        let field = Type::primitive_type_builder(&column.name, physical)
            .with_repetition(repetition)
            .with_logical_type(logical)
            .build()?;
        Ok(Arc::new(field))
    });
    let fields = fields.collect::<Result<Vec<_>>>()?;
    let schema = Type::group_type_builder("falseair").with_fields(fields);
    schema.build().map(Arc::new)
}
