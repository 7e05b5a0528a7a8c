#!/bin/sh
# SPDX-License-Identifier: MIT
# clang-tidy over the sources, two at a time. Arguments: the top of the checkout, the build folder with
# compile_commands.json.
set -eu
cd "$1"
find src -name '*.c' -print0 | sort -z | xargs -0 -n 4 -P 2 clang-tidy --quiet -p "$2"
