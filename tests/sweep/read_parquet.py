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
import pyarrow.compute
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
    own = {k.decode(): v.decode() for k, v in table.schema.metadata.items()}
    for key, value in {
        "title": manifest["title"],
        "falseair_version": manifest["version"],
        "input_sha256": manifest["input_sha256"],
        "sampling": manifest["sampling"],
        "seed": str(manifest["seed"]),
        "study": (folder / "study.toml").read_text(encoding="utf-8"),
        "vehicle": (folder / "vehicle.toml").read_text(encoding="utf-8"),
    }.items():
        assert notes[key] == own[key] == value, key
    kinds = {"whole": pyarrow.int64(), "number": pyarrow.float64(), "text": pyarrow.string()}
    kinds["word"] = pyarrow.dictionary(pyarrow.int32(), pyarrow.string())
    compared = 0
    for place, column in enumerate(manifest["columns"]):
        name = column["name"]
        assert notes[f"unit:{name}"] == column["unit"], name
        field = table.schema.field(name)
        about = {k.decode(): v.decode() for k, v in field.metadata.items()}
        assert about == {"unit": column["unit"], "about": column["about"]}, (name, about)
        statistics = file.metadata.row_group(0).column(place).statistics
        here = pyarrow.compute.drop_null(table.column(name))
        if len(here) > 0:
            if column["kind"] == "word":
                here = here.cast(pyarrow.string())
            least = pyarrow.compute.min_max(here).as_py()
            # Of a long text the file keeps the first letters.
            short = column["kind"] == "text" and len(least["max"]) > 64
            same = (statistics.min, statistics.max) == (least["min"], least["max"])
            assert same or short and statistics.min <= least["min"], name
        assert table.schema.field(name).type == kinds[column["kind"]], name
        for row, value in zip(rows, table.column(name).to_pylist()):
            cell = row[place]
            if column["kind"] in ("text", "word"):
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
