/* SPDX-License-Identifier: MIT */
/* What the name of a core means, now and at the state of a label. */
#include "coretally/state/former.h"

#include <string.h>

#include "coretally/store/walk.h"

/* The renamings that had been done at a state; false: it is not in this history. */
static enum status read_at(struct state *state, const char *hole, const char *label_state, struct renaming_set *then,
                           bool *is_known, struct err *err)
{
    struct store *beside = NULL;
    struct state past;
    struct err absent = {0};
    *is_known = false;
    TRY(store_open_beside(state->store, NULL, &beside, err));
    enum status status = store_stand_at(beside, label_state, &absent);
    if (status == STATUS_OK) {
        *is_known = true;
        state_at(state, beside, &past);
        status = state_renamings(&past, hole, then, err);
    } else if (status_is_failure(status))
        *err = absent;
    else
        status = STATUS_OK;
    store_close(beside);
    return status;
}

static enum status is_core(struct state *state, const char *hole, struct core_id id, bool *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct core core;
    bool there = false;
    core_path(hole, id.number, path);
    TRY(state_read(state, path, &core_table, &core, &there, err));
    *out = there && core.type == id.type;
    return STATUS_OK;
}

static void name_id(const char *hole, struct core_id id, char out[NAME_TEXT_MAX])
{
    char text[CORE_ID_MAX];
    core_id_format(id, text);
    (void)snprintf(out, NAME_TEXT_MAX, "%s-%s", hole, text);
}

/* By the state: the name was right there. */
static enum status carry_from(struct state *state, const struct renaming_set *set, const char *hole,
                              const char *label_state, struct core_id *id, bool *is_done, struct err *err)
{
    struct renaming_set then = {0};
    bool is_known = false;
    TRY(read_at(state, hole, label_state, &then, &is_known, err));
    *is_done = false;
    if (!is_known)
        return STATUS_OK;
    *is_done = renamings_between(&then, set, id);
    return STATUS_OK;
}

enum status former_carry(struct state *state, const struct renaming_set *set, const char *label_state,
                         struct name *name, struct former *out, struct err *err)
{
    char hole[HOLE_TEXT_MAX];
    struct renaming_set own = {0};
    struct core_id id = {name->core, name->type};
    struct core_id now = id;
    size_t at = 0;
    bool is_there = false;
    *out = (struct former){.what = FORMER_NONE};
    if (name->level < NAME_CORE || name->level == NAME_BAG)
        return STATUS_OK;
    name_hole(name, hole);
    if (!set) {
        TRY(state_renamings(state, hole, &own, err));
        set = &own;
    }
    if (!label_state && !renamings_former(set, id, &now, &at))
        return STATUS_OK;
    name_id(hole, id, out->typed);
    if (label_state) {
        TRY(carry_from(state, set, hole, label_state, &now, &out->is_certain, err));
        if (!out->is_certain && !renamings_former(set, id, &now, &at))
            return STATUS_OK;
    }
    name_id(hole, now, out->other);
    if (now.number == id.number && now.type == id.type)
        return STATUS_OK;
    if (!out->is_certain)
        TRY(is_core(state, hole, id, &is_there, err));
    out->what = is_there ? FORMER_TWICE : FORMER_CARRIED;
    if (is_there) {
        (void)snprintf(out->hole, sizeof out->hole, "%s", hole);
        out->id = now;
        out->renaming = set->renamings[at];
        return STATUS_OK;
    }
    name->core = now.number;
    name->type = now.type;
    return STATUS_OK;
}

enum status former_say(struct state *state, const char *typed, const struct former *former, struct err *err)
{
    if (former->what == FORMER_CARRIED && state->naming.is_acting && !former->is_certain) {
        err_set(err, STATUS_UNKNOWN, typed, "%s was amended and is now %s", former->typed, former->other);
        return err_hint(err, "type %s if that core is meant; another one is recorded first: coretally core add %s ...",
                        former->other, former->typed);
    }
    if (former->what == FORMER_TWICE && state->naming.is_acting && !state->naming.is_sure)
        TRY(former_ask(state, typed, former, err));
    if (former->what == FORMER_NONE || strcmp(state->shared->former_told, former->typed) == 0)
        return STATUS_OK;
    (void)snprintf(state->shared->former_told, sizeof state->shared->former_told, "%s", former->typed);
    if (former->what == FORMER_CARRIED)
        state_tell(state, "note: %s was amended and is now %s\n", former->typed, former->other);
    else
        state_tell(state,
                   "note: %s was once the name of what is now %s; a label printed then, or a table made then, means "
                   "that core\n",
                   former->typed, former->other);
    return STATUS_OK;
}

enum status former_refuse(struct state *state, const char *typed, const struct name *name, struct err *err)
{
    struct former former;
    struct name now = *name;
    TRY(former_carry(state, NULL, NULL, &now, &former, err));
    if (former.what != FORMER_CARRIED)
        return STATUS_OK;
    err_set(err, STATUS_UNKNOWN, typed, "%s was amended and is now %s", former.typed, former.other);
    return err_hint(err, "type %s, if that is meant", former.other);
}

/* --- a name used again --- */

enum status core_former_find(struct state *state, const char *hole, const struct core *typed, struct core *out,
                             enum core_former *found, struct err *err)
{
    struct renaming_set set = {0};
    struct core_id now = {typed->number, typed->type};
    struct core same;
    char path[REGISTRY_PATH_MAX];
    size_t at = 0;
    bool there = false;
    *found = CORE_FORMER_NONE;
    TRY(state_renamings(state, hole, &set, err));
    if (!renamings_former(&set, now, &now, &at))
        return STATUS_OK;
    core_path(hole, now.number, path);
    TRY(state_read(state, path, &core_table, out, &there, err));
    if (!there)
        return STATUS_OK;
    same = *out;
    same.number = typed->number;
    same.type = typed->type;
    same.was = NULL;
    same.version = typed->version;
    if (!typed->section_count) /* a table of cores has none */
        same.section_count = 0;
    *found = record_is_equal(&core_table, &same, typed) ? CORE_FORMER_SAME : CORE_FORMER_OTHER;
    return STATUS_OK;
}
