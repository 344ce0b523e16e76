//! Cases from a table: a column for each thing that varies, a row for each case.

use super::key::{KeyError, Target, Value};
use super::{Axis, MOST_CASES};
use crate::spelling::visible;
use crate::units::convert;
use std::fmt;

/// A table of cases while it is read.
#[derive(Clone, Debug)]
pub struct CaseTable {
    columns: Vec<Column>,
    rows: u64,
}

#[derive(Clone, Debug)]
struct Column {
    key: String,
    target: Target,
    /// What stands behind each plain number of the column; empty where cells have their own unit.
    unit: String,
    numbers: Vec<f64>,
    words: Vec<Value>,
}

/// A head or a cell that cannot be used.
#[derive(Clone, Debug, PartialEq)]
pub struct Misfit {
    /// Number of its column, from 0; that of the first where it is the whole row.
    pub column: usize,
    /// The key of the column.
    pub key: String,
    why: Why,
}

#[derive(Clone, Debug, PartialEq)]
enum Why {
    Key(KeyError),
    Shape,
    Twice,
    Unit(String),
    Empty,
    Cells(usize, usize),
    NoColumn,
    TooMany,
}

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match &self.why {
            Why::Key(error) => error.fmt(f),
            Why::Shape => f.write_str(
                "a table has no shapes: let this one vary in the study, as an `[[axis]]` with \
                 `shapes`",
            ),
            Why::Twice => f.write_str("two columns have this key"),
            Why::Unit(why) => f.write_str(why),
            Why::Empty => f.write_str("a case has a value in every column; this cell is empty"),
            Why::Cells(found, wanted) => {
                write!(f, "a row of {found} cells, where the head has {wanted}")
            }
            Why::NoColumn => f.write_str("the table has no columns"),
            Why::TooMany => write!(f, "the table has more than {MOST_CASES} rows"),
        }
    }
}

impl std::error::Error for Misfit {}

impl Column {
    /// Reads a head; `number` counts columns from 0.
    fn headed(number: usize, key: &str, unit: &str) -> Result<Self, Misfit> {
        let misfit = |why| Misfit {
            column: number,
            key: visible(key),
            why,
        };
        let target = Target::of(key).map_err(|e| misfit(Why::Key(e)))?;
        match &target {
            Target::Shape(_) => return Err(misfit(Why::Shape)),
            Target::Quantity(field) if !unit.is_empty() => {
                let known = convert(1.0, unit, field.dimension);
                known.map_err(|e| misfit(Why::Unit(e.to_string())))?;
            }
            Target::Quantity(_) => {}
            _ if unit.is_empty() => {}
            _ => return Err(misfit(Why::Unit("words have no unit".into()))),
        }
        Ok(Self {
            key: key.into(),
            target,
            unit: unit.into(),
            numbers: Vec::new(),
            words: Vec::new(),
        })
    }

    fn push(&mut self, cell: &str) -> Result<(), Why> {
        let cell = cell.trim();
        if cell.is_empty() {
            return Err(Why::Empty);
        }
        let read = match self.unit.as_str() {
            "" => self.target.read(cell),
            unit => self.target.read(&format!("{cell} {unit}")),
        };
        match read.map_err(Why::Key)? {
            Value::Number(number) => self.numbers.push(number),
            word => self.words.push(word),
        }
        Ok(())
    }
}

impl CaseTable {
    /// An empty table with these columns, each a key as an axis has it and a unit: that of the
    /// column's plain numbers, or nothing where each cell has its own or none.
    ///
    /// # Errors
    /// A key that names nothing that can vary, or twice the same; a unit that is none of the key's.
    pub fn new<'a>(heads: impl IntoIterator<Item = (&'a str, &'a str)>) -> Result<Self, Misfit> {
        let mut columns: Vec<Column> = Vec::new();
        for (i, (key, unit)) in heads.into_iter().enumerate() {
            let column = Column::headed(i, key, unit)?;
            if columns.iter().any(|before| before.key == column.key) {
                let (column, key) = (i, column.key);
                let why = Why::Twice;
                return Err(Misfit { column, key, why });
            }
            columns.push(column);
        }
        if columns.is_empty() {
            let (column, key, why) = (0, String::new(), Why::NoColumn);
            return Err(Misfit { column, key, why });
        }
        Ok(Self { columns, rows: 0 })
    }

    /// Takes one more case, a cell a column as it stands in a file: `1.5`, `1.5 mm`, `cold_pipe`.
    ///
    /// # Errors
    /// Too few or too many cells; a cell that is empty, no quantity of its key, or out of its range.
    /// The table is of no use after it.
    pub fn push<'a>(
        &mut self,
        cells: impl ExactSizeIterator<Item = &'a str>,
    ) -> Result<(), Misfit> {
        let misfit = |column: usize, key: &str, why| Misfit {
            column,
            key: key.into(),
            why,
        };
        if cells.len() != self.columns.len() {
            return Err(misfit(0, "", Why::Cells(cells.len(), self.columns.len())));
        }
        if self.rows == MOST_CASES {
            return Err(misfit(0, "", Why::TooMany));
        }
        for (i, (column, cell)) in self.columns.iter_mut().zip(cells).enumerate() {
            let taken = column.push(cell);
            taken.map_err(|why| misfit(i, &column.key, why))?;
        }
        self.rows += 1;
        Ok(())
    }

    /// Number of cases.
    pub fn rows(&self) -> u64 {
        self.rows
    }

    /// The columns as what varies together.
    pub(super) fn into_axes(self) -> Vec<Axis> {
        let axes = self.columns.into_iter().map(|column| {
            let unit = Some(column.unit).filter(|unit| !unit.is_empty());
            Axis::of_column(
                column.key,
                column.target,
                unit,
                column.numbers,
                column.words,
            )
        });
        axes.collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_read_in_the_unit_of_their_head_and_what_is_wrong_is_said() {
        let heads = [("leak.0.round_hole.diameter", "mm"), ("leak.0.place", "")];
        let mut table = CaseTable::new(heads).unwrap();
        table.push(["1.5", "cold_pipe"].into_iter()).unwrap();
        let said = table.push(["1.5", "cold_pip"].into_iter()).unwrap_err();
        assert_eq!(said.column, 1);
        assert!(
            said.to_string().contains("did you mean `cold_pipe`?"),
            "{said}"
        );
        let axes = table.into_axes();
        assert_eq!(axes[0].value(0), Value::Number(1.5e-3));

        let wrong = |heads: &[(&'static str, &'static str)]| {
            CaseTable::new(heads.iter().copied())
                .unwrap_err()
                .to_string()
        };
        assert!(wrong(&[("leak.0.round_hole.diamter", "mm")]).contains("`diameter`?"));
        assert!(wrong(&[("leak.0.round_hole.diameter", "kg")]).contains("kg"));
        assert!(wrong(&[("leak.0.shape", "")]).contains("no shapes"));
        assert!(wrong(&[("trims", ""), ("trims", "")]).contains("two columns"));
        assert!(wrong(&[]).contains("no columns"));
    }
}
