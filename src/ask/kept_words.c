/* SPDX-License-Identifier: MIT */
/* What an act says that it kept against doubt. */
#include "coretally/ask/kept_words.h"

#include <stdio.h>
#include <string.h>

#include "coretally/state/doubt.h"

bool kept_next_word(const char **list, char out[KEPT_WORD_MAX])
{
    for (;;) {
        *list += strspn(*list, " ,");
        const size_t len = strcspn(*list, " ,");
        if (!len)
            return false;
        (void)snprintf(out, KEPT_WORD_MAX, "%.*s", len < KEPT_WORD_MAX ? (int)len : KEPT_WORD_MAX - 1, *list);
        *list += len;
        if (*out != '(')
            return true;
    }
}

const char *kept_list(const struct commit *commit)
{
    const char *at = commit->reason ? strstr(commit->reason, KEPT_AGAINST) : NULL;
    return at ? at + strlen(KEPT_AGAINST) : NULL;
}

bool kept_by_act(const struct commit *commit, const char *word)
{
    const char *list = kept_list(commit);
    char found[KEPT_WORD_MAX];
    while (list && kept_next_word(&list, found))
        if (strcmp(found, word) == 0)
            return true;
    return false;
}

enum status kept_reason(const struct commit *commit, struct arena *arena, const char **out, struct err *err)
{
    const char *list = kept_list(commit);
    if (!commit->reason)
        return STATUS_OK;
    size_t len = list ? (size_t)(list - commit->reason) - strlen(KEPT_AGAINST) : strlen(commit->reason);
    len -= list && len >= 2 ? 2 : 0; /* "; " */
    return len ? arena_copy(arena, commit->reason, len, out, err) : STATUS_OK;
}
