#!/usr/bin/env bash
# A Python environment under target/ with the outside readers that checks use; prints its python.
# On Debian, as root, gets what Python lacks. Ends with an error where it cannot be made: a check
# that did not run has not passed.
set -euo pipefail
cd "$(dirname "$0")/.."

packages=(jsonschema==4.25.1 pyarrow==26.0.1)
environment="${CARGO_TARGET_DIR:-target}/python"
python="$environment/bin/python"
if ! "$python" -c 'import jsonschema, pyarrow' 2>/dev/null; then
    mkdir -p "$environment"
    python3 -m venv --clear "$environment" >&2 || {
        # Debian parts it from python3.
        apt-get update -qq && apt-get install -y -qq python3 python3-venv >/dev/null
        python3 -m venv --clear "$environment" >&2
    }
    "$python" -m pip install --quiet --disable-pip-version-check --only-binary :all: "${packages[@]}" >&2
fi
echo "$python"
