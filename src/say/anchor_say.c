/* SPDX-License-Identifier: MIT */
/* How many anchors there were, how many hold, and up to where. */
#include "coretally/say/anchor_say.h"

static void say_count(FILE *out, const struct anchors *anchors, const char *source, size_t lines)
{
    const size_t count = anchors->states + anchors->labels;
    (void)fprintf(out, "%s: ", source);
    if (anchors->states)
        (void)fprintf(out, "%zu state%s", anchors->states, anchors->states == 1 ? "" : "s");
    if (anchors->labels)
        (void)fprintf(out, "%s%zu label%s", anchors->states ? ", " : "", anchors->labels,
                      anchors->labels == 1 ? "" : "s");
    if (!count)
        (void)fprintf(out, "nothing that can be held");
    if (lines)
        (void)fprintf(out, " in %zu line%s", lines, lines == 1 ? "" : "s");
    if (count)
        (void)fprintf(out, ": %zu hold%s, %zu fail%s", anchors->held, anchors->held == 1 ? "s" : "",
                      count - anchors->held, count - anchors->held == 1 ? "s" : "");
    if (anchors->unreadable)
        (void)fprintf(out, "; %zu more cannot be read", anchors->unreadable);
    (void)fprintf(out, "\n");
}

static enum status say_newest(struct run *run, FILE *out, const struct verify *verify, const struct anchors *anchors,
                              struct err *err)
{
    struct commit newest = {0};
    char when[INSTANT_TEXT_MAX];
    if (!*anchors->newest) {
        (void)fprintf(out, "none of them is in the history: nothing of it is held\n");
        return STATUS_OK;
    }
    TRY(store_commit(verify->store, anchors->newest, run->state->arena, &newest, err));
    instant_format(newest.when, when);
    (void)fprintf(out, "history is as it was up to commit %.10s (%s, %s); ", newest.id, when, newest.author);
    if (anchors->since)
        (void)fprintf(out, "%zu commit%s since then %s held by none\n", anchors->since, anchors->since == 1 ? "" : "s",
                      anchors->since == 1 ? "is" : "are");
    else
        (void)fprintf(out, "nothing came since then\n");
    return STATUS_OK;
}

enum status anchor_say(struct run *run, const struct verify *verify, const struct anchors *anchors, const char *source,
                       size_t lines, struct err *err)
{
    FILE *const out = run->format == SHEET_PEOPLE ? run->out : run->talk;
    say_count(out, anchors, source, lines);
    if (anchors->states + anchors->labels)
        TRY(say_newest(run, out, verify, anchors, err));
    return STATUS_OK;
}
