"""Reads the results of a sweep back with pyarrow (an outside reader of Parquet) and
holds them against the CSV file and the manifest: same rows, same numbers to the bit,
same units.

    python read_parquet.py FOLDER
"""

import csv
import json
import math
import sys
from pathlib import Path

import pyarrow
import pyarrow.parquet as parquet


def main(folder: Path) -> None:
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    file = parquet.ParquetFile(folder / "results.parquet")
    table = file.read()
    with open(folder / "results.csv", newline="", encoding="utf-8") as text:
        head, *rows = csv.reader(text)

    assert manifest["complete"]
    assert table.num_rows == len(rows) == manifest["rows"], (table.num_rows, len(rows))
    names = [column["name"] for column in manifest["columns"]]
    assert table.column_names == head == names
    assert file.metadata.created_by == f"falseair {manifest['version']}"

    notes = {k.decode(): v.decode() for k, v in file.metadata.metadata.items()}
    assert notes["input_sha256"] == manifest["input_sha256"]
    kinds = {"whole": pyarrow.int64(), "number": pyarrow.float64(), "text": pyarrow.string()}
    compared = 0
    for place, column in enumerate(manifest["columns"]):
        name = column["name"]
        assert notes[f"unit:{name}"] == column["unit"], name
        assert table.schema.field(name).type == kinds[column["kind"]], name
        for row, value in zip(rows, table.column(name).to_pylist()):
            cell = row[place]
            if column["kind"] == "text":
                same = value == cell
            elif cell == "":
                same = value is None
            else:
                same = value == float(cell) and math.isfinite(value)
            assert same, (name, cell, value)
            compared += 1

    answers = table.column("answer").to_pylist()
    assert answers.count("ok") == manifest["answered"]
    for kind, count in manifest["failures"].items():
        assert answers.count(kind) == count, kind
    print(f"pyarrow {pyarrow.__version__}: {table.num_rows} rows, {compared} cells equal")


main(Path(sys.argv[1]))
