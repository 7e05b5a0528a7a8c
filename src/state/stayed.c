/* SPDX-License-Identifier: MIT */
/* What stayed behind when a core got another number: found, refused to a stranger, told. */
#include "coretally/state/stayed.h"

#include <string.h>

/* Whose it was, and what to do about it. */
struct advice {
    char owner[NAME_TEXT_MAX]; /* the core, as it is called now; "": no renaming tells */
    char hint[320];
};

enum status stayed_find(struct state *state, const char *hole, int32_t number, struct stayed *out, struct err *err)
{
    struct sample_set samples;
    struct label_set labels;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    samples_path(hole, number, path);
    TRY(state_read(state, path, &sample_set_table, &samples, &there, err));
    out->samples = there ? samples.sample_count : 0;
    core_labels_path(hole, number, path);
    TRY(state_read(state, path, &label_set_table, &labels, &there, err));
    out->labels = there ? labels.label_count : 0;
    return STATUS_OK;
}

void stayed_things(const struct stayed *stayed, char out[STAYED_TEXT_MAX])
{
    char labels[STAYED_TEXT_MAX / 2] = "";
    if (stayed->labels)
        (void)snprintf(labels, sizeof labels, "%zu label%s", stayed->labels, stayed->labels > 1 ? "s" : "");
    if (!stayed->samples)
        (void)snprintf(out, STAYED_TEXT_MAX, "%s", labels);
    else
        (void)snprintf(out, STAYED_TEXT_MAX, "%zu sample%s%s%s", stayed->samples, stayed->samples > 1 ? "s" : "",
                       stayed->labels ? ", " : "", labels);
}

/* The core that had the number last, as it is called now; false: no renaming tells. */
static bool find_owner(const struct renaming_set *set, int32_t number, struct core_id *then, struct core_id *now)
{
    for (size_t at = set->renaming_count; at-- > 0;) {
        const char *from = set->renamings[at].from;
        if (!core_id_parse(from, strlen(from), then) || then->number != number)
            continue;
        *now = *then;
        return renamings_carry(set, at, set->renaming_count, now);
    }
    return false;
}

/* Its own core takes it in under the old number, as long as it has nothing of the kind itself. */
static enum status find_advice(struct state *state, const char *hole, int32_t number, const struct stayed *stayed,
                               struct advice *out, struct err *err)
{
    struct renaming_set set = {0};
    struct stayed own = {0};
    struct core_id then;
    struct core_id now;
    char ids[2][CORE_ID_MAX];
    char path[REGISTRY_PATH_MAX];
    out->owner[0] = '\0';
    samples_path(hole, number, path);
    if (!stayed->samples)
        core_labels_path(hole, number, path);
    (void)snprintf(out->hint, sizeof out->hint,
                   "take %s out in a clone (git rm, git commit), and record what it holds under the right name", path);
    TRY(state_renamings(state, hole, &set, err));
    if (!find_owner(&set, number, &then, &now) || now.number == number)
        return STATUS_OK;
    TRY(stayed_find(state, hole, now.number, &own, err));
    core_id_format(then, ids[0]);
    core_id_format(now, ids[1]);
    (void)snprintf(out->owner, sizeof out->owner, "%s-%s", hole, ids[1]);
    if ((!stayed->samples || !own.samples) && (!stayed->labels || !own.labels))
        (void)snprintf(out->hint, sizeof out->hint,
                       "back to its core: coretally core amend %s-%s --name %s --sure --reason ..., then "
                       "%s-%s --name %s in the same way",
                       hole, ids[1], ids[0], hole, ids[0], ids[1]);
    return STATUS_OK;
}

enum status stayed_refuse(struct state *state, const char *hole, int32_t number, const char *name,
                          const struct stayed *stayed, struct err *err)
{
    char things[STAYED_TEXT_MAX];
    struct advice advice;
    stayed_things(stayed, things);
    TRY(find_advice(state, hole, number, stayed, &advice, err));
    err_set(err, STATUS_RULE, name, "%s stand%s under number %d of %s, of another core%s%s; this one would have %s",
            things, stayed->samples + stayed->labels == 1 ? "s" : "", (int)number, hole, *advice.owner ? ", now " : "",
            advice.owner, stayed->samples + stayed->labels == 1 ? "it" : "them");
    return err_hint(err, "%s", advice.hint);
}

static enum status say_number(struct state *state, const char *hole, int32_t number, struct err *err)
{
    struct stayed stayed;
    char things[STAYED_TEXT_MAX];
    struct advice advice;
    TRY(stayed_find(state, hole, number, &stayed, err));
    if (!stayed.samples && !stayed.labels)
        return STATUS_OK;
    stayed_things(&stayed, things);
    TRY(find_advice(state, hole, number, &stayed, &advice, err));
    state_tell(state, "note: %s: %s under number %d, which no core has%s%s; no list shows %s\n  %s\n", hole, things,
               (int)number, *advice.owner ? "; it was that of " : "", advice.owner,
               stayed.samples + stayed.labels == 1 ? "it" : "them", advice.hint);
    return STATUS_OK;
}

enum status stayed_say(struct state *state, const char *hole, struct err *err)
{
    char folder[REGISTRY_PATH_MAX];
    struct known_files files = {0};
    int32_t core = 0; /* the last one: in the folder a core stands before what it has */
    int32_t told = 0;
    (void)snprintf(folder, sizeof folder, "holes/%.12s/cores", hole);
    TRY(state_list(state, folder, &files, err));
    for (size_t at = 0; at < files.count; at++) {
        const int32_t number = files.items[at].number;
        if (files.items[at].known && files.items[at].known->table == &core_table)
            core = number;
        if (number == core || number == told)
            continue;
        told = number;
        TRY(say_number(state, hole, number, err));
    }
    return STATUS_OK;
}
