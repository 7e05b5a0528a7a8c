/* SPDX-License-Identifier: MIT */
/* The one function of a fuzz target, as libFuzzer and replay.c call it. */
#ifndef CORETALLY_TESTS_FUZZ_TARGET_H
#define CORETALLY_TESTS_FUZZ_TARGET_H

#include <stddef.h>
#include <stdint.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* A broken promise ends the program, with or without NDEBUG. */
#define PROMISE(condition) ((condition) ? (void)0 : __builtin_trap())

#endif
