/* SPDX-License-Identifier: MIT */
/* The table of the kinds of act. A command that acts has a row here, of its own words; tests/unit/unit_kind.c holds the
 * two lists together. */
#include "coretally/kind/kind.h"

#include <string.h>

const struct table log_day_part = {.kind = "day of the pump log", .is_file = true};
const struct table evidence_part = {.kind = "evidence", .is_file = true};

const char *const expedition_fields_amended[] = {"title", "remark", NULL};
const char *const hole_fields_amended[] = {"rig_floor",   "seafloor",    "seafloor_by",    "seafloor_note",
                                           "seafloor_at", "mudline_bit", "mudline_stroke", "mudline_recovered",
                                           "returns",     "zone",        "tolerance",      "heave",
                                           "tide",        "parent",      "kickoff",        "plan",
                                           "remark",      NULL};
const char *const core_fields_amended[] = {"top",   "bottom",  "datum",      "advance_by", "on_deck", "recovered",
                                           "liner", "curated", "order_note", "hazard",     "remark",  NULL};
const char *const section_fields_amended[] = {"liner", "curated", "voids", "whole_rounds", "pieces", "remark", NULL};
const char *const sample_fields_amended[] = {"section",   "half",  "top",     "bottom", "volume", "mass",   "purpose",
                                             "requester", "taken", "used_up", "hazard", "lab_id", "remark", NULL};
const char *const drilled_fields_amended[] = {"top", "bottom", "datum", "remark", NULL};
const char *const well_fields_amended[] = {"from",         "bores",           "string",      "inlet",     "flowline",
                                           "supply",       "shaker_delay",    "loss_depth",  "loss",      "slip",
                                           "cutting_size", "cutting_density", "mud_density", "viscosity", "sphericity",
                                           "cemented",     "remark",          NULL};
const char *const pump_fields_amended[] = {"from",       "kind",   "line",      "bore",   "rod", "stroke",
                                           "efficiency", "output", "tolerance", "remark", NULL};
const char *const check_fields_amended[] = {"in", "seen", "tracer", "evidence", "remark", NULL};
const char *const bag_fields_amended[] = {"from",   "to",           "mass",     "volume",    "lithology", "fraction",
                                          "washed", "contaminants", "bypassed", "requester", "hazard",    "remark",
                                          NULL};

const char *const sample_fields_following[] = {"of", "section", "half", "top", "bottom", "was", NULL};

/* Another name is another act, whichever command it was typed with. */
static const char *const renamed_fields[] = {"type", "was", NULL};

enum { AMENDS = DONE_AMENDED | DONE_KEPT | DONE_RESTORED };

#define ADDS(PART, TABLE)                                                                                              \
    {                                                                                                                  \
        .word = PART " add", .what = { {&(TABLE), DONE_ADDED, NULL, false} }                                           \
    }
#define ADDS_MANY(PART, TABLE)                                                                                         \
    {                                                                                                                  \
        .word = PART " add", .what = { {&(TABLE), DONE_ADDED, NULL, true} }                                            \
    }
#define AMEND(PART, TABLE, FIELDS)                                                                                     \
    {                                                                                                                  \
        .word = PART " amend", .needs_reason = true, .what = { {&(TABLE), AMENDS, FIELDS, false} }                     \
    }
#define WITHDRAW(PART, TABLE)                                                                                          \
    {                                                                                                                  \
        .word = PART " withdraw", .needs_reason = true, .what = { {&(TABLE), DONE_WITHDRAWN, NULL, false} }            \
    }
#define NUMBERED(PART, TABLE, FIELDS) ADDS_MANY(PART, TABLE), AMEND(PART, TABLE, FIELDS), WITHDRAW(PART, TABLE)
#define RENAMED                                                                                                        \
    {&core_table, DONE_ADDED | DONE_REMOVED | DONE_AMENDED, renamed_fields, true},                                     \
        {&sample_table, DONE_ADDED, NULL, true}, {&label_table, DONE_APPENDED, NULL, true},                            \
        {&sample_set_table, DONE_REMOVED, NULL, false},                                                                \
    {                                                                                                                  \
        &label_set_table, DONE_REMOVED, NULL, false                                                                    \
    }

