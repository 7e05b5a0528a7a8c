/* SPDX-License-Identifier: MIT */
/* Where a flaw of the state first shows. Two sides that do not know of each other may each keep every rule, and break
 * one together: a section is cut shorter here, a sample is taken from its end there. Nobody did wrong, so nobody is
 * held up: what the join of two sides brought, and neither of them had, is told as open. What an act brought is wrong.
 *
 * Between two joins the history is a line, and only its ends are looked at: a flaw that stands at both of them is not
 * the work of an act between them. (Mended and broken again inside one line, it still counts as open.) The cost is that
 * of the joins since the flaw first showed, and of these only those where what it rests on differs. A history without
 * joins costs a walk along it, and that only where something was found.
 */
#include <stdlib.h>
#include <string.h>

#include "coretally/domain/renaming.h"
#include "first.h"

/* A flaw at a commit. */
struct trace {
    const struct line_node *at;
    struct sight *sight;
    struct mark mark;
};

struct first {
    struct sights sights;
    struct line_map lines;
    struct trace *todo;
    size_t todo_count;
    size_t todo_room;
};

/* --- the same flaw at an earlier commit --- */

static enum status read_renamings(struct first *first, const char *hole, const char *commit, struct renaming_set *out,
                                  struct err *err)
{
    struct state at;
    struct err why = {0};
    TRY(store_stand_at(first->sights.store, commit, err));
    state_at(&first->sights.aside, first->sights.store, &at);
    const enum status status = state_renamings(&at, hole, out, &why);
    if (status == STATUS_SYSTEM)
        *err = why;
    if (status != STATUS_OK)
        record_init(&renaming_set_table, out);
    return status == STATUS_SYSTEM ? status : STATUS_OK;
}

static bool has_renaming(const struct renaming_set *set, const struct renaming *it)
{
    for (size_t at = 0; at < set->renaming_count; at++)
        if (strcmp(set->renamings[at].from, it->from) == 0 && strcmp(set->renamings[at].to, it->to) == 0)
            return true;
    return false;
}

/* The file under the number that its core had at the earlier commit; NULL: the same. */
static enum status find_former(struct first *first, const struct trace *later, const char *earlier, struct sight **out,
                               struct err *err)
{
    struct renaming_set now;
    struct renaming_set then;
    const struct place_known *place = &later->sight->place;
    int32_t number = place->number;
    char path[REGISTRY_PATH_MAX];
    *out = NULL;
    if (!place_is_of_core(place))
        return STATUS_OK;
    TRY(read_renamings(first, place->hole, later->at->id, &now, err));
    TRY(read_renamings(first, place->hole, earlier, &then, err));
    for (size_t at = now.renaming_count; at-- > 0;) {
        const struct renaming *it = &now.renamings[at];
        if (!has_renaming(&then, it) && strtol(it->to, NULL, 10) == number)
            number = (int32_t)strtol(it->from, NULL, 10);
    }
    if (number == place->number)
        return STATUS_OK;
    if (place->known->table == &core_table)
        core_path(place->hole, number, path);
    else if (place->known->table == &sample_set_table)
        samples_path(place->hole, number, path);
    else
        core_labels_path(place->hole, number, path);
    return sight_find(&first->sights, path, out, err);
}

/* A flaw that the later state alone has is one that the earlier alone has, under another name: a sample was amended. */
static const struct mark *find_renamed(const struct glance *now, const struct glance *then, const struct mark *mark)
{
    for (size_t at = 0; at < then->count; at++)
        if (then->marks[at].flaw == mark->flaw && strcmp(then->marks[at].rule, mark->rule) == 0 &&
            !glance_has(now, &then->marks[at]))
            return &then->marks[at];
    return NULL;
}

/* *there: the flaw is one at the earlier commit, too; out: as it is there. */
static enum status carry(struct first *first, const struct trace *later, const struct line_node *earlier,
                         struct trace *out, bool *there, struct err *err)
{
    struct glance *now = NULL;
    struct glance *then = NULL;
    struct sight *former = NULL;
    *out = *later;
    out->at = earlier;
    TRY(sight_look(&first->sights, later->sight, later->at->id, &now, err));
    TRY(sight_look(&first->sights, later->sight, earlier->id, &then, err));
    *there = glance_has(then, &later->mark);
    if (*there)
        return STATUS_OK;
    TRY(find_former(first, later, earlier->id, &former, err));
    if (former) {
        out->sight = former;
        TRY(sight_look(&first->sights, former, earlier->id, &then, err));
        *there = glance_has(then, &later->mark);
    }
    const struct mark *renamed = *there ? NULL : find_renamed(now, then, &later->mark);
    if (renamed)
        out->mark = *renamed;
    *there = *there || renamed;
    return STATUS_OK;
}

static enum status push(struct first *first, const struct trace *trace, struct err *err)
{
    for (size_t at = 0; at < first->todo_count; at++)
        if (first->todo[at].at == trace->at && mark_is_same(&first->todo[at].mark, &trace->mark))
            return STATUS_OK;
    TRY(arena_grow(first->sights.aside.arena, &first->todo, first->todo_count, &first->todo_room, sizeof *trace, err));
    first->todo[first->todo_count++] = *trace;
    return STATUS_OK;
}

