/* SPDX-License-Identifier: MIT */
/* Stored text to records, strictly: the only file that knows cJSON. */
#include "member.h"

#include <cjson/cJSON.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>

#include "coretally/base/limits.h"
#include "scan.h"

/* Where in the record the reader is, for complaints: "core: sections[2].liner_m". */
struct path {
    const struct path *outer;
    const char *key;
    int index; /* -1: not in a list */
};

static void path_format(const struct path *path, char *out, size_t size)
{
    if (path->outer)
        path_format(path->outer, out, size);
    else
        out[0] = '\0';
    const size_t used = strlen(out);
    if (path->index >= 0)
        (void)snprintf(out + used, size - used, "[%d]", path->index);
    else
        (void)snprintf(out + used, size - used, "%s%s", path->outer ? path->outer->outer ? "." : ": " : "", path->key);
}

static enum status damaged(const struct path *path, const char *reason, struct err *err)
{
    char subject[ERR_SUBJECT_MAX];
    path_format(path, subject, sizeof subject);
    return err_set(err, STATUS_DAMAGED, subject, "%s", reason);
}

/* Is this JSON key the field's? Without printing it first: this runs for every value of a registry. */
static bool is_key_of(const struct field *field, const char *key)
{
    const size_t len = strlen(field->name);
    const char *suffix = field->type == FIELD_LENGTH ? "m" : field->suffix;
    if (strncmp(key, field->name, len) != 0)
        return false;
    return suffix ? key[len] == '_' && strcmp(key + len + 1, suffix) == 0 : key[len] == '\0';
}

static enum status decode_number(const struct field *field, const cJSON *item, const struct path *path, void *record,
                                 struct err *err)
{
    if (!cJSON_IsNumber(item) || !isfinite(item->valuedouble))
        return damaged(path, "a number was expected", err);
    const double value = item->valuedouble;
    if (field->type == FIELD_REAL) {
        if (value < 0 && field->least >= 0)
            return damaged(path, "an amount below 0", err);
        *member_real(field, record) = value;
        return STATUS_OK;
    }
    const double scaled = field->type == FIELD_LENGTH ? value * 1e6 : value;
    if (fabs(scaled) > (double)LENGTH_LIMIT_UM)
        return damaged(path, "larger than any depth or length", err);
    const double whole = round(scaled);
    if (fabs(scaled - whole) > 1e-3)
        return damaged(path, field->type == FIELD_LENGTH ? "finer than a micrometre" : "a whole number was expected",
                       err);
    if (field->type == FIELD_LENGTH)
        *member_length(field, record) = (int64_t)whole;
    else if (fabs(whole) > INT32_MAX)
        return damaged(path, "too large", err);
    else if (whole == 0) /* 0 means "absent" inside; record_validate would not see it */
        return damaged(path, "0 is below its limit", err);
    else
        *member_int(field, record) = (int32_t)whole;
    return STATUS_OK;
}

static enum status decode_text(const struct field *field, const cJSON *item, const struct path *path,
                               struct arena *arena, void *record, struct err *err)
{
    if (!cJSON_IsString(item) || !item->valuestring[0])
        return damaged(path, "a text that is not empty was expected", err);
    struct err inner = {0};
    if (field_set_value(field, item->valuestring, field->unit, INT_NONE, arena, record, &inner) != STATUS_OK)
        return inner.status == STATUS_SYSTEM ? (*err = inner, inner.status) : damaged(path, inner.reason, err);
    /* One form only: equal records must be equal bytes. */
    struct text again;
    text_init(&again, arena);
    if (field->type != FIELD_TEXT) {
        field_format(field, record, &again);
        struct bytes bytes;
        TRY(text_done(&again, &bytes, err));
        if (strcmp(bytes.data, item->valuestring) != 0)
            return damaged(path, "not in the form that records are written in", err);
    }
    return STATUS_OK;
}

static enum status decode_object(const struct table *table, const cJSON *object, const struct path *path,
                                 struct arena *arena, void *record, struct err *err);

static enum status decode_list(const struct field *field, const cJSON *array, const struct path *path,
                               struct arena *arena, void *record, struct err *err)
{
    if (!cJSON_IsArray(array) || !array->child)
        return damaged(path, "a list that is not empty was expected", err);
    const size_t count = (size_t)cJSON_GetArraySize(array);
    if (count > LIST_ITEMS_MAX)
        return damaged(path, "more items than a record may have", err);
    void *items = NULL;
    TRY(arena_take(arena, count, field->of->size, &items, err));
    size_t at = 0;
    for (const cJSON *item = array->child; item; item = item->next, at++) {
        const struct path inner = {.outer = path, .index = (int)at};
        TRY(decode_object(field->of, item, &inner, arena, member_at(at * field->of->size, items), err));
    }
    member_set_items(field, record, items, count);
    return STATUS_OK;
}

