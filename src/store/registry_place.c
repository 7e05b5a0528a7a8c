/* SPDX-License-Identifier: MIT */
/* The list of paths that a registry has. */
#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/record/log_day.h"
#include "coretally/store/registry.h"

const struct known_path known_paths[] = {
    {EXPEDITION_PATH, KNOWN_RECORD, &expedition_table},
    {"holes/%h/hole.json", KNOWN_RECORD, &hole_table},
    {"holes/%h/drilled.json", KNOWN_RECORD, &drilled_set_table},
    {"holes/%h/well.json", KNOWN_RECORD, &geometry_set_table},
    {"holes/%h/pumps.json", KNOWN_RECORD, &pump_set_table},
    {"holes/%h/lag-checks.json", KNOWN_RECORD, &lag_check_set_table},
    {"holes/%h/cores/%n.json", KNOWN_RECORD, &core_table},
    {"holes/%h/cores/%n.samples.json", KNOWN_RECORD, &sample_set_table},
    {"holes/%h/cores/%n.labels.json", KNOWN_RECORD, &label_set_table},
    {"holes/%h/corrections/%n.json", KNOWN_RECORD, &correction_table},
    {"holes/%h/corrections/%n.signed.json", KNOWN_RECORD, &signature_set_table},
    {"holes/%h/bags/%b-%n.json", KNOWN_RECORD, &bag_set_table},
    {"holes/%h/bags/%b-%n.labels.json", KNOWN_RECORD, &label_set_table},
    {"holes/%h/log/%d.log", KNOWN_LOG_DAY, NULL},
    {"evidence/%e", KNOWN_EVIDENCE, NULL},
    {NULL, KNOWN_RECORD, NULL},
};

/* Site and letters, as hole_table has them. */
static size_t take_hole(const char *path, struct place_known *out)
{
    const size_t upper = isupper((unsigned char)*path) != 0;
    const size_t digits = strspn(path + upper, "0123456789");
    const size_t letters = strspn(path + upper + digits, "ABCDEFGHIJKLMNOPQRSTUVWXYZ");
    if (digits < 1 || digits > 5 || letters < 1 || letters > 3)
        return 0;
    (void)snprintf(out->hole, sizeof out->hole, "%.*s", (int)(upper + digits + letters), path);
    return upper + digits + letters;
}

/* Four digits, more only where they are needed. */
static size_t take_number(const char *path, struct place_known *out)
{
    const size_t len = strspn(path, "0123456789");
    if (len < 4 || len > 6 || (len > 4 && *path == '0'))
        return 0;
    out->number = (int32_t)strtol(path, NULL, 10);
    return out->number ? len : 0;
}

static size_t take_bag(const char *path, struct place_known *out)
{
    char word[8];
    const size_t len = strcspn(path, "-");
    (void)snprintf(word, sizeof word, "%.*s", (int)(len < sizeof word ? len : 0), path);
    out->bag = *word ? bag_kind_find(word) : BAG_NONE;
    return out->bag == BAG_NONE || strcmp(bag_words[out->bag], word) != 0 ? 0 : len;
}

static size_t take_day(const char *path, struct place_known *out)
{
    char text[DAY_TEXT_MAX];
    const size_t len = strcspn(path, ".");
    (void)snprintf(text, sizeof text, "%.*s", (int)(len < sizeof text ? len : 0), path);
    return day_parse(text, &out->day) ? len : 0;
}

/* How much of path the pattern's word takes; 0: none. */
static size_t take_word(char word, const char *path, struct place_known *out)
{
    switch (word) {
    case 'h':
        return take_hole(path, out);
    case 'n':
        return take_number(path, out);
    case 'b':
        return take_bag(path, out);
    case 'd':
        return take_day(path, out);
    default:
        return strspn(path, "0123456789abcdef") == 40 && !path[40] ? 40 : 0;
    }
}

/* Match as far as the path goes. Where it ends, the rest of the pattern. NULL: no match. */
static const char *match(const char *pattern, const char *path, struct place_known *out)
{
    while (*path && *pattern) {
        if (*pattern == '%') {
            const size_t taken = take_word(pattern[1], path, out);
            if (!taken)
                return NULL;
            path += taken;
            pattern += 2;
        } else if (*pattern++ != *path++)
            return NULL;
    }
    return *path ? NULL : pattern;
}

bool registry_place(const char *path, struct place_known *out)
{
    for (const struct known_path *known = known_paths; strlen(path) < REGISTRY_PATH_MAX && known->pattern; known++) {
        struct place_known place = {.known = known};
        const char *rest = match(known->pattern, path, &place);
        if (!rest || *rest)
            continue;
        (void)snprintf(place.path, sizeof place.path, "%s", path);
        *out = place;
        return true;
    }
    return false;
}

bool registry_folder(const char *path)
{
    for (const struct known_path *known = known_paths; known->pattern; known++) {
        struct place_known place = {0};
        const char *rest = match(known->pattern, path, &place);
        if (rest && *rest == '/')
            return true;
    }
    return false;
}
