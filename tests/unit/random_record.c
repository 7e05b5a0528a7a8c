/* SPDX-License-Identifier: MIT */
/* Random records: each field absent now and then where it may be. */
#include "random_record.h"

#include <stdio.h>

static void *member(const struct field *field, void *record)
{
    return (char *)record + field->offset;
}

static void random_digits(uint64_t *seed, size_t count, char *out, size_t size)
{
    for (size_t at = 0; at < count; at++)
        (void)snprintf(out + at, size - at, "%x", (unsigned)random_within(seed, 0, 15));
}

/* The number that a thing had before registries were joined. */
static void random_former(uint64_t *seed, char *out, size_t size)
{
    const int len = snprintf(out, size, "%d@", (int)random_within(seed, 1, 999999));
    random_digits(seed, 40, out + len, size - (size_t)len);
}

/* A text of the form that the field's pattern asks for. */
static void random_formed(const struct field *field, uint64_t *seed, char *out, size_t size)
{
    out[0] = '\0';
    if (strcmp(field->name, "letter") == 0)
        (void)snprintf(out, size, "%c", (char)random_within(seed, 'A', 'Z'));
    else if (strchr(field->pattern, '@'))
        random_former(seed, out, size);
    else if (strcmp(field->name, "was") == 0 || strcmp(field->name, "from") == 0 || strcmp(field->name, "to") == 0)
        (void)snprintf(out, size, "%d%c", (int)random_within(seed, 1, CORE_NUMBER_MAX),
                       (char)random_within(seed, 'A', 'Z'));
    else if (strcmp(field->name, "parent") == 0)
        (void)snprintf(out, size, "%s%d%c", random_within(seed, 0, 1) ? "U" : "", (int)random_within(seed, 1, 99999),
                       (char)random_within(seed, 'A', 'Z'));
    else if (strcmp(field->name, "scale") == 0)
        (void)snprintf(out, size, "%s", random_within(seed, 0, 1) ? "CSF-A" : "MRF");
    else if (strcmp(field->pattern, "^[0-9a-f]{40}$") == 0)
        random_digits(seed, 40, out, size);
    else if (strcmp(field->name, "supersedes") == 0)
        for (int64_t left = random_within(seed, 1, 4); left > 0; left--) {
            const size_t used = strlen(out);
            (void)snprintf(out + used, size - used, "%s%d", used ? " " : "", (int)random_within(seed, 1, 9999));
        }
    else
        (void)snprintf(out, size, "%d", (int)random_within(seed, 1, 99999));
}

static const char *random_text(const struct field *field, uint64_t *seed, enum random_texts texts, struct arena *arena)
{
    static const char *const any[] = {"a, b; c",   "\"quoted\" \\ back", "line and tab", "\x7E\xC2\xA0",
                                      "\xC2\xB5m", "\xF0\x9F\x9A\xA2",   " padded ",     "{\"json\":[1]}"};
    static const char *const listable[] = {"sand", "grey clay", "\xC2\xB5m", "x"};
    char text[64];
    struct err err;
    const char *out = NULL;
    if (!field->pattern)
        (void)snprintf(text, sizeof text, "%s",
                       texts == TEXTS_ANY ? any[random_within(seed, 0, COUNT_OF(any) - 1)]
                                          : listable[random_within(seed, 0, COUNT_OF(listable) - 1)]);
    else
        random_formed(field, seed, text, sizeof text);
    assert_int_equal(arena_copy(arena, text, strlen(text), &out, &err), STATUS_OK);
    return out;
}

static void random_value(const struct field *field, uint64_t *seed, enum random_texts texts, struct arena *arena,
                         void *record)
{
    static const double reals[] = {0, 0.1, 7.5, 1e-9, 123456789.123, 5e-324, 1.7976931348623157e308, 1e21};
    void *at = member(field, record);
    struct err err;
    switch (field->type) {
    case FIELD_TEXT:
        *(const char **)at = random_text(field, seed, texts, arena);
        break;
    case FIELD_LENGTH:
        *(int64_t *)at = random_within(seed, field->least, field->most);
        if (random_within(seed, 0, 1))
            *(int64_t *)at -= *(int64_t *)at % CENTIMETRE;
        break;
    case FIELD_COUNT:
        *(int32_t *)at = (int32_t)random_within(seed, field->least, field->most);
        break;
    case FIELD_REAL:
        *(double *)at = reals[random_within(seed, 0, COUNT_OF(reals) - 1)];
        break;
    case FIELD_WORD: {
        int words = 0;
        while (field->words[words + 1])
            words++;
        *(int32_t *)at = (int32_t)random_within(seed, 1, words);
        break;
    }
    case FIELD_LETTER:
        *(char *)at = (char)random_within(seed, 'A', 'Z');
        break;
    case FIELD_SECTION:
        *(int32_t *)at = random_within(seed, 0, 9) ? (int32_t)random_within(seed, 0, 99) : SECTION_CATCHER;
        break;
    case FIELD_INSTANT:
        *(struct instant *)at =
            (struct instant){.utc_us = random_within(seed, 0, INT64_C(4000000000)) * 1000000 +
                                       (random_within(seed, 0, 1) ? random_within(seed, 0, 999999) : 0),
                             .offset_min = (int32_t)random_within(seed, -56, 56) * 15,
                             .known = true};
        break;
    case FIELD_ZONE:
        *(int32_t *)at = (int32_t)random_within(seed, -56, 56) * 15;
        break;
    case FIELD_FLAG:
        *(bool *)at = true;
        break;
    case FIELD_LIST: {
        const size_t count = (size_t)random_within(seed, 1, 4);
        char *items = NULL;
        assert_int_equal(arena_take(arena, count, field->of->size, &items, &err), STATUS_OK);
        for (size_t item = 0; item < count; item++)
            random_record(field->of, seed, texts, arena, items + item * field->of->size);
        memcpy(at, &items, sizeof items);
        memcpy((char *)record + field->count_offset, &count, sizeof count);
        break;
    }
    }
}

void random_record(const struct table *table, uint64_t *seed, enum random_texts texts, struct arena *arena,
                   void *record)
{
    record_init(table, record);
    for (size_t at = 0; at < table->count; at++)
        if (table->fields[at].need == REQUIRED || random_within(seed, 0, 2))
            random_value(&table->fields[at], seed, texts, arena, record);
}

void *random_new(const struct table *table, uint64_t *seed, enum random_texts texts, struct arena *arena)
{
    void *record = NULL;
    struct err err;
    assert_int_equal(arena_take(arena, 1, table->size, &record, &err), STATUS_OK);
    random_record(table, seed, texts, arena, record);
    return record;
}
