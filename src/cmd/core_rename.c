/* SPDX-License-Identifier: MIT */
/* A core under the wrong number or letter: its record, samples and labels move to the right one in one commit, and it
 * keeps its former name. What was printed, signed or corrected under the old name stays as it is. */
#include "core_rename.h"

#include <ctype.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/act/core.h"
#include "coretally/state/former.h"
#include "coretally/state/stayed.h"

enum { FILES_MAX = 7 }; /* three that go, three that come, and the list of renamings */

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
    char paths[FILES_MAX][REGISTRY_PATH_MAX];
    struct change changes[FILES_MAX];
    size_t change_count;
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

/* A renaming changes the name alone, so that whoever looks at it has one thing to look at. */
static enum status check_options(const struct run *run, struct err *err)
{
    for (size_t at = 0; at < run->option_count; at++) {
        const char *name = run->options[at].name;
        if (!field_find(&core_table, name) && strcmp(name, "restore") != 0)
            continue;
        err_set(err, STATUS_USAGE, "--name", "an act that changes the name changes nothing else: leave --%.40s out",
                name);
        return err_hint(err, "amend the rest by a further act, under the new name");
    }
    return STATUS_OK;
}

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
static enum status tell_already(struct run *run, const struct renaming_act *act, bool *done, struct err *err)
{
    struct core_id now;
    size_t at = 0;
    char path[REGISTRY_PATH_MAX];
    *done = false;
    if (!renamings_former(&act->renamed, act->from, &now, &at) || now.number != act->to.number ||
        now.type != act->to.type)
        return STATUS_OK;
    struct core core;
    bool there = false;
    core_path(act->target.hole_name, now.number, path);
    TRY(state_read(run->state, path, &core_table, &core, &there, err));
    *done = there;
    if (!there)
        return STATUS_OK;
    const struct record_at record = record_of_core(act->target.hole_name, &core);
    return run_already(run, act->new_name, &record, err);
}

static enum status gather(struct run *run, const char *wanted, struct renaming_act *act, bool *done, struct err *err)
{
    struct target *target = &act->target;
    char path[REGISTRY_PATH_MAX];
    bool there = false;
    *done = false;
    TRY(check_options(run, err));
    TRY(resolve_typed_name(run->state, run->args[0], &target->name, err));
    if (target->name.level != NAME_CORE) {
        err_set(err, STATUS_INPUT, run->args[0], "this does not name a core");
        return err_hint(err, "for example U0012A-12H, or 12H with --hole U0012A");
    }
    TRY(resolve_hole(run->state, &target->name, target, err));
    TRY(read_wanted(run->state, wanted, target, &act->to, err));
    act->from = (struct core_id){target->name.core, target->name.type};
    name_core(run->state, act, act->from, act->old_name);
    name_core(run->state, act, act->to, act->new_name);
    TRY(state_renamings(run->state, target->hole_name, &act->renamed, err));
    core_path(target->hole_name, act->from.number, path);
    TRY(state_read(run->state, path, &core_table, &target->core, &there, err));
    if (!there || target->core.type != act->from.type) {
        TRY(tell_already(run, act, done, err));
        return *done ? STATUS_OK : resolve_core(run->state, target, err);
    }
    if (act->to.number == act->from.number && act->to.type == act->from.type) {
        const struct record_at record = record_of_core(target->hole_name, &target->core);
        *done = true;
        return run_already(run, act->new_name, &record, err);
    }
    TRY(check_free(run->state, act, err));
    samples_path(target->hole_name, act->from.number, path);
    TRY(state_read(run->state, path, &sample_set_table, &act->samples, &act->has_samples, err));
    core_labels_path(target->hole_name, act->from.number, path);
    TRY(state_read(run->state, path, &label_set_table, &act->labels, &act->has_labels, err));
    return act->to.number == act->from.number ? STATUS_OK : check_stayed(run->state, act, err);
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

/* --- write down --- */

typedef void core_file_path(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX]);

static enum status write_file(struct state *state, struct renaming_act *act, core_file_path *path_of,
                              const struct table *table, const void *record, struct err *err)
{
    char *path = act->paths[act->change_count];
    struct change *change = &act->changes[act->change_count++];
    path_of(act->target.hole_name, act->to.number, path);
    change->path = path;
    TRY(record_validate(table, record, "core amend", err));
    TRY(record_encode(table, record, state->arena, &change->bytes, err));
    if (act->to.number == act->from.number)
        return STATUS_OK;
    path = act->paths[act->change_count];
    path_of(act->target.hole_name, act->from.number, path);
    act->changes[act->change_count++] = (struct change){.path = path};
    return STATUS_OK;
}