/* From a flaw to the join before it and its two sides; *is_act: no join brought it. *join: one that did. */
static enum status step(struct first *first, const struct trace *from, bool *is_act, char join[COMMIT_ID_MAX],
                        struct err *err)
{
    struct trace at = *from;
    const struct line_node *end = NULL;
    bool there = true;
    bool any = false;
    TRY(line_end(&first->lines, first->sights.verify->store, from->at, &end, err));
    if (end != from->at)
        TRY(carry(first, from, end, &at, &there, err));
    if (!there || end->parents.count != SIDES_MAX) {
        *is_act = true;
        return STATUS_OK;
    }
    for (size_t side = 0; side < SIDES_MAX; side++) {
        const struct line_node *parent = NULL;
        struct trace before;
        TRY(line_find(&first->lines, first->sights.verify->store, end->parents.ids[side], &parent, err));
        TRY(carry(first, &at, parent, &before, &there, err));
        any = any || there;
        if (there)
            TRY(push(first, &before, err));
    }
    if (!any)
        memcpy(join, end->id, COMMIT_ID_MAX);
    return STATUS_OK;
}

/* Is what was found the work of joins alone? */
static enum status judge(struct first *first, const struct flaw_found *found, bool *is_open, char join[COMMIT_ID_MAX],
                         struct err *err)
{
    const char *commit = *found->commit ? found->commit : store_state(first->sights.verify->store);
    struct trace trace = {.mark = mark_of(found)};
    struct glance *glance = NULL;
    bool is_act = false;
    *is_open = false;
    first->todo_count = 0;
    TRY(sight_find(&first->sights, found->path, &trace.sight, err));
    if (!trace.sight)
        return STATUS_OK;
    TRY(line_find(&first->lines, first->sights.verify->store, commit, &trace.at, err));
    TRY(sight_look(&first->sights, trace.sight, commit, &glance, err));
    if (!glance_has(glance, &trace.mark)) /* told of what an act did, not of how things stand */
        return STATUS_OK;
    TRY(push(first, &trace, err));
    for (size_t at = 0; !is_act && at < first->todo_count; at++) {
        const struct trace next = first->todo[at];
        TRY(step(first, &next, &is_act, join, err));
    }
    *is_open = !is_act;
    return STATUS_OK;
}

/* --- what was found --- */

/* Two papers with one copy number differ by their state or time; nothing is to be decided. */
static bool is_copy(const struct flaw_found *found)
{
    struct place_known place;
    return found->flaw == FLAW_NAME_TWICE && registry_place(found->path, &place) &&
           place.known->table == &label_set_table;
}

static bool is_told_before(const struct verify *verify, size_t from, const struct flaw_found *found)
{
    for (size_t at = from; at < verify->found_count && &verify->found[at] != found; at++) {
        const struct flaw_found *other = &verify->found[at];
        if (other->flaw == FLAW_RULE_OPEN && strcmp(other->path, found->path) == 0 &&
            strcmp(other->item, found->item) == 0 && strcmp(other->sentence, found->sentence) == 0)
            return true;
    }
    return false;
}

static enum status make_open(struct first *first, struct flaw_found *found, const char *join, struct err *err)
{
    struct verify *verify = first->sights.verify;
    struct text text;
    struct bytes bytes;
    text_init(&text, verify->state->arena);
    text_addf(&text, "%s: %s; each side was right by itself", flaw_word(found->flaw), found->sentence);
    TRY(text_done(&text, &bytes, err));
    found->flaw = FLAW_RULE_OPEN;
    found->sentence = bytes.data;
    return arena_copy(verify->state->arena, join, strlen(join), &found->commit, err);
}

static enum status judge_all(struct first *first, size_t from, struct err *err)
{
    struct verify *verify = first->sights.verify;
    size_t kept = from;
    for (size_t at = from; at < verify->found_count; at++) {
        struct flaw_found found = verify->found[at];
        char join[COMMIT_ID_MAX] = "";
        bool is_open = false;
        if (flaw_may_be_open(found.flaw)) {
            struct err why = {0};
            const enum status status = judge(first, &found, &is_open, join, &why);
            if (status == STATUS_SYSTEM) {
                *err = why;
                return status;
            }
            is_open = is_open && status == STATUS_OK; /* what cannot be read back stays as it was found */
        }
        if (is_open) {
            const bool is_dropped = is_copy(&found);
            verify->counts[flaw_severity(found.flaw)]--;
            TRY(make_open(first, &found, join, err));
            if (is_dropped || is_told_before(verify, from, &found))
                continue;
            verify->counts[SEVERITY_DOUBTFUL]++;
        }
        verify->found[kept++] = found;
    }
    verify->found_count = kept;
    return STATUS_OK;
}

enum status verify_first(struct verify *verify, size_t from, struct err *err)
{
    struct first first = {.todo_count = 0};
    const struct line_node *tip = NULL;
    const struct line_node *end = NULL;
    struct err why = {0};
    bool any = false;
    for (size_t at = from; at < verify->found_count; at++)
        any = any || flaw_may_be_open(verify->found[at].flaw);
    if (!any)
        return STATUS_OK;
    sights_begin(&first.sights, verify);
    first.lines.arena = first.sights.aside.arena;
    enum status status = line_find(&first.lines, verify->store, store_state(verify->store), &tip, &why);
    if (status == STATUS_OK)
        status = line_end(&first.lines, verify->store, tip, &end, &why);
    if (status == STATUS_OK && end->parents.count > 1)
        status = judge_all(&first, from, &why);
    sights_end(&first.sights);
    if (status == STATUS_SYSTEM)
        *err = why;
    return status == STATUS_SYSTEM ? status : STATUS_OK; /* a history that cannot be read is told by itself */
}
