/* SPDX-License-Identifier: MIT */
/* Names of cores carried over renamings. */
#include "coretally/domain/renaming.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "coretally/base/limits.h"

void core_id_format(struct core_id id, char out[CORE_ID_MAX])
{
    (void)snprintf(out, CORE_ID_MAX, "%d%c", (int)id.number, id.type);
}

bool core_id_parse(const char *string, size_t len, struct core_id *out)
{
    int32_t number = 0;
    size_t at = 0;
    for (; at < len && at < 4 && isdigit((unsigned char)string[at]); at++)
        number = 10 * number + (string[at] - '0');
    if (number == 0 || *string == '0' || at + 1 != len || string[at] < 'A' || string[at] > 'Z')
        return false;
    *out = (struct core_id){number, string[at]};
    return true;
}

bool core_ids_are(const char *string)
{
    struct core_id id;
    for (;;) {
        const size_t len = strcspn(string, " ");
        if (!core_id_parse(string, len, &id))
            return false;
        if (!string[len])
            return true;
        string += len + 1;
    }
}

static struct core_id id_of(const char *string)
{
    struct core_id id = {0, '\0'};
    (void)core_id_parse(string, strlen(string), &id);
    return id;
}

static bool is_same(struct core_id a, struct core_id b)
{
    return a.number == b.number && a.type == b.type;
}

/* Over one renaming, from the side `here` to the side `there`. A number that only the other side has is free here. */
static bool cross(struct core_id here, struct core_id there, struct core_id *id)
{
    if (is_same(*id, here)) {
        *id = there;
        return true;
    }
    return id->number != here.number && id->number != there.number;
}

bool renamings_carry(const struct renaming_set *set, size_t then, size_t now, struct core_id *id)
{
    bool is_there = true;
    for (; is_there && then < now; then++)
        is_there = cross(id_of(set->renamings[then].from), id_of(set->renamings[then].to), id);
    for (; is_there && then > now; then--)
        is_there = cross(id_of(set->renamings[then - 1].to), id_of(set->renamings[then - 1].from), id);
    return is_there;
}

static bool is_equal(const struct renaming *a, const struct renaming *b)
{
    return strcmp(a->from, b->from) == 0 && strcmp(a->to, b->to) == 0;
}

size_t renamings_shared(const struct renaming_set *a, const struct renaming_set *b)
{
    size_t both = 0;
    while (both < a->renaming_count && both < b->renaming_count && is_equal(&a->renamings[both], &b->renamings[both]))
        both++;
    return both;
}

bool renamings_are_same(const struct renaming_set *a, const struct renaming_set *b)
{
    return a->renaming_count == b->renaming_count && renamings_shared(a, b) == a->renaming_count;
}

bool renamings_between(const struct renaming_set *then, const struct renaming_set *now, struct core_id *id)
{
    const size_t both = renamings_shared(then, now);
    size_t back = then->renaming_count;
    while (back > both && renamings_carry(then, back, back - 1, id))
        back--;
    if (back == both)
        return renamings_carry(now, both, now->renaming_count, id);
    const struct renaming *last = &then->renamings[back - 1]; /* a core left this number, then this one was recorded */
    for (size_t at = now->renaming_count; id_of(last->from).number == id->number && at > both; at--)
        if (is_equal(&now->renamings[at - 1], last))
            return renamings_carry(now, at, now->renaming_count, id);
    return false;
}

bool renamings_former(const struct renaming_set *set, struct core_id id, struct core_id *out, size_t *at)
{
    for (size_t back = set->renaming_count; back > 0; back--) {
        struct core_id now = id;
        if (!is_same(id_of(set->renamings[back - 1].from), id))
            continue;
        if (!renamings_carry(set, back - 1, set->renaming_count, &now) || is_same(now, id))
            continue; /* it has it again */
        *out = now;
        *at = back - 1;
        return true;
    }
    return false;
}

size_t renamings_numbers(const struct renaming_set *set, struct core_id id, int32_t *out, size_t max)
{
    size_t count = 0;
    if (count < max)
        out[count++] = id.number;
    for (size_t back = set->renaming_count; back > 0; back--) {
        if (!renamings_carry(set, back, back - 1, &id))
            break;
        if (count < max && out[count - 1] != id.number)
            out[count++] = id.number;
    }
    return count;
}

bool renamings_are_sound(const struct renaming_set *set)
{
    for (size_t at = 0; at < set->renaming_count; at++) {
        const struct core_id from = id_of(set->renamings[at].from);
        const struct core_id to = id_of(set->renamings[at].to);
        if (set->renamings[at].number != (int32_t)at + 1 || !from.number || !to.number || is_same(from, to))
            return false;
    }
    return true;
}

bool renamings_have(const struct renaming_set *set, struct core_id id, const char *was)
{
    size_t end = was ? strlen(was) : 0;
    for (size_t back = set->renaming_count; back > 0; back--) {
        const struct core_id newer = id;
        if (!renamings_carry(set, back, back - 1, &id))
            break;
        if (is_same(newer, id))
            continue;
        struct core_id last;
        size_t start = end;
        while (start > 0 && was[start - 1] != ' ')
            start--;
        if (!end || !core_id_parse(was + start, end - start, &last) || !is_same(last, id))
            return false;
        end = start ? start - 1 : 0;
    }
    return end == 0;
}
