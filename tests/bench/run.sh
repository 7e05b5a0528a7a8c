#!/usr/bin/env bash
# Every benchmark of this folder, one after the other. Each prints ratios; nothing is judged here.
#   tests/bench/run.sh     CORETALLY names the binary (default: build-test/bin/coretally)
set -eu
here=$(cd "$(dirname "$0")" && pwd)
for bench in "$here"/*.sh; do
  [ "$bench" = "$here/run.sh" ] || bash "$bench"
done
