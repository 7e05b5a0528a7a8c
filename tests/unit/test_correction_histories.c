/* SPDX-License-Identifier: MIT */
/* What must hold for any history of corrections: the order of entry does not show, a withdrawn one was never there, and
 * depths keep their order down a core. */
#include "random_correction.h"

#include <stdio.h>
#include <stdlib.h>

enum { HISTORIES = 1000, SEEN_MOST = 4096 };

/* Everything that can be asked of a hole, in one row. */
struct seen {
    struct depth depths[SEEN_MOST];
    size_t count;
};

static void see(struct seen *seen, struct depth depth)
{
    assert_true(seen->count < SEEN_MOST);
    seen->depths[seen->count++] = depth;
}

/* A chain that says how it went, held to its result. */
static struct depth linked(const struct depth_links *links, struct depth depth)
{
    const char *wrong = depth.why ? NULL : part_links_wrong(links, depth);
    if (wrong)
        fail_msg("links do not add up: %s", wrong);
    if (depth.why && (depth.um != LENGTH_NONE || depth.low_um != LENGTH_NONE || depth.high_um != LENGTH_NONE))
        fail_msg("a number, though %s", depth.why);
    assert_true(depth.why || (depth.um != LENGTH_NONE && depth.method));
    return depth;
}

static void see_core(const struct hole *hole, const struct core *core, struct seen *seen)
{
    static const enum scale drilled[] = {SCALE_DRF, SCALE_DSF, SCALE_TVD, SCALE_TVDSF};
    for (size_t at = 0; at < COUNT_OF(drilled); at++) {
        struct depth_links links = {0};
        see(seen, linked(&links, core_top_depth(hole, core, drilled[at], &links)));
        see(seen, core_bottom_depth(hole, core, drilled[at]));
    }
    for (size_t section = 0; section < core->section_count; section++)
        for (int part = 0; part <= 2; part++)
            for (int scale = 0; scale < SCALE_COUNT; scale++) {
                const int64_t offset_um = core->sections[section].curated_um * part / 2;
                const struct place place = {hole, core, core->sections[section].number, offset_um};
                struct depth_links links = {0};
                see(seen, linked(&links, place_depth(&place, (enum scale)scale, &links)));
            }
}

/* The depths of all cores, and of some places without one, with these corrections. */
static void look(const struct random_history *history, const struct correction *all, size_t count, struct seen *seen)
{
    static const enum scale drilled[] = {SCALE_DRF, SCALE_DSF, SCALE_TVD, SCALE_TVDSF};
    const struct correction *in_force[HISTORY_MOST];
    struct hole hole = history->hole;
    seen->count = 0;
    part_correct(&hole, all, count, in_force);
    for (size_t at = 0; at < history->core_count; at++)
        see_core(&hole, &history->cores[at], seen);
    for (int64_t um = 2950 * METRE; um < 3200 * METRE; um += 40 * METRE)
        for (size_t at = 0; at < COUNT_OF(drilled); at++)
            for (int minute = -1; minute < 3000; minute += 1000) {
                see(seen, drilled_depth(&hole, um, DATUM_RIG_FLOOR, part_time(minute), drilled[at], NULL));
                see(seen,
                    drilled_depth(&hole, um - 2900 * METRE, DATUM_SEAFLOOR, part_time(minute), drilled[at], NULL));
            }
    see(seen, (struct depth){.um = hole_doubt(&hole, 0, (struct instant){0})});
}

static bool is_same_text(const char *a, const char *b)
{
    return a == b || (a && b && strcmp(a, b) == 0);
}

static void assert_same(const struct seen *a, const struct seen *b, int round, const char *what)
{
    assert_int_equal(a->count, b->count);
    for (size_t at = 0; at < a->count; at++) {
        const struct depth *one = &a->depths[at];
        const struct depth *other = &b->depths[at];
        if (one->um != other->um || one->low_um != other->low_um || one->high_um != other->high_um ||
            !is_same_text(one->why, other->why) || !is_same_text(one->method, other->method))
            fail_msg("history %d, %s: depth %zu is %lld um (%s) and %lld um (%s)", round, what, at, (long long)one->um,
                     one->why ? one->why : one->method, (long long)other->um, other->why ? other->why : other->method);
    }
}

/* Another order in which the same could have been entered: each after those that it names. number[i] is the new number
 * of what was i + 1; the copies have it, with what they name renumbered. */
