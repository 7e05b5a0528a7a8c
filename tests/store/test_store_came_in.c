/* SPDX-License-Identifier: MIT */
/* When a state came in does not depend on the order of its commits; what a time means, where histories were joined; and
 * what a name means. */
#include "coretally/store/walk.h"
#include "scene.h"

static int64_t came_in(struct scene *scene, const char *registry, int64_t enough_us)
{
    struct store *store = NULL;
    int64_t us[2] = {0, 0};
    scene_ok(scene, store_open(registry, STORE_READ, NULL, &store, &scene->err));
    for (int side = 0; side < 2; side++) /* asked again it is known */
        scene_ok(scene, store_came_in(store, enough_us, &us[side], &scene->err));
    assert_int_equal(us[0], us[1]);
    store_close(store);
    return us[0] / 1000000;
}

static void comes_in_with_the_latest_time(void **state)
{
    struct scene *const scene = *state;
    char out[SCENE_TEXT_MAX];
    scene_must(scene, out,
               "git clone -q registry.git dated && cd dated && for day in 05 09 07; do "
               "GIT_AUTHOR_DATE=2040-01-${day}T00:00:00Z GIT_COMMITTER_DATE=2040-01-01T00:00:00Z git commit -q "
               "--allow-empty -m $day; done; git clone -q --depth 1 file://$PWD ../short");
    (void)snprintf(out, sizeof out, "%s/dated", scene->folder);
    assert_int_equal(came_in(scene, out, INT64_MAX), 2209680000); /* 2040-01-09 */
    assert_int_equal(came_in(scene, out, INT64_MIN), 2209507200); /* 2040-01-07 is enough */
    (void)snprintf(out, sizeof out, "%s/short", scene->folder);
    assert_int_equal(came_in(scene, out, INT64_MAX), 2209507200);
}

/* A clone in which each line names commits of its own: base (4 January), ship (5, 8), shore (6, 11, and one of 7 behind
 * that), all joined on 12 January by plain git; each commit has a tag. */
#define COMMIT(day, name, parents)                                                                                     \
    "at=$(GIT_AUTHOR_DATE=2040-01-" day "T00:00:00Z GIT_COMMITTER_DATE=2040-01-" day                                   \
    "T00:00:00Z git commit-tree main^{tree} " parents " -m " name ") && git tag " name " $at && "

static void make_lines(struct scene *scene, char out[SCENE_TEXT_MAX])
{
    scene_must(scene, out,
               "git clone -q registry.git lines && cd lines && " COMMIT("04", "base", "-p main")
                   COMMIT("05", "ship-5", "-p base") COMMIT("06", "shore-6", "-p base")
                       COMMIT("08", "ship-8", "-p ship-5") COMMIT("11", "shore-11", "-p shore-6")
                           COMMIT("07", "shore-7", "-p shore-11") COMMIT("12", "joined", "-p ship-8 -p shore-7")
                               COMMIT("13", "after", "-p joined") "git update-ref refs/heads/main after");
    (void)snprintf(out, SCENE_TEXT_MAX, "%s/lines", scene->folder);
}

/* The newest commits of a state by their tags, sorted by name: "ship-8 shore-6". */
static void hold_heads(struct scene *scene, struct store *store, const char *state, const char *expected,
                       struct late_acts *late)
{
    char said[SCENE_TEXT_MAX];
    char names[512] = "";
    struct commits heads = {.count = 0};
    scene_ok(scene, store_heads(store, state, &scene->arena, &heads, late, &scene->err));
    for (size_t at = 0; at < heads.count; at++) {
        assert_true(!at || strcmp(heads.ids[at - 1], heads.ids[at]) < 0);
        (void)snprintf(names + strlen(names), sizeof names - strlen(names), "%s ", heads.ids[at]);
    }
    scene_must(scene, said,
               "for id in %s; do git -C lines tag --points-at $id; done | sort | tr '\\n' ' ' | sed 's/ $//'", names);
    assert_string_equal(said, expected);
}

static void hold_tag(struct scene *scene, const char *id, const char *tag)
{
    char said[SCENE_TEXT_MAX];
    scene_must(scene, said, "git -C lines tag --points-at %s | tr -d '\\n'", id);
    assert_string_equal(said, tag);
}

