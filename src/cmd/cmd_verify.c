/* SPDX-License-Identifier: MIT */
/* Is the registry sound? Everything in it, or what a range of commits changed; by hand, or as a hook of git. */
#include <ctype.h>
#include <string.h>

#include "coretally/store/merge.h"
#include "coretally/say/verify_say.h"
#include "verify_against.h"
#include "verify_hook.h"

static enum status run_verify(struct run *run, struct err *err);

static const struct option verify_options[] = {
    {"since", "STATE", "only what came after this state, which must still be in the history, but for a branch"},
    {"quick", NULL, "only the state, not the commits that led to it; with --against only that"},
    {"against", "WHAT", "hold what was printed earlier against the history: a report, scanned labels, a tag, a commit"},
    {"hook", "KIND", "pre-receive: read what a push would move from standard input, as git's hook"},
    {"hook-text", NULL, "print the hook, to put it into hooks/pre-receive of a registry"},
    {0},
};

#define FLAW_HELP(id, word, severity, meaning) "  " word ": " meaning "\n"

const struct command verify_command = {
    .words = "verify",
    .arguments = "[OLD..NEW]",
    .purpose = "check whether the registry is sound: objects, records, references, rules, labels, history",
    .example = "verify --since 511db7b2fa",
    .detail =
        "Without a range everything is checked: each file, how records fit together, each label's depth worked out "
        "anew at\nthe state that it names, and each commit: what it changed, and whether an act does that. damaged: "
        "cannot be read;\nwrong: no act leaves it so; doubtful: a person should look. Exit 8 if anything is damaged or "
        "wrong. What it finds:\n" FLAW_LIST(
            FLAW_HELP) "What an act kept against doubt is no flaw: it is told behind the flaws, with who kept it and "
                       "why "
                       "(rule-kept for programs).\nOLD and NEW are states as for --as-of: main..origin/main looks at "
                       "what was fetched.\n"
                       "--against: a file (or - for standard input) with states or labels in any text: a report, a "
                       "list "
                       "of scanned labels,\nof ids, CSV, JSON; or a tag, the digits of a commit, the text of one "
                       "label. "
                       "Each state must be in the history, each label\nrecorded as it was printed.",
    .use = USE_READING,
    .options = verify_options,
    .least = 0,
    .most = 1,
    .run = run_verify,
};

/* OLD..NEW, --since OLD, --as-of NEW: where to begin ("" for the first commit) and what to look at ("" for the tip). */
struct asked {
    const char *since;
    const char *state;
};

static enum status read_asked(struct run *run, struct asked *out, struct err *err)
{
    const char *range = run->arg_count ? run->args[0] : NULL;
    *out = (struct asked){run_option(run, "since"), run_option(run, "as-of")};
    if (!range)
        return STATUS_OK;
    const char *dots = strstr(range, "..");
    if (!dots || out->since || out->state) {
        err_set(err, STATUS_USAGE, range,
                dots ? "use only one of a range, --since and --as-of" : "this is not a range");
        return err_hint(err, "type OLD..NEW, or OLD.. for what came after OLD");
    }
    TRY(arena_copy(run->state->arena, range, (size_t)(dots - range), &out->since, err));
    out->state = dots[2] ? dots + 2 : NULL;
    out->since = *out->since ? out->since : NULL;
    return STATUS_OK;
}

static bool is_id(const char *text)
{
    return strlen(text) >= 7 && strspn(text, "0123456789abcdefABCDEF") == strlen(text);
}

/* Does the state looked at hold all acts of the one that beside stands at, made for a time or not? */
static enum status holds_acts(struct run *run, struct verify *verify, struct store *beside, bool *out, struct err *err)
{
    struct commits beyond = {0};
    const struct commits own = {.ids = (char(*)[COMMIT_ID_MAX])(uintptr_t)store_state(verify->store), .count = 1};
    if (!store_lines(beside))
        return store_descends(verify->store, store_state(beside), out, err);
    TRY(store_beyond(beside, &own, run->state->arena, &beyond, err));
    *out = true;
    for (size_t at = 0; *out && at < beyond.count; at++) {
        struct parents parents;
        TRY(store_parents(beside, beyond.ids[at], &parents, err));
        *out = parents.count > 1;
    }
    return STATUS_OK;
}

/* Where to begin: at a state that the one looked at holds, or at a branch, which goes its own way. */
static enum status stand_since(struct run *run, struct verify *verify, const char *typed, char out[COMMIT_ID_MAX],
                               bool *follows, struct err *err)
{
    struct store *beside = NULL;
    enum state_kind kind = STATE_COMMIT;
    TRY(store_state_kind(verify->store, typed, &kind, err));
    TRY(store_open_beside(verify->store, kind == STATE_TIME ? "" : NULL, &beside, err));
    enum status status = run_stand_at(run, beside, typed, err);
    *follows = kind == STATE_BRANCH;
    if (status == STATUS_OK && !*follows)
        status = holds_acts(run, verify, beside, follows, err);
    if (status == STATUS_OK)
        (void)snprintf(out, COMMIT_ID_MAX, "%s", store_state(beside));
    store_close(beside);
    return status;
}

