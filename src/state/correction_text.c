/* SPDX-License-Identifier: MIT */
/* Corrections in words. */
#include "coretally/state/correction_text.h"

#include <math.h>
#include <string.h>

void correction_add_range(const struct correction *it, struct text *out)
{
    const size_t before = out->len;
    char when[INSTANT_TEXT_MAX];
    const char *const comma = ", ";
#define COMMA (out->len > before ? comma : "")
    if (it->core)
        text_addf(out, "core %d", (int)it->core);
    if (it->offset_count)
        text_addf(out, "cores %d-%d", (int)it->offsets[0].core, (int)it->offsets[it->offset_count - 1].core);
    if (it->interval_count) {
        int32_t first = it->intervals[0].core;
        int32_t last = first;
        for (size_t at = 1; at < it->interval_count; at++) {
            first = it->intervals[at].core < first ? it->intervals[at].core : first;
            last = it->intervals[at].core > last ? it->intervals[at].core : last;
        }
        text_addf(out, "cores %d-%d", (int)first, (int)last);
    }
    if (it->top_um != LENGTH_NONE && it->bottom_um != LENGTH_NONE) {
        text_addf(out, "%s%s", COMMA, length_text(it->top_um, UNIT_M, 3).text);
        text_addf(out, "-%s m", length_text(it->bottom_um, UNIT_M, 3).text);
    } else if (it->top_um != LENGTH_NONE)
        text_addf(out, "%sfrom %s m down", COMMA, length_text(it->top_um, UNIT_M, 3).text);
    else if (it->bottom_um != LENGTH_NONE)
        text_addf(out, "%sabove %s m", COMMA, length_text(it->bottom_um, UNIT_M, 3).text);
    if (it->first_core && it->last_core)
        text_addf(out, "%scores %d-%d", COMMA, (int)it->first_core, (int)it->last_core);
    else if (it->first_core)
        text_addf(out, "%sfrom core %d on", COMMA, (int)it->first_core);
    else if (it->last_core)
        text_addf(out, "%sto core %d", COMMA, (int)it->last_core);
    if (it->from.known) {
        instant_format(it->from, when);
        text_addf(out, "%sfrom %s", COMMA, when);
    }
    if (it->to.known) {
        instant_format(it->to, when);
        text_addf(out, "%suntil %s", COMMA, when);
    }
    if (out->len == before)
        text_add(out, "the whole hole");
#undef COMMA
}

static void add_signed(struct text *out, int64_t um)
{
    text_addf(out, "%s%s m", um < 0 ? "" : "+", length_text(um, UNIT_M, 3).text);
}

static void add_count(struct text *out, size_t count, const char *what)
{
    text_addf(out, "%zu %s%s", count, what, count == 1 ? "" : "s");
}

void correction_add_amount(const struct correction *it, struct text *out)
{
    switch (it->kind) {
    case CORRECTION_TALLY:
    case CORRECTION_SHIFT:
        add_signed(out, it->amount_um);
        break;
    case CORRECTION_READING:
        if (it->core_top_um != LENGTH_NONE)
            text_addf(out, "top %s m", length_text(it->core_top_um, UNIT_M, 3).text);
        if (it->core_bottom_um != LENGTH_NONE)
            text_addf(out, "%sbottom %s m", it->core_top_um != LENGTH_NONE ? ", " : "",
                      length_text(it->core_bottom_um, UNIT_M, 3).text);
        break;
    case CORRECTION_SEAFLOOR:
        text_addf(out, "%s m (%s)", length_text(it->seafloor_um, UNIT_M, 3).text, seafloor_words[it->seafloor_by]);
        break;
    case CORRECTION_STRETCH:
        text_addf(out, "by %s", stretch_words[it->stretch]);
        if (it->stretch == STRETCH_WEIGHT)
            text_addf(out, ", mud %.0f kg/m3", it->mud_kg_m3);
        else if (it->stretch == STRETCH_LOAD)
            text_addf(out, ", %.1f kN", it->load_kn);
        else
            text_addf(out, ", %.1f K", it->rise_k);
        break;
    case CORRECTION_TIDE:
        add_count(out, it->height_count, "height");
        break;
    case CORRECTION_COMPOSITE:
        add_count(out, it->offset_count, "offset");
        break;
    case CORRECTION_GROWTH:
        add_count(out, it->step_count, "factor");
        break;
    case CORRECTION_SPLICE:
        add_count(out, it->interval_count, "interval");
        break;
    case CORRECTION_WIRELINE:
        add_count(out, it->point_count, "matched depth");
        break;
    case CORRECTION_SURVEY:
        add_count(out, it->station_count, "station");
        break;
    case CORRECTION_NONE:
    case CORRECTION_KIND_COUNT:
        break;
    }
}

void correction_add_why(const struct correction *it, struct text *out)
{
    text_add(out, it->reason);
    if (it->evidence || it->evidence_file)
        text_add(out, "; evidence: ");
    if (it->evidence)
        text_add(out, it->evidence);
    if (it->evidence_file)
        text_addf(out, "%sfile %.10s %s", it->evidence ? ", " : "", it->evidence_file,
                  it->evidence_name ? it->evidence_name : "");
}

enum status correction_words_of(struct state *state, const struct correction *it,
                                void (*add)(const struct correction *, struct text *), const char **out,
                                struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, state->arena);
    add(it, &text);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}
