/* SPDX-License-Identifier: MIT */
/* How an outsider checks an audit: the commands, with the figures of this one in them. */
#include <string.h>

#include "coretally/say/audit_say.h"

/* What is typed, and what it must show. */
static void add_way(struct text *out, const char *command, const char *shows)
{
    text_addf(out, "%s\n    # %s\n", command, shows);
}

/* The file of a correction now against the one that each person signed: another, where a join gave numbers anew or
 * somebody changed it. git finds that one by its hash, whatever it was called. */
static enum status add_signatures(struct audit *audit, const char *hole, const struct correction_facts *one,
                                  struct text *out, struct err *err)
{
    struct state *const state = audit->run->state;
    const char *line = NULL;
    const char *shows = NULL;
    char path[REGISTRY_PATH_MAX];
    char present[HASH_TEXT_MAX];
    correction_path(hole, one->it->number, path);
    TRY(store_id(state->store, path, present, err));
    TRY(audit_text(state, &line, err, "git -C clone.git rev-parse %.10s:%s", audit->state.id, path));
    add_way(out, line, "the hash of the record now");
    signatures_path(hole, one->it->number, path);
    TRY(audit_text(state, &line, err, "git -C clone.git show %.10s:%s", audit->state.id, path));
    add_way(out, line, "the hash that each person signed");
    for (size_t at = 0; at < one->by.count; at++) {
        const struct signed_by *by = &one->by.items[at];
        if (strcmp(by->signature->record, present) == 0)
            continue;
        TRY(audit_text(state, &line, err, "git -C clone.git ls-tree %.10s holes/%s/corrections/ | grep %s",
                       by->commit.id, hole, by->signature->record));
        TRY(audit_text(state, &shows, err, "the file with the hash that %s signed, in the state that was signed",
                       by->signature->name));
        add_way(out, line, shows);
        correction_path(hole, one->it->number, path);
        TRY(audit_text(state, &line, err, "git -C clone.git diff %s %.10s:%s", by->signature->record, audit->state.id,
                       path));
        add_way(out, line,
                by->is_same ? "why the hash of now is another: a join gave numbers anew, and nothing else differs"
                            : "why the hash of now is another: what was changed after it was signed");
    }
    return STATUS_OK;
}

static enum status add_hole(struct audit *audit, const struct audit_hole *hole, struct text *out, struct err *err)
{
    struct run *run = audit->run;
    const char *name = hole->roll.target.hole_name;
    const char *line = NULL;
    if (!hole->correction_count)
        return STATUS_OK;
    TRY(audit_text(run->state, &line, err, "coretally correction list %s --reach --registry clone.git --as-of %.10s",
                   name, audit->state.id));
    add_way(out, line, "the corrections of this hole, with what each one moves");
    for (size_t at = 0; at < hole->correction_count; at++) {
        const struct correction_facts *one = &hole->corrections[at];
        TRY(audit_text(run->state, &line, err, "git -C clone.git show %.10s", one->first.id));
        add_way(out, line, "the act itself: who, when, at which station, why, and the record to the byte");
        if (one->in_force) {
            TRY(audit_text(run->state, &line, err,
                           "coretally correction reach %s %d --registry clone.git --as-of %.10s", name,
                           (int)one->it->number, audit->state.id));
            add_way(out, line, "what it moves, worked out anew");
        }
        if (one->it->evidence_file) {
            TRY(audit_text(run->state, &line, err, "git -C clone.git show %.10s:evidence/%s | git hash-object --stdin",
                           audit->state.id, one->it->evidence_file));
            add_way(out, line, "the same 40 digits: the attached file is the one that was attached");
        }
        if (one->by.count)
            TRY(add_signatures(audit, name, one, out, err));
    }
    return STATUS_OK;
}

/* Acts that moved depths, or bounds, and recorded no correction: those are told with the holes. */
static enum status add_acts(struct audit *audit, struct text *out, struct err *err)
{
    const struct moved *moved = &audit->moved;
    struct state *const state = audit->run->state;
    const char *line = NULL;
    for (size_t at = 0; at < moved->count; at++) {
        const struct moved_act *act = &moved->acts[at];
        bool is_told = act->is_join;
        for (size_t one = 0; one < act->correction_count; one++)
            is_told = is_told || audit_recorded(audit, act, &act->corrections[one]);
        if (is_told)
            continue;
        TRY(audit_text(state, &line, err, "git -C clone.git show %.10s", act->commit.id));
        add_way(out, line, "an act that moved depths and recorded no correction: what it changed");
    }
    for (size_t at = 0; at < moved->bounds_count; at++) {
        TRY(audit_text(state, &line, err, "git -C clone.git show %.10s", moved->bounds[at].commit.id));
        add_way(out, line, "an act that changed bounds");
    }
    return STATUS_OK;
}

