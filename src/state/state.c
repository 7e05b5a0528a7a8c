/* SPDX-License-Identifier: MIT */
/* What states share: their notes. */
#include "coretally/state/state.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

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
