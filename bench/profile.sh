#!/usr/bin/env bash
# Takes anew the profile by which the compiler builds continuo (Go's
# profile-guided optimization, cmd/continuo/default.pgo): a run over a generated
# archive. It may grow old without harm; take it again when much of the code
# that a title goes through was written anew. The program's answers do not
# depend on it. Usage: bench/profile.sh [--titles N]
set -eu
cd "$(dirname "${BASH_SOURCE[0]}")/.."

titles=600
case "${1:-}" in
  "") ;;
  --titles) titles="$2" ;;
  *) echo "use: bench/profile.sh [--titles N]" >&2; exit 2 ;;
esac
work="$(mktemp -d)"
trap 'rm -rf "$work"' EXIT

go build -o "$work/archive" ./bench/archive
CGO_ENABLED=0 go build -trimpath -pgo=off -o "$work/profile" ./bench/profile
"$work/archive" make -titles "$titles" "$work/books"
"$work/profile" "$work/default.pgo" archive run "$work/books" --catalogue "$work/catalogue" > "$work/out"
tail -n 1 "$work/out"
mv "$work/default.pgo" cmd/continuo/default.pgo
