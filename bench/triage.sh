#!/usr/bin/env bash
# Fits the weights of triage to generated titles, whole and with planted faults:
# bench/triage.sh [FIRST-SEED] [TITLES]. Pieces of 200 titles; prints the weights
# as they stand in internal/triage/weights.go. Takes a minute or two a piece.
set -eu
cd "$(dirname "${BASH_SOURCE[0]}")/.."
first="${1:-40000}"
titles="${2:-2000}"
work="$(mktemp -d)"
trap 'rm -rf "$work"' EXIT
go test -c -o "$work/triage.test" ./internal/triage
cd internal/triage
for ((at = first; at < first + titles; at += 200)); do
  nice "$work/triage.test" -test.run '^TestCalibration$' -titles 200 -seed "$at" -record "$work/seen" > /dev/null || true # only what is seen counts
done
"$work/triage.test" -test.run '^TestFit$' -test.v -fit "$work/seen" | sed -n 's/^ *fit_test.go:[0-9]*: //p'
