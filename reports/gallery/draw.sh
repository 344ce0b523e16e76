#!/usr/bin/env bash
# Draws the pictures of reports/gallery.md anew, into the folder given or beside this script.
# `tests/pages` fails when the committed ones are not what the program draws.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
out=$(mkdir -p "${1:-$here}" && cd "${1:-$here}" && pwd)
cd "$here/../.."
if [ -z "${FALSEAIR:-}" ]; then
  cargo build --release --locked --quiet
  FALSEAIR=${CARGO_TARGET_DIR:-target}/release/falseair
fi
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cars=scenarios/vehicles

# draw NAMES COMMAND...: runs the command and keeps the pictures PICTURE[=NAME] of it.
draw() {
  local names=$1 name
  shift
  "$FALSEAIR" "$@" --svg "$work/pictures" >/dev/null
  for name in $names; do
    cp "$work/pictures/${name%%=*}.svg" "$out/${name##*=}.svg"
  done
  rm -rf "$work/pictures"
}

draw "air-ledger-5-full-load-3500-rpm=air-ledger-boost" simulate scenarios/split-hose.toml
draw "air-ledger-1-idle=air-ledger-idle" simulate scenarios/manifold-gasket.toml
draw "drive" simulate scenarios/split-hose.toml --time
draw "full-load-lambda-sensor=across-lambda full-load-boost-kpa=across-boost compressor-map" \
  across scenarios/split-hose.toml
draw "manifold-gasket-fuel-trim-pct=atlas-trim cold-pipe-lambda=atlas-lambda" atlas "$cars/brindle-16.toml"
draw "threshold" threshold "$cars/brindle-16.toml"
draw "sensitivity-full-load-2500-rpm-lambda=sensitivity" sensitivity scenarios/split-hose.toml
draw "probability sizes readings-1=evidence next-tests" diagnose scenarios/readings/boost-leak.toml
draw "gauge-trace in-car-fuel-trim=in-car-trim" workshop decay scenarios/workshop/decay.toml
draw "gland" workshop seal scenarios/workshop/seal.toml
draw "payback-torque payback-fuel-saved-a-year=payback-fuel" \
  workshop payback scenarios/workshop/payback.toml
draw "before-and-after" workshop verify scenarios/workshop/verify.toml
draw "plan-pressures" workshop plan "$cars/brindle-16.toml"
draw "light-cruise-shaft-krpm-ambient-altitude-m=sweep-turbo" \
  sweep scenarios/studies/car-to-car.toml --out "$work/sweep"
