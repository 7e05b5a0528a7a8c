/* SPDX-License-Identifier: MIT */
/* Typed text of fields and of short lists: "30,34; 80,85,yes". Items by ';', the fields of an item in table order by
 * ','. */
#include "member.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

/* The part of string up to a separator, trimmed, as its own text; *string moves behind the separator, to NULL at the
 * end. */
static enum status take_part(const char **string, char separator, struct arena *arena, const char **out,
                             struct err *err)
{
    const char *start = *string;
    const char *end = strchr(start, separator);
    *string = end ? end + 1 : NULL;
    size_t len = end ? (size_t)(end - start) : strlen(start);
    while (len && (*start == ' ' || *start == '\t')) {
        start++;
        len--;
    }
    while (len && (start[len - 1] == ' ' || start[len - 1] == '\t'))
        len--;
    return arena_copy(arena, start, len, out, err);
}

/* The other end of an interval that the field is an end of, "top" and "bottom" side by side; its own place else. */
static size_t other_end(const struct table *table, size_t at)
{
    const struct field *fields = table->fields;
    if (fields[at].type != FIELD_LENGTH)
        return at;
    if (at + 1 < table->count && strcmp(fields[at].name, "top") == 0 && strcmp(fields[at + 1].name, "bottom") == 0)
        return at + 1;
    if (at > 0 && strcmp(fields[at].name, "bottom") == 0 && strcmp(fields[at - 1].name, "top") == 0)
        return at - 1;
    return at;
}

static enum status set_item(const struct table *table, const char *string, struct arena *arena, void *item,
                            struct err *err)
{
    const char **parts = NULL;
    size_t count = 0;
    const char *rest = string;
    record_init(table, item);
    TRY(arena_take(arena, table->count, sizeof *parts, &parts, err));
    while (count < table->count && rest)
        TRY(take_part(&rest, ',', arena, &parts[count++], err));
    if (rest)
        return err_set(err, STATUS_INPUT, string, "this has more parts than a %s has", table->kind);
    for (size_t at = 0; at < count; at++) {
        const size_t other = other_end(table, at);
        enum length_unit bare = table->fields[at].unit;
        if (other < count)
            (void)length_typed_unit(parts[other], &bare); /* typed once, a unit holds for both ends */
        if (*parts[at])
            TRY(field_set(&table->fields[at], parts[at], bare, INT_NONE, arena, item, err));
    }
    return record_validate(table, item, string, err);
}

enum status list_set(const struct field *field, const char *string, struct arena *arena, void *record, struct err *err)
{
    void *items = NULL;
    size_t count = 0;
    size_t room = 0;
    for (const char *rest = string; rest;) {
        const char *part = NULL;
        TRY(take_part(&rest, ';', arena, &part, err));
        if (!*part)
            continue;
        TRY(arena_grow(arena, &items, count, &room, field->of->size, err));
        if (set_item(field->of, part, arena, member_at(count * field->of->size, items), err) != STATUS_OK)
            return err_hint(err, "%s", field->meaning);
        count++;
    }
    member_set_items(field, record, items, count);
    return STATUS_OK;
}

static void format_list(const struct field *field, const void *record, struct text *out)
{
    const struct table *table = field->of;
    for (size_t item = 0; item < *member_count(field, record); item++) {
        const void *at_item = member_item(field, record, item);
        size_t last = table->count;
        while (last > 0 && field_is_absent(&table->fields[last - 1], at_item))
            last--;
        text_add(out, item ? "; " : "");
        for (size_t at = 0; at < last; at++) {
            text_add(out, at ? "," : "");
            field_format(&table->fields[at], at_item, out);
        }
    }
}

void field_format(const struct field *field, const void *record, struct text *out)
{
    char text[INSTANT_TEXT_MAX];
    if (field_is_absent(field, record))
        return;
    switch (field->type) {
    case FIELD_TEXT:
        text_add(out, *member_text(field, record));
        break;
    case FIELD_LENGTH:
        length_format_exact(*member_length(field, record), field->unit, text);
        text_add(out, text);
        break;
    case FIELD_COUNT:
        text_addf(out, "%" PRId32, *member_int(field, record));
        break;
    case FIELD_REAL:
        text_add_real(out, *member_real(field, record));
        break;
    case FIELD_WORD:
        text_add(out, field->words[*member_int(field, record)]);
        break;
    case FIELD_LETTER:
        text_addf(out, "%c", *member_letter(field, record));
        break;
    case FIELD_SECTION:
        section_format(*member_int(field, record), text);
        text_add(out, text);
        break;
    case FIELD_INSTANT:
        instant_format(*member_instant(field, record), text);
        text_add(out, text);
        break;
    case FIELD_ZONE:
        zone_format(*member_int(field, record), text);
        text_add(out, text);
        break;
    case FIELD_FLAG:
        text_add(out, "yes");
        break;
    case FIELD_LIST:
        format_list(field, record, out);
        break;
    }
}
