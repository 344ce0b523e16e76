"""A table of cases that pyarrow writes, units in the metadata of its fields and words as
categories, comes to the same results as the same table in CSV.

    python cases_parquet.py FALSEAIR FOLDER
"""

import subprocess
import sys
from pathlib import Path

import pyarrow
import pyarrow.parquet as parquet

STUDY = """
title = "a table of cases"
vehicle = "{car}"
[[leak]]
place = "cold_pipe"
round_hole = {{ diameter = "1 mm" }}
[[point]]
name = "cruise"
speed = "2500 rpm"
torque = "45 N m"
"""


def main(program: str, folder: Path) -> None:
    folder.mkdir(parents=True)
    car = Path("scenarios/vehicles/brindle-16.toml").resolve()
    (folder / "study.toml").write_text(STUDY.format(car=car), encoding="utf-8")
    units = {"leak.0.round_hole.diameter": "mm", "leak.0.place": "", "ambient.temperature": "degC"}
    columns = [
        pyarrow.array([0.1 + 0.2, 2.0, 1 / 3]),
        pyarrow.array(["cold_pipe", "hot_pipe", "cold_pipe"]).dictionary_encode(),
        pyarrow.array([20, -5, 35], pyarrow.int32()),
    ]
    fields = [
        pyarrow.field(name, column.type, metadata={"unit": unit})
        for (name, unit), column in zip(units.items(), columns)
    ]
    table = pyarrow.table(columns, schema=pyarrow.schema(fields))
    parquet.write_table(table, folder / "cases.parquet")
    head = ",".join(f"{name} [{unit}]" if unit else name for name, unit in units.items())
    rows = [",".join(map(str, row.values())) for row in table.to_pylist()]
    (folder / "cases.csv").write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    results = []
    for form in ("csv", "parquet"):
        out = folder / form
        arguments = [folder / "study.toml", "--cases", folder / f"cases.{form}", "--out", out]
        subprocess.run([program, "sweep", *arguments], check=True, stdout=subprocess.DEVNULL)
        results.append((out / "results.csv").read_bytes())
    assert results[0] == results[1]

    spoiled = table.set_column(0, "leak.0.round_hole.diametre", table.column(0))
    parquet.write_table(spoiled, folder / "spoiled.parquet")
    arguments = [folder / "study.toml", "--cases", folder / "spoiled.parquet", "--out", folder / "x"]
    said = subprocess.run([program, "sweep", *arguments], capture_output=True, text=True)
    assert said.returncode == 2 and "did you mean `diameter`?" in said.stderr, said
    assert "column 1, leak.0.round_hole.diametre" in said.stderr, said
    print(f"pyarrow {pyarrow.__version__}: a table of cases as Parquet and as CSV, same results")


main(sys.argv[1], Path(sys.argv[2]))
