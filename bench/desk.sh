#!/usr/bin/env bash
# Every kind of page of the desk, over an archive of 2,000 titles with a book of 600 pages, and first looks at that book.
# Usage: bench/desk.sh [--keep]
# Prints one fact a line, the slowest and the largest page last; keeps it in bench/results with --keep.
# The bars are 100 ms and 150 KB a page. On a busy machine look at the processor time: it is spread over the cores.
set -eu
cd "$(dirname "${BASH_SOURCE[0]}")/.."

pages() {
  go test ./internal/desk -run '^$' -bench . -benchtime 20x | awk '
    /^Benchmark/ {
      name = $1; sub(/^Benchmark/, "", name); sub(/-[0-9]+$/, "", name); gsub(/_/, " ", name)
      sub(/^Pages\//, "", name); sub(/^FirstLook\//, "first look at 600 pages, ", name); sub(/^Rule$/, "rule", name)
      for (i = 3; i < NF; i += 2) value[$(i + 1)] = $i
      ms = value["ns/op"] / 1e6; cpu = value["cpu-ms/page"]; bytes = value["bytes/page"]
      printf "%s: %.1f ms, processor time %.1f ms, %d bytes\n", name, ms, cpu, bytes
      if (ms > slowest) { slowest = ms; slow = name }
      if (cpu > dearest) { dearest = cpu; dear = name }
      if (bytes > largest) { largest = bytes; large = name }
    }
    END {
      printf "slowest: %.1f ms, %s%s\n", slowest, slow, slowest < 100 ? "" : ", over the bar"
      printf "most processor time: %.1f ms, %s\n", dearest, dear
      printf "largest: %d bytes, %s%s\n", largest, large, largest < 150000 ? "" : ", over the bar"
    }'
}

report() {
  echo "date: $(date -u +%F)"
  echo "revision: $(git rev-parse --short HEAD 2>/dev/null || echo unknown)"
  echo "machine: $(uname -sm), $(nproc) cores, $(go version | cut -d' ' -f3)"
  [ -r /proc/loadavg ] && echo "load of the machine before: $(cut -d' ' -f1-3 /proc/loadavg)"
  pages
}

if [ "${1:-}" = --keep ]; then
  mkdir -p bench/results
  report | tee "bench/results/$(date -u +%F)-$(git rev-parse --short HEAD)-desk.txt"
else
  report
fi
