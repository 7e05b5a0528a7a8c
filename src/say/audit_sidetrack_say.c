/* SPDX-License-Identifier: MIT */
/* What a sidetrack has from the holes that it leaves: the reading of the seafloor with what corrects it, and the way
 * down to the kickoff (domain/depth_pipe.c, depth_vertical.c). All else moves the readings of the hole that it is of.
 */
#include "coretally/say/audit_say.h"
#include "coretally/state/correction_text.h"

struct lists {
    struct text taken;
    struct text left;
};

static enum status add_one(struct state *state, const struct correction *it, const char *note, struct text *out,
                           struct err *err)
{
    const char *amount = NULL;
    TRY(correction_words_of(state, it, correction_add_amount, &amount, err));
    text_addf(out, "%scorrection %d of %s (%s, %s)%s", out->len ? "; " : "", (int)it->number, it->hole,
              correction_words[it->kind], amount, note);
    return STATUS_OK;
}

static enum status add_hole(struct state *state, const struct hole *it, bool has_seafloor, struct lists *lists,
                            struct err *err)
{
    for (size_t at = 0; at < it->correction_count; at++) {
        const struct correction *one = it->corrections[at];
        if (one->kind == CORRECTION_SURVEY)
            TRY(add_one(state, one, " above the kickoff", &lists->taken, err));
        else
            TRY(add_one(state, one, "", one->kind == CORRECTION_SEAFLOOR && has_seafloor ? &lists->taken : &lists->left,
                        err));
    }
    return STATUS_OK;
}

enum status audit_sidetrack_add(struct audit *audit, const struct audit_hole *hole, struct sheet *facts,
                                struct err *err)
{
    struct state *const state = audit->run->state;
    const struct hole *own = &hole->roll.target.hole;
    const struct hole *read = hole->seafloor.of;
    bool has_seafloor = read != own; /* that of the hole that is looked at is its seafloor, too */
    struct lists lists;
    struct bytes bytes;
    char name[HOLE_TEXT_MAX];
    if (!own->parent)
        return STATUS_OK;
    text_init(&lists.taken, state->arena);
    text_init(&lists.left, state->arena);
    hole_text(read, name);
    if (has_seafloor && hole->seafloor.um != LENGTH_NONE)
        text_addf(&lists.taken, "the seafloor as read in %s", name);
    for (const struct hole *it = own->parent_hole; it; it = it->parent_hole) {
        TRY(add_hole(state, it, has_seafloor, &lists, err));
        has_seafloor = has_seafloor && it != read;
    }
    TRY(text_done(&lists.taken, &bytes, err));
    TRY(audit_fact_add(facts, "takes over", bytes.len ? bytes.data : "nothing", err));
    TRY(text_done(&lists.left, &bytes, err));
    return audit_fact_add(facts, "does not take over", bytes.len ? bytes.data : NULL, err);
}
