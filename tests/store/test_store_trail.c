/* SPDX-License-Identifier: MIT */
/* Acts along all parents: what a trail and a history tell where registries were joined. */
#include "scene.h"

#include "coretally/store/merge.h"

enum { LINES_MAX = 32 };

/* What was told, in order. */
struct told {
    struct trail_act acts[LINES_MAX];
    size_t count;
};

/* A file recorded, a minute after the one before unless said otherwise; the branch then stands there. */
static const char *record_at(struct scene *scene, const char *path, const char *text, const char *line, int minute)
{
    struct store *store = NULL;
    struct act act = scene_act(line);
    const struct change change = {.path = path, .bytes = {text, text ? strlen(text) : 0}};
    char id[COMMIT_ID_MAX];
    const char *kept = NULL;
    bool made = false;
    act.actor.when.utc_us += minute * INT64_C(60000000);
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
    scene_ok(scene, store_append(store, &act, &change, 1, false, id, &made, &scene->err));
    store_close(store);
    assert_true(made);
    scene_ok(scene, arena_copy(&scene->arena, id, strlen(id), &kept, &scene->err));
    return kept;
}

static void go_to(struct scene *scene, const char *commit)
{
    char out[SCENE_TEXT_MAX];
    scene_must(scene, out, "git -C registry.git update-ref refs/heads/main %s", commit);
}

/* Both in one commit, with these files put onto the tree of the first. */
static const char *join(struct scene *scene, const char *one, const char *other, const struct placed *files,
                        size_t count)
{
    struct store *store = NULL;
    char id[COMMIT_ID_MAX];
    const char *kept = NULL;
    const struct join_commit commit = {{one, other}, one, files, count};
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
    scene_ok(scene, store_put_join(store, &commit, id, NULL, &scene->err));
    store_close(store);
    go_to(scene, id);
    scene_ok(scene, arena_copy(&scene->arena, id, strlen(id), &kept, &scene->err));
    return kept;
}

static struct placed file_of(struct scene *scene, const char *path, const char *text)
{
    struct store *store = NULL;
    struct placed placed = {.path = path};
    scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
    scene_ok(scene, store_put(store, (struct bytes){text, strlen(text)}, placed.id, &scene->err));
    store_close(store);
    return placed;
}

static void tell(struct scene *scene, const char *const *paths, size_t count, struct told *out)
{
    struct store *store = NULL;
    struct trail *trail = NULL;
    bool more = true;
    out->count = 0;
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    scene_ok(scene, trail_open(store, paths, count, &trail, &scene->err));
    for (;;) {
        assert_true(out->count < LINES_MAX);
        scene_ok(scene, trail_next(trail, &scene->arena, &out->acts[out->count], &more, &scene->err));
        if (!more)
            break;
        out->count++;
    }
    trail_close(trail);
    store_close(store);
}

static void expect_lines(const struct told *told, const char *const *lines)
{
    size_t count = 0;
    for (; lines[count]; count++) {
        assert_true(count < told->count);
        assert_string_equal(told->acts[count].commit.line, lines[count]);
    }
    assert_int_equal(told->count, count);
}

static void expect_versions(struct scene *scene, const char *path, const char *const *lines)
{
    struct store *store = NULL;
    struct history *history = NULL;
    bool more = true;
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    scene_ok(scene, history_open(store, path, &history, &scene->err));
    for (size_t at = 0; more; at++) {
        struct commit commit;
        char id[HASH_TEXT_MAX];
        scene_ok(scene, history_next(history, &scene->arena, &commit, id, &more, &scene->err));
        assert_int_equal(more, lines[at] != NULL);
        if (more)
            assert_string_equal(commit.line, lines[at]);
    }
    history_close(history);
    store_close(store);
}

static const char *const one_path[] = {"h/a.json"};
static const char *const two_paths[] = {"h/a.json", "h/b.json"};

/* Whichever of the two parents comes first in the commit: two joins of the same sides, with another tip on one. */
static void a_join_is_passed_on_the_side_that_did_something(void **state)
{
    struct scene *const scene = *state;
    const char *const lines[] = {"a changed", "a", NULL};
    struct told told;
    (void)record_at(scene, "h/a.json", "1\n", "a", 1);
    const char *const base = record_at(scene, "x.json", "1\n", "x", 2);
    const char *const ship = record_at(scene, "h/a.json", "2\n", "a changed", 3);
    for (int minute = 4; minute < 12; minute++) { /* ids fall in both orders */
        char text[16];
        (void)snprintf(text, sizeof text, "%d\n", minute);
        go_to(scene, base);
        const char *const shore = record_at(scene, "x.json", text, "x changed", minute);
        const struct placed x = file_of(scene, "x.json", text);
        (void)join(scene, ship, shore, &x, 1);
        tell(scene, one_path, 1, &told);
        expect_lines(&told, lines);
        assert_false(told.acts[0].is_join);
        expect_versions(scene, "h/a.json", lines);
    }
}