/* A commit that somebody has written down, and that is gone or on another line: history was rewritten. */
static enum status find_since(struct run *run, struct verify *verify, const char *typed, char out[COMMIT_ID_MAX],
                              struct err *err)
{
    struct err why = {0};
    bool follows = false;
    *out = '\0';
    if (!typed)
        return STATUS_OK;
    const enum status status = stand_since(run, verify, typed, out, &follows, &why);
    if (status != STATUS_OK && (status != STATUS_UNKNOWN || !is_id(typed))) {
        *err = why;
        return status;
    }
    if (!follows) {
        *out = '\0';
        flaw_add(verify, FLAW_HISTORY_REWRITTEN, "", typed, "%s",
                 status == STATUS_OK ? "this commit is not in the history of the state"
                                     : "the registry has no such commit any more");
    }
    return STATUS_OK;
}

static enum status look(struct run *run, struct verify *verify, const struct asked *asked, struct err *err)
{
    char since[COMMIT_ID_MAX];
    TRY(find_since(run, verify, asked->since, since, err));
    if (run_option(run, "against"))
        TRY(verify_against(run, verify, run_option(run, "against"), err));
    if (asked->since && !*since) /* where to begin is not known */
        return STATUS_OK;
    verify->is_anchors_alone = run_option(run, "quick") && run_option(run, "against");
    if (verify->is_anchors_alone)
        return STATUS_OK;
    if (run_option(run, "quick")) {
        verify->is_whole = true;
        return verify_state(verify, err);
    }
    return verify_range(verify, since, err);
}

/* What store_find calls damaged may yet be open to a look: a registry whose newest commit lost its expedition. */
static bool find_damaged(const char *folder, char out[PATH_TEXT_MAX])
{
    static const char *const inside[] = {"", "/registry.git"};
    struct err ignored = {0};
    for (size_t at = 0; at < sizeof inside / sizeof inside[0]; at++) {
        struct store *store = NULL;
        (void)snprintf(out, PATH_TEXT_MAX, "%.4000s%s", folder, inside[at]);
        const bool opened = store_open_at(out, "", NULL, &store, &ignored) == STATUS_OK;
        store_close(store);
        if (opened)
            return true;
    }
    return false;
}

/* What was made for a time is no commit of the registry. */
static enum status stand_until(struct run *run, struct store *store, const char *typed, struct err *err)
{
    TRY(run_stand_at(run, store, typed, err));
    if (!store_lines(store))
        return STATUS_OK;
    err_set(err, STATUS_RULE, typed, "%zu lines had not been joined by then, and what is verified leads to one commit",
            store_lines(store));
    return err_hint(err, "name a commit: coretally acts lists them");
}

/* At the tip, and then where it was asked for; a whole id is found also where no branch can be read. */
static enum status open_state(struct run *run, const char *path, const char *typed, struct store **out, struct err *err)
{
    struct err why = {0};
    if (!typed)
        return store_open_at(path, "", NULL, out, err);
    if (store_open_at(path, "", NULL, out, &why) == STATUS_OK)
        return stand_until(run, *out, typed, err);
    if (strlen(typed) == COMMIT_ID_MAX - 1 && is_id(typed))
        return store_open_at(path, typed, NULL, out, err);
    *err = why;
    return why.status;
}

/* A registry that cannot be opened is a flaw like others; one that is not there is not. */
static enum status open_registry(struct run *run, struct verify *verify, const struct asked *asked, struct err *err)
{
    char *path = NULL;
    const char *named = run_option(run, "registry");
    if (!named)
        named = run->environment(run->environment_context, "CORETALLY_REGISTRY");
    named = named && *named ? named : NULL;
    TRY(arena_take(run->state->arena, PATH_TEXT_MAX, 1, &path, err));
    const enum status found = store_find(named, run->folder, path, err);
    if (found != STATUS_OK && (found != STATUS_DAMAGED || !find_damaged(named ? named : run->folder, path)))
        return found;
    verify->path = path;
    TRY(open_state(run, path, asked->state, &run->state->store, err));
    verify->store = run->state->store;
    if (store_is_shallow(run->state->store)) {
        err_set(err, STATUS_RULE, path, "this clone has only the newest part of the history, so it cannot be verified");
        return err_hint(err, "git fetch --unshallow brings the rest");
    }
    return STATUS_OK;
}

static enum status run_verify(struct run *run, struct err *err)
{
    struct verify verify;
    struct asked asked;
    struct err why = {0};
    if (run_option(run, "hook-text")) {
        (void)fputs(hook_text, run->out);
        return STATUS_OK;
    }
    if (run_option(run, "hook") && run_option(run, "against"))
        return err_set(err, STATUS_USAGE, "--against", "a hook looks at what a push would move, and at nothing else");
    if (run_option(run, "hook"))
        return verify_hook(run, run_option(run, "hook"), err);
    TRY(read_asked(run, &asked, err));
    TRY(verify_begin(run, "", &verify, err));
    enum status status = open_registry(run, &verify, &asked, &why);
    if (status == STATUS_DAMAGED)
        status = flaw_unreadable(&verify, FLAW_OBJECT_UNREADABLE, why.subject, &why, err);
    else if (status == STATUS_OK)
        status = look(run, &verify, &asked, &why);
    if (status != STATUS_OK)
        *err = why;
    if (status == STATUS_OK)
        status = verify_say(run, &verify, err);
    verify_close(&verify);
    return status;
}
