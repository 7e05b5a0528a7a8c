/* SPDX-License-Identifier: MIT */
/* Whole command lines in process, a word a line, where no registry is: help, names, schemas, templates and every
 * refusal. */
#include "target.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/base/shown.h"
#include "dispatch.h"

static const char *no_environment(void *context, const char *variable)
{
    (void)context;
    (void)variable;
    return NULL;
}

/* Whatever was typed: what comes back is text that commands no terminal. */
static void try_words(int count, const char *const *words, FILE *nothing)
{
    char *said[2] = {NULL, NULL};
    size_t len[2] = {0, 0};
    struct text_flaw flaw;
    FILE *out = open_memstream(&said[0], &len[0]);
    FILE *talk = open_memstream(&said[1], &len[1]);
    if (out && talk) {
        const int code = dispatch(count, words, no_environment, NULL, "/nonexistent", nothing, out, talk);
        PROMISE(code >= 0 && code <= 9 && code != 1);
    }
    for (int stream = 0; stream < 2; stream++) {
        FILE *const file = stream ? talk : out;
        if (file)
            (void)fclose(file);
        PROMISE(!said[stream] || !text_find_flaw(said[stream], len[stream], true, &flaw));
        free(said[stream]);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    enum { WORDS_MAX = 24 };
    const char *words[WORDS_MAX + 1] = {"coretally"};
    int count = 1;
    char *text = calloc(1, size + 1);
    FILE *nothing = fopen("/dev/null", "r+b");
    if (text && nothing && size) {
        memcpy(text, data, size);
        char *rest = text;
        while (rest && count < WORDS_MAX) {
            words[count++] = rest;
            rest = strchr(rest, '\n');
            if (rest)
                *rest++ = '\0';
        }
        /* "start" writes, and --registry could name a registry of this machine. */
        bool harmless = strcmp(words[1], "start") != 0;
        for (int at = 1; at < count; at++)
            harmless = harmless && !strchr(words[at], '/') && strstr(words[at], "regis") == NULL;
        if (harmless)
            try_words(count, words, nothing);
    }
    if (nothing)
        (void)fclose(nothing);
    free(text);
    return 0;
}
