#!/usr/bin/env bash
# Every kind of page of the desk, over an archive of 2,000 titles with a book of 600 pages.
# Usage: bench/desk.sh [--keep]
# Prints one fact a line; keeps it in bench/results with --keep.
set -eu
cd "$(dirname "${BASH_SOURCE[0]}")/.."

report() {
  echo "date: $(date -u +%F)"
  echo "revision: $(git rev-parse --short HEAD 2>/dev/null || echo unknown)"
  echo "machine: $(uname -sm), $(nproc) cores, $(go version | cut -d' ' -f3)"
  [ -r /proc/loadavg ] && echo "load of the machine before: $(cut -d' ' -f1-3 /proc/loadavg)"
  go test ./internal/desk -run '^$' -bench . -benchtime 20x | sed -n 's/^Benchmark\([^ ]*\)-[0-9]*[[:space:]]*[0-9]*[[:space:]]*\([0-9.]*\) ns\/op\(.*\)/\1: \2 ns\3/p'
}

if [ "${1:-}" = --keep ]; then
  mkdir -p bench/results
  report | tee "bench/results/$(date -u +%F)-$(git rev-parse --short HEAD)-desk.txt"
else
  report
fi
