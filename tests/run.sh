#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Builds the checkout twice and runs every test: once as developers build it, once under the address and undefined
# behaviour sanitizers. The last line counts what passed and what failed; the exit status is 0 only if nothing failed.
set -euo pipefail

top=$(cd "$(dirname "$0")/.." && pwd)
packages=(build-essential cmake ninja-build pkg-config libgit2-dev libcjson-dev libcmocka-dev libpopt-dev libcsv-dev git python3
  python3-jsonschema clang clang-format clang-tidy libclang-rt-14-dev libpango1.0-dev libcairo2-dev libzint-dev zlib1g-dev
  libunistring-dev openssh-client fonts-dejavu-core python3-pil zbar-tools dmtx-utils poppler-utils librsvg2-bin chromium strace)
passed=0
failed=0

say() { printf '== %s\n' "$*"; }

# The packages of Debian's archive that are not installed.
missing_packages() {
  local package
  for package in "${packages[@]}"; do
    if [ "$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null || true)" != installed ]; then
      echo "$package"
    fi
  done
}

install_missing() {
  local missing
  mapfile -t missing < <(missing_packages)
  [ "${#missing[@]}" -gt 0 ] || return 0
  if [ "$(id -u)" -ne 0 ]; then
    echo "not installed: ${missing[*]}" >&2
    echo "install them first: apt-get install ${missing[*]}" >&2
    exit 1
  fi
  say "installing ${missing[*]}"
  apt-get update -qq
  DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}"
}

# build_and_test FOLDER RESULTS LABELS_TO_SKIP CMAKE_OPTION...
build_and_test() {
  local folder=$1 results=$2 skip=$3 log summary total bad
  shift 3
  say "building ${folder##*/}"
  cmake -S "$top" -B "$folder" "$@" >/dev/null
  cmake --build "$folder" -j2
  say "testing ${folder##*/}"
  log=$results/${folder##*/}.log
  local arguments=(--test-dir "$folder" --output-on-failure -j2 --output-junit "$results/${folder##*/}.xml")
  [ -z "$skip" ] || arguments+=(-LE "$skip")
  ctest "${arguments[@]}" 2>&1 | tee "$log" || true
  # "97% tests passed, 2 tests failed out of 60"; without that line nothing ran, which is a failure too.
  summary=$(grep -E '^[0-9]+% tests passed, [0-9]+ tests? failed out of [0-9]+' "$log" || true)
  if [ -z "$summary" ]; then
    failed=$((failed + 1))
    return
  fi
  bad=$(sed -E 's/.*passed, ([0-9]+) tests? failed.*/\1/' <<<"$summary")
  total=$(sed -E 's/.*out of ([0-9]+).*/\1/' <<<"$summary")
  failed=$((failed + bad))
  passed=$((passed + total - bad))
}

install_missing

. "$top/tests/ground.sh"
ground
results=$top/build-test/results
mkdir -p "$results"
build_and_test "$top/build-test" "$results" '^looked_at$' -DCORETALLY_DEVELOP=ON
build_and_test "$top/build-sanitize" "$results" '^(slow|lint)$' -DCORETALLY_DEVELOP=ON -DCORETALLY_SANITIZE=ON

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
