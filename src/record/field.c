/* SPDX-License-Identifier: MIT */
/* Fields as typed text, and whole records: absent, equal, valid. JSON is encode.c's and decode.c's. */
#include "coretally/record/field.h"

#include <assert.h>
#include <ctype.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/base/marks.h"
#include "coretally/base/shown.h"
#include "member.h"

void record_init(const struct table *table, void *record)
{
    memset(record, 0, table->size);
    for (size_t at = 0; at < table->count; at++) {
        const struct field *field = &table->fields[at];
        if (field->type == FIELD_LENGTH)
            *member_length(field, record) = LENGTH_NONE;
        else if (field->type == FIELD_REAL)
            *member_real(field, record) = NAN;
        else if (field->type == FIELD_ZONE || field->type == FIELD_SECTION) /* 0 is UTC, and a section */
            *member_int(field, record) = INT_NONE;
    }
}

bool field_is_absent(const struct field *field, const void *record)
{
    switch (field->type) {
    case FIELD_TEXT:
        return !*member_text(field, record);
    case FIELD_LENGTH:
        return *member_length(field, record) == LENGTH_NONE;
    case FIELD_COUNT: /* no count of ours may be 0 */
    case FIELD_WORD:
        return *member_int(field, record) == 0;
    case FIELD_ZONE:
    case FIELD_SECTION:
        return *member_int(field, record) == INT_NONE;
    case FIELD_REAL:
        return isnan(*member_real(field, record));
    case FIELD_LETTER:
        return !*member_letter(field, record);
    case FIELD_INSTANT:
        return !member_instant(field, record)->known;
    case FIELD_FLAG:
        return !*member_flag(field, record);
    case FIELD_LIST:
        return *member_count(field, record) == 0;
    }
    return true;
}

static void clear_field(const struct field *field, void *record)
{
    struct table alone = {.fields = field, .count = 1, .size = 0};
    switch (field->type) {
    case FIELD_TEXT:
        *member_text(field, record) = NULL;
        break;
    case FIELD_COUNT:
    case FIELD_WORD:
        *member_int(field, record) = 0;
        break;
    case FIELD_LETTER:
        *member_letter(field, record) = 0;
        break;
    case FIELD_INSTANT:
        *member_instant(field, record) = (struct instant){0};
        break;
    case FIELD_FLAG:
        *member_flag(field, record) = false;
        break;
    case FIELD_LIST:
        *member_count(field, record) = 0;
        break;
    case FIELD_LENGTH:
    case FIELD_REAL:
    case FIELD_SECTION:
    case FIELD_ZONE:
        record_init(&alone, record);
        break;
    }
}

/* "recovered: 's' ..." - the refusal of a value, with the field before it. */
static enum status blame_field(const struct field *field, struct err *err)
{
    char subject[ERR_SUBJECT_MAX];
    if (strcmp(err->subject, field->name) == 0)
        return err->status;
    (void)snprintf(subject, sizeof subject, "%s '%.120s'", field->name, err->subject);
    for (char *at = subject; *at && *at != ' '; at++)
        if (*at == '_') /* as people type it */
            *at = '-';
    (void)snprintf(err->subject, sizeof err->subject, "%s", subject);
    return err->status;
}

/* One line of UTF-8 text, not too long; whoever typed or joined it. */
static enum status check_text(const struct field *field, const char *string, struct err *err)
{
    size_t bad = 0;
    const size_t len = strlen(string);
    if (len > TEXT_FIELD_MAX)
        return err_set(err, STATUS_INPUT, field->name, "%zu bytes are more than the %d that a text may have", len,
                       TEXT_FIELD_MAX);
    if (!utf8_is_valid(string, len, &bad))
        return err_set(err, STATUS_INPUT, field->name, "byte %zu is not UTF-8 text", bad + 1);
    for (const char *at = string; *at; at++)
        if ((unsigned char)*at < 0x20 || *at == 0x7F)
            return err_set(err, STATUS_INPUT, field->name, "character %td is a control character; a text is one line",
                           at - string + 1);
    return STATUS_OK;
}

static enum status set_text(const struct field *field, const char *string, struct arena *arena, void *record,
                            struct err *err)
{
    TRY(check_text(field, string, err));
    return arena_copy(arena, string, strlen(string), member_text(field, record), err);
}

static enum status set_word(const struct field *field, const char *string, void *record, struct err *err)
{
    char known[200] = "";
    for (int at = 1; field->words[at]; at++) {
        if (is_same_name(string, field->words[at])) {
            *member_int(field, record) = at;
            return STATUS_OK;
        }
        const size_t used = strlen(known);
        (void)snprintf(known + used, sizeof known - used, "%s%s", at > 1 ? ", " : "", field->words[at]);
    }
    err_set(err, STATUS_INPUT, string, "this is not one of the words for it");
    return err_hint(err, "type one of: %s", known);
}

