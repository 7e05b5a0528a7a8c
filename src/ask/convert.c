/* SPDX-License-Identifier: MIT */
/* Conversion between scales. */
#include "coretally/ask/convert.h"

#include <assert.h>
#include <stdlib.h>

/* Depths are printed to a millimetre: one of ours comes back as far off as this. */
#define PRINTED_UM INT64_C(500)

/* The place below_um below the top of a core. */
static struct place place_below(const struct hole *hole, const struct core *core, int64_t below_um)
{
    struct place place = {hole, core, 0, 0};
    int64_t start_um = 0;
    for (size_t at = 0; at < core->section_count; at++) {
        const struct section *section = &core->sections[at];
        if (section->withdrawn)
            continue;
        place.section = section->number;
        place.offset_um = below_um - start_um;
        start_um += section_curated(section);
        if (below_um < start_um)
            break;
    }
    return place;
}

static struct depth depth_below(const struct convert *convert, const struct core *core, int64_t below_um,
                                enum scale scale)
{
    const struct place place = place_below(&convert->target->hole, core, below_um);
    return place_depth(&place, scale, NULL);
}

static int order_cores(const void *a, const void *b)
{
    const struct convert_core *left = a;
    const struct convert_core *right = b;
    if (left->top_um != right->top_um)
        return left->top_um < right->top_um ? -1 : 1;
    return left->core->number - right->core->number;
}

/* Every standing core that has the scale at both ends. */
static enum status read_cores(struct state *state, struct convert *convert, struct err *err)
{
    int32_t *numbers = NULL;
    size_t count = 0;
    const char *why = "no core of it has its sections recorded";
    bool has_scale = false;
    TRY(state_cores(state, convert->target->hole_name, &numbers, &count, err));
    TRY(arena_take(state->arena, count, sizeof *convert->cores, &convert->cores, err));
    for (size_t at = 0; at < count; at++) {
        char path[REGISTRY_PATH_MAX];
        struct core *core = NULL;
        bool there = false;
        TRY(arena_take(state->arena, 1, sizeof *core, &core, err));
        core_path(convert->target->hole_name, numbers[at], path);
        TRY(state_read(state, path, &core_table, core, &there, err));
        const int64_t length_um = core_curated(core);
        if (!there || core->withdrawn || core_is_wide(core) || length_um == LENGTH_NONE ||
            core_standing_sections(core) == 0)
            continue;
        const struct depth top = depth_below(convert, core, 0, convert->from);
        const struct depth bottom = depth_below(convert, core, length_um, convert->from);
        /* Part of a core may lie on a splice or within a match: which part is seen depth by depth. */
        const bool in_parts = convert->from == SCALE_CCSF_D || convert->from == SCALE_WMSF;
        if (top.why)
            why = top.why;
        if (!in_parts && (top.why || bottom.why))
            continue;
        has_scale = has_scale || !in_parts ||
                    hole_correction(&convert->target->hole,
                                    convert->from == SCALE_WMSF ? CORRECTION_WIRELINE : CORRECTION_SPLICE, 0);
        convert->cores[convert->core_count++] = (struct convert_core){core, length_um, top.why ? INT64_MIN / 2 : top.um,
                                                                      bottom.why ? INT64_MAX / 2 : bottom.um};
    }
    if (!has_scale)
        return err_set(err, STATUS_RULE, convert->target->hole_name, "no core of this hole has %s: %s",
                       scale_words[convert->from], why);
    if (convert->core_count)
        qsort(convert->cores, convert->core_count, sizeof *convert->cores, order_cores);
    return STATUS_OK;
}

enum status convert_open(struct state *state, const struct target *target, enum scale from, enum scale to,
                         struct convert *out, struct err *err)
{
    struct convert convert = {.target = target, .from = from, .to = to};
    const bool both_drilled = scale_is_drilled(from) && scale_is_drilled(to);
    const bool one_drilled =
        (scale_is_drilled(from) && !scale_is_vertical(from)) || (scale_is_drilled(to) && !scale_is_vertical(to));
    if (!both_drilled && one_drilled) {
        char pair[32];
        (void)snprintf(pair, sizeof pair, "%s to %s", scale_words[from], scale_words[to]);
        err_set(err, STATUS_RULE, pair,
                "no conversion is defined: what was drilled has no place in a core, and a piece of "
                "core no drilled depth");
        return err_hint(err, "CSF-B, which keeps each core within its run, is the nearest there is to a drilled depth");
    }
    if (!both_drilled && scale_is_vertical(from) && hole_goes_up(&target->hole)) {
        err_set(err, STATUS_RULE, target->hole_name, "it goes up again, so one %s may lie at several places",
                scale_words[from]);
        return err_hint(err, "ask the other way: coretally convert %s DEPTH --from %s --to %s", target->hole_name,
                        scale_words[to], scale_words[from]);
    }
    if (!both_drilled)
        TRY(read_cores(state, &convert, err));
    *out = convert;
    return STATUS_OK;
}

/* The depth below the top of a core at which it reaches um; false where it does not. Depths never decrease down a core.
 */
