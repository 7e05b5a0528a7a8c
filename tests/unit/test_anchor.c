/* SPDX-License-Identifier: MIT */
/* Anchors found in any text: what names a state, and what only looks like it. */
#include "unit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coretally/domain/anchor.h"

#define LABEL "901-U0012A-12H-3W:45-47*K 104.450/104.470 CSF-A 0F3A9C21BD"
#define ID "0f3a9c21bd00112233445566778899aabbccddee"

/* What is found in each line of a text, a blank between, '!' before what cannot be read, '|' between lines. */
static const struct {
    const char *text;
    const char *found;
} rows[] = {
    {LABEL, LABEL},
    {LABEL " 2\r\n", LABEL " 2"},
    {"  " LABEL " \t\r\n", LABEL},
    {"901-u0012a-12h-3w:45-47*k   104.450/104.470  csf-a 0f3a9c21bd",
     "901-u0012a-12h-3w:45-47*k   104.450/104.470  csf-a 0f3a9c21bd"},
    {"2026-03-05 14:02:11\t" LABEL, LABEL},
    {"17;" LABEL ";14:02", LABEL},
    {"17," LABEL ",2026-03-05", LABEL},
    {"\"17\",\"" LABEL "\"", LABEL},
    {LABEL "\t" LABEL, LABEL " " LABEL},
    {"901-U0013A-BAG12*F + MRF 0F3A9C21BD", "901-U0013A-BAG12*F + MRF 0F3A9C21BD"},
    {"901-U0012A-3H-CCW:5-10$2*A -0.250/1.200 CCSF-D 0F3A9C21BD",
     "901-U0012A-3H-CCW:5-10$2*A -0.250/1.200 CCSF-D 0F3A9C21BD"},
    /* begins as one: nine digits; a copy that is no number; a scale too long */
    {"901-U0012A-1H*6 0.000/9.430 CSF-A 0F3A9C21B", "!901-U0012A-1H*6 0.000/9.430 CSF-A 0F3A9C21B"},
    {"901-U0012A-1H*6 0.000/9.430 CSF-A 0F3A9C21BD first", "!901-U0012A-1H*6 0.000/9.430 CSF-A 0F3A9C21BD first"},
    /* a name with its check character, and stars in other texts */
    {"901-U0012A-1H*6", ""},
    {"901-U0012A-1H*6  1  2026-03-01T04:12:00Z  0.000/9.430", ""},
    {"2 * 3 / 4 of it, **bold**, *", ""},
    {"*", ""},
    /* digits alone on a line */
    {ID, ID},
    {"  0F3A9C21BD  \r\n", "0f3a9c21bd"},
    {"\"0f3a9c21bd\"", "0f3a9c21bd"},
    {"0f3a9c2", "0f3a9c2"},
    {"0f3a9c", ""},
    {ID "0", ""},
    {"0f3a9c21bd 0f3a9c21bd", ""},
    {"0f3a9c21bg", ""},
    /* behind their word */
    {"state 0f3a9c21bd of the registry", "0f3a9c21bd"},
    {"State " ID " of expedition 901, worked out", ID},
    {"from state 0f3a9c21bd to state 1111111111 of the registry", "0f3a9c21bd 1111111111"},
    {"recorded: Core 1H  (commit d61970195a)", "d61970195a"},
    {"<dt>state</dt><dd>" ID "</dd>", ID},
    {"<th scope=\"row\">state</th> <td class=\"id\">" ID "</td>", ID},
    {"{\"commit\":\"" ID "\",\"state\": \"1111111111\"}", ID " 1111111111"},
    {"commit = 0f3a9c21bd.", "0f3a9c21bd"},
    {"estate 0f3a9c21bd, states 0f3a9c21bd, statement 0f3a9c21bd, state0f3a9c21bd", ""},
    {"state 3 of the well; state 12345; in commit 0f3a9c21bdx", ""},
    {"the state effaced it; state \"", ""},
    {"state <0f3a9c21bd", ""},
    {"tree " ID, ""},
    /* columns of a table */
    {"when,commit,by\n2026-03-05," ID ",\"Tamm, Mira\"\n2026-03-06,0f3a9c21bd,x", "|" ID "|0f3a9c21bd"},
    {"name,reason,state\n\"a, b\",\"he said \"\"no, 1111111111\"\"\",0f3a9c21bd", "|0f3a9c21bd"},
    {"State\n0f3a9c21bd\n\n-\n", "|0f3a9c21bd||"},
    {"commit,label\n0f3a9c21bd," LABEL, "|0f3a9c21bd " LABEL},
    {"when,hash\n2026-03-05,0f3a9c21bd", "|"},
    {"", ""},
};

static void find(const char *text, char *out, size_t room)
{
    struct anchor_reader reader = {.number = 0};
    struct anchor anchor;
    size_t len = 0;
    *out = '\0';
    for (const char *line = text; *line; line += strcspn(line, "\n") + (line[strcspn(line, "\n")] == '\n')) {
        len += (size_t)snprintf(out + len, room - len, "%s", line == text ? "" : "|");
        anchor_line(&reader, line, strcspn(line, "\n") + (line[strcspn(line, "\n")] == '\n'));
        while (anchor_next(&reader, &anchor)) {
            const bool is_first = !len || out[len - 1] == '|';
            len += (size_t)snprintf(out + len, room - len, "%s%s%s", is_first ? "" : " ",
                                    anchor.kind == ANCHOR_UNREADABLE ? "!" : "", anchor.text);
            assert_int_equal(anchor.kind == ANCHOR_UNREADABLE, *anchor.why != '\0');
        }
    }
}

static void anchors_are_found(void **state)
{
    (void)state;
    for (size_t at = 0; at < COUNT_OF(rows); at++) {
        char found[1000];
        find(rows[at].text, found, sizeof found);
        if (strcmp(found, rows[at].found) != 0)
            fail_msg("%s: found '%s', not '%s'", rows[at].text, found, rows[at].found);
    }
}

/* Bytes that are no text, marks at the very ends: nothing is read outside of the line. */
static void any_bytes_are_gone_through(void **state)
{
    (void)state;
    static const char alphabet[] = "*,:\"<>= \t\r\0\xFFstaecomi0f39H-/+.";
    uint32_t seed = 14;
    for (int round = 0; round < 20000; round++) {
        char *line = malloc(48); /* of its very size, for whoever watches */
        struct anchor_reader reader = {.number = (size_t)round % 2, .columns = 5};
        struct anchor anchor;
        assert_non_null(line);
        for (size_t at = 0; at < 48; at++) {
            seed = seed * 1664525 + 1013904223;
            line[at] = alphabet[(seed >> 16) % (sizeof alphabet - 1)];
        }
        anchor_line(&reader, line, 48);
        size_t found = 0;
        while (anchor_next(&reader, &anchor))
            found++;
        assert_true(found <= 48);
        free(line);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(anchors_are_found),
                                       cmocka_unit_test(any_bytes_are_gone_through)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
