/* SPDX-License-Identifier: MIT */
/* Git's pre-receive hook: each branch that a push would move is looked at before it moves. What is pushed stands in
 * folders of objects that git keeps apart until the hook has agreed; git names them in the environment. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/say/verify_say.h"
#include "dispatch.h"
#include "verify_hook.h"

const char hook_text[] = "#!/bin/sh\n"
                         "# Refuses a push that is not sound. Git runs it in the registry; if anything else in it "
                         "fails, the push is refused, too.\n"
                         "exec coretally verify --hook pre-receive\n";

enum status verify_begin(struct run *run, const char *path, struct verify *out, struct err *err)
{
    const char **acts = NULL;
    size_t count = 0;
    while (commands[count])
        count++;
    TRY(arena_take(run->state->arena, count + 1, sizeof *acts, &acts, err));
    count = 0;
    for (size_t at = 0; commands[at]; at++)
        if (use_writes(commands[at]->use))
            acts[count++] = commands[at]->words;
    verify_init(out, run->state, path, acts);
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

static enum status take_lines(struct run *run, struct verify *verify, size_t *lines, struct err *err)
{
    char line[3 * PATH_TEXT_MAX];
    for (*lines = 0; fgets(line, sizeof line, run->in); (*lines)++) {
        line[strcspn(line, "\r\n")] = '\0';
        TRY(verify_push(verify, line, err));
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
    TRY(verify_begin(run, folder && *folder ? folder : run->folder, &verify, err));
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
