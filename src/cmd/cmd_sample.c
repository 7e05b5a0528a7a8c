/* SPDX-License-Identifier: MIT */
/* Samples and sub-samples: add, and what the other acts on samples share. */
#include <stdlib.h>
#include <string.h>

#include "coretally/domain/depth.h"
#include "command.h"
#include "sample_act.h"

static const char *const sample_options[] = {"volume",  "mass",   "purpose", "requester", "taken",
                                             "used_up", "hazard", "lab_id",  "remark",    NULL};
static const struct option add_options[] = {
    {"of", "SAMPLE", "take a sub-sample of this one; type an interval only if it has its own"},
    {"another", NULL, "a further sample, although an equal one is recorded"},
    {"piece", "NUMBER", "hard rock: the interval counts from the top of this piece"},
    {"hole", "HOLE", "the hole, where names are typed without one"},
    {0},
};

enum status sample_line(struct state *state, const struct target *target, const struct sample *sample, const char *what,
                        const char **out, struct err *err)
{
    char name[NAME_TEXT_MAX];
    struct text text;
    struct bytes bytes;
    target_sample_name(state, target, sample, name);
    text_init(&text, state->arena);
    text_addf(&text, "Sample %s%s", name, what);
    if (sample->purpose)
        text_addf(&text, " for %s", sample->purpose);
    if (sample->requester)
        text_addf(&text, " (%s)", sample->requester);
    TRY(text_done(&text, &bytes, err));
    *out = bytes.data;
    return STATUS_OK;
}

enum status sample_write(struct run *run, const struct target *target, const struct sample_set *set, const char *line,
                         const char *sure, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    samples_path(target->hole_name, target->core.number, path);
    qsort(set->samples, set->sample_count, sizeof *set->samples, sample_order);
    const struct writing writing = {.path = path, .table = &sample_set_table, .record = set};
    return run_commit(run, line, sure, &writing, 1, err);
}

/* The set with room for one more, so that samples of the target stay as they were read. */
enum status sample_copy_set(struct state *state, const struct target *target, struct sample_set *out, struct err *err)
{
    struct sample_set set = target->samples;
    TRY(arena_take(state->arena, set.sample_count + 1, sizeof *set.samples, &set.samples, err));
    if (set.sample_count && target->samples.samples)
        memcpy(set.samples, target->samples.samples, set.sample_count * sizeof *set.samples);
    *out = set;
    return STATUS_OK;
}

/* Offsets from a piece's top become offsets from the section's. */
static enum status shift_to_piece(struct run *run, const struct section *section, struct sample *sample,
                                  struct err *err)
{
    const char *typed = run_option(run, "piece");
    int64_t start_um = 0;
    for (size_t at = 0; section && at < section->piece_count; at++) {
        const struct piece *piece = &section->pieces[at];
        if (piece->number == (int32_t)strtol(typed, NULL, 10)) {
            if (sample->bottom_um > piece->length_um) {
                err_set(err, STATUS_RULE, "--piece", "piece %d is %s cm long, the sample ends at %s cm",
                        (int)piece->number, length_text(piece->length_um, UNIT_CM, 1).text,
                        length_text(sample->bottom_um, UNIT_CM, 1).text);
                return err_hint(err,
                                "offsets count from the top of the piece; without --piece from that of the section");
            }
            sample->top_um += start_um;
            sample->bottom_um += start_um;
            return STATUS_OK;
        }
        start_um += piece->length_um + (piece->spacer_um == LENGTH_NONE ? 0 : piece->spacer_um);
    }
    return err_set(err, STATUS_UNKNOWN, "--piece", "the section has no piece %.40s, it has %zu", typed,
                   section ? section->piece_count : 0);
}

