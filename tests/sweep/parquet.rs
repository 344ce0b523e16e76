//! The Parquet file, read back.

use super::*;
use ::parquet::file::reader::{FileReader, SerializedFileReader};
use ::parquet::record::Field;

#[test]
fn the_parquet_file_holds_the_numbers_and_units_of_the_csv_file() {
    let folder = scratch("parquet");
    let fails = CRUISE.replace("45 N m", "900 N m");
    let out = folder.join("out");
    sweep(
        &study(&folder, &format!("{SMALL}{CRUISE}{fails}")),
        &out,
        &[],
    );
    let reader = SerializedFileReader::new(fs::File::open(out.join("results.parquet")).unwrap());
    let reader = reader.unwrap();
    let about = reader.metadata().file_metadata();
    let by = format!("falseair {}", env!("CARGO_PKG_VERSION"));
    assert_eq!(about.created_by(), Some(by.as_str()));
    let notes = about.key_value_metadata().unwrap();
    let note = |key: &str| {
        notes
            .iter()
            .find(|n| n.key == key)
            .unwrap()
            .value
            .clone()
            .unwrap()
    };
    assert_eq!(note("unit:boost_kpa"), "kPa");
    assert_eq!(note("unit:leak.0.round_hole.diameter [mm]"), "mm");
    assert_eq!(note("unit:ambient.temperature [degC]"), "degC");

    let csv = rows(&out);
    let mut count = 0;
    for (row, wanted) in reader.get_row_iter(None).unwrap().zip(&csv) {
        count += 1;
        for (name, field) in row.unwrap().get_column_iter() {
            let cell = &wanted[name];
            match field {
                Field::Null => assert_eq!(cell, ""),
                Field::Double(value) => assert_eq!(*value, cell.parse::<f64>().unwrap(), "{name}"),
                Field::Long(value) => assert_eq!(value.to_string(), *cell),
                Field::Str(value) => assert_eq!(value, cell),
                other => panic!("{name}: {other}"),
            }
        }
    }
    assert_eq!((count, csv.len()), (128, 128));
    assert!(csv.iter().any(|row| row["answer"] == "unreachable"));
}
