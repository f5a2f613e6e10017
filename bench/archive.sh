#!/usr/bin/env bash
# Measures continuo archive on a large generated archive: speed with proof and
# catalogue on, memory, growth from a tenth of the titles to all, a second run
# with nothing changed, the plain awk over the same files, verdicts on
# titles whole and with planted faults against the truth, and kills at random
# moments. Usage: bench/archive.sh [--titles N] [--judged N] [--kills N] [--keep]
# The archive is generated (internal/testkit) and deleted again. One fact a
# line; --keep keeps them in bench/results.
set -eu
cd "$(dirname "${BASH_SOURCE[0]}")/.."

titles=2000
kills=100
judged=300
keep=0
while [ $# -gt 0 ]; do
  case "$1" in
    --titles) titles="$2"; shift 2 ;;
    --kills) kills="$2"; shift 2 ;;
    --judged) judged="$2"; shift 2 ;;
    --keep) keep=1; shift ;;
    *) echo "use: bench/archive.sh [--titles N] [--judged N] [--kills N] [--keep]" >&2; exit 2 ;;
  esac
done
work="$(mktemp -d)"
trap 'rm -rf "$work"' EXIT

CGO_ENABLED=0 go build -trimpath -o "$work/continuo" ./cmd/continuo
go build -o "$work/archive" ./bench/archive

# run NAME ARGS...: one timed run, its lines under a name.
run() {
  name="$1"; shift
  sync # what others wrote is not counted
  "$work/archive" run "$work/continuo" archive run "$@" 2>/dev/null |
    grep -E '^(made|unchanged|failed|ready|look|stop): [0-9]+$|^(sources|wall time|processor time|peak memory): ' > "$work/lines"
  awk -F': ' '{ print name ", " $0 }
    /^sources/ { split($2, w, " "); mb = w[4] } /^wall/ { wall = $2 } /^processor/ { cpu = $2 }
    END { if (mb > 0) { printf "%s, speed: %.1f MB/s by wall time, %.1f MB/s a core by processor time\n", name, mb / wall, mb / cpu } }' name="$name" "$work/lines"
}

report() {
  echo "date: $(date -u +%F)"
  echo "revision: $(git rev-parse --short HEAD 2>/dev/null || echo unknown)"
  echo "machine: $(uname -sm), $(nproc) cores, $(go version | cut -d' ' -f3)"
  [ -r /proc/loadavg ] && echo "load of the machine before: $(cut -d' ' -f1-3 /proc/loadavg)"
  "$work/archive" make -titles "$titles" "$work/books" | sed 's/^archive/whole archive/'
  "$work/archive" make -titles "$((titles / 10))" "$work/tenth" | sed 's/^archive/tenth/'
  run "tenth" "$work/tenth" --catalogue "$work/c1"
  run "whole" "$work/books" --catalogue "$work/c2"
  run "whole, nothing changed" --catalogue "$work/c2"
  run "whole, every source read" --catalogue "$work/c2" --rehash
  find "$work/books" -type f -print0 | sort -z > "$work/list"
  "$work/archive" awk "$work/list" bench/strip.awk "$work/awk.out"
  [ -r /proc/loadavg ] && echo "load of the machine after: $(cut -d' ' -f1-3 /proc/loadavg)"
  if [ "$judged" -gt 0 ]; then
    go test ./internal/triage -run TestCalibration -v -titles "$judged" -seed 30000 | sed -n 's/^ *calibrate_test.go:[0-9]*: //p' | grep -E '^(fault|whole titles|ready and wrong|a cut|reliability|Brier)' || true
  fi
  if [ "$kills" -gt 0 ]; then
    "$work/archive" make -titles 40 -mb 0.2 "$work/few" | sed 's/^archive/archive of the kills/'
    "$work/archive" kill -kills "$kills" "$work/continuo" "$work/few" "$work/killed"
  fi
}

if [ "$keep" = 1 ]; then
  mkdir -p bench/results
  report | tee "bench/results/$(date -u +%F)-$(git rev-parse --short HEAD)-archive.txt"
else
  report
fi
