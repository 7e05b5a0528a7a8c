/* SPDX-License-Identifier: MIT */
/* Strict reading of stored text: each way of being broken is refused, with the path to it. */
#include "unit.h"

#include <stdio.h>

#include "coretally/base/limits.h"
#include "coretally/record/field.h"

#define CORE(rest)                                                                                                     \
    "{\"format\":1,\"kind\":\"core\",\"hole\":\"U0012A\",\"number\":3,\"type\":\"H\",\"top_m\":3100,"                  \
    "\"datum\":\"rig-floor\"" rest

static enum status decode(const struct table *table, const char *text, size_t len, void *record, struct err *err)
{
    struct arena arena;
    arena_init(&arena, 64 << 20);
    const enum status status = record_decode(table, (struct bytes){text, len}, &arena, record, err);
    arena_clear(&arena); /* the texts of record are gone: callers look at its numbers only */
    return status;
}

static void forms_are_read(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int64_t top_um;
    } rows[] = {
        {CORE("}"), 3100000000},
        {CORE(",\"recovered_m\":0}"), 3100000000},
        {" \t\r\n" CORE("} \n"), 3100000000},
        {"{\"kind\":\"core\",\"datum\":\"seafloor\",\"top_m\":1.0e2,\"type\":\"X\",\"number\":9999,\"hole\":\"1A\","
         "\"format\":1}",
         100000000},
        {CORE(",\"remark\":\"\\ud83d\\udea2 \\u00b5m\"}"), 3100000000},
        {CORE(",\"on_deck\":\"2026-03-01T04:12:30+05:30\",\"sections\":[{\"section\":\"CC\"}]}"), 3100000000},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct core core;
        struct err err = {0};
        if (decode(&core_table, rows[at].text, strlen(rows[at].text), &core, &err) != STATUS_OK)
            fail_msg("%s: %s %s", rows[at].text, err.subject, err.reason);
        ROW(rows[at].text, core.top_um == rows[at].top_um);
    }
}

