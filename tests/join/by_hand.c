/* SPDX-License-Identifier: MIT */
/* Commands and joins one after the other in one process, for tests that make some ten thousand of them. A request is a
 * line with its size, and strings with their ends: how many words, the folder, the words as after the program's name,
 * and variables of the environment. The answer is a line with the exit code and two sizes, and what was said on both
 * streams. Two words are not the program's:
 *     by-hand REGISTRY COMMIT     the branch of a registry goes to its join with a commit that it holds; what struct
 *                                 joined has, as JSON
 * Ends with its standard input. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "dispatch.h"
#include "coretally/join/join.h"
#include "coretally/store/merge.h"

enum { SIZE_LINE_MAX = 64, REQUEST_MAX = 1 << 16, WORDS_MAX = 256, MEMORY_MAX = 1 << 28 };

struct request {
    const char *folder;
    const char *words[WORDS_MAX];
    int word_count;
    const char *variables[WORDS_MAX];
    size_t variable_count;
};

static const char *look_up(void *context, const char *name)
{
    const struct request *request = context;
    const size_t len = strlen(name);
    for (size_t at = 0; at < request->variable_count; at++)
        if (strncmp(request->variables[at], name, len) == 0 && request->variables[at][len] == '=')
            return request->variables[at] + len + 1;
    return NULL;
}

/* --- a join --- */

static void put_text(struct text *out, const char *key, const char *value)
{
    text_addf(out, ",\"%s\":", key);
    text_add_json(out, value ? value : "");
}

static void put_renumbered(struct text *out, const struct renumbered *it)
{
    text_add(out, "{\"path\":");
    text_add_json(out, it->path);
    put_text(out, "what", it->what);
    put_text(out, "older", it->older);
    put_text(out, "newer", it->newer);
    put_text(out, "commit", it->commit);
    put_text(out, "first", it->first);
    text_add(out, "}");
}

static void put_joined(struct text *out, const struct joined *joined)
{
    text_addf(out, "{\"status\":\"ok\",\"is_new\":%s", joined->is_new ? "true" : "false");
    put_text(out, "id", joined->id);
    put_text(out, "base", joined->base);
    text_add(out, ",\"contradictions\":[");
    for (size_t at = 0; at < joined->contradiction_count; at++) {
        text_add(out, at ? "," : "");
        record_print(&contradiction_table, &joined->contradictions[at], out);
    }
    text_add(out, "],\"renumbered\":[");
    for (size_t at = 0; at < joined->renumbered_count; at++) {
        text_add(out, at ? "," : "");
        put_renumbered(out, &joined->renumbered[at]);
    }
    text_add(out, "]}");
}

static enum status join_one(const char *path, const char *other, struct arena *arena, struct text *out, struct err *err)
{
    struct store *store = NULL;
    struct joined joined;
    TRY(store_open(path, STORE_WRITE, stderr, &store, err));
    enum status status = join_make(store, other, arena, &joined, err);
    if (status == STATUS_OK && strcmp(joined.id, store_state(store)) != 0)
        status = store_advance(store, joined.id, JOIN_KIND, err);
    if (status == STATUS_OK)
        put_joined(out, &joined);
    store_close(store);
    return status;
}

static int join_by_hand(const struct request *request, FILE *out, FILE *errors)
{
    struct err err = {0};
    struct arena arena;
    struct text text;
    struct bytes bytes = {NULL, 0};
    arena_init(&arena, MEMORY_MAX);
    text_init(&text, &arena);
    enum status status = join_one(request->words[2], request->words[3], &arena, &text, &err);
    if (status == STATUS_OK)
        status = text_done(&text, &bytes, &err);
    if (status == STATUS_OK)
        (void)fwrite(bytes.data, 1, bytes.len, out);
    else
        (void)fprintf(errors, "%s: %s\n", err.subject, err.reason);
    arena_clear(&arena);
    return status_exit_code(status);
}

/* --- requests --- */

static const char *next(char **at)
{
    const char *string = *at;
    *at += strlen(*at) + 1;
    return string;
}

static void take(char *bytes, size_t size, struct request *request)
{
    char *at = bytes;
    const long count = strtol(next(&at), NULL, 10);
    *request = (struct request){.folder = next(&at)};
    request->words[request->word_count++] = "coretally";
    while (request->word_count <= count && request->word_count < WORDS_MAX - 1)
        request->words[request->word_count++] = next(&at);
    while (at < bytes + size && request->variable_count < WORDS_MAX)
        request->variables[request->variable_count++] = next(&at);
}

static void answer(struct request *request, FILE *nothing)
{
    char *said[2] = {NULL, NULL};
    size_t sizes[2];
    FILE *out = open_memstream(&said[0], &sizes[0]);
    FILE *errors = open_memstream(&said[1], &sizes[1]);
    if (!out || !errors || chdir(request->folder) != 0)
        exit(1);
    const bool is_join = request->word_count == 4 && strcmp(request->words[1], "by-hand") == 0;
    const int code = is_join ? join_by_hand(request, out, errors)
                             : dispatch(request->word_count, request->words, look_up, request, request->folder, nothing,
                                        out, errors);
    (void)fclose(out);
    (void)fclose(errors);
    (void)printf("%d %zu %zu\n", code, sizes[0], sizes[1]);
    (void)fwrite(said[0], 1, sizes[0], stdout);
    (void)fwrite(said[1], 1, sizes[1], stdout);
    (void)fflush(stdout);
    free(said[0]);
    free(said[1]);
}

int main(void)
{
    static char bytes[REQUEST_MAX];
    char line[SIZE_LINE_MAX];
    struct request request;
    FILE *nothing = fopen("/dev/null", "r");
    if (!nothing)
        return 1;
    while (fgets(line, sizeof line, stdin)) {
        const size_t size = strtoul(line, NULL, 10);
        if (size > sizeof bytes || fread(bytes, 1, size, stdin) != size)
            return 1;
        take(bytes, size, &request);
        answer(&request, nothing);
    }
    return 0;
}
