/* SPDX-License-Identifier: MIT */
/* What the key of a sample means: which sample of today is the one that had it in the state of a label. */
#include <stdlib.h>
#include <string.h>

#include "coretally/state/namesake.h"
#include "coretally/state/origin.h"
#include "coretally/store/walk.h"

/* Two states of one core. */
struct two_states {
    struct state *state;
    const struct target *target;
    struct then *then;
    struct sample_set set; /* of then */
};

/* "3W,45-47" of "3W,45-47#2/1": the length of the interval. */
static bool has_stem(const char *key, const char *stem, size_t len)
{
    return strcspn(key, "#/@ ") == len && strncmp(key, stem, len) == 0;
}

static bool has_stem_ever(const struct sample *sample, const char *stem, size_t len)
{
    char key[SAMPLE_KEY_MAX];
    sample_key(sample, key);
    bool has = has_stem(key, stem, len);
    for (const char *word = sample->was; word && *word && !has; word += strcspn(word, " "), word += *word == ' ')
        has = has_stem(word, stem, len);
    return has;
}

bool sample_may_differ(const struct sample_set *set, const char *key)
{
    const struct sample *present = sample_find(set->samples, set->sample_count, key);
    bool is_minted = false; /* what only amendments changed is as it was */
    bool has_namesake = false;
    for (size_t at = 0; at < set->sample_count; at++) {
        const struct sample *it = &set->samples[at];
        const bool is_it = it->was && strchr(it->was, '@');
        if (is_it && has_stem_ever(it, key, strcspn(key, "#/")))
            return true;
        is_minted = is_minted || is_it;
        has_namesake = has_namesake || (it != present && sample_was(it, key));
    }
    return is_minted && has_namesake;
}

static const struct sample *find_same(const struct sample_set *set, const char *was)
{
    for (size_t at = 0; at < set->sample_count; at++)
        if (minted_is_same(set->samples[at].was, was))
            return &set->samples[at];
    return NULL;
}

/* The samples of the core as they were; it may have had another number. */
static enum status read_then(struct two_states *two, struct err *err)
{
    const struct target *target = two->target;
    struct core_id id = {target->core.number, target->core.type};
    struct renaming_set now = {0};
    struct renaming_set then = {0};
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    TRY(state_renamings(two->state, target->hole_name, &now, err));
    TRY(state_renamings(&two->then->state, target->hole_name, &then, err));
    if (!renamings_between(&now, &then, &id))
        return STATUS_OK;
    samples_path(target->hole_name, id.number, path);
    return state_read(&two->then->state, path, &sample_set_table, &two->set, &there, err);
}

/* Had the sample of today not been renumbered by the state of the label, although it was recorded? */
static enum status was_plain_then(const struct two_states *two, const struct sample *now, bool *out, struct err *err)
{
    const char *name = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    *out = false;
    if (!minted_former(now->was, &name, &len, commit) || find_same(&two->set, now->was))
        return STATUS_OK;
    return store_descends(two->then->store, commit, out, err);
}

/* Which sample of then that one was: the latest of the keys that it had, up to that which a join took from it. */
static const struct sample *find_as_it_was(const struct sample_set *set, const struct sample *now)
{
    const char *name = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    if (!minted_former(now->was, &name, &len, commit))
        return NULL;
    for (const char *end = name + len;;) {
        const char *start = end;
        char key[SAMPLE_KEY_MAX] = "";
        while (start > now->was && start[-1] != ' ')
            start--;
        if ((size_t)(end - start) < sizeof key)
            memcpy(key, start, (size_t)(end - start));
        const struct sample *found = sample_find(set->samples, set->sample_count, key);
        if (found || start == now->was)
            return found;
        end = start - 1;
    }
}

/* The act that gave it its key. */
static enum status find_recorder(const struct two_states *two, const struct sample *sample, struct commit *out,
                                 struct err *err)
{
    static const char *const key[] = {"section", "half", "top", "bottom", NULL};
    const struct record_at at = record_of_sample(two->target->hole_name, two->target->core.number, sample);
    return origin_find(two->state, &at, key, out, err);
}

/* What has the key now, or what gave it up by an amendment: the side of the label knew but one of them. */
static enum status find_plain(const struct two_states *two, const char *key, const struct sample **out, struct err *err)
{
    const struct sample_set *now = &two->target->samples;
    const struct sample *present = sample_find(now->samples, now->sample_count, key);
    const struct sample *former = NULL;
    struct commit commit = {0};
    bool is_behind = false;
    for (size_t at = 0; at < now->sample_count && !former; at++)
        if (&now->samples[at] != present && sample_was(&now->samples[at], key) &&
            !(now->samples[at].was && strchr(now->samples[at].was, '@')))
            former = &now->samples[at];
    *out = present ? present : former;
    if (!present || !former)
        return STATUS_OK;
    TRY(find_recorder(two, present, &commit, err));
    TRY(store_descends(two->then->store, commit.id, &is_behind, err));
    *out = is_behind ? present : former;
    return STATUS_OK;
}

