/* SPDX-License-Identifier: MIT */
/* One record of two: field by field, driven by the field tables, so a new field needs nothing here. */
#include <string.h>

#include "joining.h"

static bool is_one_of(const char *name, const char *const *names)
{
    while (*names && strcmp(*names, name) != 0)
        names++;
    return *names != NULL;
}

/* What a record is called by. */
static bool is_name(const struct table *table, const char *field)
{
    static const char *const of_sample[] = {"section", "half", "top", "bottom", "ordinal", "of", "number", "was", NULL};
    static const char *const of_core[] = {"number", "type", "was", NULL};
    static const char *const of_other[] = {"number", "was", NULL};
    return is_one_of(field, table == &sample_table ? of_sample : table == &core_table ? of_core : of_other);
}

bool is_same_thing(const struct table *table, const void *a, const void *b)
{
    static const char *const aside[] = {"version", "was", "doubt", NULL};
    for (size_t at = 0; at < table->count; at++)
        if (!is_one_of(table->fields[at].name, aside) && !field_is_equal(&table->fields[at], a, b))
            return false;
    return true;
}

/* Acts are counted: those of both sides. */
static void join_versions(const struct field *field, const struct three *three, void *out)
{
    int32_t sum = 0;
    for (int side = 0; side < SIDES_MAX; side++) {
        const int32_t version = *(const int32_t *)(const void *)((const char *)three->sides[side] + field->offset);
        sum += version ? version : 1;
    }
    int32_t before = three->base ? *(const int32_t *)(const void *)((const char *)three->base + field->offset) : 1;
    before = before ? before : 1;
    sum = sum - before > 1 ? sum - before : 0;
    memcpy((char *)out + field->offset, &sum, sizeof sum);
}

static bool has_word(const char *list, const char *word, size_t len)
{
    for (const char *at = list; at && *at; at += strcspn(at, " "), at += *at == ' ')
        if (strcspn(at, " ") == len && strncmp(at, word, len) == 0)
            return true;
    return false;
}

enum status join_words(struct joining *joining, const char *base, const char *const sides[SIDES_MAX], const char **out,
                       struct err *err)
{
    struct text text;
    struct bytes bytes;
    const char *const lists[] = {base, sides[0], sides[1]};
    text_init(&text, joining->arena);
    for (size_t list = 0; list < sizeof lists / sizeof lists[0]; list++)
        for (const char *at = lists[list]; at && *at; at += strcspn(at, " "), at += *at == ' ') {
            const size_t len = strcspn(at, " ");
            const bool is_told = text.len && has_word(text.data, at, len);
            const bool is_gone =
                has_word(base, at, len) && (!has_word(sides[0], at, len) || !has_word(sides[1], at, len));
            if (is_told || is_gone)
                continue;
            text_add(&text, text.len ? " " : "");
            text_add_bytes(&text, at, len);
        }
    *out = NULL;
    if (!text.len && !text.failed)
        return STATUS_OK;
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static enum status join_word_field(struct joining *joining, const struct field *field, const struct three *three,
                                   void *out, struct err *err)
{
    const char *texts[SIDES_MAX];
    const char *base =
        three->base ? *(const char *const *)(const void *)((const char *)three->base + field->offset) : NULL;
    for (int side = 0; side < SIDES_MAX; side++)
        texts[side] = *(const char *const *)(const void *)((const char *)three->sides[side] + field->offset);
    const char *joined = NULL;
    TRY(join_words(joining, base, texts, &joined, err));
    memcpy((char *)out + field->offset, &joined, sizeof joined);
    return STATUS_OK;
}

static bool is_unchanged(const struct field *field, const struct three *three, int side)
{
    return three->base ? field_is_equal(field, three->base, three->sides[side])
                       : field_is_absent(field, three->sides[side]);
}

/* Both withdrew it, each with a reason: it is withdrawn, and the earlier reason stays. */
static enum status join_reasons(struct joining *joining, const struct subject *subject, const struct field *field,
                                const struct three *three, void *out, struct err *err)
{
    struct blamed blamed[SIDES_MAX];
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(side_blame(joining, side, &subject->spots[side], field, NULL, &blamed[side], err));
    field_copy(field, three->sides[act_is_before(&blamed[1].act, &blamed[0].act)], out);
    return STATUS_OK;
}

static enum status join_field(struct joining *joining, const struct subject *subject, const struct field *field,
                              const struct three *three, void *out, struct err *err)
{
    bool is_open = false;
    int standing = 0;
    TRY(has_claims(joining, subject, field, &is_open, err));
    if (!is_open && (field_is_equal(field, three->sides[0], three->sides[1]) ||
                     (!subject->forced && is_unchanged(field, three, 1))))
        return STATUS_OK;
    const bool both_withdrew = strcmp(field->name, "withdrawn") == 0 && !field_is_absent(field, three->sides[0]) &&
                               !field_is_absent(field, three->sides[1]);
    if (!is_open && !subject->forced && is_unchanged(field, three, 0))
        standing = 1;
    else if (both_withdrew)
        return join_reasons(joining, subject, field, three, out, err);
    else
        TRY(join_claims(joining, subject, field, three, &standing, err));
    if (subject->forced) /* the later side, in all */
        return STATUS_OK;
    field_copy(field, three->sides[standing], out);
    return STATUS_OK;
}

enum status join_fields(struct joining *joining, const struct subject *subject, const struct three *three, void *out,
                        struct err *err)
{
    const struct table *table = subject->table;
    const int first = subject->forced && act_is_before(&subject->forced[0], &subject->forced[1]);
    for (size_t at = 0; at < table->count; at++) {
        const struct field *field = &table->fields[at];
        if (subject->is_named && is_name(table, field->name))
            continue;
        field_copy(field, three->sides[first], out);
        if (strcmp(field->name, "version") == 0)
            join_versions(field, three, out);
        else if (strcmp(field->name, "doubt") == 0 || strcmp(field->name, "was") == 0)
            TRY(join_word_field(joining, field, three, out, err));
        else if (!list_has_items(field))
            TRY(join_field(joining, subject, field, three, out, err));
    }
    return STATUS_OK;
}

enum status join_as_one(struct joining *joining, const struct subject *subject, const struct three *three, void *out,
                        struct err *err)
{
    struct act_at acts[SIDES_MAX];
    struct subject forced = *subject;
    for (int side = 0; side < SIDES_MAX; side++)
        TRY(side_last(joining, side, subject->spots[side].path, &acts[side], err));
    forced.forced = acts;
    return join_fields(joining, &forced, three, out, err);
}
