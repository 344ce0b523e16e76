#!/usr/bin/env bash
# A sweep's Parquet file, read back by pyarrow, into a Python environment under target/.
# Where that environment cannot be made, says why and passes.
set -euo pipefail
cd "$(dirname "$0")/../.."

target="${CARGO_TARGET_DIR:-target}"
environment="$target/pyarrow"
python="$environment/bin/python"

skip() {
    echo "skipped: the Parquet file was not read back by pyarrow: $1"
    exit 0
}

if ! "$python" -c 'import pyarrow' 2>/dev/null; then
    command -v python3 >/dev/null || skip "there is no python3"
    mkdir -p "$target"
    rm -rf "$environment"
    python3 -m venv "$environment" >"$target/pyarrow.log" 2>&1 ||
        python3 -m virtualenv "$environment" >>"$target/pyarrow.log" 2>&1 ||
        skip "python3 makes no environment (Debian: python3-venv); see $target/pyarrow.log"
    "$python" -m pip install --quiet --disable-pip-version-check --only-binary :all: pyarrow \
        >>"$target/pyarrow.log" 2>&1 || skip "pip gets no pyarrow; see $target/pyarrow.log"
fi

cargo build --release --locked --quiet --workspace --bins
out="$target/pyarrow-sweep"
rm -rf "$out"
"$target/release/falseair" sweep scenarios/studies/leak-atlas.toml --out "$out"
"$python" tests/sweep/read_parquet.py "$out"
