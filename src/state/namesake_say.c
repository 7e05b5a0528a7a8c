/* SPDX-License-Identifier: MIT */
/* What a person is told of a name that two things had, and when an act asks which is meant. */
#include <string.h>

#include "coretally/state/namesake.h"
#include "coretally/store/walk.h"

/* A namesake in words. */
struct told {
    const char *typed; /* as it was typed or scanned, for a refusal */
    char name[NAME_TEXT_MAX];
    char other[NAME_TEXT_MAX]; /* as it may be typed */
    bool is_on_paper;          /* somebody may hold the other one's old name in the hand */
    bool has_labels;           /* things of its kind have */
};

/* "Ines Roth (shore lab), 2026-03-11T09:00:00Z" */
static enum status add_recorder(struct state *state, const char *commit, struct text *out, struct err *err)
{
    struct act_told act = {.kind = NULL};
    char when[INSTANT_TEXT_MAX];
    TRY(store_act(state->store, commit, state->arena, &act, err));
    instant_format(act.commit.when, when);
    text_addf(out, "%s%s%s%s, %s", act.commit.author, act.commit.station ? " (" : "",
              act.commit.station ? act.commit.station : "", act.commit.station ? ")" : "", when);
    return STATUS_OK;
}

static enum status recorder_text(struct state *state, const char *commit, const char **out, struct err *err)
{
    struct text text;
    struct bytes bytes;
    struct err unread = {0};
    text_init(&text, state->arena);
    if (add_recorder(state, commit, &text, &unread) != STATUS_OK) /* a clone may lack the older part */
        text_addf(&text, "commit %.10s", commit);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static bool is_told_already(struct state *state, const char *name)
{
    char *const told = state->shared->namesake_told;
    if (strcmp(told, name) == 0)
        return true;
    (void)snprintf(told, sizeof state->shared->namesake_told, "%s", name);
    return false;
}

static enum status ask_which(const struct told *told, const char *by, struct err *err)
{
    err_set(
        err, STATUS_RULE, told->typed,
        "two things had this %s before the registries were joined: the one that has it, and one recorded by %s, now "
        "%s",
        told->has_labels ? "name" : "number", by, told->other);
    return err_hint(err, "type %s if that is meant%s; add --sure for the one that has it", told->other,
                    told->has_labels ? ", or scan the label in your hand" : "");
}

/* Two things: an act must know which. */
static enum status say_twice(struct state *state, const struct namesake *namesake, const struct told *told,
                             struct err *err)
{
    const char *by = NULL;
    if (!*namesake->commit) {
        if (!is_told_already(state, told->name))
            state_tell(state, "note: %s was once the name of what is now %s; a label printed then means that one\n",
                       told->name, told->other);
        return STATUS_OK;
    }
    TRY(recorder_text(state, namesake->commit, &by, err));
    if (state->naming.is_acting && !state->naming.is_sure && told->is_on_paper)
        return ask_which(told, by, err);
    if (!is_told_already(state, told->name))
        state_tell(state,
                   "note: %s was also recorded by %s; that one is %s since the registries were joined\n"
                   "  if that is meant, type %s%s\n",
                   told->name, by, told->other, told->other, told->has_labels ? ", or scan its label" : "");
    return STATUS_OK;
}

static enum status say(struct state *state, const struct namesake *namesake, const struct told *told, struct err *err)
{
    if (namesake->what == NAMESAKE_TWICE)
        return say_twice(state, namesake, told, err);
    if (namesake->what == NAMESAKE_CARRIED && *namesake->commit && !is_told_already(state, told->other))
        state_tell(state, "note: %s is %s since the registries were joined\n", told->name, told->other);
    return STATUS_OK;
}

/* Names as they are typed: the expedition goes without saying. */
static void format(const struct name *name, char out[NAME_TEXT_MAX])
{
    struct name plain = *name;
    plain.expedition[0] = '\0';
    name_format(&plain, NAME_COMPACT, out);
}

/* --- is the old name on a label --- */

static enum status read_labels(struct state *state, const char *path, struct label_set *out, struct err *err)
{
    bool there = false;
    *out = (struct label_set){.label_count = 0};
    return state_read(state, path, &label_set_table, out, &there, err);
}

static bool is_of_bag(const struct label *label, int32_t number)
{
    struct name name;
    struct err unread = {0};
    return name_parse(label->name, &name, &unread) == STATUS_OK && name.level == NAME_BAG && name.bag_number == number;
}

/* Has the bag that lost the number a label with it, and none with the one that it has now? */
static enum status bag_is_on_paper(struct state *state, const struct minted_group *group, int32_t number,
                                   const struct namesake *namesake, bool *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct label_set labels;
    struct then then = {.store = NULL};
    enum status status = STATUS_OK;
    *out = false;
    bag_labels_path(group->hole, group->kind, bag_hundred(namesake->number), path);
    TRY(read_labels(state, path, &labels, err));
    for (size_t at = 0; at < labels.label_count; at++)
        if (is_of_bag(&labels.labels[at], namesake->number))
            return STATUS_OK;
    bag_labels_path(group->hole, group->kind, bag_hundred(number), path);
    TRY(read_labels(state, path, &labels, err));
    for (size_t at = labels.label_count; status == STATUS_OK && !*out && at-- > 0;) {
        struct namesake meant = {.number = 0};
        if (!is_of_bag(&labels.labels[at], number))
            continue;
        status = namesake_number(state, group, labels.labels[at].state, &then, number, &meant, err);
        *out = meant.is_certain && meant.number == namesake->number;
    }
    then_close(&then);
    return status;
}

static bool is_of_sample(const struct label *label, const char *key)
{
    struct name name;
    struct err unread = {0};
    char own[SAMPLE_KEY_MAX];
    if (name_parse(label->name, &name, &unread) != STATUS_OK || name.level != NAME_SAMPLE)
        return false;
    name_sample_key(&name, own);
    return strcmp(own, key) == 0;
}

static enum status sample_is_on_paper(struct state *state, const struct target *target, const char *key,
                                      const struct namesake *namesake, bool *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char today[SAMPLE_KEY_MAX];
    struct label_set labels;
    struct then then = {.store = NULL};
    enum status status = STATUS_OK;
    *out = false;
    core_labels_path(target->hole_name, target->core.number, path);
    TRY(read_labels(state, path, &labels, err));
    sample_key(namesake->sample, today);
    for (size_t at = 0; at < labels.label_count; at++)
        if (is_of_sample(&labels.labels[at], today))
            return STATUS_OK;
    for (size_t at = labels.label_count; status == STATUS_OK && !*out && at-- > 0;) {
        struct namesake meant;
        const struct sample *sample = NULL;
        if (!is_of_sample(&labels.labels[at], key))
            continue;
        status = namesake_sample(state, target, labels.labels[at].state, &then, key, &sample, &meant, err);
        *out = status == STATUS_OK && meant.is_certain && sample == namesake->sample;
    }
    then_close(&then);
    return status;
}

/* --- in lists --- */

enum status namesake_note(struct state *state, const char *was, const char *word, const char *note, const char **out,
                          struct err *err)
{
    const char *name = NULL;
    size_t len = 0;
    char commit[MINTED_COMMIT_MAX];
    struct text text;
    struct bytes bytes;
    *out = note;
    if (!minted_former(was, &name, &len, commit))
        return STATUS_OK;
    text_init(&text, state->arena);
    text_addf(&text, "was %s%.*s%s%s", word, (int)len, name, note && *note ? "; " : "", note ? note : "");
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

/* --- names carried --- */

enum status namesake_carry_bag(struct state *state, const char *label_state, const char *typed, struct name *name,
                               struct err *err)
{
    char hole[HOLE_TEXT_MAX];
    struct told told = {.typed = typed, .has_labels = true};
    struct namesake namesake;
    struct name other = *name;
    const struct minted_group group = {.hole = hole, .kind = name->bag};
    name_hole(name, hole);
    TRY(namesake_number(state, &group, label_state, NULL, name->bag_number, &namesake, err));
    if (namesake.what == NAMESAKE_NONE)
        return STATUS_OK;
    other.bag_number = namesake.number;
    format(name, told.name);
    format(&other, told.other);
    if (namesake.what == NAMESAKE_TWICE && state->naming.is_acting && !state->naming.is_sure)
        TRY(bag_is_on_paper(state, &group, name->bag_number, &namesake, &told.is_on_paper, err));
    TRY(say(state, &namesake, &told, err));
    if (namesake.what == NAMESAKE_CARRIED)
        name->bag_number = namesake.number;
    return STATUS_OK;
}

enum status namesake_find_sample(struct state *state, const char *typed, const struct target *target,
                                 const struct sample **out, struct namesake *namesake, struct err *err)
{
    struct label_text label = {.is_symbol = false};
    struct err unread = {0};
    struct told told = {.typed = typed, .has_labels = true};
    struct name other = target->name;
    char key[SAMPLE_KEY_MAX];
    name_sample_key(&target->name, key);
    if (strchr(typed, '*') && label_text_read(typed, &label, &unread) != STATUS_OK)
        label.is_symbol = false;
    TRY(namesake_sample(state, target, label.is_symbol ? label.state : NULL, NULL, key, out, namesake, err));
    if (namesake->what == NAMESAKE_NONE)
        return STATUS_OK;
    name_set_sample(&other, namesake->sample);
    format(&target->name, told.name);
    format(&other, told.other);
    if (namesake->what == NAMESAKE_TWICE && state->naming.is_acting && !state->naming.is_sure)
        TRY(sample_is_on_paper(state, target, key, namesake, &told.is_on_paper, err));
    return say(state, namesake, &told, err);
}

enum status namesake_carry_number(struct state *state, const struct minted_group *group, const char *what,
                                  int32_t *number, struct err *err)
{
    char typed[16];
    struct told told = {.typed = typed, .is_on_paper = true};
    struct namesake namesake;
    (void)snprintf(typed, sizeof typed, "%d", (int)*number);
    TRY(namesake_number(state, group, NULL, NULL, *number, &namesake, err));
    if (namesake.what == NAMESAKE_NONE)
        return STATUS_OK;
    (void)snprintf(told.name, sizeof told.name, "%s %d of hole %s", what, (int)*number, group->hole);
    (void)snprintf(told.other, sizeof told.other, "%d", (int)namesake.number);
    TRY(say(state, &namesake, &told, err));
    if (namesake.what == NAMESAKE_CARRIED)
        *number = namesake.number;
    return STATUS_OK;
}
