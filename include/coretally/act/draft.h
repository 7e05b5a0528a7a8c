/* SPDX-License-Identifier: MIT */
/* What an act would write down, before anything is written.
 *
 * The room act has what changes a registry: what is recorded is added, amended and withdrawn here. Each act is
 * one function, the same for what is typed, imported or comes from elsewhere: a state, what it is done to and the
 * record as it shall be go in; a draft comes out. It reads, judges and works out. It writes nothing, prints nothing,
 * and knows no options.
 *
 *     record --act--> draft --draft_encode--> struct act, changes --store_append--> a commit
 *
 * The caller tells a person what the draft says: findings first, notes once they pass, and what it moves. draft_encode
 * gives nothing to write while a finding is not kept, or a reason is missing.
 *
 *     core_add(state, &target, &core, &draft, err)       a draft, whatever the rules find
 *     draft_encode(state, &draft, &will, &act, &changes, err)       STATUS_RULE where they do not let it pass
 *
 * What an act points to in its draft lives in the arena of the state, or in what it was given. What was read of the
 * state is never written into: an act copies first.
 */
#ifndef CORETALLY_ACT_DRAFT_H
#define CORETALLY_ACT_DRAFT_H

#include "coretally/domain/rule.h"
#include "coretally/state/record_at.h"

enum draft_kind {
    DRAFT_CHANGE,   /* there is something to write */
    DRAFT_PRESENT,  /* it is recorded just so */
    DRAFT_WITHDRAWN /* it is withdrawn already */
};

/* New contents of a file: a record or, without a table, bytes; neither: the file goes. */
struct writing {
    const char *path;
    const struct table *table;
    const void *record;
    struct bytes bytes;
};

/* The record, or the part of one, that the act is about. */
struct changed {
    const struct table *part;
    const void *before; /* NULL: there is no change of fields to tell */
    const void *after;  /* as it shall be */
};

/* What the rules say of one more thing that an act is about. */
struct judged {
    const char *name;
    struct findings findings;
};

struct lag_check_result;

struct draft {
    enum draft_kind kind;
    const char *name; /* what it is about, as printed */

    /* a change */
    const char
        *line; /* of the commit, where it says what the act alone knows; NULL: made from the change (kind/deed.h) */
    struct findings findings;
    const char *kept; /* words of what was kept against doubt before, as of rows of a table; NULL: nothing */
    const struct judged *further; /* held after the findings, one after the other */
    size_t further_count;
    const struct lag_check_result *measured; /* by a lag check; NULL */
    const struct err *refused;               /* why it cannot be, whatever is kept: said once the findings pass; NULL */
    const char *notes;                       /* lines for a person, shown once the findings pass; NULL: none */
    struct writing *writings;
    size_t writing_count;
    size_t writing_room;
    bool is_bulk;      /* of store_append */
    bool needs_reason; /* what was recorded changes */
    struct changed changed;

    struct record_at present; /* DRAFT_PRESENT; table NULL: no record of its own */
    const char *withdrawn;    /* DRAFT_WITHDRAWN: the reason that stands */
};

/* What the person says to it. */
struct will {
    const char *command; /* the kind of act: "core add" */
    const char *reason;  /* NULL: none given */
    enum keeping keeping;
};

/* What the draft is to write, for store_append; draft->writing_count changes. act->actor is left to the caller. */
MUST_CHECK enum status draft_encode(struct state *state, const struct draft *draft, const struct will *will,
                                    struct act *act, struct change **changes, struct err *err);

/* STATUS_USAGE unless there is a reason with something in it. */
MUST_CHECK enum status reason_check(const struct will *will, struct err *err);
/* A record that is withdrawn is amended only to bring it back. */
MUST_CHECK enum status standing_check(const char *name, const char *withdrawn, struct err *err);

/* --- for acts --- */

void draft_init(struct draft *draft);
/* One more record to write; it must last as long as the draft. */
MUST_CHECK enum status draft_write(struct state *state, struct draft *draft, const char *path,
                                   const struct table *table, const void *record, struct err *err);
/* A file that is no record of a table, or was encoded already. */
MUST_CHECK enum status draft_write_bytes(struct state *state, struct draft *draft, const char *path, struct bytes bytes,
                                         struct err *err);
/* A file that goes. */
MUST_CHECK enum status draft_remove(struct state *state, struct draft *draft, const char *path, struct err *err);
/* It is recorded already. at NULL: it has no record of its own. */
MUST_CHECK enum status draft_present(struct state *state, struct draft *draft, const char *name,
                                     const struct record_at *at, struct err *err);
/* It is withdrawn already. */
MUST_CHECK enum status draft_withdrawn(struct state *state, struct draft *draft, const char *name, const char *reason,
                                       struct err *err);
/* It cannot be, but what is doubted is said first. Running out of something, or damage, is no such refusal: it ends the
 * act at once. */
MUST_CHECK enum status draft_refuse(struct state *state, struct draft *draft, struct err *err);
/* Text in the arena of the state. */
MUST_CHECK enum status draft_copy(struct state *state, const char *string, const char **out, struct err *err);

#endif
