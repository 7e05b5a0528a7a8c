/* SPDX-License-Identifier: MIT */
/* Who kept what the rules doubt. An act that is sure says against which rules it kept something, and so do imports of
 * doubtful rows; each doubt of the state is held against the acts on its file, and on those that the rule looks at
 * beside it:
 *
 *     an act that left it so names the rule:         it was kept, and by whom
 *     an act on the file itself brought it, and
 *     does not name the rule:                        wrong: entry asks, and takes nothing in without an answer
 *     a join brought it:                             open, like all that two sides broke together
 *     it came with another record, or by an act of
 *     a version that did not have the rule yet:      doubtful
 *
 * A value that changed makes another sentence, so that an old answer is none to a new question. The history is walked
 * once for as many files as a trail takes, and only where something is doubted.
 */
#include <string.h>

#include "coretally/ask/kept_words.h"
#include "coretally/state/open.h"
#include "asked.h"

/* Rules that acts of earlier versions did not ask, or told of as a remark. */
static bool is_young(enum rule rule)
{
    switch (rule) {
    case RULE_PIECE_EMPTY:
    case RULE_SAMPLE_NO_LENGTH:
    case RULE_BAG_LONG:
    case RULE_TIME_FUTURE:
    case RULE_DECK_ORDER:
    case RULE_DECK_FAR:
    case RULE_TAKEN_EARLY:
        return true;
    default:
        return false;
    }
}

/* --- what becomes of a doubt --- */

static enum status tell_kept(struct batch *batch, const struct doubt *doubt, const struct commit *by, struct err *err)
{
    struct verify *verify = batch->verify;
    struct arena *arena = verify->state->arena;
    struct kept_found kept = {.doubt = *doubt};
    struct open_point point;
    TRY(open_point_of(&batch->state, doubt->path, *doubt->item ? doubt->item : NULL, &point, err));
    TRY(arena_copy(arena, point.thing, strlen(point.thing), &kept.thing, err));
    TRY(source_of_commit(verify->state, by, &kept.source, err));
    TRY(kept_reason(by, arena, &kept.reason, err));
    TRY(arena_grow(arena, &verify->kept, verify->kept_count, &verify->kept_room, sizeof kept, err));
    verify->kept[verify->kept_count++] = kept;
    return STATUS_OK;
}

static void tell_flaw(struct verify *verify, enum flaw flaw, const struct doubt *doubt, const char *brought)
{
    verify->commit = flaw == FLAW_RULE_DOUBTED ? "" : brought;
    flaw_add(verify, flaw, doubt->path, doubt->item, "%s: %s%s", rule_word(doubt->rule), doubt->sentence,
             flaw == FLAW_RULE_OPEN ? "; each side was right by itself" : "");
    verify->commit = "";
}

/* What of the file was doubted after an act, and before it. */
struct around {
    int32_t *after; /* versions, as doubted_then gives them */
    int32_t *line;
    bool *before;  /* on any line */
    bool *is_same; /* in the same version, too */
    bool is_own;   /* the act was on the file itself, and not on that of a core which had its number then */
};

static bool is_own(const struct batch *batch, const struct asked *asked, const struct seen *act, int32_t number)
{
    const struct place_known *place = &asked->file.place;
    char path[REGISTRY_PATH_MAX];
    if (!place_is_of_core(place))
        return act->touched & asked->own;
    (place->known->table == &core_table ? core_path : samples_path)(place->hole, number, path);
    for (size_t at = 0; at < batch->path_count; at++)
        if ((act->touched & asked->own & (UINT64_C(1) << at)) && strcmp(batch->paths[at], path) == 0)
            return true;
    return false;
}

static enum status look_around(struct batch *batch, const struct asked *asked, const struct seen *act,
                               struct around *out, struct err *err)
{
    const size_t count = asked->file.count;
    int32_t number = 0;
    TRY(doubted_then(batch->verify, &asked->file, act->commit.id, out->after, &number, err));
    out->is_own = is_own(batch, asked, act, number);
    memset(out->before, 0, count * sizeof *out->before);
    memset(out->is_same, 0, count * sizeof *out->is_same);
    for (size_t line = 0; line < act->line_count; line++) {
        TRY(doubted_then(batch->verify, &asked->file, act->parents[line], out->line, &number, err));
        for (size_t at = 0; at < count; at++) {
            out->before[at] = out->before[at] || out->line[at];
            out->is_same[at] = out->is_same[at] || out->line[at] == out->after[at];
        }
    }
    return STATUS_OK;
}

static bool has_open(const struct asked *asked, const struct seen *keeper)
{
    for (size_t at = 0; at < asked->file.count; at++)
        if (!asked->is_done[at] && (!keeper || seen_keeps(keeper, asked->file.doubts[at].rule)))
            return true;
    return false;
}

/* The latest act that names the rule and left things as they are: it brought them, or kept them as they were and
 * counted a version. */