const struct kind kinds[] = {
    {.word = "start", .what = {{&expedition_table, DONE_ADDED, NULL, false}}},
    AMEND("expedition", expedition_table, expedition_fields_amended),
    ADDS("hole", hole_table),
    AMEND("hole", hole_table, hole_fields_amended),
    WITHDRAW("hole", hole_table),
    ADDS("core", core_table),
    {.word = "core amend", .needs_reason = true, .what = {{&renaming_table, DONE_APPENDED, NULL, false}, RENAMED}},
    AMEND("core", core_table, core_fields_amended),
    WITHDRAW("core", core_table),
    /* a withdrawn section comes back as one that is added */
    {.word = "section add", .what = {{&section_table, DONE_ADDED | DONE_RESTORED, section_fields_amended, true}}},
    AMEND("section", section_table, section_fields_amended),
    WITHDRAW("section", section_table),
    ADDS("sample", sample_table),
    {.word = "sample amend",
     .needs_reason = true,
     .what = {{&sample_table, AMENDS, sample_fields_amended, false}, {&sample_table, DONE_FOLLOWED, NULL, true}}},
    WITHDRAW("sample", sample_table),
    NUMBERED("drilled", drilled_table, drilled_fields_amended),
    NUMBERED("pump", pump_table, pump_fields_amended),
    NUMBERED("well", geometry_table, well_fields_amended),
    NUMBERED("check", lag_check_table, check_fields_amended),
    ADDS("bag", bag_table),
    AMEND("bag", bag_table, bag_fields_amended),
    WITHDRAW("bag", bag_table),
    {.word = "correction add",
     .needs_reason = true,
     .what = {{&correction_table, DONE_ADDED, NULL, true}, {&evidence_part, DONE_ADDED, NULL, false}}},
    WITHDRAW("correction", correction_table),
    {.word = "correction sign", .what = {{&signature_table, DONE_APPENDED, NULL, false}}},
    {.word = "sign", .what = {{&act_signature_table, DONE_APPENDED, NULL, false}}},
    {.word = "label print", .is_bulk = true, .what = {{&label_table, DONE_APPENDED, NULL, true}}},
    {.word = "log add", .is_bulk = true, .what = {{&log_day_part, DONE_ADDED | DONE_APPENDED, NULL, true}}},
    {.word = "log withdraw",
     .needs_reason = true,
     .is_bulk = true,
     .what = {{&log_day_part, DONE_REMOVED, NULL, true}}},
    {.word = "import", .is_bulk = true, .what = {{&core_table, DONE_ADDED, NULL, true}}},
    {.word = "import",
     .is_bulk = true,
     .what = {{&section_table, DONE_ADDED | DONE_RESTORED, section_fields_amended, true},
              {&core_table, DONE_ADDED, NULL, true}}},
    {.word = "import", .is_bulk = true, .what = {{&sample_table, DONE_ADDED, NULL, true}}},
    {.word = "import", .is_bulk = true, .what = {{&bag_table, DONE_ADDED, NULL, true}}},
    /* it amends, withdraws or brings back what its contradiction names, and nothing else: deed.c */
    {.word = "settle", .needs_reason = true, .what = {{&contradiction_table, DONE_REMOVED, NULL, false}}},
    {.word = NULL},
};

const struct kind *kind_find(const char *word)
{
    for (const struct kind *kind = kinds; word && kind->word; kind++)
        if (strcmp(kind->word, word) == 0)
            return kind;
    return NULL;
}

bool names_have(const char *const *names, const char *name)
{
    for (; names && *names; names++)
        if (strcmp(*names, name) == 0)
            return true;
    return false;
}
