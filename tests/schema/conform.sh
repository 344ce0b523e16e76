#!/usr/bin/env bash
# The JSON Schemas, applied by jsonschema (PyPI) to the cases that the tests `schema` and `forms`
# write: files that people write, and every command's answers.
set -euo pipefail
cd "$(dirname "$0")/../.."

target="${CARGO_TARGET_DIR:-target}"
python="$target/jsonschema/bin/python"
if ! "$python" -c 'import jsonschema' 2>/dev/null; then
    mkdir -p "$target"
    rm -rf "$target/jsonschema"
    python3 -m venv "$target/jsonschema" || {
        # Debian parts it from python3.
        apt-get update -qq && apt-get install -y -qq python3 python3-venv >/dev/null
        python3 -m venv --clear "$target/jsonschema"
    }
    "$python" -m pip install --quiet --disable-pip-version-check jsonschema==4.25.1
fi
rm -rf "$target/tmp/conform"
cargo test --release --workspace --locked --quiet --test schema --test forms conform
"$python" tests/schema/conform.py "$target/tmp/conform"
