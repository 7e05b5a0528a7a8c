/* SPDX-License-Identifier: MIT */
/* Typed names: what parses prints in three styles, and each of them parses to the same name. */
#include "target.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/domain/name.h"

/* An interval that is taken goes down, and is what the same text is behind a section. */
static void try_interval(const char *typed)
{
    struct err err = {0};
    struct name name;
    char whole[NAME_TEXT_MAX];
    int64_t top_um = 0;
    int64_t bottom_um = 0;
    if (interval_parse(typed, &top_um, &bottom_um, &err) != STATUS_OK) {
        PROMISE(err.status == STATUS_INPUT && err.reason[0] && err.hint[0]);
        return;
    }
    PROMISE(bottom_um >= top_um);
    if (strlen(typed) > sizeof whole - 16)
        return;
    (void)snprintf(whole, sizeof whole, "1A-1H-1,%s", typed);
    PROMISE(name_parse(whole, &name, &err) == STATUS_OK && name.level == NAME_SAMPLE);
    PROMISE(name.top_um == top_um && name.bottom_um == bottom_um);
    PROMISE(name_check_order(&name, whole, &err) == STATUS_OK);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *typed = calloc(1, size + 1);
    if (!typed)
        return 0;
    if (size)
        memcpy(typed, data, size);
    struct name name;
    struct err err = {0};
    if (name_parse(typed, &name, &err) != STATUS_OK)
        PROMISE(err.status == STATUS_INPUT && err.reason[0]);
    else
        for (int style = NAME_PRINTED; style <= NAME_COMPACT; style++) {
            char text[NAME_TEXT_MAX];
            char again_text[NAME_TEXT_MAX];
            char key[SAMPLE_KEY_MAX];
            struct name again;
            name_format(&name, (enum name_style)style, text);
            PROMISE(name_parse(text, &again, &err) == STATUS_OK);
            name_format(&again, (enum name_style)style, again_text);
            PROMISE(strcmp(text, again_text) == 0 && again.level == name.level);
            if (name.level == NAME_SAMPLE)
                name_sample_key(&name, key);
        }
    try_interval(typed);
    (void)name_distance(typed, "sample");
    free(typed);
    return 0;
}
