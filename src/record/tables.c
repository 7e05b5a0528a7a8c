/* SPDX-License-Identifier: MIT */
/* The field tables: what each kind of record holds. Nothing else knows the fields. */
#include "coretally/record/field.h"

#include <ctype.h>
#include <stddef.h>
#include <string.h>

#include "coretally/base/limits.h"
#include "table_rows.h"

static bool is_digits(const char *string)
{
    const size_t len = strspn(string, "0123456789");
    return len > 0 && len <= 6 && !string[len];
}

static bool is_site(const char *string)
{
    string += isupper((unsigned char)*string) != 0;
    const size_t len = strspn(string, "0123456789");
    return len > 0 && len <= 5 && !string[len];
}

static bool is_letters(const char *string)
{
    const size_t len = strspn(string, "ABCDEFGHIJKLMNOPQRSTUVWXYZ");
    return len > 0 && len <= 3 && !string[len];
}

static bool is_hole(const char *string)
{
    string += isupper((unsigned char)*string) != 0;
    const size_t digits = strspn(string, "0123456789");
    return digits > 0 && digits <= 5 && is_letters(string + digits);
}

static bool is_core_id(const char *string)
{
    struct core_id id;
    return core_id_parse(string, strlen(string), &id);
}

#define STRUCT expedition
static const struct field expedition_fields[] = {
    FORMED(number, REQUIRED, "^[0-9]{1,6}$", is_digits, "number of the expedition or leg, as printed in names"),
    TEXT(title, OPTIONAL, "what the expedition is called"),
    TEXT(remark, OPTIONAL, "remark"),
    COUNT(version, OPTIONAL, 2, INT32_MAX, "left out for 1; counts up with every amendment"),
};
#undef STRUCT

#define STRUCT sampling_plan
static const struct field plan_fields[] = {
    LENGTH("top", top_um, REQUIRED, UNIT_M, 0, METRES(30000), "from this depth below rig floor, m"),
    LENGTH("bottom", bottom_um, OPTIONAL, UNIT_M, 0, METRES(30000), "to this one, m; left out: and on"),
    LENGTH("step", step_um, REQUIRED, UNIT_M, 1000, METRES(1000), "a bag every so many metres"),
};
#undef STRUCT

#define STRUCT hole
static const struct field hole_fields[] = {
    FORMED(site, REQUIRED, "^[A-Z]?[0-9]{1,5}$", is_site, "site, as printed: U0012, 1264"),
    FORMED(letter, REQUIRED, "^[A-Z]{1,3}$", is_letters, "letter of the hole at the site"),
    LENGTH("rig_floor", rig_floor_um, OPTIONAL, UNIT_M, 0, METRES(200), "rig floor above sea level, m"),
    LENGTH("seafloor", seafloor_um, OPTIONAL, UNIT_M, 0, METRES(12000), "seafloor below rig floor, m"),
    WORD(seafloor_by, OPTIONAL, seafloor_words, "how the seafloor was found"),
    TEXT(seafloor_note, OPTIONAL, "the hole that the seafloor was inherited from, or other evidence"),
    PLAIN("seafloor_at", seafloor_at, FIELD_INSTANT, OPTIONAL,
          "when the seafloor was found; a tide correction needs it"),
    LENGTH("mudline_bit", mudline_bit_um, OPTIONAL, UNIT_M, 0, METRES(12000),
           "mudline core: bit below rig floor when it was shot, m"),
    LENGTH("mudline_stroke", mudline_stroke_um, OPTIONAL, UNIT_M, 0, METRES(50), "mudline core: stroke, m"),
    LENGTH("mudline_recovered", mudline_recovered_um, OPTIONAL, UNIT_M, 0, METRES(50),
           "mudline core: recovered length, m"),
    WORD(returns, REQUIRED, returns_words, "where the mud returns to: seafloor (riserless) or ship (riser)"),
    PLAIN("zone", zone_min, FIELD_ZONE, OPTIONAL, "ship's time zone, hours and minutes east of UTC"),
    LENGTH("tolerance", tolerance_um, OPTIONAL, UNIT_M, 0, METRES(100),
           "tolerance of the driller's depth, m to either side"),
    LENGTH("heave", heave_um, OPTIONAL, UNIT_M, 0, METRES(20), "heave left after compensation, m to either side"),
    LENGTH("tide", tide_um, OPTIONAL, UNIT_M, 0, METRES(20),
           "tide, m to either side; counts until a tide correction is in force"),
    FORMED(parent, OPTIONAL, "^[A-Z]?[0-9]{1,5}[A-Z]{1,3}$", is_hole, "hole that a sidetrack leaves"),
    LENGTH("kickoff", kickoff_um, OPTIONAL, UNIT_M, 0, METRES(30000),
           "sidetrack: where it leaves its parent, m below rig floor; above, the parent's survey holds"),
    LIST(plan, plan_count, plan_table, "cuttings planned: top,bottom,step m below rig floor; items by ';'"),
    TEXT(remark, OPTIONAL, "remark"),
    STANDING,
};
#undef STRUCT

