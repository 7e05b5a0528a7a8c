/* SPDX-License-Identifier: MIT */
/* A core that gave way in a join: two sides had recorded one under its number, and the liners of both carry it. An act
 * on that number asks which is meant, as long as nothing shows the new one. */
#include <string.h>

#include "coretally/state/former.h"
#include "coretally/state/origin.h"
#include "coretally/state/stays.h"

static bool has_renaming(const struct renaming_set *set, const struct renaming *wanted)
{
    for (size_t at = 0; set && at < set->renaming_count; at++)
        if (strcmp(set->renamings[at].from, wanted->from) == 0 && strcmp(set->renamings[at].to, wanted->to) == 0)
            return true;
    return false;
}

/* Is it this act that put the renaming there? */
static enum status made(struct state *state, const char *path, const struct trail_act *act,
                        const struct renaming *renaming, bool *out, struct err *err)
{
    const void *after = NULL;
    const void *before = NULL;
    *out = false;
    TRY(state_version(state, act->id, path, &renaming_set_table, &after, err));
    if (!has_renaming(after, renaming))
        return STATUS_OK;
    for (size_t line = 0; line < act->line_count; line++) {
        TRY(state_version(state, act->lines[line].id, path, &renaming_set_table, &before, err));
        if (has_renaming(before, renaming))
            return STATUS_OK;
    }
    *out = true;
    return STATUS_OK;
}

/* Did a join give the core its new name? Whoever renames by an act knows of it. */
static enum status is_of_join(struct state *state, const struct former *former, bool *out, struct err *err)
{
    struct stays *history = NULL;
    char path[REGISTRY_PATH_MAX];
    bool is_found = false;
    *out = false;
    renamed_path(former->hole, path);
    TRY(stays_open(state, path, &history, err));
    enum status status = STATUS_OK;
    for (bool more = true; status == STATUS_OK && more && !is_found;) {
        struct trail_act act = {.line_count = 0};
        status = stays_next_act(history, state->arena, &act, &more, err);
        if (status == STATUS_OK && more)
            status = made(state, path, &act, &former->renaming, &is_found, err);
        *out = is_found && act.is_join;
    }
    stays_close(history);
    return status;
}

/* Is there a label that shows what the core is called now, of it or of anything in it? */
static enum status is_labelled(struct state *state, const struct former *former, bool *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct label_set labels = {.label_count = 0};
    bool there = false;
    *out = false;
    core_labels_path(former->hole, former->id.number, path);
    TRY(state_read(state, path, &label_set_table, &labels, &there, err));
    for (size_t at = 0; there && at < labels.label_count; at++) {
        struct name name;
        struct err unread = {0};
        *out = *out || (name_parse(labels.labels[at].name, &name, &unread) == STATUS_OK &&
                        name.core == former->id.number && name.type == former->id.type);
    }
    return STATUS_OK;
}

/* The act that recorded what gave way. */
static enum status find_recorder(struct state *state, const struct former *former, struct commit *out, struct err *err)
{
    static const char *const run[] = {"top", "bottom", "datum", NULL}; /* of two cores of one name they differ */
    struct core core;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    core_path(former->hole, former->id.number, path);
    TRY(state_read(state, path, &core_table, &core, &there, err));
    if (!there)
        return err_set(err, STATUS_UNKNOWN, former->other, "it is not recorded");
    const struct record_at at = record_of_core(former->hole, &core);
    return origin_find(state, &at, run, out, err);
}

enum status former_ask(struct state *state, const char *typed, const struct former *former, struct err *err)
{
    struct commit commit = {.id = ""};
    char when[INSTANT_TEXT_MAX];
    bool is_asked = false;
    TRY(is_labelled(state, former, &is_asked, err));
    if (is_asked)
        return STATUS_OK;
    TRY(is_of_join(state, former, &is_asked, err));
    if (!is_asked)
        return STATUS_OK;
    TRY(find_recorder(state, former, &commit, err));
    instant_format(commit.when, when);
    err_set(err, STATUS_RULE, typed,
            "two cores had the name %s before the registries were joined: the one that has it, and one recorded by "
            "%s%s%s%s, %s, now %s",
            former->typed, commit.author, commit.station ? " (" : "", commit.station ? commit.station : "",
            commit.station ? ")" : "", when, former->other);
    return err_hint(err,
                    "type %s if that is meant; add --sure for the one that has the name. It is asked until %s has a "
                    "label: coretally label print %s --new",
                    former->other, former->other, former->other);
}
