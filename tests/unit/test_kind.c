/* SPDX-License-Identifier: MIT */
/* The table of what acts may do: it has the commands that act, and fields that there are; and what an act did is found
 * and judged from records alone. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "coretally/base/limits.h"
#include "coretally/kind/deed.h"
#include "dispatch.h"

static void has_each_command(void **context)
{
    (void)context;
    for (size_t at = 0; commands[at]; at++) {
        const bool acts = use_writes(commands[at]->use);
        if (acts != (kind_find(commands[at]->words) != NULL))
            fail_msg("'%s' %s, and the table says otherwise", commands[at]->words, acts ? "acts" : "does not act");
        if (acts && commands[at]->needs_reason && !kind_find(commands[at]->words)->needs_reason)
            fail_msg("'%s' demands a reason, and the table does not", commands[at]->words);
    }
    for (const struct kind *kind = kinds; kind->word; kind++) {
        bool is_there = false;
        for (size_t at = 0; commands[at]; at++)
            is_there = is_there || strcmp(commands[at]->words, kind->word) == 0;
        if (!is_there)
            fail_msg("the table has '%s', and no command", kind->word);
    }
}

static void has_fields_that_are(void **context)
{
    (void)context;
    for (const struct kind *kind = kinds; kind->word; kind++)
        for (const struct allowed *it = kind->what; it->part; it++)
            for (const char *const *name = it->fields; name && *name; name++)
                if (!field_find(it->part, *name))
                    fail_msg("'%s': a %s has no %s", kind->word, it->part->kind, *name);
}

/* --- an amended core --- */

struct scene {
    struct arena arena;
    struct state_shared shared;
    struct state state;
    struct core older;
    struct core newer;
    struct place_known place;
};

static void begin(struct scene *scene)
{
    arena_init(&scene->arena, ARENA_LIMIT_BYTES);
    state_init(&scene->state, &scene->shared, &scene->arena, NULL);
    record_init(&expedition_table, &scene->state.expedition);
    scene->state.expedition.number = "901";
    record_init(&core_table, &scene->older);
    scene->older.hole = "U0012A";
    scene->older.number = 12;
    scene->older.type = 'H';
    scene->older.top_um = INT64_C(3126600000);
    scene->older.bottom_um = INT64_C(3136100000);
    scene->older.datum = DATUM_RIG_FLOOR;
    scene->older.recovered_um = 9430000;
    scene->newer = scene->older;
    scene->newer.version = 2;
    assert_true(registry_place("holes/U0012A/cores/0012.json", &scene->place));
}

static const char *judge(struct scene *scene, const struct deed_said *said)
{
    struct deed *deed = NULL;
    struct err err = {0};
    assert_int_equal(arena_take(&scene->arena, 1, sizeof *deed, &deed, &err), STATUS_OK);
    deed_begin(deed, &scene->state, said);
    assert_int_equal(deed_add(deed, &scene->place, &scene->older, &scene->newer, &err), STATUS_OK);
    assert_int_equal(deed_end(deed, &err), STATUS_OK);
    assert_true(deed->fault_count <= 1);
    return deed->fault_count ? deed->faults[0].sentence : "";
}

static void judges_an_amendment(void **context)
{
    static const char line[] =
        "Core 901-U0012A-12H amended: 3126.700-3136.100 m below rig floor, recovered 9.430 m (100.3 %)";
    struct scene scene;
    (void)context;
    begin(&scene);
    scene.newer.top_um += 100000;
    const struct deed_said honest = {"core amend", line, "ruler", NULL};
    assert_string_equal(judge(&scene, &honest), "");
    const struct deed_said silent = {"core amend", line, NULL, NULL};
    assert_string_equal(judge(&scene, &silent), "it gives no reason (Reason:), which 'core amend' must");
    const struct deed_said other = {"core amend", "Core 901-U0012A-12H amended", "ruler", NULL};
    assert_non_null(strstr(judge(&scene, &other), "what it did is \"Core 901-U0012A-12H amended: 3126.700"));
    scene.newer.type = 'X';
    assert_string_equal(judge(&scene, &honest), "its type changed, which 'core amend' does not do to a core");
    state_clear(&scene.state);
    arena_clear(&scene.arena);
}

static void judges_another_kind(void **context)
{
    struct scene scene;
    struct deed deed;
    struct err err = {0};
    (void)context;
    begin(&scene);
    scene.newer.withdrawn = "not cored";
    deed_begin(&deed, &scene.state, &(struct deed_said){"label print", "Labels: 1 printed as small", NULL, NULL});
    assert_int_equal(deed_add(&deed, &scene.place, &scene.older, &scene.newer, &err), STATUS_OK);
    assert_int_equal(deed_end(&deed, &err), STATUS_OK);
    assert_int_equal(deed.fault_count, 2);
    assert_string_equal(deed.faults[0].sentence, "a core was withdrawn, which 'label print' does not do");
    assert_string_equal(deed.faults[1].sentence, "it says that it is 'label print', and changed no label of that kind");
    deed_begin(&deed, &scene.state, &(struct deed_said){"core withdraw", NULL, "not cored", NULL});
    assert_int_equal(deed_end(&deed, &err), STATUS_OK);
    assert_int_equal(deed.fault_count, 1);
    assert_string_equal(deed.faults[0].sentence, "it changed nothing, so it is no act of the kind 'core withdraw'");
    state_clear(&scene.state);
    arena_clear(&scene.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(has_each_command),
        cmocka_unit_test(has_fields_that_are),
        cmocka_unit_test(judges_an_amendment),
        cmocka_unit_test(judges_another_kind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
