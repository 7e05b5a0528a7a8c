/* SPDX-License-Identifier: MIT */
/* What verify found: a row a flaw, and what was looked at. */
#include "coretally/say/verify_say.h"

#include <string.h>

enum { THINGS_TOLD = 3, ACTS_TOLD = 20 };

static enum status add_found(struct sheet *sheet, const struct flaw_found *found, struct err *err)
{
    const struct cell cells[] = {cell_text(severity_words[flaw_severity(found->flaw)]),
                                 cell_text(flaw_word(found->flaw)),
                                 cell_text(found->path),
                                 cell_text(found->item),
                                 cell_commit_whole(found->commit),
                                 cell_text(found->sentence),
                                 cell_text(NULL),
                                 cell_text(NULL),
                                 cell_text(NULL)};
    return sheet_add_row(sheet, cells, err);
}

static enum status add_kept(struct run *run, struct sheet *sheet, const struct kept_found *kept, struct err *err)
{
    struct text text;
    struct bytes bytes;
    text_init(&text, run->state->arena);
    text_addf(&text, "%s: %s", rule_word(kept->doubt.rule), kept->doubt.sentence);
    TRY(text_done(&text, &bytes, err));
    const struct cell cells[] = {cell_text("kept"),
                                 cell_text("rule-kept"),
                                 cell_text(kept->doubt.path),
                                 cell_text(kept->doubt.item),
                                 cell_commit_whole(kept->source.id),
                                 cell_text(bytes.data),
                                 cell_text(kept->source.author),
                                 cell_instant(kept->source.when),
                                 cell_text(kept->reason)};
    return sheet_add_row(sheet, cells, err);
}

/* For programs what was kept stands behind the flaws, with who kept it; for people it is told by itself. */
static enum status print_found(struct run *run, const struct verify *verify, struct err *err)
{
    static const struct column columns[] = {
        {"severity", NULL, false}, {"flaw", NULL, false},   {"path", NULL, false},
        {"item", NULL, false},     {"commit", NULL, false}, {"sentence", NULL, false},
        {"by", NULL, false},       {"when", NULL, false},   {"reason", NULL, false}};
    const bool is_whole = run->format != SHEET_PEOPLE;
    struct sheet sheet;
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0] - (is_whole ? 0 : 3));
    for (size_t at = 0; at < verify->found_count; at++)
        TRY(add_found(&sheet, &verify->found[at], err));
    for (size_t at = 0; is_whole && at < verify->kept_count; at++)
        TRY(add_kept(run, &sheet, &verify->kept[at], err));
    return run_print_sheet(run, &sheet, err);
}

/* Nothing where no act is signed by a key. */
static void say_keys(FILE *to, const struct verify *verify)
{
    const size_t *counts = verify->keys.counts;
    size_t all = 0;
    for (int state = 0; state < KEY_STATE_COUNT; state++)
        all += counts[state];
    const size_t known = counts[KEY_PROVEN] + counts[KEY_EXPIRED];
    if (all == counts[KEY_NONE])
        return;
    (void)fprintf(to, "signed by a key: %zu of %zu acts; proven to be the author's: %zu\n", all - counts[KEY_NONE], all,
                  known);
    if (counts[KEY_UNKNOWN])
        (void)fprintf(to,
                      "not proven: %zu, whose keys are not known here: git config gpg.ssh.allowedSignersFile FILE, "
                      "or gpg --import\n",
                      counts[KEY_UNKNOWN]);
}

static void say_looked_at(FILE *to, const struct verify *verify)
{
    const size_t *counts = verify->counts;
    (void)fprintf(to, "looked at %zu file%s, %zu commit%s, %zu label%s: %zu damaged, %zu wrong, %zu doubtful",
                  verify->files, verify->files == 1 ? "" : "s", verify->commits, verify->commits == 1 ? "" : "s",
                  verify->labels, verify->labels == 1 ? "" : "s", counts[SEVERITY_DAMAGED], counts[SEVERITY_WRONG],
                  counts[SEVERITY_DOUBTFUL]);
    if (verify->kept_count)
        (void)fprintf(to, ", %zu kept against doubt", verify->kept_count);
    (void)fputs("\n", to);
    say_keys(to, verify);
}

