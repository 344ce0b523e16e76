#!/usr/bin/env bash
# Makes the program's pages and opens them in a real browser, wide and on a phone, light, dark
# and printed: no text on another or clipped, letters of 16 px on screens that are held, no request, no
# error, axe-core finds nothing, the first 700 px answer what a reader asks (first.mjs). What a
# customer is handed prints on one sheet, A4 and US Letter. Then a
# lesson is played to its end, and a job is done on the bay page: one on a phone, or with BAY=whole
# every one on three screens, light and dark, and in Firefox, and a long log. With a folder given, pictures of all are
# left there.
# `FEW=1` looks at one page of each kind: what every change is tried with.
# Needs Python, Chromium, Node and npm; as root on Debian it gets them.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
pictures=${1:+$(mkdir -p "$1" && cd "$1" && pwd)}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$root"

missing=()
command -v chromium >/dev/null || [ -n "${BROWSER_PATH:-}" ] || missing+=(chromium)
command -v node >/dev/null || missing+=(nodejs)
command -v npm >/dev/null || missing+=(npm)
if [ ${#missing[@]} -gt 0 ]; then
  apt-get update -qq
  DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
fi
mkdir "$work/browser" "$work/pages"
cp "$here"/browser/*.mjs "$here"/browser/package*.json "$work/browser"
(cd "$work/browser" && npm ci --no-audit --no-fund --silent)

cargo build --release --locked --quiet --workspace --bins
falseair=${CARGO_TARGET_DIR:-target}/release/falseair
export FALSEAIR_PASSPHRASE="a passphrase for this check"
cars=scenarios/vehicles
# A page that was asked for and is not there has not passed.
run() {
  "$falseair" "$@" >/dev/null || [ $? -eq 1 ]
  local asked
  for asked in "$@"; do
    case $asked in *.html) [ -s "$asked" ] || { echo "no page: $asked" >&2; exit 1; } ;; esac
  done
}
run classroom "$cars/brindle-16.toml" --hide scenarios/split-hose.toml --seed 5 \
  --out "$work/lesson.html" --keys "$work/keys.toml" --exercise "$work/pages/exercise.html" --answers "$work/pages/answers.html"
run classroom "$cars/brindle-16.toml" --class 4 --seed 4 --out "$work/class.html" \
  --keys "$work/class-keys.toml" --slips "$work/pages/slips.html"
run classroom results scenarios/class/keys.toml scenarios/class/*.json --report "$work/pages/class.html"
run simulate scenarios/split-hose.toml --time --report "$work/pages/drive.html"
run simulate scenarios/split-hose.toml --report "$work/pages/split-hose.html"
run simulate scenarios/manifold-gasket.toml --report "$work/pages/manifold-gasket.html"
run simulate scenarios/healthy.toml --report "$work/pages/healthy.html"
run simulate scenarios/split-hose.toml --compare scenarios/healthy.toml --report "$work/pages/compare.html"
run simulate scenarios/stuck-wastegate.toml --report "$work/pages/dangerous.html"
run diagnose scenarios/readings/lean-at-idle.toml --report "$work/pages/diagnosis.html"
run diagnose scenarios/readings/lean-at-idle.toml --compare scenarios/readings/healthy-car.toml \
  --report "$work/pages/before-after.html"
run atlas "$cars/brindle-16.toml" --report "$work/pages/atlas.html"
for question in decay flow gap seal payback verify; do
  run workshop "$question" "scenarios/workshop/$question.toml" --report "$work/pages/$question.html"
done
run codes "$cars/brindle-16.toml" --report "$work/pages/codes.html"
"$falseair" simulate scenarios/drive-log.toml --time --format csv --out "$work/both.csv"
run diagnose scenarios/readings/drive-log.toml --log "$work/both.csv" --report "$work/pages/of-a-log.html"
run diagnose plan scenarios/readings/healthy-car.toml --report "$work/pages/drive-next.html"
run log tests/logs/files/plain.csv --report "$work/pages/log.html"
run workshop known-hole scenarios/workshop/known-hole.toml --report "$work/pages/known-hole.html"
run twin list scenarios/twins --report "$work/pages/twins.html"
run glossary --report "$work/pages/glossary.html"
run workshop plan "$cars/brindle-16.toml" --report "$work/pages/plan.html"
run across scenarios/split-hose.toml --report "$work/pages/across.html"
for study in car-to-car leak-atlas; do
  run sweep "scenarios/studies/$study.toml" --out "$work/$study" --report "$work/pages/sweep-$study.html"
done
run threshold "$cars/brindle-16.toml" --report "$work/pages/threshold.html"
run threshold "$cars/brindle-16.toml" --report "$work/pages/tolerance.html" --tolerance \
  "place = 'manifold_gasket', slot = { gap = '1 mm', length = '20 mm', depth = '5 mm' }"
# A hole as large as it may get: curves that swing, jumps, histories that differ.
sed -e "s|\"vehicles|\"$root/scenarios/vehicles|" -e 's|^slot = .*|round_hole = { diameter = "14 mm" }|' \
  scenarios/manifold-gasket.toml > "$work/gasket.toml"
run branches "$work/gasket.toml" --report "$work/pages/branches.html"
run sensitivity scenarios/split-hose.toml --top 6 --report "$work/pages/sensitivity.html"
run vehicle fit "$cars/brindle-16.toml" --readings scenarios/readings/healthy-car.toml \
  --out "$work/fitted.toml" --report "$work/pages/fit.html"

mkdir "$work/records"
run workshop verify scenarios/workshop/verify.toml --record "$work/records/record.html"
# As many readings as anyone takes: still one sheet.
python3 - "$work" "$root" <<'END'
import sys
text = open("scenarios/workshop/verify.toml").read().replace("../vehicles", sys.argv[2] + "/scenarios/vehicles")
for at in ("idle", "light cruise", "full load 2000 rpm", "full load 3500 rpm", "full load 5000 rpm"):
    for reading in ("manifold_kpa", "short_trim_pct", "boost_kpa", "torque_nm"):
        for side in ("before", "after"):
            text += f'\n[[{side}]]\nat = "{at}"\nreading = "{reading}"\nvalue = 90\ndoubt = 90\n'
open(sys.argv[1] + "/many.toml", "w").write(text)
END
run workshop verify "$work/many.toml" --record "$work/records/many.html"
node "$work/browser/sheet.mjs" ${pictures:+--pictures "$pictures"} "$work"/records/*.html
if [ -n "${FEW:-}" ]; then
  cd "$work/pages"
  rm -f drive.html healthy.html manifold-gasket.html decay.html flow.html gap.html payback.html \
    sweep-leak-atlas.html tolerance.html codes.html of-a-log.html drive-next.html known-hole.html \
    twins.html
  cd "$root"
fi
node "$work/browser/look.mjs" ${pictures:+--pictures "$pictures"} "$work"/pages/*.html
# A logger sees one car.
awk -F, 'NR == 1 { for (i = 1; i <= NF; i += 1) if ($i == "side") side = i } NR == 1 || $side == "faulty" {
  line = ""; for (i = 1; i <= NF; i += 1) if (i != side) line = line (line == "" ? "" : ",") $i; print line }' \
  "$work/both.csv" >"$work/drive.csv"
jobs() { FALSEAIR=$(realpath "$falseair") node "$work/browser/bay.mjs" reports/bay.html "$work/drive.csv" ${pictures:+--pictures "$pictures"} "$@"; }
if [ "${BAY:-short}" = whole ]; then
  jobs
  command -v firefox-esr >/dev/null ||
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends firefox-esr >/dev/null
  node --experimental-websocket "$work/browser/firefox.mjs" firefox-esr reports/bay.html
  # A drive of 25 minutes, read on a phone.
  mkdir "$work/long"
  cp "$cars"/brindle-16*.toml "$work/long"
  node "$work/browser/long-log.mjs" 25 >"$work/long/drive.toml"
  "$falseair" simulate "$work/long/drive.toml" --time --format csv --out "$work/long/both.csv"
  node "$work/browser/log.mjs" reports/bay.html "$work/long/both.csv"
else
  jobs --short
fi
node "$work/browser/lesson.mjs" "$work/lesson.html" ${pictures:+"$pictures"}
mkdir "$work/results"
node "$work/browser/hunt.mjs" "$work/lesson.html" "$work/keys.toml" "$work/class.html" "$work/class-keys.toml" \
  "$work/results" ${pictures:+"$pictures"}
# What trainees saved in the browser is graded.
"$falseair" classroom results "$work/class-keys.toml" "$work"/results/*.json >"$work/graded.txt"
grep -q "no receipt was noted" "$work/graded.txt"
