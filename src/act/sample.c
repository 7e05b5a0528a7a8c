/* SPDX-License-Identifier: MIT */
/* Samples and sub-samples: added, amended with what was taken from them, withdrawn. */
#include "coretally/act/sample.h"

#include <stdlib.h>
#include <string.h>

#include "coretally/state/doubt.h"

enum status sample_from_piece(const struct section *section, const char *typed, struct sample *sample, struct err *err)
{
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

void sample_number(const struct sample_set *set, struct sample *sample)
{
    const int32_t number = sample_next_number(set->samples, set->sample_count, sample);
    if (sample->of)
        sample->number = number;
    else
        sample->ordinal = number > 1 ? number : 0;
}

void sample_hold(const struct core *core, const struct sample_set *set, const struct sample *sample,
                 const struct sample *parent, int64_t now_us, struct findings *findings)
{
    sample_check(core, sample, set->samples, set->sample_count, set->sample_count, parent, findings);
    sample_check_time(core, sample, now_us, findings);
}

const struct sample *sample_with_lab_id(const struct sample_set *set, size_t skip, const char *lab_id)
{
    for (size_t at = 0; lab_id && at < set->sample_count; at++)
        if (at != skip && set->samples[at].lab_id && strcmp(set->samples[at].lab_id, lab_id) == 0)
            return &set->samples[at];
    return NULL;
}

/* The set with room for one more: what was read stays as it is. */
static enum status copy_set(struct state *state, const struct sample_set *set, struct sample_set **out, struct err *err)
{
    TRY(arena_take(state->arena, 1, sizeof **out, out, err));
    **out = *set;
    TRY(arena_take(state->arena, set->sample_count + 1, sizeof *set->samples, &(*out)->samples, err));
    if (set->sample_count)
        memcpy((*out)->samples, set->samples, set->sample_count * sizeof *set->samples);
    return STATUS_OK;
}

static enum status sample_present(struct state *state, const struct target *target, const struct sample *present,
                                  struct draft *out, struct err *err)
{
    const struct record_at at = record_of_sample(target->hole_name, target->core.number, present);
    char name[NAME_TEXT_MAX];
    target_sample_name(state, target, present, name);
    return draft_present(state, out, name, &at, err);
}

/* Its hole and core must stand, and no other sample may have its lab id. at: its own place in the set. */
static enum status check_standing(const struct target *target, const char *name, const struct sample_set *set,
                                  size_t at, const char *lab_id, struct err *err)
{
    if (target->hole.withdrawn)
        return err_set(err, STATUS_RULE, name, "its hole is withdrawn: %s", target->hole.withdrawn);
    if (target->core.withdrawn)
        return err_set(err, STATUS_RULE, name, "its core is withdrawn: %s", target->core.withdrawn);
    if (sample_with_lab_id(set, at, lab_id))
        return err_set(err, STATUS_EXISTS, lab_id, "another sample of this core has this lab id");
    return STATUS_OK;
}

/* The draft of the set with the sample as it shall be; sorting moves it, so the draft has a copy. */
static enum status write_sample(struct state *state, const struct target *target, struct sample_set *set,
                                const struct sample *sample, struct draft *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    struct sample *after = NULL;
    TRY(arena_take(state->arena, 1, sizeof *after, &after, err));
    *after = *sample;
    out->changed.part = &sample_table;
    out->changed.after = after;
    qsort(set->samples, set->sample_count, sizeof *set->samples, sample_order);
    samples_path(target->hole_name, target->core.number, path);
    return draft_write(state, out, path, &sample_set_table, set, err);
}

enum status sample_add(struct state *state, const struct target *target, const struct sample *typed,
                       const struct sample_asked *asked, struct draft *out, struct err *err)
{
    struct sample sample = *typed;
    struct sample_set *set = NULL;
    char name[NAME_TEXT_MAX];
    draft_init(out);
    if (asked->of && asked->of->withdrawn)
        return err_set(err, STATUS_RULE, asked->of_typed, "its parent is withdrawn: %s", asked->of->withdrawn);
    const struct sample *equal = asked->is_another ? NULL : find_equal(&target->samples, &sample);
    if (equal)
        return sample_present(state, target, equal, out, err);
    TRY(copy_set(state, &target->samples, &set, err));
    sample_number(set, &sample);
    target_sample_name(state, target, &sample, name);
    TRY(draft_copy(state, name, &out->name, err));
    TRY(check_standing(target, name, set, set->sample_count, sample.lab_id, err));
    sample_hold(&target->core, set, &sample, asked->of, state->now.utc_us, &out->findings);
    TRY(findings_words(&out->findings, state->arena, &sample.doubt, err));
    set->samples[set->sample_count++] = sample;
    return write_sample(state, target, set, &sample, out, err);
}

/* --- amended --- */

/* The key that it has stays with it as a former one: its label is printed. */
static enum status keep_key(struct state *state, const struct sample *as, struct sample *sample, struct err *err)
{
    char key[SAMPLE_KEY_MAX];
    struct text was;
    struct bytes bytes;
    sample_key(as, key);
    if (sample_list_has(sample->was, key))
        return STATUS_OK;
    text_init(&was, state->arena);
    text_addf(&was, "%s%s%s", sample->was ? sample->was : "", sample->was ? " " : "", key);
    TRY(text_done(&was, &bytes, err));
    sample->was = bytes.data;
    return STATUS_OK;
}

/* One more than the highest of the others of the very same interval and half; 0 where there are none. */
static int32_t free_ordinal(const struct sample_set *set, size_t at)
{
    const struct sample *sample = &set->samples[at];
    int32_t taken = 0;
    for (size_t other = 0; other < set->sample_count; other++) {
        const struct sample *it = &set->samples[other];
        if (other != at && !it->of && it->section == sample->section && it->half == sample->half &&
            it->top_um == sample->top_um && it->bottom_um == sample->bottom_um) {
            const int32_t ordinal = it->ordinal ? it->ordinal : 1;
            taken = ordinal > taken ? ordinal : taken;
        }
    }
    return taken ? taken + 1 : 0;
}

/* What was taken from it follows: its parent has another key, len bytes of the old one. */
static enum status follow(struct state *state, const struct sample *old, const struct sample *sample, size_t len,
                          struct sample *sub, struct err *err)
{
    char new_key[SAMPLE_KEY_MAX];
    struct text of;
    struct bytes bytes;
    sample_key(sample, new_key);
    TRY(keep_key(state, sub, sub, err));
    text_init(&of, state->arena);
    text_addf(&of, "%s%s", new_key, sub->of + len);
    TRY(text_done(&of, &bytes, err));
    sub->of = bytes.data;
    sub->section = sample->section;
    sub->half = sample->half;
    if (sub->top_um == old->top_um && sub->bottom_um == old->bottom_um) { /* had no interval of its own */
        sub->top_um = sample->top_um;
        sub->bottom_um = sample->bottom_um;
    }
    return STATUS_OK;
}

/* A sample whose key changed keeps the old one in "was", and its sub-samples follow. */
static enum status rename_sample(struct state *state, struct sample_set *set, size_t at, const struct sample *old,
                                 struct err *err)
{
    struct sample *sample = &set->samples[at];
    char old_key[SAMPLE_KEY_MAX];
    sample_key(old, old_key);
    sample->ordinal = free_ordinal(set, at);
    TRY(keep_key(state, old, sample, err));
    const size_t len = strlen(old_key);
    for (size_t other = 0; other < set->sample_count; other++) {
        struct sample *sub = &set->samples[other];
        if (sub->of && strncmp(sub->of, old_key, len) == 0 && (!sub->of[len] || sub->of[len] == '/'))
            TRY(follow(state, old, sample, len, sub, err));
    }
    return STATUS_OK;
}

/* The sample at its place in the set, and what was taken from it. */
static void hold_sample(const struct core *core, const struct sample_set *set, size_t at, int64_t now_us,
                        struct findings *findings)
{
    const struct sample *sample = &set->samples[at];
    const struct sample *parent = sample->of ? sample_find(set->samples, set->sample_count, sample->of) : NULL;
    struct sample whole = *sample;
    sample_check(core, sample, set->samples, set->sample_count, at, parent, findings);
    whole.used_up = false; /* it may well be used up by what was taken from it */
    for (size_t other = 0; other < set->sample_count; other++)
        if (set->samples[other].of && !set->samples[other].withdrawn &&
            sample_find(set->samples, set->sample_count, set->samples[other].of) == sample)
            sample_check(core, &set->samples[other], NULL, 0, 0, &whole, findings);
    sample_check_time(core, sample, now_us, findings);
}

/* Where it is to lie, or lies since another side withdrew the section. */
static enum status refuse_section(const struct target *target, const char *typed, int32_t section, struct err *err)
{
    const struct sample *sample = &target->samples.samples[target->sample];
    char label[SECTION_TEXT_MAX];
    section_format(section, label);
    err_set(err, STATUS_UNKNOWN, typed, "its core has no section %s", label);
    if (section != sample->section)
        return err->status;
    return err_hint(err,
                    "it was withdrawn; add --section NUMBER to move the sample, or bring the section back: coretally "
                    "section add %s-%d%c-%s LENGTH",
                    target->hole_name, (int)target->core.number, target->core.type, label);
}

/* What is doubted of a sample and its mark does not say came with a join; who is sure keeps it. */
static void open_unmarked(struct findings *findings, const char *marks)
{
    for (size_t at = 0; at < findings->count; at++)
        if (rule_level(findings->items[at].rule) == RULE_DOUBTED &&
            (!marks || !sample_list_has(marks, rule_word(findings->items[at].rule))))
            findings->items[at].is_settled = false;
}

static bool is_same_text(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : !a && !b;
}

static enum status amend(struct state *state, const struct target *target, const char *typed,
                         const struct sample *changed, bool keeps, struct draft *out, struct err *err)
{
    const struct sample *before = &target->samples.samples[target->sample];
    struct sample_set *set = NULL;
    char keys[2][SAMPLE_KEY_MAX];
    char name[NAME_TEXT_MAX];
    draft_init(out);
    out->needs_reason = true;
    if (changed->of && (changed->section != before->section || changed->half != before->half)) {
        err_set(err, STATUS_RULE, typed, "a sub-sample stays in the section and half of its parent");
        return err_hint(err, "amend the sample that it was taken from: %s", changed->of);
    }
    const bool is_equal = record_is_equal(&sample_table, changed, before);
    if (is_equal && !keeps)
        return sample_present(state, target, before, out, err);
    if (!core_section(&target->core, changed->section))
        return refuse_section(target, typed, changed->section, err);
    TRY(copy_set(state, &target->samples, &set, err));
    struct sample *sample = &set->samples[target->sample];
    *sample = *changed;
    sample_key(before, keys[0]);
    sample_key(sample, keys[1]);
    if (strcmp(keys[0], keys[1]) != 0)
        TRY(rename_sample(state, set, target->sample, before, err));
    sample->version = sample->version ? sample->version + 1 : 2;
    target_sample_name(state, target, sample, name);
    TRY(draft_copy(state, name, &out->name, err));
    TRY(check_standing(target, name, set, target->sample, sample->lab_id, err));
    hold_sample(&target->core, set, target->sample, state->now.utc_us, &out->findings);
    if (!before->withdrawn) {
        struct findings then = {0};
        hold_sample(&target->core, &target->samples, target->sample, state->now.utc_us, &then);
        findings_settle(&out->findings, &then);
    }
    if (keeps)
        open_unmarked(&out->findings, before->doubt);
    TRY(findings_words(&out->findings, state->arena, &sample->doubt, err));
    if (is_equal && is_same_text(sample->doubt, before->doubt))
        return sample_present(state, target, before, out, err);
    out->changed.before = before;
    return write_sample(state, target, set, sample, out, err);
}

enum status sample_amend(struct state *state, const struct target *target, const char *typed,
                         const struct sample *changed, struct draft *out, struct err *err)
{
    return amend(state, target, typed, changed, false, out, err);
}

enum status sample_keep(struct state *state, const struct target *target, const char *typed,
                        const struct sample *changed, struct draft *out, struct err *err)
{
    return amend(state, target, typed, changed, true, out, err);
}

enum status sample_withdraw(struct state *state, const struct target *target, const char *typed, const char *reason,
                            struct draft *out, struct err *err)
{
    struct sample_set *set = NULL;
    char key[SAMPLE_KEY_MAX];
    draft_init(out);
    out->needs_reason = true;
    TRY(copy_set(state, &target->samples, &set, err));
    struct sample *sample = &set->samples[target->sample];
    sample_key(sample, key);
    if (sample->withdrawn)
        return draft_withdrawn(state, out, key, sample->withdrawn, err);
    for (size_t at = 0; at < set->sample_count; at++)
        if (set->samples[at].of && strcmp(set->samples[at].of, key) == 0 && !set->samples[at].withdrawn) {
            err_set(err, STATUS_RULE, typed, "sub-sample /%d of it still stands", (int)set->samples[at].number);
            return err_hint(err, "withdraw its sub-samples first");
        }
    sample->withdrawn = reason;
    sample->version = sample->version ? sample->version + 1 : 2;
    return write_sample(state, target, set, sample, out, err);
}
