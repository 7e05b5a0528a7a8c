/* SPDX-License-Identifier: MIT */
/* What follows from the lengths of a core and its sections by adding. */
#include "coretally/domain/core.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/base/quantity.h"

const char *const advance_words[] = {"", "recovery", "unknown", NULL};

/* Letters as printed in ocean drilling reports: H, X and R in Proc. IODP 318 and 325, the rest from memory;
 * usage varies, so the list is open. */
static const struct core_type core_types[] = {
    {'H', "piston core", false},
    {'X', "extended core barrel", false},
    {'R', "rotary core barrel", false},
    {'F', "half-length piston core", false},
    {'P', "pressure core", false},
    {'N', "motor-driven core barrel", false},
    {'Z', "diamond core barrel", false},
    {'W', "wash core", true},
    {'G', "ghost core", true},
    {'M', "miscellaneous material", true},
    {'B', "bit sample", true},
    {'C', "centre bit sample", true},
    {'I', "in-situ water sample", false},
    {'S', "sidewall sample", false},
};

const struct core_type *core_type_find(char letter)
{
    for (size_t at = 0; at < sizeof core_types / sizeof core_types[0]; at++)
        if (core_types[at].letter == letter)
            return &core_types[at];
    return NULL;
}

bool core_is_wide(const struct core *core)
{
    const struct core_type *type = core_type_find(core->type);
    return type && type->wide;
}

int64_t section_curated(const struct section *section)
{
    if (section->curated_um != LENGTH_NONE)
        return section->curated_um;
    if (section->piece_count) {
        int64_t sum_um = 0;
        for (size_t at = 0; at < section->piece_count; at++) {
            const struct piece *piece = &section->pieces[at];
            sum_um += piece->length_um + (piece->spacer_um == LENGTH_NONE ? 0 : piece->spacer_um);
        }
        return sum_um;
    }
    if (section->liner_um == LENGTH_NONE)
        return LENGTH_NONE;
    int64_t length_um = section->liner_um;
    for (size_t at = 0; at < section->gap_count; at++)
        if (section->gaps[at].closed)
            length_um -= section->gaps[at].bottom_um - section->gaps[at].top_um;
    return length_um;
}

int64_t section_recovered(const struct section *section)
{
    if (!section->piece_count)
        return section_curated(section);
    int64_t sum_um = 0;
    for (size_t at = 0; at < section->piece_count; at++)
        sum_um += section->pieces[at].length_um;
    return sum_um;
}

void section_format(int32_t number, char out[SECTION_TEXT_MAX])
{
    if (number == SECTION_CATCHER)
        (void)snprintf(out, SECTION_TEXT_MAX, "CC");
    else
        (void)snprintf(out, SECTION_TEXT_MAX, "%d", (int)(number % 1000));
}

bool section_parse(const char *string, int32_t *out)
{
    if (strcmp(string, "CC") == 0 || strcmp(string, "cc") == 0) {
        *out = SECTION_CATCHER;
        return true;
    }
    int32_t number = 0;
    size_t len = 0;
    for (; isdigit((unsigned char)string[len]) && len < 3; len++)
        number = number * 10 + (string[len] - '0');
    if (len == 0 || string[len] || number > SECTION_NUMBER_MAX)
        return false;
    *out = number;
    return true;
}

const struct section *core_section(const struct core *core, int32_t number)
{
    for (size_t at = 0; at < core->section_count; at++)
        if (core->sections[at].number == number && !core->sections[at].withdrawn)
            return &core->sections[at];
    return NULL;
}

size_t core_standing_sections(const struct core *core)
{
    size_t count = 0;
    for (size_t at = 0; at < core->section_count; at++)
        count += !core->sections[at].withdrawn;
    return count;
}

int64_t core_section_start(const struct core *core, int32_t number, int32_t *missing)
{
    int64_t start_um = 0;
    for (size_t at = 0; at < core->section_count && core->sections[at].number < number; at++) {
        if (core->sections[at].withdrawn)
            continue;
        const int64_t length_um = section_curated(&core->sections[at]);
        if (length_um == LENGTH_NONE) {
            *missing = core->sections[at].number;
            return LENGTH_NONE;
        }
        start_um += length_um;
    }
    return start_um;
}

int64_t core_curated(const struct core *core)
{
    int32_t missing = 0;
    if (core_standing_sections(core) == 0)
        return core->curated_um;
    return core_section_start(core, SECTION_CATCHER + 1, &missing);
}

int64_t core_unsectioned(const struct core *core)
{
    const int64_t sum_um = core_curated(core);
    if (core->curated_um == LENGTH_NONE || sum_um == LENGTH_NONE || sum_um >= core->curated_um)
        return 0;
    return core->curated_um - sum_um;
}

int64_t core_length(const struct core *core)
{
    const int64_t sum_um = core_curated(core);
    return sum_um == LENGTH_NONE ? LENGTH_NONE : sum_um + core_unsectioned(core);
}

int64_t core_recovered(const struct core *core)
{
    if (core->recovered_um != LENGTH_NONE)
        return core->recovered_um;
    if (core_standing_sections(core) == 0)
        return core->curated_um;
    int64_t sum_um = core_unsectioned(core);
    for (size_t at = 0; at < core->section_count; at++) {
        if (core->sections[at].withdrawn)
            continue;
        const int64_t length_um = section_recovered(&core->sections[at]);
        if (length_um == LENGTH_NONE)
            return LENGTH_NONE;
        sum_um += length_um;
    }
    return sum_um;
}

int64_t core_bottom(const struct core *core)
{
    if (core->advance_by == ADVANCE_UNKNOWN)
        return LENGTH_NONE;
    if (core->advance_by != ADVANCE_RECOVERY)
        return core->bottom_um;
    const int64_t recovered_um = core_recovered(core);
    return recovered_um == LENGTH_NONE ? LENGTH_NONE : core->top_um + recovered_um;
}

int64_t core_advance(const struct core *core)
{
    const int64_t bottom_um = core_bottom(core);
    return bottom_um == LENGTH_NONE ? LENGTH_NONE : bottom_um - core->top_um;
}
