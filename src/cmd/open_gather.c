/* SPDX-License-Identifier: MIT */
/* What waits for a decision, gathered hole by hole. */
#include "open_gather.h"

#include <string.h>

#include "coretally/ask/waiting.h"
#include "coretally/say/verify_say.h"
#include "verify_hook.h"

/* Rows of verify that a decision of people mends; damage is verify's own. */
static bool is_of_rules(enum flaw flaw)
{
    return flaw == FLAW_RULE_BROKEN || flaw == FLAW_REFERENCE_MISSING || flaw == FLAW_NAME_TWICE ||
           flaw == FLAW_DEPTH_ORDER || flaw == FLAW_DEPTH_PAST;
}

/* verify says "interval 3" and "bag 12" where a contradiction has the number. */
static const char *item_of(const struct flaw_found *found)
{
    const char *last = strrchr(found->item, ' ');
    if (!*found->item)
        return NULL;
    return last && strspn(last + 1, "0123456789") == strlen(last + 1) ? last + 1 : found->item;
}

static enum status add_flaw(struct state *state, const struct flaw_found *found, struct waiting_list *out,
                            struct err *err)
{
    struct open_point point;
    struct waiting it = {.kind = WAITING_RULE, .sentence = found->sentence};
    const size_t len = strcspn(found->sentence, ":"); /* "core-order: its top ..." */
    const char *word = NULL;
    TRY(open_point_of(state, found->path, item_of(found), &point, err));
    it.thing = point.thing;
    TRY(arena_copy(state->arena, found->sentence, len, &word, err));
    TRY(waiting_ways(state, &point, word, &it, err));
    return waiting_add(&it, out, err);
}

/* What the rules refuse, by the look that verify takes at a hole. */
static enum status add_rules(struct run *run, struct state *state, const char *hole, struct waiting_list *out,
                             struct err *err)
{
    struct verify verify;
    TRY(verify_begin(run, "", &verify, err));
    verify.state = state;
    verify.store = state->store;
    enum status status = verify_hole_rules(&verify, hole, err);
    for (size_t at = 0; status == STATUS_OK && at < verify.found_count; at++)
        if (is_of_rules(verify.found[at].flaw))
            status = add_flaw(state, &verify.found[at], out, err);
    verify_close(&verify);
    return status;
}

enum status open_gather_hole(struct run *run, const struct target *hole, struct open_say *say, struct err *err)
{
    struct open_points points;
    struct state inner;
    struct target target = *hole;
    TRY(open_points_read(run->state, hole->hole_name, &points, err));
    for (size_t at = 0; at < points.count; at++)
        TRY(open_say_point(say, &points.items[at], err));
    state_nest(run->state, &inner); /* what is found is copied; a hole is read for itself */
    enum status status = add_rules(run, &inner, target.hole_name, &say->waiting, err);
    if (status == STATUS_OK)
        status = waiting_find(&inner, &target, &say->waiting, err);
    state_leave(&inner);
    return status;
}

static enum status add_expedition(struct run *run, struct open_say *say, struct err *err)
{
    struct open_points points;
    TRY(open_points_read(run->state, NULL, &points, err));
    for (size_t at = 0; at < points.count; at++)
        TRY(open_say_point(say, &points.items[at], err));
    return STATUS_OK;
}

enum status open_gather(struct run *run, const struct names *holes, struct open_say *say, struct err *err)
{
    struct target target = {0};
    TRY(add_expedition(run, say, err));
    for (size_t at = 0; at < holes->count; at++) {
        TRY(name_parse(holes->items[at], &target.name, err));
        TRY(resolve_hole(run->state, &target.name, &target, err));
        TRY(open_gather_hole(run, &target, say, err));
    }
    return STATUS_OK;
}