static void where_both_sides_did_something_the_join_has_two_lines(void **state)
{
    static const char *const lines[] = {NULL, "a by shore", "b by ship", "b", "a", NULL};
    const char *expected[6];
    struct scene *const scene = *state;
    struct told told;
    memcpy(expected, lines, sizeof expected);
    (void)record_at(scene, "h/a.json", "1\n", "a", 1);
    const char *const base = record_at(scene, "h/b.json", "1\n", "b", 2);
    const char *const ship = record_at(scene, "h/b.json", "2\n", "b by ship", 3);
    go_to(scene, base);
    const char *const shore = record_at(scene, "h/a.json", "2\n", "a by shore", 4);
    const struct placed a = file_of(scene, "h/a.json", "2\n");
    const char *const joined = join(scene, ship, shore, &a, 1);
    tell(scene, two_paths, 2, &told);
    expected[0] = told.acts[0].commit.line;
    expect_lines(&told, expected);
    assert_true(told.acts[0].is_join);
    assert_string_equal(told.acts[0].commit.id, joined);
    assert_int_equal(told.acts[0].line_count, 2);
    for (int line = 0; line < 2; line++) { /* what differs from each side is what the other one did */
        const bool is_ship = strcmp(told.acts[0].lines[line].older, ship) == 0;
        assert_string_equal(told.acts[0].lines[line].older, is_ship ? ship : shore);
        assert_int_equal(told.acts[0].lines[line].touched, is_ship ? 1 : 2);
    }
    for (int act = 1; act < 3; act++)
        assert_string_equal(told.acts[act].lines[0].older, base); /* once, though both lead there */
    assert_int_equal(told.acts[4].line_count, 1);
    assert_string_equal(told.acts[4].lines[0].older, "");
    expect_versions(scene, "h/a.json", (const char *const[]){"a by shore", "a", NULL}); /* of one file one side alone */
}

static void a_file_put_together_leads_to_both_sides(void **state)
{
    struct scene *const scene = *state;
    struct told told;
    const char *const base = record_at(scene, "h/a.json", "1\n", "a", 1);
    const char *const ship = record_at(scene, "h/a.json", "2\n", "by ship", 2);
    go_to(scene, base);
    const char *const shore = record_at(scene, "h/a.json", "3\n", "by shore", 3);
    const struct placed both = file_of(scene, "h/a.json", "23\n");
    (void)join(scene, ship, shore, &both, 1);
    tell(scene, one_path, 1, &told);
    assert_int_equal(told.count, 4);
    assert_int_equal(told.acts[0].lines[0].touched & told.acts[0].lines[1].touched, 1);
    expect_versions(scene, "h/a.json",
                    (const char *const[]){told.acts[0].commit.line, "by shore", "by ship", "a", NULL});
    const struct placed ships = file_of(scene, "h/a.json", "2\n"); /* one side's stands: the other's led to nothing */
    (void)join(scene, ship, shore, &ships, 1);
    expect_versions(scene, "h/a.json", (const char *const[]){"by ship", "a", NULL});
    tell(scene, one_path, 1, &told); /* but it was done */
    assert_int_equal(told.count, 4);
}

/* A younger act that an older one stands on, below a join: never told before what stands on it, nor twice. */
static void clocks_that_ran_back_do_not_turn_the_order(void **state)
{
    struct scene *const scene = *state;
    struct told told;
    (void)record_at(scene, "h/a.json", "1\n", "a", 1);
    const char *const ahead = record_at(scene, "h/a.json", "2\n", "ahead", 900);
    const char *const ship = record_at(scene, "h/a.json", "3\n", "ship", 5);
    go_to(scene, ahead);
    (void)record_at(scene, "h/b.json", "1\n", "shore one", 6);
    const char *const shore = record_at(scene, "h/b.json", "2\n", "shore two", 7);
    const struct placed b = file_of(scene, "h/b.json", "2\n");
    (void)join(scene, ship, shore, &b, 1);
    tell(scene, two_paths, 2, &told);
    expect_lines(&told,
                 (const char *const[]){told.acts[0].commit.line, "shore two", "shore one", "ship", "ahead", "a", NULL});
}

