/* SPDX-License-Identifier: MIT */
/* Acts of an audit that changed bounds: how far the depths of a hole may be off. They may have moved no depth. */
#include "coretally/say/audit_say.h"

static void add_bound(const struct run *run, int64_t um, struct text *out)
{
    if (um == LENGTH_NONE)
        text_add(out, "none");
    else
        text_addf(out, "%s", length_text(um, run->unit, 3).text);
}

/* "heave: none -> 0.300 m; tide: 0.900 -> 1.000 m" */
static enum status changed_text(const struct run *run, const struct moved_bounds *it, const char **out, struct err *err)
{
    static const char *const words[MOVED_BOUNDS] = {"tolerance", "heave", "tide"};
    struct text text;
    struct bytes bytes;
    text_init(&text, run->state->arena);
    for (int at = 0; at < MOVED_BOUNDS; at++) {
        if (it->um[0][at] == it->um[1][at])
            continue;
        text_addf(&text, "%s%s: ", text.len ? "; " : "", words[at]);
        add_bound(run, it->um[0][at], &text);
        text_add(&text, " -> ");
        add_bound(run, it->um[1][at], &text);
        if (it->um[1][at] != LENGTH_NONE)
            text_addf(&text, " %s", run_unit(run));
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static enum status add_row(struct audit *audit, const struct moved_bounds *it, struct sheet *sheet, struct err *err)
{
    struct state *const state = audit->run->state;
    const char *changed = NULL;
    const char *by = NULL;
    TRY(changed_text(audit->run, it, &changed, err));
    TRY(act_signed_by(state, it->commit.id, &by, err));
    const struct cell cells[] = {
        cell_commit(it->commit.id),   cell_text(it->hole),           cell_text(changed),
        cell_text(it->commit.author), cell_instant(it->commit.when), cell_text(by ? by : "nobody"),
        cell_text(it->commit.reason)};
    return sheet_add_row(sheet, cells, err);
}

enum status audit_bounds_write(struct audit *audit, struct err *err)
{
    static const struct column columns[] = {{"act", NULL, false}, {"hole", NULL, false}, {"bounds", NULL, false},
                                            {"by", NULL, false},  {"when", NULL, false}, {"signed by", NULL, false},
                                            {"why", NULL, false}};
    struct sheet *sheet = NULL;
    if (!audit->moved.bounds_count)
        return STATUS_OK;
    TRY(audit_sheet_new(audit->run->state, columns, sizeof columns / sizeof columns[0], &sheet, err));
    for (size_t at = audit->moved.bounds_count; at-- > 0;)
        TRY(add_row(audit, &audit->moved.bounds[at], sheet, err));
    return page_add_sheet(&audit->page, BLOCK_TABLE,
                          "Bounds changed: how far depths may be off to either side, the latest first", sheet, err);
}
