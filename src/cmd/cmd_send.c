/* SPDX-License-Identifier: MIT */
/* Acts of this registry taken to another one, over a line or in a file. */
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "exchange.h"

static enum status run_send(struct run *run, struct err *err);

static const struct option send_options[] = {
    {"join", NULL, "where the other side has acts that are not here: join them first, then send"},
    {"file", "FILE", "write what the other side lacks into one file, for mail or a stick"},
    {"since", "STATE",
     "with --file: the other side has this state (a commit, a time, a branch); default: it has nothing"},
    {"replace", NULL, "with --file: FILE may be there already"},
    {"each", NULL, "list every act that goes, not only the last ones"},
    {0},
};

const struct command send_command = {
    .words = "send",
    .arguments = "[OTHER]",
    .purpose = "take what is recorded here to another registry of the expedition, or into a file",
    .example = "send ssh://shore.example/901.git",
    .detail = "OTHER is as for 'coretally join'; an empty bare repository (git init --bare -b main 901.git) is filled. "
              "If the\n"
              "other side has acts that are not here, nothing is sent: join first, or add --join. Its hook\n"
              "(coretally verify --hook-text) judges what comes, and what it refuses is said. A clone with a work tree "
              "cannot be\n"
              "sent to: type 'coretally join' there.\n"
              "Many acts go in parts, in the order in which they stand on one another. What has arrived stays there "
              "when the\n"
              "line is cut, and the same command typed again goes on behind it. A single act is never divided.\n"
              "--file writes one file instead; the other side takes it by 'coretally join FILE'. With --since it is as "
              "small as\n"
              "the acts since then; the other side must have that state.",
    .use = USE_EXCHANGING,
    .options = send_options,
    .least = 0,
    .most = 1,
    .run = run_send,
};

/* --- into a file --- */

/* What the other side has: --since, or nothing. */
static enum status find_since(struct run *run, char out[COMMIT_ID_MAX], struct err *err)
{
    const char *typed = run_option(run, "since");
    struct commits heads = {0};
    struct late_acts late;
    *out = '\0';
    if (!typed)
        return STATUS_OK;
    TRY(store_heads(run->state->store, typed, run->state->arena, &heads, &late, err));
    if (heads.count == 1) {
        memcpy(out, heads.ids[0], COMMIT_ID_MAX);
        return STATUS_OK;
    }
    err_set(err, STATUS_RULE, typed, "at this time %zu lines of acts had not been joined yet", heads.count);
    return err_hint(err, "name the commit that the other side stands at; coretally join prints it");
}

static enum status write_file(struct run *run, const char *path, struct err *err)
{
    struct store *store = run->state->store;
    struct commits going = {0};
    struct written written;
    char since[COMMIT_ID_MAX];
    TRY(find_since(run, since, err));
    TRY(store_range(store, store_state(store), since, run->state->arena, &going, err));
    if (!going.count) {
        (void)fprintf(run->out, "nothing to send: nothing was recorded since (commit %.10s)\n", since);
        return STATUS_OK;
    }
    if (run_option(run, "dry-run")) {
        TRY(run_check_out(run, path, err));
        TRY(exchange_say_acts(run, &going, "would be in the file", 0, err));
        (void)fprintf(run->talk, "dry run: nothing was written\n");
        return STATUS_OK;
    }
    TRY(exchange_write(store, path, since, run_option(run, "replace") != NULL, run->state->arena, &written, err));
    /* somebody may have recorded since the registry was opened */
    TRY(store_range(store, written.tip, since, run->state->arena, &going, err));
    TRY(exchange_say_acts(run, &going, "in the file", written.bytes, err));
    (void)fprintf(run->out, "written: %s, up to commit %.10s%s%.10s\nthe other side types: coretally join %s\n", path,
                  written.tip, *since ? ", for who has commit " : "", since, path);
    return STATUS_OK;
}

/* --- over a line --- */

/* Acts a part: few at first, then by how long it took. A part that is cut has to go again. */
enum { PART_FIRST = 50, PART_QUICK_S = 10, PART_SLOW_S = 60 };

static void say_words(struct run *run, const char *words)
{
    for (const char *line = words; *line; line += strcspn(line, "\n") + (line[strcspn(line, "\n")] != '\0'))
        (void)fprintf(run->talk, "  it says: %.*s\n", (int)strcspn(line, "\n"), line);
}

/* One part, up to this commit. */
static enum status push_part(struct run *run, const struct other *other, const char *branch, const char *commit,
                             struct err *err)
{
    const char *words = "";
    const enum status status = other_push(run->state->store, other, branch, commit, run->state->arena, &words, err);
    say_words(run, words);
    return status;
}

static enum status push_parts(struct run *run, const struct other *other, const struct standing *standing,
                              const struct commits *way, struct err *err)
{
    size_t part = PART_FIRST;
    for (size_t sent = 0; sent < way->count;) {
        const size_t next = way->count - sent < part ? way->count : sent + part;
        const time_t begun = time(NULL);
        const enum status status = push_part(run, other, standing->branch, way->ids[next - 1], err);
        if (status != STATUS_OK && sent)
            (void)fprintf(run->talk, "arrived before that: %zu of %zu, up to commit %.10s\n", sent, way->count,
                          way->ids[sent - 1]);
        TRY(status);
        sent = next;
        if (sent < way->count)
            (void)fprintf(run->talk, "arrived: %zu of %zu\n", sent, way->count);
        const time_t took = time(NULL) - begun;
        part = took < PART_QUICK_S ? part * 4 : took > PART_SLOW_S && part > 1 ? part / 2 : part;
    }
    return STATUS_OK;
}

