/* SPDX-License-Identifier: MIT */
/* What two sides did that the rules of typing would have doubted or refused, had one known of the other, and that the
 * state alone does not tell: samples may well be taken before the material is marked as used up, and intervals overlap
 * because somebody is sure. So the acts are asked, and only about what the state has such a pair of. */
#include <string.h>

#include "coretally/ask/kept.h"
#include "coretally/ask/waiting.h"
#include "coretally/domain/rule.h"
#include "coretally/state/numbered.h"
#include "coretally/state/origin.h"

struct joined_walk {
    struct state *state;
    const struct target *hole;
    struct waiting_list *out;
    bool is_asked; /* whether two lines of acts on its cores came together; then the answer */
    bool is_joined;
};

static enum status add_finding(struct joined_walk *walk, const char *path, const char *item,
                               const struct finding *finding, struct waiting *it, struct err *err)
{
    struct open_point point;
    struct text text;
    struct bytes bytes;
    TRY(open_point_of(walk->state, path, item, &point, err));
    text_init(&text, walk->state->arena);
    text_addf(&text, "%s: %s", rule_word(finding->rule), finding->text);
    TRY(text_done(&text, &bytes, err));
    it->thing = point.thing;
    it->sentence = bytes.data;
    TRY(waiting_ways(walk->state, &point, rule_word(finding->rule), it, err));
    return waiting_add(it, walk->out, err);
}

/* --- drilled intervals --- */

static enum status add_drilled(struct joined_walk *walk, struct err *err)
{
    struct numbered_set set;
    char path[REGISTRY_PATH_MAX];
    TRY(numbered_set_read(walk->state, &drilled_form, walk->hole->hole_name, &set, err));
    drilled_path(walk->hole->hole_name, path);
    for (size_t at = 0; at < set.count; at++) {
        const struct drilled *interval = numbered_item(&drilled_form, &set, at);
        const struct drilled_set before = {walk->hole->hole_name, set.items, at}; /* each pair once */
        struct findings findings;
        char item[16];
        TRY(kept_open_drilled(walk->state, walk->hole, interval, &before, &findings, err));
        (void)snprintf(item, sizeof item, "%d", (int)interval->number);
        for (size_t found = 0; found < findings.count; found++) {
            struct waiting it = {.kind = WAITING_RULE};
            TRY(add_finding(walk, path, item, &findings.items[found], &it, err));
        }
    }
    return STATUS_OK;
}

/* --- used up material --- */

/* A registry that was never joined has nothing of the kind; one walk tells for the hole. */
static enum status ask_joined(struct joined_walk *walk, bool *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    const char *const paths[] = {path};
    struct trail *trail = NULL;
    enum status status = STATUS_OK;
    *out = walk->is_joined;
    if (walk->is_asked)
        return STATUS_OK;
    (void)snprintf(path, sizeof path, "holes/%s/cores", walk->hole->hole_name);
    TRY(trail_open(walk->state->store, paths, 1, &trail, err));
    for (bool more = true; status == STATUS_OK && more && !walk->is_joined;) {
        struct trail_act act = {.line_count = 0};
        status = trail_next(trail, walk->state->arena, &act, &more, err);
        walk->is_joined = status == STATUS_OK && more && act.line_count > 1;
    }
    trail_close(trail);
    walk->is_asked = true;
    *out = walk->is_joined;
    return status;
}

/* Samples of one core. */
struct core_samples {
    struct core core;
    struct sample_set set;
    char path[REGISTRY_PATH_MAX];
};

/* The samples of the core in another state, where it may have had another number. */
static enum status read_then(struct joined_walk *walk, const struct core_samples *at, struct store *beside,
                             struct sample_set *out, struct err *err)
{
    struct state then;
    struct renaming_set sets[2] = {{.renaming_count = 0}, {.renaming_count = 0}};
    struct core_id id = {at->core.number, at->core.type};
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    *out = (struct sample_set){.sample_count = 0};
    state_at(walk->state, beside, &then);
    TRY(state_renamings(walk->state, walk->hole->hole_name, &sets[0], err));
    TRY(state_renamings(&then, walk->hole->hole_name, &sets[1], err));
    if (!renamings_between(&sets[0], &sets[1], &id))
        return STATUS_OK;
    samples_path(walk->hole->hole_name, id.number, path);
    TRY(state_read(&then, path, &sample_set_table, out, &there, err));
    if (!there)
        *out = (struct sample_set){.sample_count = 0};
    return STATUS_OK;
}