/* What one act kept against one rule. */
struct kept_group {
    const struct kept_found *things[THINGS_TOLD];
    size_t count;
};

static enum status group_kept(struct run *run, const struct verify *verify, struct kept_group **out, size_t *count,
                              struct err *err)
{
    TRY(arena_take(run->state->arena, verify->kept_count, sizeof **out, out, err));
    for (size_t at = 0; at < verify->kept_count; at++) {
        const struct kept_found *kept = &verify->kept[at];
        size_t of = *count;
        while (of && ((*out)[of - 1].things[0]->doubt.rule != kept->doubt.rule ||
                      strcmp((*out)[of - 1].things[0]->source.id, kept->source.id) != 0))
            of--;
        struct kept_group *group = of ? &(*out)[of - 1] : &(*out)[(*count)++];
        if (!of)
            *group = (struct kept_group){.count = 0};
        if (group->count < THINGS_TOLD)
            group->things[group->count] = kept;
        group->count++;
    }
    return STATUS_OK;
}

static void print_group(FILE *out, const struct kept_group *group)
{
    const struct kept_found *first = group->things[0];
    char when[INSTANT_TEXT_MAX];
    instant_format(first->source.when, when);
    (void)fprintf(out, "  %s: ", rule_word(first->doubt.rule));
    for (size_t at = 0; at < group->count && at < THINGS_TOLD; at++)
        (void)fprintf(out, "%s%s", at ? ", " : "", group->things[at]->thing);
    if (group->count > THINGS_TOLD)
        (void)fprintf(out, " and %zu more", group->count - THINGS_TOLD);
    (void)fprintf(out, "\n    by %s, %s, commit %.10s%s%s\n", first->source.author, when, first->source.id,
                  first->reason ? ": " : "", first->reason ? first->reason : "");
}

static enum status print_kept(struct run *run, const struct verify *verify, struct err *err)
{
    struct kept_group *groups = NULL;
    size_t count = 0;
    if (!verify->kept_count || run->format != SHEET_PEOPLE)
        return STATUS_OK;
    TRY(group_kept(run, verify, &groups, &count, err));
    (void)fprintf(run->out, "kept against doubt by whoever was sure, which is no flaw:\n");
    for (size_t at = 0; at < count && at < ACTS_TOLD; at++)
        print_group(run->out, &groups[at]);
    if (count > ACTS_TOLD)
        (void)fprintf(run->out, "  and %zu more: coretally kept lists all\n", count - ACTS_TOLD);
    return STATUS_OK;
}

enum status verify_say(struct run *run, struct verify *verify, struct err *err)
{
    const size_t *counts = verify->counts;
    const size_t all = counts[SEVERITY_DOUBTFUL] + counts[SEVERITY_WRONG] + counts[SEVERITY_DAMAGED];
    if (verify->failed) {
        *err = verify->failure;
        return err->status;
    }
    if (all || run->format != SHEET_PEOPLE)
        TRY(print_found(run, verify, err));
    if (all > verify->found_count)
        (void)fprintf(run->talk, "%zu more like these\n", all - verify->found_count);
    TRY(print_kept(run, verify, err));
    FILE *const end = run->format == SHEET_PEOPLE ? run->out : run->talk;
    if (verify->is_anchors_alone)
        (void)fprintf(end, "nothing else was looked at; without --quick everything is\n");
    else
        say_looked_at(end, verify);
    if (!counts[SEVERITY_DAMAGED] && !counts[SEVERITY_WRONG])
        return STATUS_OK;
    err_set(err, STATUS_DAMAGED, "registry", "it is not sound: %zu damaged, %zu wrong", counts[SEVERITY_DAMAGED],
            counts[SEVERITY_WRONG]);
    if (*verify->undo.join)
        return err_hint(err,
                        "undo the merge in your clone: git reset --hard %.10s; git branch other %.10s; coretally join "
                        "other; what was recorded after it comes back by: git cherry-pick %.10s..ORIG_HEAD",
                        verify->undo.ours, verify->undo.theirs, verify->undo.join);
    if (verify->anchors_failed)
        return err_hint(err,
                        "change nothing in this registry and its copies: one from before shows what was changed, as "
                        "README.md, 'Anchors', tells");
    return err_hint(
        err,
        "history and clones hold earlier versions: git log -- PATH; coretally verify --help says what each word means");
}