static void a_time_means_all_lines(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    struct late_acts late;
    struct commits beyond;
    struct commits heads;
    char folder[SCENE_TEXT_MAX];
    make_lines(scene, folder);
    scene_ok(scene, store_open(folder, STORE_READ, NULL, &store, &scene->err));
    hold_heads(scene, store, "2040-01-04", "base", &late);
    assert_int_equal(late.count, 0);
    hold_heads(scene, store, "2040-01-05", "ship-5", &late);
    hold_heads(scene, store, "2040-01-06", "ship-5 shore-6", &late);
    hold_heads(scene, store, "2040-01-06T00:00:00Z", "ship-5 shore-6", &late);
    hold_heads(scene, store, "2040-01-05T23:59:59Z", "ship-5", &late);
    assert_int_equal(late.count, 0);
    hold_heads(scene, store, "2040-01-09", "ship-8 shore-6", &late); /* shore-7 is behind the one of the 11th */
    assert_int_equal(late.count, 1);
    assert_int_equal(late.later, 1);
    hold_tag(scene, late.first, "shore-7");
    hold_tag(scene, late.behind, "shore-11");
    hold_tag(scene, late.whole, "joined"); /* of the line the first that has the lines of both */
    hold_heads(scene, store, "2040-01-11", "ship-8 shore-7", &late);
    assert_int_equal(late.count, 0);
    hold_heads(scene, store, "2040-01-12", "joined", &late);
    hold_heads(scene, store, "2041-01-01", "after", &late);
    assert_int_equal(store_stand_at(store, "2040-01-06", &scene->err), STATUS_RULE);
    assert_non_null(strstr(scene->err.reason, "2 lines had not been joined"));
    scene_ok(scene, store_heads(store, "2040-01-09", &scene->arena, &heads, &late, &scene->err));
    scene_ok(scene, store_beyond(store, &heads, &scene->arena, &beyond, &scene->err));
    assert_int_equal(beyond.count, 4); /* shore-11, shore-7, joined, after */
    scene_ok(scene, store_stand_at(store, "2040-01-12", &scene->err));
    assert_int_equal(store_lines(store), 0);
    store_close(store);
}

static void hold_kind(struct scene *scene, struct store *store, const char *typed, enum state_kind expected)
{
    enum state_kind kind = STATE_TIME;
    scene_ok(scene, store_state_kind(store, typed, &kind, &scene->err));
    assert_int_equal(kind, expected);
}

/* Ids, then tags, then branches, then those of other places, then times. */
static void names_are_found_in_their_order(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    struct late_acts late;
    char folder[SCENE_TEXT_MAX];
    char said[SCENE_TEXT_MAX];
    enum state_kind kind = STATE_TIME;
    make_lines(scene, folder);
    scene_must(
        scene, said,
        "cd lines && set_ref() { git update-ref refs/$1 $(git rev-parse refs/tags/$2); } && "
        "short=$(git rev-parse --short=8 joined) && set_ref heads/base shore-6 && set_ref heads/night shore-6 && "
        "set_ref remotes/far/night ship-5 && set_ref heads/far/both ship-8 && set_ref remotes/far/both base && "
        "set_ref heads/2040-01-08 base && set_ref heads/$short base && set_ref tags/$short after && "
        "set_ref heads/beadfeed00 base && git pack-refs --all && set_ref remotes/far/loose shore-6 && "
        "printf %%s $short");
    scene_ok(scene, store_open(folder, STORE_READ, NULL, &store, &scene->err));
    hold_heads(scene, store, said, "joined", &late); /* its own digits, not the branch of their name */
    hold_kind(scene, store, said, STATE_COMMIT);
    hold_kind(scene, store, "base", STATE_TAG);
    hold_kind(scene, store, "night", STATE_BRANCH);
    hold_kind(scene, store, "far/night", STATE_BRANCH);
    hold_kind(scene, store, "2040-01-08", STATE_BRANCH);
    hold_kind(scene, store, "2040-01-09", STATE_TIME);
    hold_heads(scene, store, "night", "shore-6", &late);
    hold_heads(scene, store, "far/night", "ship-5", &late);
    hold_heads(scene, store, "far/both", "ship-8", &late);
    hold_heads(scene, store, "far/loose", "shore-6", &late);
    hold_kind(scene, store, "../heads/night", STATE_TIME); /* it is no name: nothing is looked for outside */
    hold_kind(scene, store, "night.lock", STATE_TIME);
    assert_int_equal(store_state_kind(store, "beadfeed00", &kind, &scene->err), STATUS_UNKNOWN);
    store_close(store);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(comes_in_with_the_latest_time, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(a_time_means_all_lines, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(names_are_found_in_their_order, scene_open, scene_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
