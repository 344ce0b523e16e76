#!/usr/bin/env bash
# A sweep's Parquet file, read back by pyarrow; a table of cases that pyarrow wrote.
set -euo pipefail
cd "$(dirname "$0")/../.."

python=$(tests/python.sh)
target="${CARGO_TARGET_DIR:-target}"
cargo build --release --locked --quiet --workspace --bins
out="$target/pyarrow-sweep"
rm -rf "$out" "$out-cases"
"$target/release/falseair" sweep scenarios/studies/leak-atlas.toml --out "$out"
"$python" tests/sweep/read_parquet.py "$out"
"$python" tests/sweep/cases_parquet.py "$target/release/falseair" "$out-cases"
