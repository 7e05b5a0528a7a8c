#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# For the loop of edit and look: builds what changed in build-test, then runs unit, schema and fuzz tests, every session and
# the lint, but for clang-tidy. Many processes, kills, other programs and the sanitizers are left to tests/run.sh.
#   tests/quick.sh [CTEST-OPTION...]     for example: tests/quick.sh -R depth
set -euo pipefail

top=$(cd "$(dirname "$0")/.." && pwd)
. "$top/tests/ground.sh"
ground
begin=$SECONDS
jobs=$(nproc)
log=$home/build.log
# Warnings are errors here, so what a build says is worth reading only where it fails.
if ! { cmake -S "$top" -B "$top/build-test" -DCORETALLY_DEVELOP=ON &&
  cmake --build "$top/build-test" -j"$jobs"; } >"$log" 2>&1; then
  grep -vE '^(\[ *[0-9]+%\]|--) ' "$log" >&2 || cat "$log" >&2
  exit 1
fi
built=$((SECONDS - begin))
status=0
ctest --test-dir "$top/build-test" --output-on-failure -j"$jobs" -LE '^slow$' \
  -E '^(lint_tidy|(store|process|published|older)_.*)$' "$@" 2>&1 |
  grep -vE '^( +Start +[0-9]+:| *[0-9]+/[0-9]+ Test .* Passed )' || status=$?
echo "built in $built s, tested in $((SECONDS - begin - built)) s"
exit "$status"