/* A standing sample that says exactly the same; its number does not count. NULL when there is none. */
static const struct sample *find_equal(const struct sample_set *set, const struct sample *typed)
{
    for (size_t at = 0; at < set->sample_count; at++) {
        struct sample other = set->samples[at];
        if (other.withdrawn)
            continue;
        other.ordinal = typed->ordinal;
        other.number = typed->number;
        other.doubt = typed->doubt;
        other.version = typed->version;
        other.was = typed->was;
        if (record_is_equal(&sample_table, &other, typed))
            return &set->samples[at];
    }
    return NULL;
}

enum status sample_already(struct run *run, const struct target *target, const struct sample *present, struct err *err)
{
    const struct record_at at = record_of_sample(target->hole_name, target->core.number, present);
    char name[NAME_TEXT_MAX];
    target_sample_name(run->state, target, present, name);
    TRY(run_already(run, name, &at, err));
    if (strcmp(run->command->words, "sample add") == 0)
        (void)fprintf(run->talk, "  for a further sample of the very same kind add --another\n");
    return STATUS_OK;
}

/* The sample as typed: from its own name, or under its parent. *parent NULL for a sample of a section. */
static enum status read_typed(struct run *run, struct target *target, struct sample *sample,
                              const struct sample **parent, struct err *err)
{
    const char *of = run_option(run, "of");
    bool any = false;
    record_init(&sample_table, sample);
    *parent = NULL;
    if (of) {
        char *key = NULL;
        TRY(resolve(run->state, of, NAME_SAMPLE, NAME_SAMPLE, target, err));
        *parent = &target->samples.samples[target->sample];
        TRY(arena_take(run->state->arena, SAMPLE_KEY_MAX, 1, &key, err));
        sample_key(*parent, key);
        sample->of = key;
        sample->section = (*parent)->section;
        sample->half = (*parent)->half;
        sample->top_um = (*parent)->top_um;
        sample->bottom_um = (*parent)->bottom_um;
        if (run->arg_count) /* "46-47": an interval of its own */
            TRY(interval_parse(run->args[0], &sample->top_um, &sample->bottom_um, err));
    } else {
        if (!run->arg_count)
            return err_set(err, STATUS_USAGE, "sample add", "neither a sample nor --of was typed");
        TRY(resolve(run->state, run->args[0], NAME_POINT, NAME_SAMPLE, target, err));
        sample->section = target->name.section;
        sample->half = target->name.half;
        sample->top_um = target->name.top_um;
        sample->bottom_um = target->name.bottom_um;
        if (target->name.sub_count) {
            err_set(err, STATUS_USAGE, run->args[0], "sub-samples are numbered by coretally");
            return err_hint(err, "add --of and the parent's name instead");
        }
        if (run_option(run, "piece"))
            TRY(shift_to_piece(run, target->section, sample, err));
    }
    return run_take_fields(run, &sample_table, target->hole.zone_min, sample, &any, err);
}

/* The depth for the label, at once. */
void sample_say_depth(struct run *run, const struct target *target, const struct sample *sample)
{
    const struct place places[] = {{&target->hole, &target->core, sample->section, sample->top_um},
                                   {&target->hole, &target->core, sample->section, sample->bottom_um}};
    const struct depth top = place_depth(&places[0], SCALE_CSF_A, NULL);
    const struct depth bottom = place_depth(&places[1], SCALE_CSF_A, NULL);
    if (top.um == LENGTH_NONE) {
        (void)fprintf(run->out, "  CSF-A n/a: %s\n", top.why);
        return;
    }
    (void)fprintf(run->out, "  CSF-A %s-%s m below seafloor (low %s, high %s)\n", length_text(top.um, UNIT_M, 3).text,
                  length_text(bottom.um, UNIT_M, 3).text, length_text(top.low_um, UNIT_M, 3).text,
                  bottom.high_um == LENGTH_NONE ? "n/a" : length_text(bottom.high_um, UNIT_M, 3).text);
    const struct depth top_b = place_depth(&places[0], SCALE_CSF_B, NULL);
    const struct depth bottom_b = place_depth(&places[1], SCALE_CSF_B, NULL);
    if (top_b.um != LENGTH_NONE && (top_b.um != top.um || bottom_b.um != bottom.um))
        (void)fprintf(run->out, "  CSF-B %s-%s m below seafloor: the core is longer than its run\n",
                      length_text(top_b.um, UNIT_M, 3).text, length_text(bottom_b.um, UNIT_M, 3).text);
}

