#!/usr/bin/env bash
# A reader's card of 700 titles, built and verified; then 10 titles more.
# Usage: bench/shelf.sh [--keep] [-titles N] [-card FOLDER]
# Prints one fact a line; keeps it in bench/results with --keep.
set -eu
cd "$(dirname "${BASH_SOURCE[0]}")/.."

keep=0
if [ "${1:-}" = --keep ]; then keep=1; shift; fi

report() {
  echo "date: $(date -u +%F)"
  echo "revision: $(git rev-parse --short HEAD 2>/dev/null || echo unknown)"
  echo "machine: $(uname -sm), $(nproc) cores, $(go version | cut -d' ' -f3)"
  [ -r /proc/loadavg ] && echo "load of the machine before: $(cut -d' ' -f1-3 /proc/loadavg)"
  go run ./bench/shelf "$@"
}

if [ "$keep" = 1 ]; then
  mkdir -p bench/results
  report "$@" | tee "bench/results/$(date -u +%F)-$(git rev-parse --short HEAD)-shelf.txt"
else
  report "$@"
fi