static void enter_otherwise(uint64_t *seed, const struct random_history *history, struct correction out[HISTORY_MOST],
                            char names[HISTORY_MOST][NAMES_SIZE])
{
    int32_t number[HISTORY_MOST] = {0};
    for (int32_t next = 1; next <= (int32_t)history->count;) {
        const size_t at = (size_t)random_within(seed, 0, (int64_t)history->count - 1);
        bool ready = number[at] == 0;
        for (size_t other = 0; other < history->count; other++)
            ready &= number[other] != 0 || !correction_names(&history->corrections[at], (int32_t)other + 1);
        if (ready)
            number[at] = next++;
    }
    for (size_t at = 0; at < history->count; at++) {
        const size_t to = (size_t)number[at] - 1;
        out[to] = history->corrections[at];
        out[to].number = number[at];
        names[to][0] = '\0';
        for (size_t other = history->count; other-- > 0;) {
            const size_t used = strlen(names[to]);
            if (correction_names(&history->corrections[at], (int32_t)other + 1))
                (void)snprintf(names[to] + used, NAMES_SIZE - used, "%s%d", used ? " " : "", (int)number[other]);
        }
        out[to].supersedes = names[to][0] ? names[to] : NULL;
    }
    for (size_t at = 1; at < history->count; at++) { /* nor does it matter where they stand */
        const size_t to = (size_t)random_within(seed, 0, (int64_t)at);
        const struct correction moved = out[at];
        out[at] = out[to];
        out[to] = moved;
    }
}

static void the_order_of_entry_does_not_show(void **state)
{
    (void)state;
    static struct random_history history;
    static struct seen first;
    static struct seen second;
    uint64_t seed = 51;
    int moved = 0;
    for (int round = 0; round < HISTORIES; round++) {
        struct correction again[HISTORY_MOST];
        char names[HISTORY_MOST][NAMES_SIZE];
        random_history(&seed, &history);
        look(&history, history.corrections, history.count, &first);
        enter_otherwise(&seed, &history, again, names);
        moved += again[0].kind != history.corrections[0].kind;
        look(&history, again, history.count, &second);
        assert_same(&first, &second, round, "entered in another order");
    }
    assert_true(moved > HISTORIES / 4);
}

/* Without number: it is not there, and who took its place takes the place of those whose place it took. */
static size_t never_entered(const struct random_history *history, int32_t number, struct correction out[HISTORY_MOST],
                            char names[HISTORY_MOST][2 * NAMES_SIZE])
{
    const char *passed_on = history->corrections[number - 1].supersedes;
    size_t count = 0;
    for (size_t at = 0; at < history->count; at++) {
        const struct correction *it = &history->corrections[at];
        if (it->number == number)
            continue;
        out[count] = *it;
        if (passed_on && correction_names(it, number)) {
            (void)snprintf(names[count], sizeof names[count], "%s %s", it->supersedes, passed_on);
            out[count].supersedes = names[count];
        }
        count++;
    }
    return count;
}

static void a_withdrawn_one_was_never_entered(void **state)
{
    (void)state;
    static struct random_history history;
    static struct seen before;
    static struct seen first;
    static struct seen second;
    uint64_t seed = 52;
    int told = 0;
    int superseding = 0;
    for (int round = 0; round < HISTORIES; round++) {
        struct correction without[HISTORY_MOST];
        char names[HISTORY_MOST][2 * NAMES_SIZE];
        random_history(&seed, &history);
        look(&history, history.corrections, history.count, &before);
        for (size_t at = 0; at < history.count; at++) {
            const char *standing = history.corrections[at].withdrawn;
            if (standing)
                continue;
            history.corrections[at].withdrawn = "a slip";
            look(&history, history.corrections, history.count, &first);
            const size_t count = never_entered(&history, (int32_t)at + 1, without, names);
            look(&history, without, count, &second);
            assert_same(&first, &second, round, "withdrawn, and never entered");
            superseding += history.corrections[at].supersedes != NULL;
            history.corrections[at].withdrawn = NULL;
            for (size_t one = 0; one < before.count; one++)
                if (before.depths[one].um != first.depths[one].um) {
                    told++;
                    break;
                }
        }
        look(&history, history.corrections, history.count, &second);
        assert_same(&before, &second, round, "withdrawn and put back");
    }
    assert_true(told > HISTORIES && superseding > HISTORIES / 2);
}