static void renamed_file(const char *hole, int32_t number, char out[REGISTRY_PATH_MAX])
{
    (void)number;
    renamed_path(hole, out);
}

static enum status add_line(struct state *state, const struct renaming_act *act, const char **out, struct err *err)
{
    const size_t counts[] = {core_standing_sections(&act->core), act->samples.sample_count, act->labels.label_count};
    static const char *const nouns[] = {"section", "sample", "label"};
    struct text text;
    struct bytes bytes;
    bool any = false;
    text_init(&text, state->arena);
    text_addf(&text, "Core %s amended: it is %s now", act->old_name, act->new_name);
    for (size_t at = 0; at < sizeof counts / sizeof counts[0]; at++) {
        if (!counts[at])
            continue;
        text_addf(&text, "%s %zu %s%s", any ? "," : ", with", counts[at], nouns[at], counts[at] > 1 ? "s" : "");
        any = true;
    }
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

static enum status write_down(struct run *run, struct renaming_act *act, const char *sure, struct err *err)
{
    const char *line = NULL;
    struct change list = {.path = NULL};
    TRY(write_file(run->state, act, core_path, &core_table, &act->core, err));
    if (act->has_samples && act->to.number != act->from.number)
        TRY(write_file(run->state, act, samples_path, &sample_set_table, &act->samples, err));
    if (act->has_labels && act->to.number != act->from.number)
        TRY(write_file(run->state, act, core_labels_path, &label_set_table, &act->labels, err));
    renamed_file(act->target.hole_name, 0, act->paths[FILES_MAX - 1]);
    list.path = act->paths[FILES_MAX - 1];
    TRY(record_validate(&renaming_set_table, &act->renamed, "core amend", err));
    TRY(record_encode(&renaming_set_table, &act->renamed, run->state->arena, &list.bytes, err));
    act->changes[act->change_count++] = list;
    TRY(add_line(run->state, act, &line, err));
    return run_commit_changes(run, line, sure, act->changes, act->change_count, false, err);
}

/* --- say --- */

static void say_after(const struct run *run, const struct renaming_act *act)
{
    const char *hole = act->target.hole_name;
    const bool is_dry = run_option(run, "dry-run") != NULL;
    char things[STAYED_TEXT_MAX];
    if (act->to.number != act->from.number)
        (void)fprintf(run->out, "  number %d of %s %s free; until another core has it, %d%c still finds this one\n",
                      (int)act->from.number, hole, is_dry ? "would be" : "is", (int)act->from.number, act->from.type);
    if (act->stayed.samples || act->stayed.labels) {
        stayed_things(&act->stayed, things);
        (void)fprintf(run->out, "  what stayed behind under number %d %s its own again: %s\n", (int)act->to.number,
                      is_dry ? "would be" : "is", things);
    }
    if (act->labels.label_count)
        (void)fprintf(run->out, "  its labels show the old name: coretally label print %s-%d%c --stale\n", hole,
                      (int)act->to.number, act->to.type);
}

enum status core_rename(struct run *run, const char *wanted, struct err *err)
{
    struct renaming_act *act = NULL;
    struct core_roll roll;
    struct findings findings;
    const char *sure = NULL;
    bool done = false;
    TRY(arena_take(run->state->arena, 1, sizeof *act, &act, err));
    TRY(gather(run, wanted, act, &done, err));
    if (done)
        return STATUS_OK;
    TRY(work_out(run->state, act, err));
    TRY(core_roll_open(run->state, act->target.hole_name, &roll, err));
    TRY(judge(&roll, act, &findings, err));
    TRY(run_findings(run, act->new_name, &findings, &sure, err));
    struct text notes;
    struct bytes bytes;
    text_init(&notes, run->state->arena);
    if (act->to.number != act->from.number && !act->core.withdrawn)
        TRY(core_note_left(&roll, &act->target, act->to.number, &notes, err));
    TRY(text_done(&notes, &bytes, err));
    state_tell(run->state, "%s", bytes.data);
    TRY(write_down(run, act, sure, err));
    say_after(run, act);
    return STATUS_OK;
}
