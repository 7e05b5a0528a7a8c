/* SPDX-License-Identifier: MIT */
/* Folders with modes, what differs between commits, the commits of a span: as git tells them, and damage that is an
 * answer and no end. */
#include "scene.h"

#include "coretally/store/registry.h"
#include "coretally/store/walk.h"

static void keep_line(char *text)
{
    text[strcspn(text, "\n")] = '\0';
}

static void id_of(struct scene *scene, const char *name, char out[SCENE_TEXT_MAX])
{
    scene_must(scene, out, "git -C '%s' rev-parse %s", scene->registry, name);
    keep_line(out);
}

static void three_commits(struct scene *scene)
{
    scene_record(scene, scene->registry, "holes/U0012A/cores/0001.json", "one\n", "first");
    scene_record(scene, scene->registry, "holes/U0012A/cores/0002.json", "two\n", "second");
    scene_record(scene, scene->registry, "holes/U0012A/cores/0001.json", "ONE\n", "third");
}

static void folders_come_with_their_modes(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    struct entries entries = {0};
    three_commits(scene);
    scene_ok(scene, store_open_at(scene->registry, "", NULL, &store, &scene->err));
    scene_ok(scene, store_entries(store, "", &scene->arena, &entries, &scene->err));
    assert_int_equal(entries.count, 2);
    assert_string_equal(entries.items[0].name, "expedition.json");
    assert_int_equal(entries.items[0].mode, MODE_FILE);
    assert_string_equal(entries.items[1].name, "holes");
    assert_int_equal(entries.items[1].mode, MODE_FOLDER);
    scene_ok(scene, store_entries(store, "holes/none", &scene->arena, &entries, &scene->err));
    assert_int_equal(entries.count, 0);
    store_close(store);
}

static void differences_are_those_of_git(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    struct differences all = {0};
    char older[SCENE_TEXT_MAX];
    char newer[SCENE_TEXT_MAX];
    char blob[SCENE_TEXT_MAX];
    three_commits(scene);
    scene_record(scene, scene->registry, "holes/U0012A/cores/0002.json", NULL, "removed");
    id_of(scene, "main~3", older);
    id_of(scene, "main", newer);
    id_of(scene, "main:holes/U0012A/cores/0001.json", blob);
    scene_ok(scene, store_open_at(scene->registry, newer, NULL, &store, &scene->err));
    scene_ok(scene, store_differences(store, older, newer, &scene->arena, &all, &scene->err));
    assert_int_equal(all.count, 1); /* the second core came and went */
    assert_string_equal(all.items[0].path, "holes/U0012A/cores/0001.json");
    assert_string_equal(all.items[0].newer, blob);
    assert_int_not_equal(*all.items[0].older, '\0');
    scene_ok(scene, store_differences(store, "", newer, &scene->arena, &all, &scene->err));
    assert_int_equal(all.count, 2);
    id_of(scene, "main~1", older);
    scene_ok(scene, store_differences(store, older, newer, &scene->arena, &all, &scene->err));
    assert_int_equal(all.count, 1);
    assert_int_equal(all.items[0].newer_mode, 0);
    assert_string_equal(all.items[0].newer, "");
    store_close(store);
}

static void commits_of_a_span_come_oldest_first(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    struct commits commits = {0};
    struct act_told act = {0};
    char since[SCENE_TEXT_MAX];
    char tip[SCENE_TEXT_MAX];
    bool follows = false;
    three_commits(scene);
    id_of(scene, "main~2", since);
    id_of(scene, "main", tip);
    scene_ok(scene, store_open_at(scene->registry, "", NULL, &store, &scene->err));
    scene_ok(scene, store_commits(store, since, &scene->arena, &commits, &scene->err));
    assert_int_equal(commits.count, 2);
    assert_null(commits.broken);
    assert_string_equal(commits.ids[1], tip);
    scene_ok(scene, store_act(store, commits.ids[0], &scene->arena, &act, &scene->err));
    assert_string_equal(act.commit.line, "second");
    assert_string_equal(act.parent, since);
    assert_int_equal(act.parent_count, 1);
    scene_ok(scene, store_descends(store, since, &follows, &scene->err));
    assert_true(follows);
    scene_ok(scene, store_descends(store, "0f3a9c21bd00112233445566778899aabbccddee", &follows, &scene->err));
    assert_false(follows);
    scene_ok(scene, store_commits(store, "", &scene->arena, &commits, &scene->err));
    struct lineage lineage = {commits.ids, commits.count};
    lineage_sort(&lineage);
    assert_int_equal(lineage.count, 4);
    assert_true(lineage_has(&lineage, tip));
    assert_false(lineage_has(&lineage, "0f3a9c21bd00112233445566778899aabbccddee"));
    store_close(store);
}

/* A merge of two lines, by git: every commit once, as git rev-list counts them. */
static void joined_histories_are_walked_whole(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    struct commits commits = {0};
    char out[SCENE_TEXT_MAX];
    three_commits(scene);
    scene_must(
        scene, out,
        "cd '%s' && a=$(git commit-tree main~1^{tree} -p main~2 -m side) && m=$(git commit-tree main^{tree} -p main "
        "-p $a -m joined) && git update-ref refs/heads/main $m && git rev-list main | wc -l",
        scene->registry);
    scene_ok(scene, store_open_at(scene->registry, "", NULL, &store, &scene->err));
    scene_ok(scene, store_commits(store, "", &scene->arena, &commits, &scene->err));
    assert_int_equal(commits.count, strtoul(out, NULL, 10));
    assert_int_equal(commits.count, 6);
    store_close(store);
}

