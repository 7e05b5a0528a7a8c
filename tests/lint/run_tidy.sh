#!/bin/sh
# SPDX-License-Identifier: MIT
# clang-tidy over the sources, two at a time. Arguments: the top of the checkout, the build folder with
# compile_commands.json. One file a run: in one run over several, version 14 takes every va_list for uninitialised.
set -eu
cd "$1"
find src -name '*.c' -print0 | sort -z | xargs -0 -n 1 -P 2 clang-tidy --quiet -p "$2"
