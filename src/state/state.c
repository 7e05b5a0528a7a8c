/* SPDX-License-Identifier: MIT */
/* What states share: their notes. */
#include "coretally/state/state.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

void state_tell(const struct state *state, const char *format, ...)
{
    if (!state->sink)
        return;
    va_list arguments;
    va_start(arguments, format);
    char *text = NULL;
    const int len = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    if (len < 0 || !(text = malloc((size_t)len + 1)))
        return;
    va_start(arguments, format);
    (void)vsnprintf(text, (size_t)len + 1, format, arguments);
    va_end(arguments);
    state->sink->take(state->sink->context, text);
    free(text);
}

void state_progress(const struct state *state, const char *what, size_t done, size_t total, int64_t *next_ms)
{
    struct timespec now;
    if (done % 256 != 0)
        return;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    const int64_t now_ms = (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
    if (*next_ms == 0)
        *next_ms = now_ms + 1000;
    if (now_ms < *next_ms)
        return;
    *next_ms = now_ms + 1000;
    if (total)
        state_tell(state, "%s: %zu of %zu\n", what, done, total);
    else
        state_tell(state, "%s: %zu\n", what, done);
}
