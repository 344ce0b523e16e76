#!/usr/bin/env bash
# The engine in the repository and one built now from the source must give the program's own
# answers: operating points, and whole diagnoses (BAY_JOBS of them, 12 unless told otherwise).
# ENGINE=committed leaves the second out, whose build takes minutes. Needs Node; builds need what
# `build.sh` needs.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$root"

engines=("$here/built")
if [ "${ENGINE:-}" != committed ]; then
  "$here/build.sh" "$work/now" >/dev/null
  engines+=("$work/now")
fi
# The whole workspace, as the tests build it: else each package builds the physics anew.
cargo build --release --locked --quiet --workspace --bins --example cases --example questions
built=${CARGO_TARGET_DIR:-target}/release
"$built/falseair" classroom scenarios/vehicles/brindle-16.toml --out "$work/lesson.html" >/dev/null
node -e '
  const { readFileSync, writeFileSync } = require("node:fs");
  const page = readFileSync(process.argv[1], "utf8");
  const [, car] = page.match(/<script id="vehicle"[^>]*>([\s\S]*?)<\/script>/);
  writeFileSync(process.argv[2], car);
' "$work/lesson.html" "$work/vehicle.json"
"$built/examples/cases" "$work/vehicle.json" >"$work/cases.json"
node "$here/agree.cjs" "$work/cases.json" "${engines[@]}"
"$built/examples/questions" scenarios/vehicles/brindle-16.toml "${BAY_JOBS:-12}" >"$work/jobs.json"
node "$here/answers.cjs" "$work/jobs.json" "${engines[@]}"
