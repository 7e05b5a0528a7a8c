/* SPDX-License-Identifier: MIT */
/* Keys and the order of the samples of a core. */
#include "coretally/domain/sample.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/quantity.h"

const char *const half_words[] = {"", "W", "A", "WR", NULL};

void sample_key(const struct sample *sample, char out[SAMPLE_KEY_MAX])
{
    if (sample->of) {
        (void)snprintf(out, SAMPLE_KEY_MAX, "%s/%d", sample->of, (int)sample->number);
        return;
    }
    char section[SECTION_TEXT_MAX];
    char top[LENGTH_TEXT_MAX];
    char bottom[LENGTH_TEXT_MAX];
    section_format(sample->section, section);
    length_format_exact(sample->top_um, UNIT_CM, top);
    length_format_exact(sample->bottom_um, UNIT_CM, bottom);
    const int used = snprintf(out, SAMPLE_KEY_MAX, "%s%s,%s-%s", section, half_words[sample->half], top, bottom);
    if (sample->ordinal > 1)
        (void)snprintf(out + used, (size_t)(SAMPLE_KEY_MAX - used), "#%d", (int)sample->ordinal);
}

static int compare(int64_t a, int64_t b)
{
    return (a > b) - (a < b);
}

int sample_order(const void *left, const void *right)
{
    const struct sample *a = left;
    const struct sample *b = right;
    int order = compare(a->section, b->section);
    if (!order)
        order = compare(a->of != NULL, b->of != NULL); /* sub-samples after the samples of their section */
    if (!order && a->of)
        order = strcmp(a->of, b->of);
    if (!order && a->of)
        return compare(a->number, b->number);
    if (!order)
        order = compare(a->top_um, b->top_um);
    if (!order)
        order = compare(a->bottom_um, b->bottom_um);
    if (!order)
        order = compare(a->half, b->half);
    return order ? order : compare(a->ordinal, b->ordinal);
}

const struct sample *sample_find(const struct sample *samples, size_t count, const char *key)
{
    char present[SAMPLE_KEY_MAX];
    for (size_t at = 0; at < count; at++) {
        sample_key(&samples[at], present);
        if (strcmp(present, key) == 0)
            return &samples[at];
    }
    return NULL;
}

bool sample_list_has(const char *list, const char *word)
{
    const size_t len = strlen(word);
    for (const char *at = list; at; at = strchr(at, ' ')) {
        at += *at == ' ';
        if (strncmp(at, word, len) == 0 && (at[len] == '\0' || at[len] == ' '))
            return true;
    }
    return false;
}

bool sample_was(const struct sample *sample, const char *key)
{
    const size_t len = strlen(key);
    for (const char *at = sample->was; at && *at; at += strcspn(at, " "), at += *at == ' ')
        if (strcspn(at, " @") == len && strncmp(at, key, len) == 0)
            return true;
    return false;
}

const struct sample *sample_find_former(const struct sample *samples, size_t count, const char *key)
{
    for (size_t at = 0; at < count; at++)
        if (sample_was(&samples[at], key))
            return &samples[at];
    return NULL;
}

/* The number that a former key gives to a sample like this one: of "3W,45-47#2" that of the interval "3W,45-47" is 2,
 * of "3W,45-47/3" that under the parent "3W,45-47" is 3. 0: it is not like it. */
static int32_t former_number(const char *key, size_t len, const char *like, bool is_sub)
{
    const size_t stem = strlen(like);
    char *end = NULL;
    if (len < stem || strncmp(key, like, stem) != 0)
        return 0;
    if (len == stem)
        return is_sub ? 0 : 1;
    if (key[stem] != (is_sub ? '/' : '#'))
        return 0;
    const long number = strtol(key + stem + 1, &end, 10);
    return end == key + len && number > 0 && number <= SUBSAMPLE_NUMBER_MAX ? (int32_t)number : 0;
}

static int32_t highest_former(const struct sample *sample, const char *like, bool is_sub)
{
    int32_t highest = 0;
    for (const char *at = sample->was; at && *at; at += strcspn(at, " "), at += *at == ' ') {
        const int32_t number = former_number(at, strcspn(at, " @"), like, is_sub);
        highest = number > highest ? number : highest;
    }
    return highest;
}

int32_t sample_next_number(const struct sample *samples, size_t count, const struct sample *like)
{
    int32_t highest = 0;
    struct sample first = *like;
    char key[SAMPLE_KEY_MAX];
    first.ordinal = 0;
    sample_key(&first, key);
    for (size_t at = 0; at < count; at++) {
        const struct sample *other = &samples[at];
        const int32_t former = highest_former(other, like->of ? like->of : key, like->of != NULL);
        highest = former > highest ? former : highest;
        if (like->of ? other->of && strcmp(other->of, like->of) == 0
                     : !other->of && other->section == like->section && other->half == like->half &&
                           other->top_um == like->top_um && other->bottom_um == like->bottom_um) {
            const int32_t number = like->of ? other->number : other->ordinal ? other->ordinal : 1;
            highest = number > highest ? number : highest;
        }
    }
    return highest + 1;
}