/* Day by day two sides act and join: every act once, each before those that it stands on. */
static void many_joins_tell_every_act_once(void **state)
{
    static const char *const paths[] = {"h/a", "h/b"};
    struct scene *const scene = *state;
    struct told told;
    char out[SCENE_TEXT_MAX];
    const char *at = record_at(scene, "h/a/0.json", "0\n", "a", 0);
    for (int day = 0; day < 8; day++) {
        char text[16];
        (void)snprintf(text, sizeof text, "%d\n", day);
        const char *const ship = record_at(scene, "h/a/0.json", day ? text : "first\n", "ship", 10 * day + 1);
        go_to(scene, at);
        const char *const shore = record_at(scene, day % 3 ? "h/b/0.json" : "x.json", text, "shore", 10 * day + 2);
        const struct placed theirs = file_of(scene, day % 3 ? "h/b/0.json" : "x.json", text);
        at = join(scene, ship, shore, &theirs, 1);
    }
    tell(scene, paths, 2, &told);
    size_t acts = 0;
    for (size_t act = 0; act < told.count; act++) {
        acts += !told.acts[act].is_join;
        for (size_t other = act + 1; other < told.count; other++) {
            assert_string_not_equal(told.acts[act].commit.id, told.acts[other].commit.id);
            assert_int_not_equal(scene_run(scene, out, "git -C registry.git merge-base --is-ancestor %s %s",
                                           told.acts[act].commit.id, told.acts[other].commit.id),
                                 0);
        }
    }
    assert_int_equal(acts, 1 + 8 + 5);
    scene_must(scene, out, "git -C registry.git log --no-merges --format=%%H -- h/a h/b | wc -l");
    assert_int_equal(strtol(out, NULL, 10), 1 + 8 + 5);
}

static void what_is_dropped_is_not_told_on_any_line(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    struct trail *trail = NULL;
    struct trail_act act = {.line_count = 0};
    bool more = true;
    (void)record_at(scene, "h/a.json", "1\n", "a", 1);
    const char *const base = record_at(scene, "h/b.json", "1\n", "b", 2);
    const char *const ship = record_at(scene, "h/b.json", "2\n", "b by ship", 3);
    go_to(scene, base);
    const char *const shore = record_at(scene, "h/a.json", "2\n", "a by shore", 4);
    const struct placed a = file_of(scene, "h/a.json", "2\n");
    (void)join(scene, ship, shore, &a, 1);
    scene_ok(scene, store_open(scene->registry, STORE_READ, NULL, &store, &scene->err));
    scene_ok(scene, trail_open(store, two_paths, 2, &trail, &scene->err));
    scene_ok(scene, trail_next(trail, &scene->arena, &act, &more, &scene->err));
    scene_ok(scene, trail_next(trail, &scene->arena, &act, &more, &scene->err));
    assert_string_equal(act.commit.id, shore);
    trail_drop(trail, base);
    scene_ok(scene, trail_next(trail, &scene->arena, &act, &more, &scene->err));
    assert_string_equal(act.commit.id, ship);
    scene_ok(scene, trail_next(trail, &scene->arena, &act, &more, &scene->err));
    assert_false(more);
    trail_close(trail);
    store_close(store);
}

/* The branch was moved to a join while an act was thought over: it names who changed what was read, and not the join.
 */
static void a_conflict_names_the_act_behind_a_join(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    char id[COMMIT_ID_MAX];
    bool made = false;
    const char *const base = record_at(scene, "h/a.json", "1\n", "a", 1);
    (void)record_at(scene, "h/a.json", "2\n", "a by shore", 2);
    const char *const shore = record_at(scene, "x.json", "1\n", "x by shore", 3);
    const struct placed files[] = {file_of(scene, "h/a.json", "2\n"), file_of(scene, "x.json", "1\n")};
    for (int both = 0; both < 2; both++) { /* the file is theirs; then it has something of both */
        const struct placed put_together[] = {file_of(scene, "h/a.json", "23\n"), files[1]};
        go_to(scene, base);
        const char *const ship = both ? record_at(scene, "h/a.json", "3\n", "a by ship", 4)
                                      : record_at(scene, "y.json", "1\n", "y by ship", 4);
        const char *const joined = join(scene, ship, shore, both ? put_together : files, 2);
        go_to(scene, ship);
        scene_ok(scene, store_open(scene->registry, STORE_WRITE, NULL, &store, &scene->err));
        assert_string_equal(scene_read(scene, store, "h/a.json"), both ? "3\n" : "1\n");
        go_to(scene, joined);
        assert_int_equal(scene_append(scene, store, "z.json", "1\n", "z", id, &made), STATUS_CONFLICT);
        assert_non_null(strstr(scene->err.reason, "\"a by shore\""));
        store_close(store);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_join_is_passed_on_the_side_that_did_something, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(where_both_sides_did_something_the_join_has_two_lines, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(a_file_put_together_leads_to_both_sides, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(clocks_that_ran_back_do_not_turn_the_order, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(many_joins_tell_every_act_once, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(a_conflict_names_the_act_behind_a_join, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(what_is_dropped_is_not_told_on_any_line, scene_open, scene_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