static enum status find_keepers(struct batch *batch, struct asked *asked, struct around *around, struct err *err)
{
    for (size_t act = 0; act < batch->act_count; act++) {
        const struct seen *seen = &batch->acts[act];
        if (!(seen->touched & (asked->own | asked->beside)) || !has_open(asked, seen))
            continue;
        TRY(look_around(batch, asked, seen, around, err));
        for (size_t at = 0; at < asked->file.count; at++) {
            if (asked->is_done[at] || !seen_keeps(seen, asked->file.doubts[at].rule) || !around->after[at] ||
                around->is_same[at])
                continue;
            asked->is_done[at] = true;
            TRY(tell_kept(batch, &asked->file.doubts[at], &seen->commit, err));
        }
    }
    return STATUS_OK;
}

/* The latest act on the file itself that brought it. */
static enum status find_bringers(struct batch *batch, struct asked *asked, struct around *around, struct err *err)
{
    for (size_t act = 0; act < batch->act_count && has_open(asked, NULL); act++) {
        const struct seen *seen = &batch->acts[act];
        if (!(seen->touched & asked->own))
            continue;
        TRY(look_around(batch, asked, seen, around, err));
        for (size_t at = 0; at < asked->file.count; at++) {
            const struct doubt *doubt = &asked->file.doubts[at];
            if (!around->is_own || asked->is_done[at] || !around->after[at] || around->before[at])
                continue;
            asked->is_done[at] = true;
            tell_flaw(batch->verify,
                      seen->is_join           ? FLAW_RULE_OPEN
                      : is_young(doubt->rule) ? FLAW_RULE_DOUBTED
                                              : FLAW_RULE_UNKEPT,
                      doubt, seen->commit.id);
        }
    }
    return STATUS_OK;
}

/* No act on the file brought it in these words: one that was sure of it in others still counts. */
static enum status tell_rest(struct batch *batch, struct asked *asked, struct around *around, struct err *err)
{
    for (size_t act = 0; act < batch->act_count; act++) {
        const struct seen *seen = &batch->acts[act];
        if (!(seen->touched & asked->own) || !has_open(asked, seen))
            continue;
        TRY(look_around(batch, asked, seen, around, err));
        for (size_t at = 0; around->is_own && at < asked->file.count; at++)
            if (!asked->is_done[at] && seen_keeps(seen, asked->file.doubts[at].rule)) {
                asked->is_done[at] = true;
                TRY(tell_kept(batch, &asked->file.doubts[at], &seen->commit, err));
            }
    }
    for (size_t at = 0; at < asked->file.count; at++)
        if (!asked->is_done[at])
            tell_flaw(batch->verify, FLAW_RULE_DOUBTED, &asked->file.doubts[at], "");
    return STATUS_OK;
}

static enum status judge(struct batch *batch, struct asked *asked, struct err *err)
{
    struct arena *arena = batch->state.arena;
    const size_t count = asked->file.count;
    struct around around;
    TRY(arena_take(arena, count, sizeof *around.after, &around.after, err));
    TRY(arena_take(arena, count, sizeof *around.line, &around.line, err));
    TRY(arena_take(arena, count, sizeof *around.before, &around.before, err));
    TRY(arena_take(arena, count, sizeof *around.is_same, &around.is_same, err));
    TRY(find_keepers(batch, asked, &around, err));
    TRY(find_bringers(batch, asked, &around, err));
    return tell_rest(batch, asked, &around, err);
}

/* --- batches --- */

static enum status ask(struct batch *batch, size_t *next, struct err *err)
{
    bool there = false;
    batch->state.sink = NULL;
    batch->state.store = batch->verify->store;
    TRY(state_read(&batch->state, EXPEDITION_PATH, &expedition_table, &batch->state.expedition, &there, err));
    TRY(batch_fill(batch, next, err));
    if (batch->file_count)
        TRY(batch_walk(batch, err));
    for (size_t at = 0; at < batch->file_count; at++)
        TRY(judge(batch, &batch->files[at], err));
    return STATUS_OK;
}

/* What cannot be read back is told where it is read first; that nobody could be asked is told here. */
static void tell_unasked(struct verify *verify, size_t from, size_t to)
{
    for (size_t at = from; at < to; at++)
        tell_flaw(verify, FLAW_RULE_DOUBTED, &verify->doubts[at], "");
}

enum status verify_kept(struct verify *verify, struct err *err)
{
    for (size_t next = 0; next < verify->doubt_count;) {
        const size_t from = next;
        struct batch batch = {.verify = verify};
        struct err why = {0};
        state_nest(verify->state, &batch.state);
        const enum status status = ask(&batch, &next, &why);
        state_leave(&batch.state);
        if (status == STATUS_SYSTEM) {
            *err = why;
            return status;
        }
        next += next == from;
        if (status != STATUS_OK)
            tell_unasked(verify, from, next);
    }
    if (verify->doubts_left)
        flaw_add(verify, FLAW_RULE_DOUBTED, "", "", "%zu more things are doubted than are looked at",
                 verify->doubts_left);
    verify->doubt_count = verify->doubts_left = 0;
    return STATUS_OK;
}