#define STRUCT drilled
static const struct field drilled_fields[] = {
    COUNT(number, REQUIRED, 1, 9999, "counts the drilled intervals of the hole"),
    LENGTH("top", top_um, REQUIRED, UNIT_M, 0, METRES(30000), "drilled top, m below the datum"),
    LENGTH("bottom", bottom_um, REQUIRED, UNIT_M, 0, METRES(30000), "drilled bottom, m below the datum"),
    WORD(datum, REQUIRED, datum_words, "what the depths count from"),
    TEXT(remark, OPTIONAL, "remark"),
    NUMBERED_WAS,
    STANDING,
};
#undef STRUCT

#define STRUCT drilled_set
static const struct field drilled_set_fields[] = {
    TEXT(hole, REQUIRED, "the hole, site and letter"),
    LIST(intervals, interval_count, drilled_table, "intervals drilled without coring"),
};
#undef STRUCT

#define STRUCT gap
static const struct field gap_fields[] = {
    LENGTH("top", top_um, REQUIRED, UNIT_CM, 0, METRES(100), "upper end, from the section top"),
    LENGTH("bottom", bottom_um, REQUIRED, UNIT_CM, 0, METRES(100), "lower end, from the section top"),
    PLAIN("closed", closed, FIELD_FLAG, OPTIONAL, "yes: pushed shut, no longer inside the curated length"),
};
#undef STRUCT

#define STRUCT whole_round
static const struct field whole_round_fields[] = {
    LENGTH("top", top_um, REQUIRED, UNIT_CM, 0, METRES(100), "upper end, from the section top"),
    LENGTH("bottom", bottom_um, REQUIRED, UNIT_CM, 0, METRES(100), "lower end, from the section top"),
    TEXT(purpose, OPTIONAL, "what it was taken for"),
    TEXT(requester, OPTIONAL, "who asked for it"),
};
#undef STRUCT

#define STRUCT piece
static const struct field piece_fields[] = {
    COUNT(number, REQUIRED, 1, 9999, "from the section top, 1 upward"),
    LENGTH("length", length_um, REQUIRED, UNIT_CM, 0, METRES(100), "length of the piece"),
    LENGTH("spacer", spacer_um, OPTIONAL, UNIT_CM, 0, METRES(100), "spacer below the piece"),
};
#undef STRUCT

#define STRUCT section
static const struct field section_fields[] = {
    PLAIN("section", number, FIELD_SECTION, REQUIRED, "number from the top, or CC for the core catcher"),
    LENGTH("liner", liner_um, OPTIONAL, UNIT_M, 0, METRES(200), "liner length as cut, m"),
    LENGTH("curated", curated_um, OPTIONAL, UNIT_M, 0, METRES(200),
           "length as archived, m: decides every depth below it"),
    {.name = "voids",
     .type = FIELD_LIST,
     .offset = AT(gaps),
     .count_offset = AT(gap_count),
     .of = &gap_table,
     .meaning = "voids: top,bottom[,yes when pushed shut]; cm from the section top"},
    {.name = "whole_rounds",
     .type = FIELD_LIST,
     .offset = AT(rounds),
     .count_offset = AT(round_count),
     .of = &whole_round_table,
     .meaning = "whole rounds taken before splitting: top,bottom[,purpose[,requester]]; cm from the section top"},
    LIST(pieces, piece_count, piece_table, "hard rock: number,length[,spacer below]; cm"),
    TEXT(remark, OPTIONAL, "remark"),
    STANDING,
};
#undef STRUCT

#define STRUCT core
static const struct field core_fields[] = {
    TEXT(hole, REQUIRED, "the hole, site and letter"),
    COUNT(number, REQUIRED, 1, CORE_NUMBER_MAX, "core number, unique in its hole"),
    PLAIN("type", type, FIELD_LETTER, REQUIRED,
          "type letter: H, X, R, F, ...; W wash and G ghost cores carry a wide interval"),
    LENGTH("top", top_um, REQUIRED, UNIT_M, 0, METRES(30000), "drilled top, m below the datum"),
    LENGTH("bottom", bottom_um, OPTIONAL, UNIT_M, 0, METRES(30000), "drilled bottom, m below the datum"),
    WORD(datum, REQUIRED, datum_words, "what top and bottom count from"),
    WORD(advance_by, OPTIONAL, advance_words,
         "left out: bottom less top; recovery: partial stroke, advance taken as recovered; unknown: not known"),
    PLAIN("on_deck", on_deck, FIELD_INSTANT, OPTIONAL, "when the core came on deck"),
    LENGTH("recovered", recovered_um, OPTIONAL, UNIT_M, 0, METRES(200),
           "recovered length as measured, m; 0 for an empty barrel"),
    LENGTH("liner", liner_um, OPTIONAL, UNIT_M, 0, METRES(200), "length of liner cut, m"),
    LENGTH("curated", curated_um, OPTIONAL, UNIT_M, 0, METRES(200),
           "curated length stated for the whole core, m; the sections fill it, all at once or one by one"),
    TEXT(order_note, OPTIONAL, "why its top lies above that of an earlier core"),
    TEXT(hazard, OPTIONAL, "what to beware of, as on the label: H2S, gas, ..."),
    TEXT(remark, OPTIONAL, "remark"),
    FORMED(was, OPTIONAL, "^[1-9][0-9]{0,3}[A-Z]( [1-9][0-9]{0,3}[A-Z])*$", core_ids_are,
           "names that it had before it was amended, the oldest first, separated by a space"),
    STANDING,
    LIST(sections, section_count, section_table, "sections, the catcher last"),
};
#undef STRUCT

