/* SPDX-License-Identifier: MIT */
/* Typed numbers, times and zones: what is read prints, and reads back equal. */
#include "target.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/base/clock.h"
#include "coretally/base/quantity.h"

static void try_length(const char *typed)
{
    struct err err = {0};
    int64_t um = 0;
    int64_t again = 0;
    char text[LENGTH_TEXT_MAX];
    for (int unit = 0; unit < LENGTH_UNIT_COUNT; unit++) {
        if (length_parse(typed, (enum length_unit)unit, &um, &err) != STATUS_OK)
            continue;
        length_format_exact(um, UNIT_M, text);
        PROMISE(length_parse(text, UNIT_M, &again, &err) == STATUS_OK && again == um);
    }
    (void)decimal_parse_micro(typed, strlen(typed), false, &um);
}

static void try_real(const char *typed)
{
    struct err err = {0};
    double value = 0;
    double again = 0;
    struct arena arena;
    struct text text;
    struct bytes out;
    if (real_parse(typed, &value, &err) != STATUS_OK)
        return;
    arena_init(&arena, 1 << 16);
    text_init(&text, &arena);
    text_add_real(&text, value);
    PROMISE(text_done(&text, &out, &err) == STATUS_OK);
    PROMISE(real_parse(out.data, &again, &err) == STATUS_OK && again == value);
    arena_clear(&arena);
}

static void try_time(const char *typed)
{
    struct err err = {0};
    int32_t zone_min = 0;
    struct instant instant;
    struct instant again;
    char text[INSTANT_TEXT_MAX];
    if (zone_parse(typed, &zone_min, &err) == STATUS_OK) {
        int32_t again_min = 0;
        zone_format(zone_min, text);
        PROMISE(zone_parse(text, &again_min, &err) == STATUS_OK && again_min == zone_min);
    }
    if (instant_parse(typed, -210, &instant, &err) == STATUS_OK) {
        instant_format(instant, text);
        PROMISE(instant_parse(text, INT_NONE, &again, &err) == STATUS_OK);
        PROMISE(again.utc_us == instant.utc_us && again.offset_min == instant.offset_min);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *typed = calloc(1, size + 1);
    if (!typed)
        return 0;
    if (size)
        memcpy(typed, data, size);
    try_length(typed);
    try_real(typed);
    try_time(typed);
    free(typed);
    return 0;
}
