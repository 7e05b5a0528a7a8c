/* SPDX-License-Identifier: MIT */
/* A core under the wrong number or letter: its record, samples and labels move to the right one in one commit, and it
 * keeps its former name. What was printed, signed or corrected under the old name stays as it is. */
#include "coretally/act/core_rename.h"

#include <ctype.h>
#include <string.h>

#include "coretally/act/core.h"
#include "coretally/base/limits.h"
#include "coretally/state/doubt.h"

struct renaming_act {
    struct target target; /* as it is */
    struct core_id from;
    struct core_id to;
    struct core core; /* as it will be */
    struct sample_set samples;
    struct label_set labels;
    struct renaming_set renamed;
    bool has_samples;
    bool has_labels;
    struct stayed stayed; /* under the number that it is to have: its own, from before */
    char old_name[NAME_TEXT_MAX];
    char new_name[NAME_TEXT_MAX];
};

static void name_core(const struct state *state, const struct renaming_act *act, struct core_id id,
                      char out[NAME_TEXT_MAX])
{
    struct target target = act->target;
    target.name.core = id.number;
    target.name.type = id.type;
    target_core_name(state, &target, out);
}

/* --- gather --- */

/* "13H", "U0012A-13H", "13" (the letter stays), "X" (the number stays). */
static enum status read_wanted(struct state *state, const char *wanted, const struct target *target,
                               struct core_id *out, struct err *err)
{
    char text[NAME_TEXT_MAX];
    char hole[HOLE_TEXT_MAX];
    struct name name;
    struct err unread = {0};
    const size_t digits = strspn(wanted, "0123456789");
    if (digits && !wanted[digits])
        (void)snprintf(text, sizeof text, "%s-%.20s%c", target->hole_name, wanted, target->name.type);
    else if (isalpha((unsigned char)wanted[0]) && !wanted[1])
        (void)snprintf(text, sizeof text, "%s-%d%c", target->hole_name, (int)target->name.core, wanted[0]);
    else if (digits && digits <= 4 && isalpha((unsigned char)wanted[digits]) && !wanted[digits + 1])
        (void)snprintf(text, sizeof text, "%s-%.20s", target->hole_name, wanted);
    else
        (void)snprintf(text, sizeof text, "%.100s", wanted);
    if (name_parse(text, &name, &unread) != STATUS_OK || name.level != NAME_CORE ||
        (*name.expedition && strcmp(name.expedition, state->expedition.number) != 0)) {
        err_set(err, STATUS_INPUT, "--name", "'%.60s' is not a name for a core", wanted);
        return err_hint(err, "type number and letter, such as 13H");
    }
    name_hole(&name, hole);
    if (strcmp(hole, target->hole_name) != 0) {
        err_set(err, STATUS_RULE, "--name", "%s lies in another hole: a core stays in its hole", wanted);
        return err_hint(err, "withdraw its samples and the core here, and record it there: coretally core add %s ...",
                        wanted);
    }
    *out = (struct core_id){name.core, name.type};
    return STATUS_OK;
}

/* Near by for a while; for good where no core will come, since the next number is that of the next core on deck. */
static int32_t free_number(const int32_t *numbers, size_t count, int32_t above, bool for_good)
{
    int32_t near = above + 1;
    int32_t far = CORE_NUMBER_MAX;
    for (size_t at = 0; at < count; at++)
        near += numbers[at] == near;
    for (size_t at = count; at > 0 && numbers[at - 1] == far; at--)
        far--;
    return for_good || near > far ? far : near;
}

/* The number is taken, maybe by a core that is withdrawn, maybe by one with which it is to change places. */
static enum status check_free(struct state *state, const struct renaming_act *act, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char free_name[CORE_ID_MAX];
    struct core taken;
    bool there = false;
    int32_t *numbers = NULL;
    size_t count = 0;
    if (act->to.number == act->from.number)
        return STATUS_OK;
    core_path(act->target.hole_name, act->to.number, path);
    TRY(state_read(state, path, &core_table, &taken, &there, err));
    if (!there)
        return STATUS_OK;
    TRY(state_cores(state, act->target.hole_name, &numbers, &count, err));
    const int32_t above = act->to.number > act->from.number ? act->to.number : act->from.number;
    core_id_format((struct core_id){free_number(numbers, count, above, taken.withdrawn != NULL), taken.type},
                   free_name);
    err_set(err, STATUS_EXISTS, act->new_name, "core number %d is taken by %d%c%s", (int)taken.number,
            (int)taken.number, taken.type, taken.withdrawn ? ", which is withdrawn and keeps its number" : "");
    if (taken.withdrawn)
        return err_hint(err,
                        "give the withdrawn one a number that no core will have: coretally core amend %s-%d%c --name "
                        "%s --reason ...; then type this again",
                        act->target.hole_name, (int)taken.number, taken.type, free_name);
    return err_hint(err,
                    "to let the two change places: first %d%c to a free number (coretally core amend %s-%d%c --name "
                    "%s --sure --reason ...), then this, then %s to %d%c",
                    (int)taken.number, taken.type, act->target.hole_name, (int)taken.number, taken.type, free_name,
                    free_name, (int)act->from.number, taken.type);
}

