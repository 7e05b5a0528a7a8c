/* SPDX-License-Identifier: MIT */
/* Whole command lines in process, a word a line, where no registry is: help, names, schemas, templates and every
 * refusal. */
#include "target.h"

#include <stdlib.h>
#include <string.h>

#include "command.h"

static const char *no_environment(void *context, const char *variable)
{
    (void)context;
    (void)variable;
    return NULL;
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
        if (harmless) {
            const int code = dispatch(count, words, no_environment, NULL, "/nonexistent", nothing, nothing, nothing);
            PROMISE(code >= 0 && code <= 9 && code != 1);
        }
    }
    if (nothing)
        (void)fclose(nothing);
    free(text);
    return 0;
}