static void broken_records_are_refused(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        const char *subject; /* how it begins */
        const char *reason;  /* a part of it */
    } rows[] = {
        {"", "core", "not JSON"},
        {"null", "core", "a record was expected"},
        {"[]", "core", "a record was expected"},
        {"{", "core", "not JSON"},
        {"{}", "core", "no format version"},
        {"{\"format\":1}", "core", "another kind"},
        {"{\"format\":\"1\",\"kind\":\"core\"}", "core", "no format version"},
        {"{\"format\":0,\"kind\":\"core\"}", "core", "no format version"},
        {"{\"format\":0.5,\"kind\":\"core\"}", "core", "no format version"},
        {"{\"format\":2,\"kind\":\"core\",\"new\":{}}", "core", "format 2"},
        {"{\"format\":1,\"kind\":\"hole\"}", "core", "another kind"},
        {"{\"format\":1,\"kind\":7}", "core", "another kind"},
        {"{\"Format\":1,\"kind\":\"core\"}", "core", "no format version"},
        {CORE(",\"format\":1}"), "core: format", "no record of this kind"},
        {CORE(",\"number\":3}"), "core: number", "occurs twice"},
        {CORE(",\"numbe\\u0072\":3}"), "core: number", "occurs twice"},
        {CORE(",\"Number\":3}"), "core: Number", "no record of this kind"},
        {CORE(",\"top\":3}"), "core: top", "no record of this kind"},
        {CORE(",\"\":3}"), "core: ", "no record of this kind"},
        {CORE(",\"bottom_m\":\"3\"}"), "core: bottom_m", "a number was expected"},
        {CORE(",\"bottom_m\":null}"), "core: bottom_m", "a number was expected"},
        {CORE(",\"bottom_m\":1e999}"), "core: bottom_m", "a number was expected"},
        {CORE(",\"bottom_m\":30000.1}"), "core: bottom_m", "larger than any depth"},
        {CORE(",\"bottom_m\":-1}"), "core", "'bottom' is outside its limits"},
        {CORE(",\"bottom_m\":1.0000001}"), "core: bottom_m", "finer than a micrometre"},
        {CORE(",\"version\":1}"), "core", "'version' is outside"},
        {CORE(",\"version\":0}"), "core: version", "below its limit"},
        {CORE(",\"version\":2.5}"), "core: version", "whole number"},
        {CORE(",\"version\":2147483648}"), "core: version", "too large"},
        {CORE(",\"advance_by\":\"guess\"}"), "core: advance_by", "not one of the words"},
        {CORE(",\"advance_by\":\"Recovery\"}"), "core: advance_by", "not in the form"},
        {CORE(",\"advance_by\":\"\"}"), "core: advance_by", "a text that is not empty"},
        {CORE(",\"remark\":\"\"}"), "core: remark", "a text that is not empty"},
        {CORE(",\"remark\":7}"), "core: remark", "a text that is not empty"},
        {CORE(",\"remark\":\"\\ud800\"}"), "core", "not JSON"},
        {CORE(",\"remark\":\"\\u0000\"}"), "core", "escaped NUL"},
        {CORE(",\"on_deck\":\"2026-03-01T04:12:30\"}"), "core: on_deck", "no offset"},
        {CORE(",\"on_deck\":\"2026-03-01 04:12:30Z\"}"), "core: on_deck", "not in the form"},
        {CORE(",\"on_deck\":\"2026-03-01T04:12:30+00:00\"}"), "core: on_deck", "not in the form"},
        {CORE(",\"on_deck\":\"2026-02-30T04:12:30Z\"}"), "core: on_deck", "not a date"},
        {CORE(",\"sections\":[]}"), "core: sections", "a list that is not empty"},
        {CORE(",\"sections\":{}}"), "core: sections", "a list that is not empty"},
        {CORE(",\"sections\":[3]}"), "core: sections[0]", "a record was expected"},
        {CORE(",\"sections\":[{}]}"), "core: sections[0]", ""},
        {CORE(",\"sections\":[{\"section\":\"1\"},{\"section\":\"1\",\"liner_m\":true}]}"), "core: sections[1].liner_m",
         "a number was expected"},
        {CORE(",\"sections\":[{\"section\":\"01\"}]}"), "core: sections[0].section", "not in the form"},
        {CORE(",\"sections\":[{\"section\":1}]}"), "core: sections[0].section", "a text"},
        {CORE(",\"sections\":[{\"section\":\"1\",\"voids\":[{\"top_m\":0,\"bottom_m\":1,\"closed\":false}]}]}"),
         "core: sections[0].voids[0].closed", "only true"},
        {CORE(",}"), "core", "not JSON"},
        {CORE("} x"), "core", "text after the end"},
        {CORE("}{}"), "core", "text after the end"},
        {CORE(",\"number\":03}"), "core", "leading zero"},
        {"\xEF\xBB\xBF" CORE("}"), "core", "byte 1"},
        {CORE("\x01}"), "core", "outside strings"},
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct core core = {.number = 77};
        struct err err = {0};
        ROW(rows[at].text, decode(&core_table, rows[at].text, strlen(rows[at].text), &core, &err) == STATUS_DAMAGED);
        ROW(rows[at].text, core.number == 77); /* untouched */
        if (strncmp(err.subject, rows[at].subject, strlen(rows[at].subject)) != 0 ||
            !strstr(err.reason, rows[at].reason))
            fail_msg("%s: '%s' '%s', expected '%s' '%s'", rows[at].text, err.subject, err.reason, rows[at].subject,
                     rows[at].reason);
    }
    struct core core;
    struct err err = {0};
    assert_int_equal(decode(&core_table, NULL, 0, &core, &err), STATUS_DAMAGED);
    assert_int_equal(decode(&core_table, CORE("}\0"), strlen(CORE("}")) + 1, &core, &err), STATUS_DAMAGED);
}