static enum status find_top(const struct two_states *two, const struct sample *then, const struct sample **out,
                            struct err *err)
{
    const struct sample_set *now = &two->target->samples;
    char key[SAMPLE_KEY_MAX];
    sample_key(then, key);
    for (size_t at = 0; at < now->sample_count; at++) {
        bool is_plain = false;
        if (!sample_was(&now->samples[at], key))
            continue;
        TRY(was_plain_then(two, &now->samples[at], &is_plain, err));
        if (is_plain && find_as_it_was(&two->set, &now->samples[at]) == then) {
            *out = &now->samples[at];
            return STATUS_OK;
        }
    }
    return find_plain(two, key, out, err);
}

/* The number under its parent that a sub-sample was recorded with. */
static int32_t recorded_number(const struct sample *sub)
{
    const char *name = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    if (!minted_former(sub->was, &name, &len, commit))
        return sub->number;
    const char *mark = name + len;
    while (mark > name && mark[-1] != '/')
        mark--;
    return mark > name ? (int32_t)strtol(mark, NULL, 10) : 0;
}

/* Under the parent that it had: a sub-sample goes where its parent goes. */
static enum status find_sub(const struct two_states *two, const struct sample *parent, const struct sample *then,
                            const struct sample **out, struct err *err)
{
    const struct sample_set *now = &two->target->samples;
    char key[SAMPLE_KEY_MAX];
    sample_key(parent, key);
    for (size_t at = 0; at < now->sample_count; at++) {
        const struct sample *sub = &now->samples[at];
        bool is_plain = false;
        if (!sub->of || strcmp(sub->of, key) != 0)
            continue;
        TRY(was_plain_then(two, sub, &is_plain, err));
        if (is_plain && recorded_number(sub) == then->number) {
            *out = sub;
            return STATUS_OK;
        }
        if (sub->number == then->number)
            *out = sub;
    }
    return STATUS_OK;
}

/* The sample of today that was this one. */
static enum status find_today(const struct two_states *two, const struct sample *then, const struct sample **out,
                              struct err *err)
{
    const struct sample_set *now = &two->target->samples;
    const char *name = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    char key[SAMPLE_KEY_MAX];
    const struct sample *parent = NULL;
    *out = find_same(now, then->was);
    if (*out)
        return STATUS_OK;
    if (then->of) {
        const struct sample *of = sample_find(two->set.samples, two->set.sample_count, then->of);
        if (of)
            TRY(find_today(two, of, &parent, err)); /* NOLINT(misc-no-recursion): a key is short */
        return parent ? find_sub(two, parent, then, out, err) : STATUS_OK;
    }
    if (!minted_former(then->was, &name, &len, commit))
        return find_top(two, then, out, err);
    /* The state that is asked is older than the join which renumbered it. */
    (void)snprintf(key, sizeof key, "%.*s", (int)len, name);
    *out = sample_find(now->samples, now->sample_count, key);
    return STATUS_OK;
}

static enum status ask_label(struct state *state, const struct target *target, const char *label_state,
                             struct then *then, const char *key, const struct sample **out, struct err *err)
{
    struct two_states two = {.state = state, .target = target, .then = then};
    TRY(then_stand(state, label_state, then, err));
    if (!then->is_known)
        return STATUS_OK;
    TRY(read_then(&two, err));
    const struct sample *it = sample_find(two.set.samples, two.set.sample_count, key);
    return it ? find_today(&two, it, out, err) : STATUS_OK;
}

/* The commit with which a join took the key from it; "": it lost it otherwise. */
static void take_commit(const struct sample *sample, const char *key, char out[MINTED_COMMIT_MAX])
{
    const char *name = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    *out = '\0';
    if (minted_former(sample->was, &name, &len, commit) && strlen(key) == len && strncmp(name, key, len) == 0)
        memcpy(out, commit, sizeof commit);
}

static void find_typed(const struct sample_set *set, const char *key, const struct sample **sample,
                       struct namesake *out)
{
    const struct sample *present = sample_find(set->samples, set->sample_count, key);
    const struct sample *former = NULL;
    for (size_t at = 0; at < set->sample_count; at++)
        if (&set->samples[at] != present && sample_was(&set->samples[at], key) && !former)
            former = &set->samples[at];
    *sample = present ? present : former;
    if (!former)
        return;
    out->what = present ? NAMESAKE_TWICE : NAMESAKE_CARRIED;
    out->sample = former;
    take_commit(former, key, out->commit);
}

enum status namesake_sample(struct state *state, const struct target *target, const char *label_state,
                            struct then *then, const char *key, const struct sample **sample, struct namesake *out,
                            struct err *err)
{
    struct then own = {.store = NULL};
    const struct sample *meant = NULL;
    *out = (struct namesake){.what = NAMESAKE_NONE};
    find_typed(&target->samples, key, sample, out);
    if (!label_state || (out->what == NAMESAKE_NONE && *sample && !sample_may_differ(&target->samples, key)))
        return STATUS_OK;
    const enum status status = ask_label(state, target, label_state, then ? then : &own, key, &meant, err);
    then_close(&own);
    TRY(status);
    if (!meant)
        return STATUS_OK;
    const bool is_present = meant == sample_find(target->samples.samples, target->samples.sample_count, key);
    *sample = meant;
    *out = (struct namesake){
        .what = is_present ? NAMESAKE_NONE : NAMESAKE_CARRIED, .is_certain = true, .sample = is_present ? NULL : meant};
    take_commit(meant, key, out->commit);
    return STATUS_OK;
}
