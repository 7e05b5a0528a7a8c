/* SPDX-License-Identifier: MIT */
/* The list of paths that a registry has. */
#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/bag.h"
#include "coretally/record/log_day.h"
#include "coretally/store/registry.h"

const struct known_path known_paths[] = {
    {EXPEDITION_PATH, KNOWN_RECORD, &expedition_table},
    {"holes/%h/hole.json", KNOWN_RECORD, &hole_table},
    {"holes/%h/drilled.json", KNOWN_RECORD, &drilled_set_table},
    {"holes/%h/renamed.json", KNOWN_RECORD, &renaming_set_table},
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
    {"signed/%a.json", KNOWN_RECORD, &act_signature_set_table},
    {"open/%c.json", KNOWN_RECORD, &contradiction_table},
    {"holes/%h/open/%c.json", KNOWN_RECORD, &contradiction_table},
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

/* Four digits, more only where they are needed: "1.json", "00001.json" and "4294967297.json" are no number 1. */
static size_t take_number(const char *path, struct place_known *out)
{
    const size_t len = strspn(path, "0123456789");
    if (len < 4 || len > 6 || (len > 4 && *path == '0'))
        return 0;
    out->number = (int32_t)strtol(path, NULL, 10);
    return out->number && out->number <= (out->bag ? BAG_NUMBER_MAX / BAGS_A_FILE + 1 : CORE_NUMBER_MAX) ? len : 0;
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
    char own[DAY_TEXT_MAX];
    const size_t len = strcspn(path, ".");
    (void)snprintf(text, sizeof text, "%.*s", (int)(len < sizeof text ? len : 0), path);
    if (!day_parse(text, &out->day))
        return 0;
    day_format(out->day, own);
    return strcmp(own, text) == 0 ? len : 0;
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
    case 'a':
        return strspn(path, "0123456789abcdef") == 40 ? 40 : 0;
    case 'c':
        return strspn(path, "0123456789abcdef") == CONTRADICTION_ID_MAX - 1 ? CONTRADICTION_ID_MAX - 1 : 0;
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

bool place_is_of_core(const struct place_known *place)
{
    const struct table *table = place->known->table;
    return table == &core_table || table == &sample_set_table ||
           (table == &label_set_table && place->bag == BAG_NONE); /* bags have labels, too */
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

static enum status refuse_stray(const char *path, bool is_folder, struct err *err)
{
    struct place_known place;
    if (is_folder ? registry_place(path, &place) : registry_folder(path))
        err_set(err, STATUS_DAMAGED, path,
                is_folder ? "a folder stands where a file belongs" : "a file stands where a folder belongs");
    else
        err_set(err, STATUS_DAMAGED, path, "no %s of a registry has this name", is_folder ? "folder" : "file");
    return err_hint(err,
                    "who put it there: git log -- %.100s; take it out in a clone (git rm), commit, push; coretally "
                    "verify finds all like it",
                    path);
}

/* The patterns that lead through a folder: taken apart as far as it goes, and what is left for its names. */
struct candidates {
    struct place_known places[sizeof known_paths / sizeof *known_paths];
    const char *rests[sizeof known_paths / sizeof *known_paths];
    size_t count;
};

static void find_candidates(const char *folder, struct candidates *out)
{
    out->count = 0;
    for (const struct known_path *known = known_paths; known->pattern; known++) {
        struct place_known place = {.known = known};
        const char *rest = match(known->pattern, folder, &place);
        if (!rest || *rest != '/')
            continue;
        out->places[out->count] = place;
        out->rests[out->count++] = rest + 1;
    }
}

static bool take_name(const struct candidates *candidates, const char *path, const char *name, bool is_folder,
                      struct place_known *out)
{
    for (size_t at = 0; at < candidates->count; at++) {
        struct place_known place = candidates->places[at];
        const char *rest = match(candidates->rests[at], name, &place);
        if (!rest || *rest != (is_folder ? '/' : '\0') || strlen(path) >= sizeof place.path)
            continue;
        place.known = is_folder ? NULL : place.known;
        (void)snprintf(place.path, sizeof place.path, "%s", path);
        *out = place;
        return true;
    }
    return false;
}

enum status registry_list(struct store *store, const char *folder, struct arena *arena, struct known_files *out,
                          struct err *err)
{
    struct names names = {0};
    struct known_files places = {0};
    struct candidates candidates;
    find_candidates(folder, &candidates);
    TRY(store_list(store, folder, arena, &names, err));
    TRY(arena_take(arena, names.count, sizeof *places.items, &places.items, err));
    for (; places.count < names.count; places.count++) {
        char path[PATH_TEXT_MAX];
        const char *name = names.items[places.count];
        const size_t len = strlen(name);
        const bool is_folder = len > 0 && name[len - 1] == '/';
        (void)snprintf(path, sizeof path, "%s/%.*s", folder, (int)(len - is_folder), name);
        if (!take_name(&candidates, path, path + strlen(folder) + 1, is_folder, &places.items[places.count]))
            return refuse_stray(path, is_folder, err);
    }
    *out = places;
    return STATUS_OK;
}