static void required_fields_must_be_there(void **state)
{
    (void)state;
    static const char *const rows[] = {
        "{\"format\":1,\"kind\":\"core\",\"number\":3,\"type\":\"H\",\"top_m\":1,\"datum\":\"rig-floor\"}",
        "{\"format\":1,\"kind\":\"core\",\"hole\":\"U1A\",\"type\":\"H\",\"top_m\":1,\"datum\":\"rig-floor\"}",
        "{\"format\":1,\"kind\":\"core\",\"hole\":\"U1A\",\"number\":3,\"top_m\":1,\"datum\":\"rig-floor\"}",
        "{\"format\":1,\"kind\":\"core\",\"hole\":\"U1A\",\"number\":3,\"type\":\"H\",\"datum\":\"rig-floor\"}",
        "{\"format\":1,\"kind\":\"core\",\"hole\":\"U1A\",\"number\":3,\"type\":\"H\",\"top_m\":1}",
    };
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        struct core core;
        struct err err = {0};
        ROW(rows[at], decode(&core_table, rows[at], strlen(rows[at]), &core, &err) == STATUS_DAMAGED);
        ROW(rows[at], strstr(err.reason, "is missing") != NULL);
    }
}

static enum status decode_items(size_t count, struct err *err)
{
    struct arena arena;
    struct bytes bytes;
    struct text text;
    arena_init(&arena, (size_t)1 << 30);
    text_init(&text, &arena);
    text_add(&text, "{\"format\":1,\"kind\":\"samples\",\"hole\":\"U0012A\",\"core\":1,\"samples\":[");
    for (size_t at = 0; at < count; at++)
        text_add(&text, at ? ",{\"section\":\"1\",\"top_m\":0,\"bottom_m\":1}"
                           : "{\"section\":\"1\",\"top_m\":0,\"bottom_m\":1}");
    text_add(&text, "]}");
    struct sample_set set;
    assert_int_equal(text_done(&text, &bytes, err), STATUS_OK);
    const enum status status = record_decode(&sample_set_table, bytes, &arena, &set, err);
    arena_clear(&arena);
    return status;
}

static void limits_are_met(void **state)
{
    (void)state;
    struct err err = {0};
    assert_int_equal(decode_items(LIST_ITEMS_MAX, &err), STATUS_OK);
    assert_int_equal(decode_items(LIST_ITEMS_MAX + 1, &err), STATUS_DAMAGED);
    assert_non_null(strstr(err.reason, "more items"));
    char text[TEXT_FIELD_MAX + 200];
    for (int over = 0; over <= 1; over++) {
        struct core core;
        const int used = snprintf(text, sizeof text, CORE(",\"remark\":\""));
        memset(text + used, 'x', (size_t)(TEXT_FIELD_MAX + over));
        (void)snprintf(text + used + TEXT_FIELD_MAX + over, 3, "\"}");
        assert_int_equal(decode(&core_table, text, strlen(text), &core, &err), over ? STATUS_DAMAGED : STATUS_OK);
    }
    assert_non_null(strstr(err.reason, "2001 bytes"));
}

static void short_memory_is_reported(void **state)
{
    (void)state;
    static const char text[] = CORE(",\"remark\":\"a remark that does not fit\",\"sections\":[{\"section\":\"1\"}]}");
    for (size_t limit = 0; limit < 1500; limit += 16) {
        struct arena arena;
        struct core core;
        struct err err = {0};
        arena_init(&arena, limit);
        const enum status status =
            record_decode(&core_table, (struct bytes){text, sizeof text - 1}, &arena, &core, &err);
        assert_true(status == STATUS_SYSTEM || status == STATUS_OK);
        assert_true(status == STATUS_SYSTEM || limit > 200);
        arena_clear(&arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(forms_are_read),
        cmocka_unit_test(broken_records_are_refused),
        cmocka_unit_test(required_fields_must_be_there),
        cmocka_unit_test(limits_are_met),
        cmocka_unit_test(short_memory_is_reported),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
