/* SPDX-License-Identifier: MIT */
/* JSON Schema (draft 2020-12) from the field tables. */
#include "member.h"

#include <inttypes.h>

#include "coretally/base/limits.h"

/* Quarter hours within 14 h of UTC; 0 is Z only. */
#define OFFSET_PATTERN "(Z|[+-](00:(15|30|45)|(0[1-9]|1[0-3]):(00|15|30|45)|14:00))"
/* RFC 3339 as we write it: four-digit year, capital letters, seconds, offset. */
#define INSTANT_PATTERN                                                                                                \
    "^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9](\\\\.[0-9]{0,5}[1-9]" \
    ")?" OFFSET_PATTERN "$"
#define ZONE_PATTERN "^" OFFSET_PATTERN "$"

static void add_limits(const struct field *field, struct text *out)
{
    const bool length = field->type == FIELD_LENGTH;
    char low[LENGTH_TEXT_MAX];
    char high[LENGTH_TEXT_MAX];
    length_format_exact(length ? field->least : field->least * 1000000, UNIT_M, low);
    length_format_exact(length ? field->most : field->most * 1000000, UNIT_M, high);
    text_addf(out, "\"type\":\"%s\",\"minimum\":%s,\"maximum\":%s", length ? "number" : "integer", low, high);
}

static void add_object(const struct table *table, struct text *out, const char *indent);

static void add_property(const struct field *field, struct text *out)
{
    text_add(out, "{\"description\":");
    text_add_json(out, field->meaning);
    text_add(out, ",");
    switch (field->type) {
    case FIELD_TEXT:
        text_addf(out, "\"type\":\"string\",\"minLength\":1,\"maxLength\":%d", TEXT_FIELD_MAX);
        text_addf(out, ",\"pattern\":\"%s\"", field->pattern ? field->pattern : "^[^\\\\u0000-\\\\u001f\\\\u007f]*$");
        break;
    case FIELD_LENGTH:
    case FIELD_COUNT:
        add_limits(field, out);
        break;
    case FIELD_REAL:
        text_add(out, field->least < 0 ? "\"type\":\"number\"" : "\"type\":\"number\",\"minimum\":0");
        break;
    case FIELD_WORD:
        text_add(out, "\"enum\":[");
        for (int at = 1; field->words[at]; at++)
            text_addf(out, "%s\"%s\"", at > 1 ? "," : "", field->words[at]);
        text_add(out, "]");
        break;
    case FIELD_LETTER:
        text_add(out, "\"type\":\"string\",\"pattern\":\"^[A-Z]$\"");
        break;
    case FIELD_SECTION:
        text_add(out, "\"type\":\"string\",\"pattern\":\"^(CC|[0-9]|[1-9][0-9])$\"");
        break;
    case FIELD_INSTANT:
        text_add(out, "\"type\":\"string\",\"pattern\":\"" INSTANT_PATTERN "\"");
        break;
    case FIELD_ZONE:
        text_add(out, "\"type\":\"string\",\"pattern\":\"" ZONE_PATTERN "\"");
        break;
    case FIELD_FLAG:
        text_add(out, "\"const\":true");
        break;
    case FIELD_LIST:
        text_addf(out, "\"type\":\"array\",\"minItems\":1,\"maxItems\":%d,\"items\":", LIST_ITEMS_MAX);
        add_object(field->of, out, "    ");
        break;
    }
    text_add(out, "}");
}

static void add_object(const struct table *table, struct text *out, const char *indent)
{
    char key[FIELD_KEY_MAX];
    text_addf(out, "{\"type\":\"object\",\"additionalProperties\":false,\n%s\"required\":[", indent);
    if (table->is_file)
        text_add(out, "\"format\",\"kind\"");
    bool first = !table->is_file;
    for (size_t at = 0; at < table->count; at++) {
        if (table->fields[at].need != REQUIRED)
            continue;
        field_key(&table->fields[at], key);
        text_addf(out, "%s\"%s\"", first ? "" : ",", key);
        first = false;
    }
    text_addf(out, "],\n%s\"properties\":{", indent);
    if (table->is_file)
        text_addf(out,
                  "\n%s  \"format\":{\"description\":\"format version of the record\",\"const\":%d},"
                  "\n%s  \"kind\":{\"description\":\"kind of the record\",\"const\":\"%s\"},",
                  indent, RECORD_FORMAT, indent, table->kind);
    for (size_t at = 0; at < table->count; at++) {
        field_key(&table->fields[at], key);
        text_addf(out, "%s\n%s  \"%s\":", at ? "," : "", indent, key);
        add_property(&table->fields[at], out);
    }
    text_add(out, "}}");
}

void record_schema(const struct table *table, struct text *out)
{
    text_addf(out,
              "{\"$schema\":\"https://json-schema.org/draft/2020-12/schema\",\n"
              "\"$id\":\"urn:coretally:%s:%d\",\n\"title\":\"%s\",\n\"allOf\":[",
              table->kind, RECORD_FORMAT, table->meaning);
    add_object(table, out, "  ");
    text_add(out, "]}\n");
}