#define STRUCT sample
static const struct field sample_fields[] = {
    PLAIN("section", section, FIELD_SECTION, REQUIRED, "section number, or CC"),
    WORD(half, OPTIONAL, half_words, "W working half, A archive half, WR whole round"),
    LENGTH("top", top_um, REQUIRED, UNIT_CM, 0, METRES(200), "upper end, from the section top"),
    LENGTH("bottom", bottom_um, REQUIRED, UNIT_CM, 0, METRES(200), "lower end, from the section top"),
    COUNT(ordinal, OPTIONAL, 2, ORDINAL_MAX, "2 and up: a further sample of the same interval and half"),
    TEXT(of, OPTIONAL, "of a sub-sample: the key of its parent"),
    COUNT(number, OPTIONAL, 1, SUBSAMPLE_NUMBER_MAX, "of a sub-sample: its number under the parent"),
    REAL("volume", volume_cm3, "cm3", MEASURE_SMALL, "volume"),
    REAL("mass", mass_g, "g", MEASURE_MASS, "mass"),
    TEXT(purpose, OPTIONAL, "what it was taken for"),
    TEXT(requester, OPTIONAL, "who asked for it"),
    PLAIN("taken", taken, FIELD_INSTANT, OPTIONAL, "when it was taken"),
    PLAIN("used_up", used_up, FIELD_FLAG, OPTIONAL, "yes: nothing is left of the interval in this half"),
    TEXT(hazard, OPTIONAL, "what to beware of, as on the label: preservative, gas, ..."),
    TEXT(lab_id, OPTIONAL, "a number that a laboratory or archive gave it; unique in its core"),
    TEXT(was, OPTIONAL, "keys it had before it was amended, separated by a space"),
    TEXT(doubt, OPTIONAL, "rules that it was kept against, separated by a space"),
    TEXT(remark, OPTIONAL, "remark"),
    STANDING,
};
#undef STRUCT

#define STRUCT sample_set
static const struct field sample_set_fields[] = {
    TEXT(hole, REQUIRED, "the hole, site and letter"),
    COUNT(core, REQUIRED, 1, CORE_NUMBER_MAX, "core number"),
    LIST(samples, sample_count, sample_table, "samples of the core, in order of section and interval"),
};
#undef STRUCT

TABLE(expedition, "expedition", true, "the expedition that this registry belongs to");
TABLE(hole, "hole", true, "a hole: where it is, and how its depths are measured");
TABLE(drilled, "interval", false, "an interval drilled without coring");
TABLE(drilled_set, "drilled", true, "the intervals of a hole that were drilled without coring");
TABLE(gap, "void", false, "a void in a section");
TABLE(whole_round, "whole-round", false, "a whole round taken before splitting");
TABLE(piece, "piece", false, "a piece of hard rock");
TABLE(section, "section", false, "a section of a core");
TABLE(core, "core", true, "a coring run and what came up, with its sections");
#define STRUCT renaming
static const struct field renaming_fields[] = {
    COUNT(number, REQUIRED, 1, 9999, "counts the renamings of the hole"),
    FORMED(from, REQUIRED, "^[1-9][0-9]{0,3}[A-Z]$", is_core_id, "number and letter until then"),
    FORMED(to, REQUIRED, "^[1-9][0-9]{0,3}[A-Z]$", is_core_id, "number and letter from then on"),
};
#undef STRUCT

#define STRUCT renaming_set
static const struct field renaming_set_fields[] = {
    TEXT(hole, REQUIRED, "the hole, site and letter"),
    LIST(renamings, renaming_count, renaming_table,
         "cores that were given another name, in the order of their renaming"),
};
#undef STRUCT

TABLE(sample, "sample", false, "a sample, or a sample of a sample");
TABLE(sample_set, "samples", true, "the samples of one core");
TABLE(renaming, "renaming", false, "a core that was given another name");
TABLE(renaming_set, "renamed", true, "the cores of a hole that were given another number or letter");

const struct table plan_table = {.kind = "plan",
                                 .size = sizeof(struct sampling_plan),
                                 .fields = plan_fields,
                                 .count = COUNT_OF(plan_fields),
                                 .meaning = "where a bag is planned every so many metres"};

const struct table *const file_tables[] = {&expedition_table,    &hole_table,
                                           &drilled_set_table,   &core_table,
                                           &sample_set_table,    &renaming_set_table,
                                           &geometry_set_table,  &pump_set_table,
                                           &bag_set_table,       &lag_check_set_table,
                                           &correction_table,    &label_set_table,
                                           &signature_set_table, &act_signature_set_table,
                                           &contradiction_table, NULL};