static bool find_below(const struct convert *convert, const struct convert_core *it, int64_t um, int64_t *below_um)
{
    /* CSF-A carries every scale that is defined in parts. */
    int64_t low_um = 0;
    int64_t high_um = it->length_um;
    while (low_um < high_um) {
        const int64_t middle_um = low_um + (high_um - low_um) / 2;
        enum scale scale = convert->from;
        int64_t wanted_um = um;
        struct depth depth = depth_below(convert, it->core, middle_um, scale);
        if (depth.why && scale == SCALE_CCSF_D) /* off the splice: its CCSF still says which way to go */
            depth = depth_below(convert, it->core, middle_um, SCALE_CCSF);
        else if (depth.why && scale == SCALE_WMSF) {
            const struct correction *match = hole_correction(&convert->target->hole, CORRECTION_WIRELINE, 0);
            depth = depth_below(convert, it->core, middle_um, SCALE_CSF_A);
            wanted_um = match ? match->points[0].depth_um : um; /* above the match: down; below it: up */
        }
        if (depth.why)
            return false;
        if (depth.um < wanted_um)
            low_um = middle_um + 1;
        else
            high_um = middle_um;
    }
    const struct depth found = depth_below(convert, it->core, low_um, convert->from);
    *below_um = low_um;
    return !found.why && llabs(found.um - um) <= PRINTED_UM;
}

/* The core that was typed has one letter: that of its record. */
static enum status check_letter(const struct convert *convert, struct core_word typed, struct err *err)
{
    for (size_t at = 0; typed.type && at < convert->core_count; at++) {
        const struct core *core = convert->cores[at].core;
        char word[16];
        if (core->number != typed.number || core->type == typed.type)
            continue;
        (void)snprintf(word, sizeof word, "%d%c", (int)typed.number, typed.type);
        err_set(err, STATUS_UNKNOWN, word, "core %d of hole %s is %d%c, not %s", (int)core->number,
                convert->target->hole_name, (int)core->number, core->type, word);
        return err_hint(err, "type %d%c", (int)core->number, core->type);
    }
    return STATUS_OK;
}

/* The core that a depth lies in. Where two meet, the lower one has the border. */
static enum status find_core(const struct convert *convert, int64_t um, struct core_word typed,
                             const struct convert_core **out, int64_t *below_um, struct err *err)
{
    const struct length_text typed_um = length_text(um, UNIT_M, 3);
    const char *const text = typed_um.text;
    const struct convert_core *found = NULL;
    const struct convert_core *second = NULL;
    const int32_t number = typed.number;
    TRY(check_letter(convert, typed, err));
    for (size_t at = 0; at < convert->core_count && convert->cores[at].top_um - PRINTED_UM <= um; at++) {
        const struct convert_core *it = &convert->cores[at];
        int64_t own_um = 0;
        if (um - PRINTED_UM > it->bottom_um || (number && it->core->number != number) ||
            !find_below(convert, it, um, &own_um))
            continue;
        if (found && llabs(found->bottom_um - um) > PRINTED_UM)
            second = found;
        found = it;
        *below_um = own_um;
    }
    const char *scale = scale_words[convert->from];
    if (second) {
        err_set(err, STATUS_RULE, text, "two cores hold this depth on %s, %d%c and %d%c: which one is meant?", scale,
                (int)second->core->number, second->core->type, (int)found->core->number, found->core->type);
        return err_hint(err, "add --core %d or --core %d, or a column 'core' to the table", (int)second->core->number,
                        (int)found->core->number);
    }
    if (!found && number)
        return err_set(err, STATUS_RULE, text, "core %d does not hold this depth on %s", (int)number, scale);
    if (!found) {
        err_set(err, STATUS_RULE, text, "no core holds this depth on %s", scale);
        return err_hint(err, "where cores begin and end: coretally depth --scale %s %s-...", scale,
                        convert->target->hole_name);
    }
    *out = found;
    return STATUS_OK;
}

enum status convert_depth(const struct convert *convert, int64_t um, struct core_word typed, struct converted *out,
                          struct err *err)
{
    const struct length_text text = length_text(um, UNIT_M, 3);
    struct converted converted = {.core = NULL};
    if (scale_is_drilled(convert->from) && scale_is_drilled(convert->to)) {
        const struct hole *hole = &convert->target->hole;
        const struct instant when = {0};
        const struct depth drf = drilled_to_drf(hole, um, when, convert->from);
        const int64_t doubt_um = hole_doubt(hole, 0, when);
        converted.depth = drf.why ? drf : drilled_within(hole, drf.um, doubt_um, when, convert->to);
    } else {
        const struct convert_core *core = NULL;
        int64_t below_um = 0;
        TRY(find_core(convert, um, typed, &core, &below_um, err));
        assert(core);
        converted.core = core->core;
        converted.depth = depth_below(convert, core->core, below_um, convert->to);
    }
    if (converted.depth.why)
        return err_set(err, STATUS_RULE, text.text, "it has no %s: %s", scale_words[convert->to], converted.depth.why);
    *out = converted;
    return STATUS_OK;
}