/* What stayed behind under the number goes to no core but the one that had it, and over nothing that this one has. */
static enum status check_stayed(struct state *state, struct renaming_act *act, struct err *err)
{
    int32_t numbers[CORE_STAYS_MAX];
    bool is_own = false;
    TRY(stayed_find(state, act->target.hole_name, act->to.number, &act->stayed, err));
    const size_t count = renamings_numbers(&act->renamed, act->from, numbers, CORE_STAYS_MAX);
    for (size_t at = 1; at < count; at++)
        is_own = is_own || numbers[at] == act->to.number;
    if ((!act->stayed.samples || (is_own && !act->has_samples)) &&
        (!act->stayed.labels || (is_own && !act->has_labels)))
        return STATUS_OK;
    return stayed_refuse(state, act->target.hole_name, act->to.number, act->new_name, &act->stayed, err);
}

/* Typed twice: the core that had the old name has the new one already. */
static enum status find_again(struct state *state, const struct renaming_act *act, struct draft *out, bool *done,
                              struct err *err)
{
    struct core_id now;
    size_t at = 0;
    char path[REGISTRY_PATH_MAX];
    struct core core;
    *done = false;
    if (!renamings_former(&act->renamed, act->from, &now, &at) || now.number != act->to.number ||
        now.type != act->to.type)
        return STATUS_OK;
    core_path(act->target.hole_name, now.number, path);
    TRY(state_read(state, path, &core_table, &core, done, err));
    return *done ? core_present(state, &act->target, &core, out, err) : STATUS_OK;
}

/* What the core has under its old number; *done: it has the new name already. */
static enum status gather(struct state *state, const char *typed, const char *wanted, struct renaming_act *act,
                          struct draft *out, bool *done, struct err *err)
{
    struct target *target = &act->target;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    *done = false;
    TRY(resolve_typed_name(state, typed, &target->name, err));
    if (target->name.level != NAME_CORE) {
        err_set(err, STATUS_INPUT, typed, "this does not name a core");
        return err_hint(err, "for example U0012A-12H, or 12H with --hole U0012A");
    }
    TRY(resolve_hole(state, &target->name, target, err));
    TRY(read_wanted(state, wanted, target, &act->to, err));
    act->from = (struct core_id){target->name.core, target->name.type};
    name_core(state, act, act->from, act->old_name);
    name_core(state, act, act->to, act->new_name);
    TRY(state_renamings(state, target->hole_name, &act->renamed, err));
    core_path(target->hole_name, act->from.number, path);
    TRY(state_read(state, path, &core_table, &target->core, &there, err));
    if (!there || target->core.type != act->from.type) {
        TRY(find_again(state, act, out, done, err));
        return *done ? STATUS_OK : resolve_core(state, target, err);
    }
    *done = act->to.number == act->from.number && act->to.type == act->from.type;
    if (*done)
        return core_present(state, target, &target->core, out, err);
    TRY(check_free(state, act, err));
    samples_path(target->hole_name, act->from.number, path);
    TRY(state_read(state, path, &sample_set_table, &act->samples, &act->has_samples, err));
    core_labels_path(target->hole_name, act->from.number, path);
    TRY(state_read(state, path, &label_set_table, &act->labels, &act->has_labels, err));
    return act->to.number == act->from.number ? STATUS_OK : check_stayed(state, act, err);
}

/* --- work out --- */

/* What the core has found under its new name and not under its old one, and what corrections say. */
static enum status judge(struct core_roll *roll, const struct renaming_act *act, struct findings *out, struct err *err)
{
    struct state *state = roll->state;
    const struct target *target = &act->target;
    struct findings before = {0};
    struct findings after = {0};
    struct correction *corrections = NULL;
    size_t count = 0;
    *out = (struct findings){.count = 0};
    if (!target->core.withdrawn) {
        TRY(core_asked(roll, target, &target->core, 0, &before, err));
        TRY(core_asked(roll, target, &act->core, act->from.number, &after, err));
    }
    if (act->to.number != act->from.number) {
        if (!target->core.withdrawn)
            core_number_check(&act->core, core_roll_below(roll, act->to.number), &after);
        TRY(state_corrections(state, target->hole_name, &corrections, &count, err));
        core_number_corrected(&target->core, act->to.number, corrections, count, &after);
    }
    for (size_t at = 0; at < after.count; at++)
        if (!findings_have(&before, &after.items[at]))
            out->items[out->count++] = after.items[at];
    return STATUS_OK;
}