/* Is it sound, and what somebody printed before it. */
static enum status add_verify(struct audit *audit, struct text *out, struct err *err)
{
    struct state *const state = audit->run->state;
    const char *line = NULL;
    add_way(out, "coretally verify --registry clone.git",
            "every object, record, rule, label and act; what it finds in the registry of today");
    TRY(audit_text(state, &line, err, "coretally verify --registry clone.git --quick --against %.10s",
                   audit->state.id));
    add_way(out, line,
            "history is as it was up to this state; the same with the name of a report or of scanned labels that you "
            "kept");
    return STATUS_OK;
}

/* The core that moved most, by hand. */
static enum status add_core(struct audit *audit, const struct audit_hole *hole, struct text *out, struct err *err)
{
    const char *line = NULL;
    if (!hole->most_count)
        return STATUS_OK;
    const struct core_id most = hole->most[0].core->core;
    TRY(audit_text(
        audit->run->state, &line, err, "coretally explain %s-%d%c --scale %s --registry clone.git --as-of %.10s",
        hole->roll.target.hole_name, (int)most.number, most.type, scale_words[hole->scale], audit->state.id));
    add_way(out, line, "step by step from the driller's reading, each step with its commit: add them up");
    TRY(audit_text(
        audit->run->state, &line, err, "coretally history %s-%d%c --scale %s --registry clone.git --as-of %.10s",
        hole->roll.target.hole_name, (int)most.number, most.type, scale_words[hole->scale], audit->state.id));
    add_way(out, line, "every change of its depth");
    return STATUS_OK;
}

static enum status add_same(struct audit *audit, struct text *out, struct err *err)
{
    struct run *run = audit->run;
    const char *line = NULL;
    struct text words;
    struct bytes bytes;
    if (audit->from) {
        TRY(audit_text(run->state, &line, err, "coretally compare %s %.10s --each --registry clone.git",
                       audit->from_named, audit->state.id));
        add_way(out, line, "what changed between the two states, thing by thing");
    }
    text_init(&words, run->state->arena);
    text_add(&words, "coretally audit");
    for (size_t at = 0; at < run->arg_count; at++)
        text_addf(&words, " %s", audit->holes.items[at].roll.target.hole_name);
    if (audit->from)
        text_addf(&words, " --from %s", audit->from_named);
    text_addf(&words, "%s --registry clone.git --as-of %.10s --out again.html", run->unit == UNIT_FT ? " --feet" : "",
              audit->state.id);
    TRY(text_done(&words, &bytes, err));
    add_way(out, bytes.data, "this page again: the same state gives the same bytes");
    return STATUS_OK;
}

enum status audit_ways_write(struct audit *audit, struct err *err)
{
    struct run *run = audit->run;
    struct text text;
    struct bytes bytes;
    const char *line = NULL;
    TRY(page_add_heading(&audit->page, 1, "How to check this yourself", err));
    TRY(page_add_text(&audit->page, BLOCK_PARAGRAPH,
                      "The registry is a git repository; with a clone of it everything here can be worked out again, "
                      "without the people who recorded it. The text after # says what each command shows. "
                      "clone.git is the clone, whatever you call it.",
                      err));
    text_init(&text, run->state->arena);
    add_way(&text, "git clone --bare WHERE-THE-REGISTRY-IS clone.git", "a copy of your own");
    add_way(&text, "git -C clone.git fsck --strict", "nothing: every byte is what its hash says");
    TRY(audit_text(run->state, &line, err, "git -C clone.git rev-parse %.10s", audit->state.id));
    add_way(&text, line, audit->state.id);
    TRY(audit_text(run->state, &line, err, "git -C clone.git merge-base --is-ancestor %.10s main && echo yes",
                   audit->state.id));
    add_way(&text, line, "yes: this state is part of the history of today");
    TRY(add_verify(audit, &text, err));
    for (size_t at = 0; at < audit->holes.count; at++)
        TRY(add_hole(audit, &audit->holes.items[at], &text, err));
    TRY(add_acts(audit, &text, err));
    for (size_t at = 0; at < audit->holes.count; at++)
        TRY(add_core(audit, &audit->holes.items[at], &text, err));
    TRY(add_same(audit, &text, err));
    TRY(text_done(&text, &bytes, err));
    return page_add_text(&audit->page, BLOCK_COMMANDS, bytes.data, err);
}
