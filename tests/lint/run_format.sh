#!/bin/sh
# SPDX-License-Identifier: MIT
# Every C file has the form of .clang-format. Argument: the top of the checkout.
set -eu
cd "$1"
find src include tests -name '*.[ch]' -print0 | xargs -0 clang-format --dry-run -Werror