/* Acts there that are not here: how many is known once they are brought. */
static enum status refuse_behind(struct run *run, const struct other *other, struct err *err)
{
    struct store *store = run->state->store;
    struct brought brought;
    struct commits theirs = {0};
    size_t count = 0;
    TRY(other_bring(store, other, run->state->arena, &brought, err));
    enum status status = exchange_check(run, other, brought.tip, err);
    if (status == STATUS_OK)
        status = store_range(store, brought.tip, store_state(store), run->state->arena, &theirs, err);
    if (status == STATUS_OK)
        status = exchange_count(run, &theirs, &count, err);
    other_let_go(store);
    TRY(status);
    if (count)
        err_set(err, STATUS_CONFLICT, other->typed, "it has %zu act%s that %s not here, so nothing was sent", count,
                count == 1 ? "" : "s", count == 1 ? "is" : "are");
    else
        err_set(err, STATUS_CONFLICT, other->typed,
                "histories were joined there, and not yet here, so nothing was sent");
    return err_hint(err, "coretally join %.150s, then send again; or both at once: coretally send %.150s --join",
                    other->typed, other->typed);
}

/* Where the other stands is behind where this registry does. */
static enum status is_behind(struct run *run, const struct standing *standing, bool *out, struct err *err)
{
    *out = !*standing->tip;
    if (!*standing->tip || !store_holds(run->state->store, standing->tip))
        return STATUS_OK;
    return store_descends(run->state->store, standing->tip, out, err);
}

static enum status send_over(struct run *run, const struct other *other, const struct standing *standing,
                             struct err *err)
{
    struct store *store = run->state->store;
    struct commits going = {0};
    struct commits way = {0};
    const char *tip = store_state(store);
    int64_t bytes = 0;
    char head[PATH_TEXT_MAX];
    if (strcmp(standing->tip, tip) == 0) {
        (void)fprintf(run->out, "nothing to send: both sides have the same (commit %.10s)\n", tip);
        return STATUS_OK;
    }
    TRY(store_range(store, tip, standing->tip, run->state->arena, &going, err));
    TRY(exchange_way(store, tip, standing->tip, run->state->arena, &way, err));
    TRY(exchange_weigh(store, tip, standing->tip, run->state->arena, &bytes, err));
    const bool dry = run_option(run, "dry-run") != NULL;
    if (!dry) {
        char size[SIZE_TEXT_MAX];
        size_text(bytes, size);
        if (other->kind == OTHER_FAR)
            (void)fprintf(run->talk, "sending %s\n", size);
        TRY(push_parts(run, other, standing, &way, err));
    }
    (void)snprintf(head, sizeof head, "%s to %.4000s", dry ? "would go" : "sent", other->typed);
    TRY(exchange_say_acts(run, &going, head, bytes, err));
    if (dry)
        (void)fprintf(run->talk, "dry run: nothing was sent\n");
    else
        (void)fprintf(run->out, "both sides have the same now (commit %.10s)\n", tip);
    return STATUS_OK;
}

static enum status run_send(struct run *run, struct err *err)
{
    struct other other;
    struct standing standing;
    bool behind = false;
    const char *file = run_option(run, "file");
    if (file ? run_option(run, "join") != NULL : run_option(run, "since") || run_option(run, "replace"))
        return err_set(err, STATUS_USAGE, "send",
                       file ? "--join and --file are two ways; choose one" : "--since and --replace go with --file");
    if (file && run->arg_count) {
        err_set(err, STATUS_USAGE, run->args[0], "a file is for whoever gets it; with --file nobody is named");
        return err_hint(err,
                        "--since STATE says what the other side has: a commit, a time, a branch such as origin/main");
    }
    if (file) {
        TRY(run_open(run, STORE_READ, err));
        return write_file(run, file, err);
    }
    TRY(exchange_open(run, run->arg_count ? run->args[0] : NULL, &other, err));
    if (other.kind == OTHER_FILE || other.kind == OTHER_HERE) {
        err_set(err, STATUS_INPUT, other.typed, "this is a %s, which cannot be sent to",
                other.kind == OTHER_FILE ? "file" : "branch of this registry");
        return err_hint(err, "name the other registry; a file for it is written by: coretally send --file FILE");
    }
    exchange_say_waiting(run, &other);
    TRY(other_ask(run->state->store, &other, run->state->arena, &standing, err));
    if (!standing.branch) {
        err_set(err, STATUS_RULE, other.typed, "it stands on a single commit, not on a branch");
        return err_hint(err, "type there: git switch main");
    }
    TRY(is_behind(run, &standing, &behind, err));
    if (behind)
        return send_over(run, &other, &standing, err);
    if (!run_option(run, "join"))
        return refuse_behind(run, &other, err);
    TRY(exchange_join(run, &other, err));
    if (run_option(run, "dry-run"))
        return STATUS_OK;
    TRY(other_ask(run->state->store, &other, run->state->arena, &standing, err));
    return send_over(run, &other, &standing, err);
}
