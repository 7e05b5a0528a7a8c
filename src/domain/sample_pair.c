/* SPDX-License-Identifier: MIT */
/* Which sample of one state is which of another. */
#include <stdlib.h>
#include <string.h>

#include "coretally/domain/sample.h"

/* A side while pairs are found: what is not taken yet. */
struct side {
    const struct sample *samples;
    size_t count;
};

static const struct sample *find_like(const struct side *side, const struct sample *like)
{
    return side->count ? bsearch(like, side->samples, side->count, sizeof *like, sample_order) : NULL;
}

/* The sample that had one of the former keys of it, the latest one first; NULL. */
static const struct sample *find_former(const struct side *side, const struct sample *it)
{
    size_t end = strlen(it->was);
    while (end > 0) {
        size_t start = end;
        char key[SAMPLE_KEY_MAX] = "";
        while (start > 0 && it->was[start - 1] != ' ')
            start--;
        if (end - start < sizeof key)
            memcpy(key, it->was + start, end - start);
        const struct sample *found = sample_find(side->samples, side->count, key);
        if (found)
            return found;
        end = start > 0 ? start - 1 : 0;
    }
    return NULL;
}

/* Does its story go on where that of before ends: the same former keys, then the key that it had then? Two samples
 * that changed places have each a key of the other, and their stories alone tell them apart. */
static bool goes_on(const struct sample *before, const struct sample *it)
{
    char key[SAMPLE_KEY_MAX];
    const size_t len = before->was ? strlen(before->was) : 0;
    const char *rest = it->was + len;
    if (strlen(it->was) < len || (len && (strncmp(before->was, it->was, len) != 0 || *rest++ != ' ')))
        return false;
    sample_key(before, key);
    return strlen(key) == strcspn(rest, " ") && strncmp(rest, key, strlen(key)) == 0;
}

/* Those that changed places: their keys would pair each with the other. */
static void pair_stories(const struct side *before, const struct side *after, struct sample_pair *pairs)
{
    struct sample_pair *left = pairs + after->count;
    for (size_t at = 0; at < after->count; at++) {
        const struct sample *it = &after->samples[at];
        const struct sample *same = it->was ? find_like(before, it) : NULL;
        if (same && same->was && strncmp(same->was, it->was, strlen(same->was)) == 0)
            continue; /* its own story */
        for (size_t other = 0; same && !pairs[at].before && other < before->count; other++) {
            const struct sample *then = &before->samples[other];
            if (then == same || !left[other].before || !goes_on(then, it))
                continue;
            pairs[at].before = then;
            left[other].before = NULL;
        }
    }
}

/* The renamed first: their former key may be that of another sample by now. pairs[0..after] have what stands after,
 * pairs[after..] what stood before and is not taken. */
static void pair_renamed(const struct side *before, const struct side *after, struct sample_pair *pairs)
{
    struct sample_pair *left = pairs + after->count;
    for (size_t at = 0; at < after->count; at++) {
        const struct sample *it = &after->samples[at];
        const struct sample *found = it->was && !find_like(before, it) ? find_former(before, it) : NULL;
        if (!found || !left[found - before->samples].before)
            continue;
        pairs[at].before = found;
        left[found - before->samples].before = NULL;
    }
    for (size_t at = 0; at < before->count; at++) { /* the second state is the earlier one */
        const struct sample *it = &before->samples[at];
        const struct sample *found = it->was && !find_like(after, it) ? find_former(after, it) : NULL;
        if (!found || !left[at].before || pairs[found - after->samples].before)
            continue;
        pairs[found - after->samples].before = it;
        left[at].before = NULL;
    }
}

size_t sample_pairs_find(const struct sample *before, size_t before_count, const struct sample *after,
                         size_t after_count, struct sample_pair *pairs)
{
    const struct side sides[] = {{before, before_count}, {after, after_count}};
    struct sample_pair *left = pairs + after_count;
    for (size_t at = 0; at < after_count; at++)
        pairs[at] = (struct sample_pair){NULL, &after[at]};
    for (size_t at = 0; at < before_count; at++)
        left[at] = (struct sample_pair){&before[at], NULL};
    pair_stories(&sides[0], &sides[1], pairs);
    pair_renamed(&sides[0], &sides[1], pairs);
    for (size_t at = 0; at < after_count; at++) {
        const struct sample *found = pairs[at].before ? NULL : find_like(&sides[0], &after[at]);
        if (!found || !left[found - before].before)
            continue;
        pairs[at].before = found;
        left[found - before].before = NULL;
    }
    size_t count = after_count;
    for (size_t at = 0; at < before_count; at++)
        if (left[at].before)
            pairs[count++] = left[at];
    return count;
}
