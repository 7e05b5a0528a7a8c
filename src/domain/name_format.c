/* SPDX-License-Identifier: MIT */
/* Printing names, keys from names, and how far a typed word is from a known one. */
#include "coretally/domain/name.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/base/quantity.h"

void name_hole(const struct name *name, char out[HOLE_TEXT_MAX])
{
    (void)snprintf(out, HOLE_TEXT_MAX, "%s%s", name->site, name->letter);
}

/* The parts of a name that make a sample of its own, as far as the parent of the last sub. */
static struct sample root_sample(const struct name *name)
{
    return (struct sample){.section = name->section,
                           .half = name->half,
                           .top_um = name->top_um,
                           .bottom_um = name->bottom_um,
                           .ordinal = name->ordinal > 1 ? name->ordinal : 0};
}

void name_sample_key(const struct name *name, char out[SAMPLE_KEY_MAX])
{
    const struct sample root = root_sample(name);
    sample_key(&root, out);
    for (int32_t at = 0; at < name->sub_count; at++) {
        const size_t used = strlen(out);
        (void)snprintf(out + used, SAMPLE_KEY_MAX - used, "/%d", (int)name->subs[at]);
    }
}

void name_set_sample(struct name *name, const struct sample *sample)
{
    name->level = NAME_SAMPLE;
    name->section = sample->section;
    name->half = sample->half;
    name->top_um = sample->top_um;
    name->bottom_um = sample->bottom_um;
    name->ordinal = sample->ordinal ? sample->ordinal : 1;
    name->sub_count = 0;
    if (!sample->of)
        return;
    /* The name of a sub-sample is its root's, which the parent's key spells out. */
    char text[NAME_TEXT_MAX + SAMPLE_KEY_MAX];
    (void)snprintf(text, sizeof text, "0A-0A-%s/%d", sample->of, (int)sample->number);
    struct name whole;
    struct err ignored;
    if (name_parse(text, &whole, &ignored) != STATUS_OK)
        return;
    name->half = whole.half;
    name->top_um = whole.top_um;
    name->bottom_um = whole.bottom_um;
    name->ordinal = whole.ordinal;
    name->sub_count = whole.sub_count;
    memcpy(name->subs, whole.subs, sizeof name->subs);
}

void name_format(const struct name *name, enum name_style style, char out[NAME_TEXT_MAX])
{
    char hole[HOLE_TEXT_MAX];
    name_hole(name, hole);
    int used = snprintf(out, NAME_TEXT_MAX, "%s%s%s", name->expedition, name->expedition[0] ? "-" : "", hole);
    if (name->level == NAME_BAG) {
        char word[8] = "";
        for (size_t at = 0; bag_words[name->bag][at] && at + 1 < sizeof word; at++)
            word[at] = (char)toupper((unsigned char)bag_words[name->bag][at]);
        (void)snprintf(out + used, NAME_TEXT_MAX - (size_t)used, "-%s%d", word, (int)name->bag_number);
        return;
    }
    if (name->level >= NAME_CORE)
        used += snprintf(out + used, NAME_TEXT_MAX - (size_t)used, "-%d%c", (int)name->core, name->type);
    if (name->level < NAME_SECTION)
        return;
    char section[SECTION_TEXT_MAX];
    section_format(name->section, section);
    used += snprintf(out + used, NAME_TEXT_MAX - (size_t)used, "-%s%s", section, half_words[name->half]);
    if (name->level < NAME_POINT)
        return;
    /* The key of the root spells the numbers; what follows its comma is ours to dress. */
    const struct sample root = root_sample(name);
    char key[SAMPLE_KEY_MAX];
    sample_key(&root, key);
    char *top = strchr(key, ',') + 1;
    char *bottom = strchr(top, '-') + 1;
    bottom[-1] = '\0';
    bottom[strcspn(bottom, "#")] = '\0';
    const bool interval = name->level == NAME_SAMPLE;
    const char *dash = style == NAME_EN_DASH ? "\xE2\x80\x93" : "-";
    used += snprintf(out + used, NAME_TEXT_MAX - (size_t)used, "%s%s%s%s%s", style == NAME_COMPACT ? "," : ", ", top,
                     interval ? dash : "", interval ? bottom : "", style == NAME_COMPACT ? "" : " cm");
    if (interval && name->ordinal > 1)
        used += snprintf(out + used, NAME_TEXT_MAX - (size_t)used, "%s#%d", style == NAME_COMPACT ? "" : " ",
                         (int)name->ordinal);
    for (int32_t at = 0; at < name->sub_count; at++)
        used += snprintf(out + used, NAME_TEXT_MAX - (size_t)used, "/%d", (int)name->subs[at]);
}

bool core_word_parse(const char *typed, struct core_word *out)
{
    const size_t digits = strspn(typed, "0123456789");
    if (digits == 0 || digits > 6 || (typed[digits] && (!isalpha((unsigned char)typed[digits]) || typed[digits + 1])))
        return false;
    const long value = strtol(typed, NULL, 10);
    if (value < 1 || value > CORE_NUMBER_MAX)
        return false;
    *out = (struct core_word){(int32_t)value, (char)toupper((unsigned char)typed[digits])};
    return true;
}

int name_distance(const char *a, const char *b)
{
    enum { WORD_MAX = 24 };
    int rows[3][WORD_MAX + 1];
    const int a_len = (int)strlen(a);
    const int b_len = (int)strlen(b);
    if (a_len > WORD_MAX || b_len > WORD_MAX)
        return 99;
    for (int j = 0; j <= b_len; j++)
        rows[0][j] = j;
    for (int i = 1; i <= a_len; i++) {
        int *row = rows[i % 3];
        const int *above = rows[(i + 2) % 3];
        const int *before = rows[(i + 1) % 3];
        row[0] = i;
        for (int j = 1; j <= b_len; j++) {
            const bool same = tolower((unsigned char)a[i - 1]) == tolower((unsigned char)b[j - 1]);
            int best = above[j - 1] + !same;
            best = above[j] + 1 < best ? above[j] + 1 : best;
            best = row[j - 1] + 1 < best ? row[j - 1] + 1 : best;
            if (i > 1 && j > 1 && tolower((unsigned char)a[i - 1]) == tolower((unsigned char)b[j - 2]) &&
                tolower((unsigned char)a[i - 2]) == tolower((unsigned char)b[j - 1]) && before[j - 2] + 1 < best)
                best = before[j - 2] + 1;
            row[j] = best;
        }
    }
    return rows[a_len % 3][b_len];
}
