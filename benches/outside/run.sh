#!/bin/sh
# Installs what it needs (SUNDIALS from Debian, SciPy into a folder of its own),
# runs every solver on the same drive, prints one table.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
target=${CARGO_TARGET_DIR:-$here/target}
as_root=""
[ "$(id -u)" = 0 ] || as_root="sudo"
if ! [ -e /usr/include/cvode/cvode.h ]; then
    $as_root apt-get install -y libsundials-dev
fi
python=$target/venv/bin/python
if ! [ -x "$python" ]; then
    python3 -m venv "$target/venv"
    "$python" -m pip install --quiet numpy scipy
fi
cargo build --release --locked --manifest-path "$here/Cargo.toml" --target-dir "$target"
"$target/release/outside" "$target/outside.json"
"$python" "$here/solvers.py" "$target/outside.json" "$target/release/librates.so"