/* Its hole and core must stand, and no other sample may have its lab id. at: its own place in the set. */
enum status sample_check_standing(const struct target *target, const char *name, const struct sample_set *set,
                                  size_t at, const char *lab_id, struct err *err)
{
    if (target->hole.withdrawn)
        return err_set(err, STATUS_RULE, name, "its hole is withdrawn: %s", target->hole.withdrawn);
    if (target->core.withdrawn)
        return err_set(err, STATUS_RULE, name, "its core is withdrawn: %s", target->core.withdrawn);
    for (size_t other = 0; lab_id && other < set->sample_count; other++)
        if (other != at && set->samples[other].lab_id && strcmp(set->samples[other].lab_id, lab_id) == 0)
            return err_set(err, STATUS_EXISTS, lab_id, "another sample of this core has this lab id");
    return STATUS_OK;
}

static enum status run_sample_add(struct run *run, struct err *err)
{
    struct target target = {0};
    struct sample sample;
    struct sample_set set;
    const struct sample *parent = NULL;
    struct findings findings = {0};
    const char *sure = NULL;
    const char *line = NULL;
    char name[NAME_TEXT_MAX];
    TRY(run_open(run, STORE_WRITE, err));
    TRY(read_typed(run, &target, &sample, &parent, err));
    const struct sample *equal = find_equal(&target.samples, &sample);
    if (parent && parent->withdrawn)
        return err_set(err, STATUS_RULE, run_option(run, "of"), "its parent is withdrawn: %s", parent->withdrawn);
    if (equal && !run_option(run, "another"))
        return sample_already(run, &target, equal, err);
    TRY(sample_copy_set(run->state, &target, &set, err));
    const int32_t number = sample_next_number(set.samples, set.sample_count, &sample);
    if (sample.of)
        sample.number = number;
    else
        sample.ordinal = number > 1 ? number : 0;
    target_sample_name(run->state, &target, &sample, name);
    TRY(sample_check_standing(&target, name, &set, set.sample_count, sample.lab_id, err));
    sample_check(&target.core, &sample, set.samples, set.sample_count, set.sample_count, parent, &findings);
    sample_check_time(&target.core, &sample, run->state->now.utc_us, &findings);
    TRY(run_findings(run, name, &findings, &sure, err));
    TRY(findings_words(&findings, run->state->arena, &sample.doubt, err));
    set.samples[set.sample_count++] = sample;
    TRY(sample_line(run->state, &target, &sample, "", &line, err));
    TRY(sample_write(run, &target, &set, line, sure, err));
    sample_say_depth(run, &target, &sample);
    return STATUS_OK;
}

const struct command sample_add_command = {
    .words = "sample add",
    .arguments = "[SAMPLE | INTERVAL]",
    .purpose = "record a sample of a section, or a sub-sample of a sample",
    .example = "sample add 'U0012A-12H-3W, 45-47 cm' --volume 10 --purpose isotopes --requester Tamm",
    .detail =
        "Offsets are centimetres from the section top; a unit typed once holds for both ends (1.20-1.22m). A sample\n"
        "that shares its interval with another is kept, with a note; one that a whole round took, or that is marked\n"
        "--used-up yes, is refused. Sub-samples: --of SAMPLE; an interval of its own (46-47) is optional. Volume in "
        "cm3,\n"
        "mass in g.",
    .use = USE_WRITING,
    .table = &sample_table,
    .fields = sample_options,
    .options = add_options,
    .least = 0,
    .most = 1,
    .run = run_sample_add,
};
