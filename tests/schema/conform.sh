#!/usr/bin/env bash
# The JSON Schemas, applied by jsonschema (PyPI) to the cases that the tests `schema` and `cli`
# write: files that people write, and every command's answers.
set -euo pipefail
cd "$(dirname "$0")/../.."

target="${CARGO_TARGET_DIR:-target}"
python=$(tests/python.sh)
rm -rf "$target/tmp/conform"
cargo test --release --workspace --locked --quiet --test schema --test cli conform
"$python" tests/schema/conform.py "$target/tmp/conform"
