/* SPDX-License-Identifier: MIT */
/* What verify found: a row a flaw, and what was looked at. */
#include "coretally/say/verify_say.h"

#include <string.h>

static enum status print_found(struct run *run, const struct verify *verify, struct err *err)
{
    static const struct column columns[] = {{"severity", NULL, false}, {"flaw", NULL, false},
                                            {"path", NULL, false},     {"item", NULL, false},
                                            {"commit", NULL, false},   {"sentence", NULL, false}};
    struct sheet sheet;
    sheet_init(&sheet, run->state->arena, columns, sizeof columns / sizeof columns[0]);
    for (size_t at = 0; at < verify->found_count; at++) {
        const struct flaw_found *found = &verify->found[at];
        const struct cell cells[] = {cell_text(severity_words[flaw_severity(found->flaw)]),
                                     cell_text(flaw_word(found->flaw)),
                                     cell_text(found->path),
                                     cell_text(found->item),
                                     cell_commit_whole(found->commit),
                                     cell_text(found->sentence)};
        TRY(sheet_add_row(&sheet, cells, err));
    }
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
    (void)fprintf(to, "looked at %zu file%s, %zu commit%s, %zu label%s: %zu damaged, %zu wrong, %zu doubtful\n",
                  verify->files, verify->files == 1 ? "" : "s", verify->commits, verify->commits == 1 ? "" : "s",
                  verify->labels, verify->labels == 1 ? "" : "s", counts[SEVERITY_DAMAGED], counts[SEVERITY_WRONG],
                  counts[SEVERITY_DOUBTFUL]);
    say_keys(to, verify);
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