static enum status set_flag(const struct field *field, const char *string, void *record, struct err *err)
{
    static const char *const yes[] = {"yes", "true", "1", "y"};
    static const char *const no[] = {"no", "false", "0", "n"};
    for (size_t at = 0; at < sizeof yes / sizeof yes[0]; at++)
        if (is_same_name(string, yes[at]) || is_same_name(string, no[at])) {
            *member_flag(field, record) = is_same_name(string, yes[at]);
            return STATUS_OK;
        }
    err_set(err, STATUS_INPUT, string, "this is neither yes nor no");
    return err_hint(err, "type yes or no");
}

static enum status set_count(const struct field *field, const char *string, void *record, struct err *err)
{
    int64_t value = 0;
    const size_t digits = strspn(string, "0123456789");
    for (size_t at = 0; at < digits && value <= field->most; at++)
        value = value * 10 + (string[at] - '0');
    if (digits == 0 || string[digits]) {
        err_set(err, STATUS_INPUT, string, "this is not a whole number");
        return err_hint(err, "type a number from %" PRId64 " to %" PRId64, field->least, field->most);
    }
    if (value < field->least || value > field->most)
        return err_set(err, STATUS_INPUT, string, "this is outside %" PRId64 " to %" PRId64, field->least, field->most);
    *member_int(field, record) = (int32_t)value;
    return STATUS_OK;
}

/* 7.5, 7.5cm3, 300gpm */
static enum status set_real(const struct field *field, const char *string, void *record, struct err *err)
{
    double value = 0;
    TRY(measure_parse(string, field->measure, &value, err));
    if (value < 0 && field->least >= 0) {
        err_set(err, STATUS_INPUT, string, "this is less than 0");
        return err_hint(err, "type a number of %s, 0 or more", measure_unit(field->measure));
    }
    *member_real(field, record) = value;
    return STATUS_OK;
}

/* A limit as it is written: exact, for a step may be 0.001 m. */
static struct length_text limit_text(const struct field *field, int64_t limit, enum length_unit unit)
{
    struct length_text out;
    if (field->type == FIELD_LENGTH)
        length_format_exact(limit, unit, out.text);
    else
        (void)snprintf(out.text, sizeof out.text, "%" PRId64, limit);
    return out;
}

static enum status set_length(const struct field *field, const char *string, enum length_unit bare, void *record,
                              struct err *err)
{
    int64_t um = 0;
    TRY(length_parse(string, bare, &um, err));
    if ((field->least || field->most) && (um < field->least || um > field->most))
        return err_set(err, STATUS_INPUT, string, "this is outside %s to %s %s",
                       limit_text(field, field->least, field->unit).text,
                       limit_text(field, field->most, field->unit).text, length_unit_suffix(field->unit));
    *member_length(field, record) = um;
    return STATUS_OK;
}

enum status field_set_value(const struct field *field, const char *string, enum length_unit bare, int32_t ship_zone_min,
                            struct arena *arena, void *record, struct err *err)
{
    switch (field->type) {
    case FIELD_TEXT:
        TRY(set_text(field, string, arena, record, err));
        if (field->check && !field->check(string))
            return err_set(err, STATUS_INPUT, string, "this does not fit: %s", field->meaning);
        return STATUS_OK;
    case FIELD_LENGTH:
        return set_length(field, string, bare, record, err);
    case FIELD_COUNT:
        return set_count(field, string, record, err);
    case FIELD_REAL:
        return set_real(field, string, record, err);
    case FIELD_WORD:
        return set_word(field, string, record, err);
    case FIELD_LETTER:
        if (!isalpha((unsigned char)string[0]) || string[1])
            return err_set(err, STATUS_INPUT, string, "this is not a letter");
        *member_letter(field, record) = (char)toupper((unsigned char)string[0]);
        return STATUS_OK;
    case FIELD_SECTION:
        if (!section_parse(string, member_int(field, record)))
            return err_set(err, STATUS_INPUT, string, "this is not a section: 0 to %d, or CC", SECTION_NUMBER_MAX);
        return STATUS_OK;
    case FIELD_INSTANT:
        return instant_parse(string, ship_zone_min, member_instant(field, record), err);
    case FIELD_ZONE:
        return zone_parse(string, member_int(field, record), err);
    case FIELD_FLAG:
        return set_flag(field, string, record, err);
    case FIELD_LIST:
        return list_set(field, string, arena, record, err);
    }
    return STATUS_OK;
}

