#!/usr/bin/env bash
# Every reader under libFuzzer for so many seconds each (default 60), from the shipped files on.
# Any panic ends it with the input that does it. Stable Rust and a C++ compiler.
#   run.sh [SECONDS] [READER ...]
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../../.." && pwd)
seconds=${1:-60}
readers=("${@:2}")
[ ${#readers[@]} -gt 0 ] || readers=(scenario vehicle readings study log gas_stand lesson)
target=${CARGO_TARGET_DIR:-$root/target}/fuzz

# What libFuzzer needs to see which way the program went.
export RUSTFLAGS="-Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
-Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
-Cllvm-args=-sanitizer-coverage-trace-compares -Ccodegen-units=1 -Cdebug-assertions=on --cfg fuzzing"
cargo build --release --locked --manifest-path "$here/Cargo.toml" --target-dir "$target" \
  --target "$(rustc -vV | sed -n 's/^host: //p')"
program=$(echo "$target"/*/release/long)

for reader in "${readers[@]}"; do
  corpus=$target/corpus/$reader
  mkdir -p "$corpus"
  case $reader in
    scenario) cp "$root"/scenarios/*.toml "$corpus" ;;
    vehicle) cp "$root"/scenarios/vehicles/*.toml "$corpus" ;;
    readings) cp "$root"/scenarios/readings/*.toml "$corpus" ;;
    study) cp "$root"/scenarios/studies/*.toml "$corpus" ;;
    log) cp "$root"/tests/logs/files/*.csv "$corpus" ;;
    gas_stand) cp "$root"/scenarios/gas_stand/*.csv "$corpus" ;;
    lesson) echo '{"trouble":{"leak":[]},"seed":7}' >"$corpus/secret.json" ;;
  esac
  FALSEAIR_TARGET=$reader "$program" "$corpus" -max_total_time="$seconds" -max_len=20000 -timeout=20 \
    -rss_limit_mb=4096 -print_final_stats=1 -artifact_prefix="$target/$reader-" 2>"$target/$reader.log" ||
    { tail -40 "$target/$reader.log" >&2; exit 1; }
  runs=$(sed -n 's/^stat::number_of_executed_units: *//p' "$target/$reader.log")
  seen=$(ls "$corpus" | wc -l)
  echo "$reader: $runs texts in $seconds s, $seen of them on new ways, no panic"
done
