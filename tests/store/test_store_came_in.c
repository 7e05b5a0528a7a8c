/* SPDX-License-Identifier: MIT */
/* When a state came in does not depend on the order of its commits. */
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(comes_in_with_the_latest_time, scene_open, scene_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