/* Had the other been recorded where this one was marked as used up? */
static enum status was_known(struct joined_walk *walk, const struct core_samples *at, const struct sample *used_up,
                             const struct sample *other, bool *out, struct err *err)
{
    static const char *const mark[] = {"used_up", NULL};
    const struct record_at marked = record_of_sample(walk->hole->hole_name, at->core.number, used_up);
    const struct record_at sought = record_of_sample(walk->hole->hole_name, at->core.number, other);
    struct commit commit = {.id = ""};
    struct store *beside = NULL;
    struct sample_set then;
    const void *found = NULL;
    TRY(origin_find(walk->state, &marked, mark, &commit, err));
    TRY(store_open_beside(walk->state->store, commit.id, &beside, err));
    enum status status = read_then(walk, at, beside, &then, err);
    if (status == STATUS_OK)
        status = record_at_then(beside, &sought, &at->set, &then, commit.id, &found, err);
    store_close(beside);
    *out = found != NULL;
    return status;
}

static enum status add_used_up(struct joined_walk *walk, const struct core_samples *at, const struct sample *used_up,
                               const struct sample *other, struct err *err)
{
    struct findings findings = {0};
    struct waiting it = {.kind = WAITING_RULE};
    char item[SAMPLE_KEY_MAX];
    bool is_joined = false;
    bool is_known = false;
    if (other->of)
        sample_check(&at->core, other, NULL, 0, 0, used_up, &findings);
    else
        sample_check_other(other, used_up, &findings);
    for (size_t found = 0; found < findings.count; found++) {
        struct text text;
        if (findings.items[found].rule != RULE_SAMPLE_USED_UP)
            continue;
        TRY(ask_joined(walk, &is_joined, err));
        if (is_joined)
            TRY(was_known(walk, at, used_up, other, &is_known, err));
        if (!is_joined || is_known)
            return STATUS_OK;
        sample_key(used_up, item);
        text_init(&text, walk->state->arena);
        text_addf(&text, "coretally sample amend %s-%d%c-%s --used-up no --reason WHY", walk->hole->hole_name,
                  (int)at->core.number, at->core.type, item);
        TRY(waiting_way(&it, "say that some is left", &text, err));
        sample_key(other, item);
        return add_finding(walk, at->path, item, &findings.items[found], &it, err);
    }
    return STATUS_OK;
}

static bool is_in_question(const struct core_samples *at, const struct sample *used_up, const struct sample *other)
{
    if (other == used_up || other->withdrawn ||
        (other->doubt && sample_list_has(other->doubt, rule_word(RULE_SAMPLE_USED_UP))))
        return false;
    if (other->of)
        return sample_find(at->set.samples, at->set.sample_count, other->of) == used_up;
    return !used_up->of && other->section == used_up->section;
}

static enum status look_at_core(struct joined_walk *walk, int32_t number, struct err *err)
{
    struct core_samples at;
    bool there = false;
    char path[REGISTRY_PATH_MAX];
    core_path(walk->hole->hole_name, number, path);
    TRY(state_read(walk->state, path, &core_table, &at.core, &there, err));
    samples_path(walk->hole->hole_name, number, at.path);
    if (there && !at.core.withdrawn)
        TRY(state_read(walk->state, at.path, &sample_set_table, &at.set, &there, err));
    for (size_t one = 0; there && !at.core.withdrawn && one < at.set.sample_count; one++) {
        const struct sample *used_up = &at.set.samples[one];
        for (size_t other = 0; used_up->used_up && !used_up->withdrawn && other < at.set.sample_count; other++)
            if (is_in_question(&at, used_up, &at.set.samples[other]))
                TRY(add_used_up(walk, &at, used_up, &at.set.samples[other], err));
    }
    return STATUS_OK;
}

enum status waiting_joined(struct state *state, const struct target *hole, struct waiting_list *out, struct err *err)
{
    struct joined_walk walk = {.state = state, .hole = hole, .out = out};
    int32_t *numbers = NULL;
    size_t count = 0;
    TRY(add_drilled(&walk, err));
    TRY(state_cores(state, hole->hole_name, &numbers, &count, err));
    for (size_t at = 0; at < count; at++) {
        struct state inner; /* what a core has dies with it */
        state_nest(state, &inner);
        walk.state = &inner;
        const enum status status = look_at_core(&walk, numbers[at], err);
        state_leave(&inner);
        TRY(status);
    }
    return STATUS_OK;
}
