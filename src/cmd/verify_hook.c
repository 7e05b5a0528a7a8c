/* SPDX-License-Identifier: MIT */
/* Git's pre-receive hook: each branch that a push would move is looked at before it moves. What is pushed stands in
 * folders of objects that git keeps apart until the hook has agreed; git names them in the environment. */
#include <string.h>

#include "coretally/base/limits.h"
#include "verify.h"

const char hook_text[] = "#!/bin/sh\n"
                         "# Refuses a push that is not sound. Git runs it in the registry; if anything else in it "
                         "fails, the push is refused, too.\n"
                         "exec coretally verify --hook pre-receive\n";

/* A line of git's: the branch would go from older to newer. */
struct push {
    char older[COMMIT_ID_MAX]; /* zeros: it is new */
    char newer[COMMIT_ID_MAX]; /* zeros: it is to be removed */
    char name[PATH_TEXT_MAX];
};

static bool is_zeros(const char *id)
{
    return strspn(id, "0") == strlen(id);
}

static enum status read_push(const char *line, struct push *out, struct err *err)
{
    char rest[2];
    if (sscanf(line, "%40[0-9a-f] %40[0-9a-f] %4095s%1s", out->older, out->newer, out->name, rest) != 3 ||
        strlen(out->older) != 40 || strlen(out->newer) != 40) {
        err_set(err, STATUS_INPUT, "standard input", "a line of git's hook reads OLD NEW REF, this one '%.80s'", line);
        return err_hint(err, "git runs this as hooks/pre-receive of the registry; by hand: coretally verify OLD..NEW");
    }
    return STATUS_OK;
}

/* The folders that hold what is pushed. */
static enum status read_objects(struct run *run, const char **out, struct err *err)
{
    static const char *const names[] = {"GIT_OBJECT_DIRECTORY", "GIT_ALTERNATE_OBJECT_DIRECTORIES"};
    struct text text;
    struct bytes bytes;
    text_init(&text, run->state->arena);
    for (size_t at = 0; at < sizeof names / sizeof names[0]; at++) {
        const char *folder = run->environment(run->environment_context, names[at]);
        if (folder && *folder)
            text_addf(&text, "%s%s", text.len ? ":" : "", folder);
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}

static enum status look_at_push(struct verify *verify, const struct push *push, struct err *err)
{
    bool follows = false;
    struct err why = {0};
    TRY(store_descends(verify->store, push->older, &follows, &why) == STATUS_OK
            ? STATUS_OK
            : flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "", &why, err));
    if (!is_zeros(push->older) && !follows) {
        flaw_add(verify, FLAW_HISTORY_REWRITTEN, "", push->name,
                 "%.10s, where the branch stands, is not in the history of %.10s", push->older, push->newer);
        return STATUS_OK;
    }
    return verify_range(verify, is_zeros(push->older) ? "" : push->older, err);
}

/* A tag names a state for good, and never looks like a commit. */
static void hold_tag(struct verify *verify, const struct push *push)
{
    const size_t prefix = strlen("refs/tags/");
    const char *name = push->name + prefix;
    if (strncmp(push->name, "refs/tags/", prefix) != 0)
        flaw_add(verify, FLAW_REF_REFUSED, "", push->name, "%s is neither a branch nor a tag", push->name);
    else if (!is_zeros(push->older))
        flaw_add(verify, FLAW_REF_REFUSED, "", push->name, "the tag '%s' names %.10s, and must keep doing so", name,
                 push->older);
    else if (strlen(name) >= 4 && strspn(name, "0123456789abcdefABCDEF") == strlen(name))
        flaw_add(verify, FLAW_REF_REFUSED, "", push->name, "a tag named '%s' could be taken for a commit", name);
}

static enum status take_push(struct verify *verify, const struct push *push, struct err *err)
{
    if (strncmp(push->name, "refs/heads/", strlen("refs/heads/")) != 0) {
        hold_tag(verify, push);
        return STATUS_OK; /* a tag names a state, and adds nothing to one */
    }
    if (is_zeros(push->newer)) {
        flaw_add(verify, FLAW_BRANCH_REMOVED, "", push->name, "the push removes %s", push->name);
        return STATUS_OK;
    }
    struct err why = {0};
    if (store_open_at(verify->path, push->newer, verify->objects, &verify->store, &why) != STATUS_OK)
        return flaw_unreadable(verify, FLAW_OBJECT_UNREADABLE, "", &why, err);
    const enum status status = look_at_push(verify, push, err);
    store_close(verify->store);
    store_close(verify->past);
    verify->store = verify->past = NULL;
    verify->has_lineage = false;
    verify->evidence_count = 0;
    return status;
}

static enum status take_lines(struct run *run, struct verify *verify, size_t *lines, struct err *err)
{
    char line[3 * PATH_TEXT_MAX];
    for (*lines = 0; fgets(line, sizeof line, run->in); (*lines)++) {
        struct push push = {.older = ""};
        line[strcspn(line, "\r\n")] = '\0';
        TRY(read_push(line, &push, err));
        TRY(take_push(verify, &push, err));
    }
    if (ferror(run->in))
        return err_set(err, STATUS_SYSTEM, "standard input", "could not be read");
    return STATUS_OK;
}

enum status verify_hook(struct run *run, const char *kind, struct err *err)
{
    struct verify verify;
    size_t lines = 0;
    const char *folder = run->environment(run->environment_context, "GIT_DIR");
    if (run_option(run, "registry"))
        folder = run_option(run, "registry");
    if (strcmp(kind, "pre-receive") != 0)
        return err_set(err, STATUS_INPUT, kind, "the hook that can refuse a push whole is pre-receive");
    verify_init(&verify, run->state, folder && *folder ? folder : run->folder, run->format == SHEET_PEOPLE);
    TRY(read_objects(run, &verify.objects, err));
    enum status status = take_lines(run, &verify, &lines, err);
    if (status == STATUS_OK && !lines) {
        err_set(err, STATUS_INPUT, "standard input", "git names no branch that the push would move");
        status =
            err_hint(err, "git runs this as hooks/pre-receive of the registry; by hand: coretally verify OLD..NEW");
    }
    if (status == STATUS_OK)
        status = verify_say(run, &verify, err);
    verify_close(&verify);
    return status;
}
