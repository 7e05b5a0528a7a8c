/* SPDX-License-Identifier: MIT */
/* Records as canonical JSON: keys in table order, numbers from integers, one record of a list a line. */
#include "member.h"

#include <inttypes.h>

#include "coretally/base/limits.h"

static void add_key(struct text *out, const struct field *field)
{
    char key[FIELD_KEY_MAX];
    field_key(field, key);
    text_add(out, "\"");
    text_add(out, key);
    text_add(out, "\":");
}

static void add_value(struct text *out, const struct field *field, const void *record)
{
    char length[LENGTH_TEXT_MAX];
    switch (field->type) {
    case FIELD_TEXT:
        text_add_json(out, *member_text(field, record));
        break;
    case FIELD_LENGTH:
        length_format_exact(*member_length(field, record), UNIT_M, length);
        text_add(out, length);
        break;
    case FIELD_COUNT:
    case FIELD_REAL:
        field_format(field, record, out);
        break;
    case FIELD_FLAG:
        text_add(out, "true");
        break;
    case FIELD_WORD:
    case FIELD_LETTER:
    case FIELD_SECTION:
    case FIELD_INSTANT:
    case FIELD_ZONE:
        text_add(out, "\"");
        field_format(field, record, out);
        text_add(out, "\"");
        break;
    case FIELD_LIST:
        text_add(out, "[");
        for (size_t at = 0; at < *member_count(field, record); at++) {
            text_add(out, at ? "," : "");
            record_print(field->of, member_item(field, record, at), out);
        }
        text_add(out, "]");
        break;
    }
}

void record_print(const struct table *table, const void *record, struct text *out)
{
    bool first = true;
    text_add(out, "{");
    for (size_t at = 0; at < table->count; at++) {
        const struct field *field = &table->fields[at];
        if (field_is_absent(field, record))
            continue;
        text_add(out, first ? "" : ",");
        first = false;
        add_key(out, field);
        add_value(out, field, record);
    }
    text_add(out, "}");
}

enum status record_encode(const struct table *table, const void *record, struct arena *arena, struct bytes *out,
                          struct err *err)
{
    struct text text;
    text_init(&text, arena);
    text_addf(&text, "{\n\"format\":%d,\n\"kind\":\"%s\"", RECORD_FORMAT, table->kind);
    for (size_t at = 0; at < table->count; at++) {
        const struct field *field = &table->fields[at];
        if (field_is_absent(field, record))
            continue;
        text_add(&text, ",\n");
        add_key(&text, field);
        if (field->type != FIELD_LIST) {
            add_value(&text, field, record);
            continue;
        }
        text_add(&text, "[");
        for (size_t item = 0; item < *member_count(field, record); item++) {
            text_add(&text, item ? ",\n" : "\n");
            record_print(field->of, member_item(field, record, item), &text);
        }
        text_add(&text, "\n]");
    }
    text_add(&text, "\n}\n");
    struct bytes done;
    TRY(text_done(&text, &done, err));
    if (done.len > RECORD_BYTES_MAX)
        return err_set(err, STATUS_INPUT, table->kind, "this record would take %zu bytes, more than %d", done.len,
                       RECORD_BYTES_MAX);
    *out = done;
    return STATUS_OK;
}