enum status field_set(const struct field *field, const char *string, enum length_unit bare, int32_t ship_zone_min,
                      struct arena *arena, void *record, struct err *err)
{
    if (!*string) {
        if (field->need == REQUIRED)
            return err_set(err, STATUS_INPUT, field->name, "this is required and cannot be empty");
        clear_field(field, record);
        return STATUS_OK;
    }
    if (field->type == FIELD_TEXT) /* stricter than what earlier versions recorded, which stays readable */
        TRY(text_check(field->name, string, err));
    const enum status status = field->type == FIELD_INSTANT
                                   ? instant_take(string, ship_zone_min, member_instant(field, record), err)
                                   : field_set_value(field, string, bare, ship_zone_min, arena, record, err);
    if (status != STATUS_OK) {
        if (field->type != FIELD_TEXT && field->type != FIELD_LIST && status == STATUS_INPUT)
            err_marks(err, string);
        return blame_field(field, err);
    }
    return STATUS_OK;
}

bool field_is_equal(const struct field *field, const void *a, const void *b)
{
    if (field->type != FIELD_LIST && (field_is_absent(field, a) || field_is_absent(field, b)))
        return field_is_absent(field, a) == field_is_absent(field, b);
    switch (field->type) {
    case FIELD_TEXT:
        return strcmp(*member_text(field, a), *member_text(field, b)) == 0;
    case FIELD_LENGTH:
        return *member_length(field, a) == *member_length(field, b);
    case FIELD_COUNT:
    case FIELD_WORD:
    case FIELD_SECTION:
    case FIELD_ZONE:
        return *member_int(field, a) == *member_int(field, b);
    case FIELD_REAL:
        return *member_real(field, a) == *member_real(field, b);
    case FIELD_LETTER:
        return *member_letter(field, a) == *member_letter(field, b);
    case FIELD_INSTANT:
        return member_instant(field, a)->utc_us == member_instant(field, b)->utc_us &&
               member_instant(field, a)->offset_min == member_instant(field, b)->offset_min;
    case FIELD_FLAG:
        return true;
    case FIELD_LIST:
        break;
    }
    if (*member_count(field, a) != *member_count(field, b))
        return false;
    for (size_t at = 0; at < *member_count(field, a); at++)
        if (!record_is_equal(field->of, member_item(field, a, at), member_item(field, b, at)))
            return false;
    return true;
}

bool record_is_equal(const struct table *table, const void *a, const void *b)
{
    for (size_t at = 0; at < table->count; at++)
        if (!field_is_equal(&table->fields[at], a, b))
            return false;
    return true;
}

static bool is_within(const struct field *field, const void *record)
{
    if (field->type == FIELD_SECTION) {
        const int32_t number = *member_int(field, record);
        return number == SECTION_CATCHER || (number >= 0 && number <= SECTION_NUMBER_MAX);
    }
    if (!field->least && !field->most)
        return true;
    if (field->type == FIELD_LENGTH)
        return *member_length(field, record) >= field->least && *member_length(field, record) <= field->most;
    if (field->type == FIELD_COUNT)
        return *member_int(field, record) >= field->least && *member_int(field, record) <= field->most;
    return true;
}

enum status record_validate(const struct table *table, const void *record, const char *subject, struct err *err)
{
    for (size_t at = 0; at < table->count; at++) {
        const struct field *field = &table->fields[at];
        if (field_is_absent(field, record)) {
            if (field->need == OPTIONAL)
                continue;
            err_set(err, STATUS_INPUT, subject, "'%s' is missing: %s", field->name, field->meaning);
            return err->status;
        }
        if (!is_within(field, record))
            return err_set(err, STATUS_INPUT, subject, "'%s' is outside its limits, %s to %s", field->name,
                           limit_text(field, field->least, UNIT_M).text, limit_text(field, field->most, UNIT_M).text);
        if (field->type == FIELD_TEXT)
            TRY(check_text(field, *member_text(field, record), err));
        if (field->type == FIELD_TEXT && field->check && !field->check(*member_text(field, record)))
            return err_set(err, STATUS_INPUT, subject, "'%s' does not have the form %s", field->name, field->pattern);
        for (size_t item = 0; field->type == FIELD_LIST && item < *member_count(field, record); item++)
            TRY(record_validate(field->of, member_item(field, record, item), subject, err));
    }
    return STATUS_OK;
}

enum status record_check_texts(const struct table *table, const void *record, struct err *err)
{
    for (size_t at = 0; at < table->count; at++) {
        const struct field *field = &table->fields[at];
        if (field->type == FIELD_TEXT && !field_is_absent(field, record))
            TRY(text_check(field->name, *member_text(field, record), err));
        for (size_t item = 0; field->type == FIELD_LIST && item < *member_count(field, record); item++)
            TRY(record_check_texts(field->of, member_item(field, record, item), err));
    }
    return STATUS_OK;
}