static void depths_keep_their_order_down_a_core(void **state)
{
    (void)state;
    static const enum scale scales[] = {SCALE_CSF_A, SCALE_CSF_B, SCALE_CCSF, SCALE_CCSF_B, SCALE_WMSF};
    static struct random_history history;
    uint64_t seed = 53;
    int64_t known[COUNT_OF(scales)] = {0};
    int compressed = 0;
    for (int round = 0; round < HISTORIES; round++) {
        const struct correction *in_force[HISTORY_MOST];
        random_history(&seed, &history);
        struct hole hole = history.hole;
        part_correct(&hole, history.corrections, history.count, in_force);
        for (size_t at = 0; at < history.core_count; at++) {
            const struct core *core = &history.cores[at];
            const struct depth bottom = core_bottom_depth(&hole, core, SCALE_DSF);
            int64_t last_um[COUNT_OF(scales)];
            for (size_t scale = 0; scale < COUNT_OF(scales); scale++)
                last_um[scale] = INT64_MIN;
            for (size_t section = 0; section < core->section_count; section++)
                for (int part = 0; part <= 7; part++) {
                    const int64_t offset_um = core->sections[section].curated_um * part / 7;
                    const struct place place = {&hole, core, core->sections[section].number, offset_um};
                    for (size_t scale = 0; scale < COUNT_OF(scales); scale++) {
                        const struct depth depth = place_depth(&place, scales[scale], NULL);
                        if (depth.why)
                            continue;
                        known[scale]++;
                        if (depth.um < last_um[scale])
                            fail_msg("history %d, core %zu, section %zu, part %d: %s goes up", round, at, section, part,
                                     scale_words[scales[scale]]);
                        assert_true(depth.low_um == LENGTH_NONE || depth.low_um <= depth.um);
                        assert_true(depth.high_um == LENGTH_NONE || depth.high_um >= depth.um);
                        last_um[scale] = depth.um;
                    }
                    const struct depth a = place_depth(&place, SCALE_CSF_A, NULL);
                    const struct depth b = place_depth(&place, SCALE_CSF_B, NULL);
                    assert_true(b.why || (!bottom.why && b.um <= bottom.um && b.um <= a.um));
                    compressed += !b.why && b.um < a.um;
                }
        }
    }
    for (size_t scale = 0; scale < COUNT_OF(scales); scale++)
        if (known[scale] < 300)
            fail_msg("%s is known %d times only", scale_words[scales[scale]], (int)known[scale]);
    assert_true(compressed > 1000);
}

/* To a scale along the hole and back: with at most 80 degrees a micrometre of vertical depth is 6 along the hole. */
static void drilled_depths_go_there_and_back(void **state)
{
    (void)state;
    static const enum scale scales[] = {SCALE_DSF, SCALE_TVD, SCALE_TVDSF};
    static struct random_history history;
    uint64_t seed = 54;
    int known[COUNT_OF(scales)] = {0};
    for (int round = 0; round < HISTORIES; round++) {
        const struct correction *in_force[HISTORY_MOST];
        random_history(&seed, &history);
        struct hole hole = history.hole;
        part_correct(&hole, history.corrections, history.count, in_force);
        for (size_t scale = 0; scale < COUNT_OF(scales); scale++)
            for (int times = 0; times < 5; times++) {
                const int64_t um = random_within(&seed, 0, 7000 * METRE);
                const struct depth depth = drilled_from_drf(&hole, um, (struct instant){0}, scales[scale]);
                if (depth.why)
                    continue;
                const int64_t off_um = drilled_to_drf(&hole, depth.um, (struct instant){0}, scales[scale]).um - um;
                known[scale]++;
                if (llabs(off_um) > (scales[scale] == SCALE_DSF ? 0 : 6))
                    fail_msg("history %d: %lld um to %s and back: %lld um off", round, (long long)um,
                             scale_words[scales[scale]], (long long)off_um);
            }
    }
    for (size_t scale = 0; scale < COUNT_OF(scales); scale++)
        assert_true(known[scale] > 300);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_order_of_entry_does_not_show),
        cmocka_unit_test(a_withdrawn_one_was_never_entered),
        cmocka_unit_test(depths_keep_their_order_down_a_core),
        cmocka_unit_test(drilled_depths_go_there_and_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
