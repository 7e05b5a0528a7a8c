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

static enum status set_item(const struct table *table, const char *string, struct arena *arena, void *item,
                            struct err *err)
{
    record_init(table, item);
    const char *rest = string;
    for (size_t at = 0; at < table->count && rest; at++) {
        const char *part = NULL;
        TRY(take_part(&rest, ',', arena, &part, err));
        if (*part)
            TRY(field_set(&table->fields[at], part, table->fields[at].unit, INT_NONE, arena, item, err));
    }
    if (rest)
        return err_set(err, STATUS_INPUT, string, "this has more parts than a %s has", table->kind);
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