/* libgit2 alone reads a loose object that was cut short for ever. */
static void object_cut_short_is_refused(void **state)
{
    struct scene *const scene = *state;
    struct store *store = NULL;
    struct bytes bytes = {0};
    char out[SCENE_TEXT_MAX];
    three_commits(scene);
    for (int left = 0; left < 24; left += 4) {
        scene_must(scene, out,
                   "cd '%s' && id=$(git rev-parse main:holes/U0012A/cores/0001.json) && f=objects/$(echo $id | cut "
                   "-c1-2)/$(echo "
                   "$id | cut -c3-) && { [ -e whole ] || cp $f whole; } && rm -f $f && head -c %d whole > $f",
                   scene->registry, left);
        scene_ok(scene, store_open_at(scene->registry, "", NULL, &store, &scene->err));
        const enum status status =
            store_read(store, "holes/U0012A/cores/0001.json", &scene->arena, &bytes, &scene->err);
        store_close(store);
        scene_must(scene, out, "wc -c < '%s/whole'", scene->registry);
        if ((long)left < strtol(out, NULL, 10))
            assert_int_equal(status, STATUS_DAMAGED);
    }
}

/* Contents of every kind of length come back whole, around the sizes at which buffers fill. */
static void objects_come_back_whole(void **state)
{
    static const size_t sizes[] = {0, 1, 50, 54, 55, 56, 57, 63, 64, 65, 1000, 70000, 3000000};
    struct scene *const scene = *state;
    for (size_t at = 0; at < sizeof sizes / sizeof sizes[0]; at++) {
        struct store *store = NULL;
        struct bytes bytes = {0};
        char path[64];
        char *text = calloc(1, sizes[at] + 2);
        assert_non_null(text);
        for (size_t byte = 0; byte < sizes[at]; byte++)
            text[byte] = (char)('a' + (byte * byte) % 23);
        text[sizes[at]] = '\n'; /* none is empty, which would mean removed */
        (void)snprintf(path, sizeof path, "size-%zu.txt", sizes[at]);
        scene_record(scene, scene->registry, path, text, "size");
        scene_ok(scene, store_open_at(scene->registry, "", NULL, &store, &scene->err));
        scene_ok(scene, store_read(store, path, &scene->arena, &bytes, &scene->err));
        assert_int_equal(bytes.len, sizes[at] + 1);
        assert_memory_equal(bytes.data, text, bytes.len);
        store_close(store);
        free(text);
    }
}

static void paths_are_known_or_not(void **state)
{
    static const struct {
        const char *path;
        const char *hole; /* NULL: not known */
        int32_t number;
        bool is_of_core;
    } rows[] = {
        {"expedition.json", "", 0, false},
        {"holes/U0012A/hole.json", "U0012A", 0, false},
        {"holes/1264AB/cores/0012.json", "1264AB", 12, true},
        {"holes/U0012A/cores/0012.samples.json", "U0012A", 12, true},
        {"holes/U0012A/cores/0012.labels.json", "U0012A", 12, true},
        {"holes/U0012A/bags/mud-0001.labels.json", "U0012A", 1, false},
        {"holes/U0012A/bags/mud-10000.json", "U0012A", 10000, false},
        {"holes/U0012A/log/2026-02-28.log", "U0012A", 0, false},
        {"evidence/0f3a9c21bd00112233445566778899aabbccddee", "", 0, false},
        {"holes/U0012A/cores/12.json", NULL, 0, false},
        {"holes/U0012A/cores/00012.json", NULL, 0, false},
        {"holes/U0012A/cores/0000.json", NULL, 0, false},
        {"holes/U0012A/cores/0012.json.orig", NULL, 0, false},
        {"holes/U0012a/hole.json", NULL, 0, false},
        {"holes/A/hole.json", NULL, 0, false},
        {"holes/U0012A/log/2026-02-30.log", NULL, 0, false},
        {"holes/U0012A/bags/rock-0001.json", NULL, 0, false},
        {"evidence/0f3a9c21bd", NULL, 0, false},
        {"evidence/0f3a9c21bd00112233445566778899aabbccddee0", NULL, 0, false},
        {"holes/U0012A", NULL, 0, false},
        {"", NULL, 0, false},
    };
    (void)state;
    for (size_t at = 0; at < sizeof rows / sizeof rows[0]; at++) {
        struct place_known place;
        const bool known = registry_place(rows[at].path, &place);
        if (known != (rows[at].hole != NULL) ||
            (known && (strcmp(place.hole, rows[at].hole) != 0 || place.number != rows[at].number ||
                       place_is_of_core(&place) != rows[at].is_of_core)))
            fail_msg("path '%s'", rows[at].path);
    }
    assert_true(registry_folder("holes"));
    assert_true(registry_folder("holes/U0012A/cores"));
    assert_false(registry_folder("holes/U0012A/hole.json"));
    assert_false(registry_folder("hol"));
    assert_false(registry_folder("notes"));
}

/* Every record that is a file has a path. */
static void every_kind_of_file_has_a_path(void **state)
{
    (void)state;
    for (size_t at = 0; file_tables[at]; at++) {
        bool found = false;
        for (const struct known_path *known = known_paths; known->pattern; known++)
            found = found || known->table == file_tables[at];
        if (!found)
            fail_msg("no path leads to '%s'", file_tables[at]->kind);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(folders_come_with_their_modes, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(differences_are_those_of_git, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(commits_of_a_span_come_oldest_first, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(joined_histories_are_walked_whole, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(object_cut_short_is_refused, scene_open, scene_close),
        cmocka_unit_test_setup_teardown(objects_come_back_whole, scene_open, scene_close),
        cmocka_unit_test(paths_are_known_or_not),
        cmocka_unit_test(every_kind_of_file_has_a_path),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
