//! The answer as a Parquet file: the same numbers as the CSV file, units and meanings in the fields
//! of its Arrow schema, and as key-value metadata (`unit:NAME`, `about:NAME`) for other readers.

use crate::commands::sweep::arrow;
use crate::commands::sweep::aside::{Aside, Cells};
use crate::commands::sweep::columns::{Column, Kind};
use parquet::basic::{Compression, LogicalType, Repetition, Type as Physical};
use parquet::data_type::{ByteArray, ByteArrayType, DoubleType, Int64Type};
use parquet::errors::Result;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::{EnabledStatistics, WriterProperties};
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use parquet::schema::types::{Type, TypePtr};
use std::fs::File;
use std::io::Write;
use std::sync::Arc;

/// Rows of a row group at most: what the file says of each group stays in memory to its end.
const GROUP: usize = 1 << 20;
/// Bytes of a column's different values from which on they are written as they come.
const DICTIONARY: usize = 1 << 16;

/// Writes rows as they come.
pub struct ParquetRows<W: Write + Send> {
    out: SerializedFileWriter<W>,
    waiting: Aside,
}

impl<W: Write + Send> ParquetRows<W> {
    /// Begins a file; rows wait in the empty file `aside` for their group to be full.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn new(
        out: W,
        aside: File,
        columns: &[Column],
        further: &[(&str, String)],
    ) -> Result<Self> {
        let pair = |key: String, value: &str| KeyValue::new(key, value.to_string());
        let mut notes: Vec<KeyValue> = (further.iter())
            .map(|(key, value)| pair((*key).into(), value))
            .collect();
        notes.push(pair(arrow::KEY.into(), &arrow::note(columns, further)));
        for column in columns {
            notes.push(pair(format!("unit:{}", column.name), &column.unit));
            notes.push(pair(format!("about:{}", column.name), &column.about));
        }
        let properties = WriterProperties::builder()
            .set_created_by(concat!("falseair ", env!("CARGO_PKG_VERSION")).into())
            .set_compression(Compression::SNAPPY)
            .set_dictionary_page_size_limit(DICTIONARY)
            .set_statistics_enabled(EnabledStatistics::Chunk)
            .set_offset_index_disabled(true)
            .set_key_value_metadata(Some(notes))
            .build();
        Ok(Self {
            out: SerializedFileWriter::new(out, schema(columns)?, Arc::new(properties))?,
            waiting: Aside::new(aside, columns),
        })
    }

    /// One row.
    ///
    /// # Errors
    /// The file cannot be written, or a cell is not what its column holds.
    pub fn row<'a>(&mut self, cells: impl Iterator<Item = &'a str>) -> Result<()> {
        self.waiting.row(cells)?;
        match self.waiting.rows() {
            GROUP => self.flush(),
            _ => Ok(()),
        }
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
        if self.waiting.rows() == 0 {
            return Ok(());
        }
        let mut group = self.out.next_row_group()?;
        let mut number = 0;
        while let Some(mut column) = group.next_column()? {
            let write = |cells| write_cells(&mut column, cells);
            self.waiting.column(number, write)?;
            column.close()?;
            number += 1;
        }
        group.close()?;
        Ok(self.waiting.clear()?)
    }
}

fn write_cells(column: &mut SerializedColumnWriter<'_>, cells: Cells) -> Result<()> {
    match cells {
        Cells::Whole(values) => (column.typed::<Int64Type>()).write_batch(&values, None, None)?,
        Cells::Number(values, there) => {
            (column.typed::<DoubleType>()).write_batch(&values, Some(&there), None)?
        }
        Cells::Text(texts) => {
            let texts: Vec<ByteArray> = texts.into_iter().map(ByteArray::from).collect();
            (column.typed::<ByteArrayType>()).write_batch(&texts, None, None)?
        }
    };
    Ok(())
}

fn schema(columns: &[Column]) -> Result<TypePtr> {
    let fields = columns.iter().map(|column| {
        let (physical, repetition, logical) = match column.kind {
            Kind::Whole => (Physical::INT64, Repetition::REQUIRED, None),
            Kind::Number => (Physical::DOUBLE, Repetition::OPTIONAL, None),
            Kind::Text | Kind::Word => (
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