static enum status add_renaming(struct state *state, struct renaming_act *act, struct err *err)
{
    struct renaming *grown = NULL;
    char ids[2][CORE_ID_MAX];
    const size_t count = act->renamed.renaming_count;
    core_id_format(act->from, ids[0]);
    core_id_format(act->to, ids[1]);
    TRY(arena_take(state->arena, count + 1, sizeof *grown, &grown, err));
    if (count)
        memcpy(grown, act->renamed.renamings, count * sizeof *grown);
    grown[count].number = (int32_t)count + 1;
    TRY(arena_copy(state->arena, ids[0], strlen(ids[0]), &grown[count].from, err));
    TRY(arena_copy(state->arena, ids[1], strlen(ids[1]), &grown[count].to, err));
    act->renamed.hole = act->target.core.hole;
    act->renamed.renamings = grown;
    act->renamed.renaming_count = count + 1;
    return STATUS_OK;
}

static enum status work_out(struct state *state, struct renaming_act *act, struct err *err)
{
    char id[CORE_ID_MAX];
    struct text was;
    struct bytes bytes;
    int32_t numbers[CORE_STAYS_MAX];
    const struct core *core = &act->target.core;
    if (act->target.hole.withdrawn)
        return err_set(err, STATUS_RULE, act->old_name, "its hole is withdrawn: %s", act->target.hole.withdrawn);
    if (renamings_numbers(&act->renamed, act->from, numbers, CORE_STAYS_MAX) == CORE_STAYS_MAX)
        return err_set(err, STATUS_RULE, act->old_name, "it has had %d numbers; more are not kept", CORE_STAYS_MAX);
    core_id_format(act->from, id);
    text_init(&was, state->arena);
    text_addf(&was, "%s%s%s", core->was ? core->was : "", core->was ? " " : "", id);
    TRY(text_done(&was, &bytes, err));
    act->core = *core;
    act->core.number = act->to.number;
    act->core.type = act->to.type;
    act->core.was = bytes.data;
    act->core.version = core->version ? core->version + 1 : 2;
    act->samples.core = act->to.number;
    act->labels.core = act->to.number;
    return add_renaming(state, act, err);
}

/* --- draft --- */

/* A file that a core has. */
struct core_file {
    void (*path)(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX]);
    const struct table *table;
    const void *record;
};

/* It comes under the new number; the one under the old number goes. */
static enum status move_file(struct state *state, const struct renaming_act *act, const struct core_file *file,
                             struct draft *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    file->path(act->target.hole_name, act->to.number, path);
    TRY(draft_write(state, out, path, file->table, file->record, err));
    if (act->to.number == act->from.number)
        return STATUS_OK;
    file->path(act->target.hole_name, act->from.number, path);
    return draft_remove(state, out, path, err);
}

static enum status move_files(struct state *state, const struct renaming_act *act, struct draft *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    const bool moves = act->to.number != act->from.number;
    const struct core_file core = {core_path, &core_table, &act->core};
    const struct core_file samples = {samples_path, &sample_set_table, &act->samples};
    const struct core_file labels = {core_labels_path, &label_set_table, &act->labels};
    TRY(move_file(state, act, &core, out, err));
    if (act->has_samples && moves)
        TRY(move_file(state, act, &samples, out, err));
    if (act->has_labels && moves)
        TRY(move_file(state, act, &labels, out, err));
    renamed_path(act->target.hole_name, path);
    return draft_write(state, out, path, &renaming_set_table, &act->renamed, err);
}

static enum status note_left(struct core_roll *roll, const struct renaming_act *act, struct draft *out, struct err *err)
{
    struct text notes;
    struct bytes bytes;
    if (act->to.number == act->from.number || act->core.withdrawn)
        return STATUS_OK;
    text_init(&notes, roll->state->arena);
    TRY(core_note_left(roll, &act->target, act->to.number, &notes, err));
    TRY(text_done(&notes, &bytes, err));
    out->notes = bytes.len ? bytes.data : NULL;
    return STATUS_OK;
}

enum status core_rename(struct state *state, const char *typed, const char *wanted, struct renamed *renamed,
                        struct draft *out, struct err *err)
{
    struct renaming_act *act = NULL;
    struct core_roll roll;
    bool done = false;
    draft_init(out);
    TRY(arena_take(state->arena, 1, sizeof *act, &act, err));
    TRY(gather(state, typed, wanted, act, out, &done, err));
    if (done)
        return STATUS_OK;
    TRY(work_out(state, act, err));
    out->needs_reason = true;
    out->name = act->new_name;
    TRY(core_roll_open(state, act->target.hole_name, &roll, err));
    TRY(judge(&roll, act, &out->findings, err));
    TRY(note_left(&roll, act, out, err));
    TRY(move_files(state, act, out, err));
    *renamed = (struct renamed){.hole = act->target.hole_name,
                                .from = act->from,
                                .to = act->to,
                                .stayed = act->stayed,
                                .labels = act->labels.label_count};
    return STATUS_OK;
}
