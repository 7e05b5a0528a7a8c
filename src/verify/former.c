/* SPDX-License-Identifier: MIT */
/* Former numbers, the words of a `was` with a commit in them (domain/minted.h). A join alone writes, changes or takes
 * away one, and joins are made again and compared: so here every act leaves each of them where it was. One that is made
 * up would hand the amendments of one thing to another at the next join. */
#include <string.h>

#include "parts.h"

static const char *was_of(const struct table *table, const void *record)
{
    const struct field *field = field_find(table, "was");
    return field ? *(const char *const *)((const char *)record + field->offset) : NULL;
}

/* A word with a commit in it. */
struct former {
    const char *text; /* NULL: there is none */
    size_t len;
};

static struct former next_former(const char **at)
{
    while (*at && **at) {
        const struct former word = {*at, strcspn(*at, " ")};
        *at += word.len + strspn(*at + word.len, " ");
        if (memchr(word.text, '@', word.len))
            return word;
    }
    return (struct former){NULL, 0};
}

static bool has_former(const char *was, const struct former *wanted)
{
    for (struct former word = next_former(&was); word.text; word = next_former(&was))
        if (word.len == wanted->len && memcmp(word.text, wanted->text, word.len) == 0)
            return true;
    return false;
}

static void tell(struct verify *verify, const char *path, const char *item, const struct former *word, const char *what)
{
    flaw_add(verify, FLAW_RECORD_CHANGED, path, item,
             "this commit %s the former number '%.*s', which only a join does; go back to the commit before it, and "
             "record by coretally what else it holds",
             what, (int)(word->len < SAMPLE_KEY_MAX ? word->len : SAMPLE_KEY_MAX), word->text);
}

void verify_formers_kept(struct verify *verify, const char *path, const char *item, const struct table *table,
                         const void *older, const void *newer)
{
    const char *was = was_of(table, older);
    for (struct former word = next_former(&was); word.text; word = next_former(&was))
        if (!has_former(was_of(table, newer), &word))
            tell(verify, path, item, &word, "changes or takes away");
}

void verify_formers_new(struct verify *verify, const char *path, const char *item, const void *newer,
                        const struct items *older)
{
    const char *was = was_of(older->table, newer);
    for (struct former word = next_former(&was); word.text; word = next_former(&was)) {
        bool is_there = false;
        for (size_t at = 0; !is_there && at < older->count; at++)
            is_there = has_former(was_of(older->table, items_at(older, at)), &word);
        if (!is_there)
            tell(verify, path, item, &word, "adds");
    }
}