static enum status decode_value(const struct field *field, const cJSON *item, const struct path *path,
                                struct arena *arena, void *record, struct err *err)
{
    switch (field->type) {
    case FIELD_LENGTH:
    case FIELD_COUNT:
    case FIELD_REAL:
        return decode_number(field, item, path, record, err);
    case FIELD_FLAG:
        if (!cJSON_IsTrue(item))
            return damaged(path, "only true is written; false is left out", err);
        *member_flag(field, record) = true;
        return STATUS_OK;
    case FIELD_LIST:
        return decode_list(field, item, path, arena, record, err);
    case FIELD_TEXT:
    case FIELD_WORD:
    case FIELD_LETTER:
    case FIELD_SECTION:
    case FIELD_INSTANT:
    case FIELD_ZONE:
        break;
    }
    return decode_text(field, item, path, arena, record, err);
}

static enum status decode_object(const struct table *table, const cJSON *object, const struct path *path,
                                 struct arena *arena, void *record, struct err *err)
{
    if (!cJSON_IsObject(object))
        return damaged(path, "a record was expected", err);
    record_init(table, record);
    uint64_t seen = 0;
    size_t expected = 0; /* keys come in table order: look there first */
    for (const cJSON *item = object->child; item; item = item->next) {
        const struct path inner = {.outer = path, .key = item->string, .index = -1};
        size_t at = expected;
        size_t looked = 0;
        for (; looked < table->count; looked++, at = (at + 1) % table->count)
            if (is_key_of(&table->fields[at % table->count], item->string))
                break;
        if (looked == table->count)
            return damaged(&inner, "no record of this kind has this key", err);
        if (seen & (UINT64_C(1) << at))
            return damaged(&inner, "this key occurs twice", err);
        seen |= UINT64_C(1) << at;
        expected = (at + 1) % table->count;
        TRY(decode_value(&table->fields[at], item, &inner, arena, record, err));
    }
    char subject[ERR_SUBJECT_MAX];
    path_format(path, subject, sizeof subject);
    struct err inner = {0};
    if (record_validate(table, record, subject, &inner) != STATUS_OK)
        return err_set(err, STATUS_DAMAGED, inner.subject, "%s", inner.reason);
    return STATUS_OK;
}

/* Take "format" and "kind" off the front; a newer format is refused before anything else is judged. */
static enum status decode_head(const struct table *table, cJSON *root, const struct path *path, struct err *err)
{
    if (!cJSON_IsObject(root))
        return damaged(path, "a record was expected", err);
    cJSON *format = cJSON_DetachItemFromObjectCaseSensitive(root, "format");
    const double version = format && cJSON_IsNumber(format) ? format->valuedouble : 0;
    cJSON_Delete(format);
    if (version > RECORD_FORMAT)
        return err_set(err, STATUS_DAMAGED, path->key,
                       "it is written in format %.0f, and this program reads formats up to %d; a newer coretally "
                       "reads it",
                       version, RECORD_FORMAT);
    if (version < 1 || version != floor(version))
        return damaged(path, "no format version", err);
    cJSON *kind = cJSON_DetachItemFromObjectCaseSensitive(root, "kind");
    const bool same = kind && cJSON_IsString(kind) && strcmp(kind->valuestring, table->kind) == 0;
    cJSON_Delete(kind);
    return same ? STATUS_OK : damaged(path, "this is a record of another kind", err);
}

static void delete_at(cJSON **root)
{
    cJSON_Delete(*root);
}

enum status record_decode(const struct table *table, struct bytes text, struct arena *arena, void *record,
                          struct err *err)
{
    const struct path path = {.key = table->kind, .index = -1};
    TRY(json_scan(text, table->kind, err));
    const char *end = NULL;
    errno = 0; /* cJSON tells text that it cannot read and memory that it did not get in the same way */
    CLEANUP(delete_at) cJSON *root = cJSON_ParseWithLengthOpts(text.data, text.len, &end, 0);
    if (!root && errno == ENOMEM)
        return err_set(err, STATUS_SYSTEM, "memory", "not enough to read a record of %zu bytes", text.len);
    if (!root)
        return damaged(&path, "this is not JSON", err);
    TRY(decode_head(table, root, &path, err));
    void *whole = NULL;
    TRY(arena_take(arena, 1, table->size, &whole, err));
    TRY(decode_object(table, root, &path, arena, whole, err));
    memcpy(record, whole, table->size);
    return STATUS_OK;
}

bool record_is_newer(struct bytes text)
{
    struct err ignored = {0};
    if (json_scan(text, "", &ignored) != STATUS_OK)
        return false;
    CLEANUP(delete_at) cJSON *root = cJSON_ParseWithLength(text.data, text.len);
    const cJSON *format = cJSON_GetObjectItemCaseSensitive(root, "format");
    return cJSON_IsNumber(format) && format->valuedouble > RECORD_FORMAT;
}
