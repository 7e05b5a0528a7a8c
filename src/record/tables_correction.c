/* SPDX-License-Identifier: MIT */
/* The field tables of corrections. One table holds all kinds; domain/correction_check.c says which kind has what. */
#include <string.h>

#include "coretally/base/limits.h"
#include "table_rows.h"

static bool is_hash(const char *string)
{
    return strspn(string, "0123456789abcdef") == 40 && !string[40];
}

/* Numbers, a space between. */
static bool is_numbers(const char *string)
{
    for (;;) {
        const size_t digits = strspn(string, "0123456789");
        if (digits == 0 || digits > 4 || *string == '0')
            return false;
        string += digits;
        if (!*string)
            return true;
        if (*string++ != ' ')
            return false;
    }
}

#define STRUCT tide_height
static const struct field tide_height_fields[] = {
    PLAIN("time", at, FIELD_INSTANT, REQUIRED, "when"),
    LENGTH("height", height_um, REQUIRED, UNIT_M, METRES(-20), METRES(20), "sea above its mean, m; up is positive"),
};
#undef STRUCT

#define STRUCT core_offset
static const struct field core_offset_fields[] = {
    COUNT(core, REQUIRED, 1, CORE_NUMBER_MAX, "core number"),
    LENGTH("offset", offset_um, REQUIRED, UNIT_M, METRES(-3000), METRES(3000), "CCSF less CSF-A, m"),
    WORD(method, REQUIRED, tie_words, "how it was found"),
    TEXT(feature, OPTIONAL, "tied: a place in this core"),
    TEXT(reference, OPTIONAL, "tied: the place that it matches"),
};
#undef STRUCT

#define STRUCT splice_interval
static const struct field splice_interval_fields[] = {
    COUNT(order, REQUIRED, 1, 9999, "place in the splice, from its top, over all holes"),
    COUNT(core, REQUIRED, 1, CORE_NUMBER_MAX, "core number"),
    PLAIN("top_section", top_section, FIELD_SECTION, REQUIRED, "section in which it begins"),
    LENGTH("top", top_um, REQUIRED, UNIT_CM, 0, METRES(200), "where, from the section top"),
    PLAIN("bottom_section", bottom_section, FIELD_SECTION, REQUIRED, "section in which it ends"),
    LENGTH("bottom", bottom_um, REQUIRED, UNIT_CM, 0, METRES(200), "where, from the section top"),
};
#undef STRUCT

#define STRUCT growth_step
static const struct field growth_step_fields[] = {
    LENGTH("top", top_um, REQUIRED, UNIT_M, METRES(-100), METRES(30000), "from this composite depth (CCSF) down, m"),
    {.name = "factor",
     .type = FIELD_REAL,
     .offset = AT(factor),
     .need = REQUIRED,
     .measure = MEASURE_RATIO,
     .meaning = "growth of composite against drilled depth"},
};
#undef STRUCT

#define STRUCT match_point
static const struct field match_point_fields[] = {
    LENGTH("depth", depth_um, REQUIRED, UNIT_M, METRES(-100), METRES(30000), "core depth (CSF-A), m"),
    LENGTH("matched", matched_um, REQUIRED, UNIT_M, METRES(-100), METRES(30000), "wireline depth below seafloor, m"),
};
#undef STRUCT

#define STRUCT survey_station
static const struct field survey_station_fields[] = {
    LENGTH("depth", depth_um, REQUIRED, UNIT_M, 0, METRES(30000), "along the hole, m below rig floor"),
    {.name = "inclination",
     .type = FIELD_REAL,
     .offset = AT(inclination_deg),
     .need = REQUIRED,
     .suffix = "deg",
     .measure = MEASURE_ANGLE,
     .meaning = "from the vertical: 0 down, 90 level, above 90 up again"},
    {.name = "azimuth",
     .type = FIELD_REAL,
     .offset = AT(azimuth_deg),
     .need = REQUIRED,
     .suffix = "deg",
     .measure = MEASURE_ANGLE,
     .meaning = "from north, clockwise"},
};
#undef STRUCT

#define STRUCT correction
static const struct field correction_fields[] = {
    TEXT(hole, REQUIRED, "the hole, site and letter"),
    COUNT(number, REQUIRED, 1, 9999, "counts the corrections of the hole"),
    {.name = "what",
     .type = FIELD_WORD,
     .offset = AT(kind),
     .need = REQUIRED,
     .words = correction_words,
     .meaning = "kind of correction"},
    LENGTH("top", top_um, OPTIONAL, UNIT_M, 0, METRES(30000),
           "from this drilled depth down, m below rig floor as reported"),
    LENGTH("bottom", bottom_um, OPTIONAL, UNIT_M, 0, METRES(30000), "down to this one, not included"),
    PLAIN("from", from, FIELD_INSTANT, OPTIONAL, "for cores on deck and cuttings cut from this time on"),
    PLAIN("to", to, FIELD_INSTANT, OPTIONAL, "until this time, not included"),
    COUNT(first_core, OPTIONAL, 1, CORE_NUMBER_MAX, "from this core on"),
    COUNT(last_core, OPTIONAL, 1, CORE_NUMBER_MAX, "to this core"),
    COUNT(core, OPTIONAL, 1, CORE_NUMBER_MAX, "reading, shift: the core"),
    LENGTH("amount", amount_um, OPTIONAL, UNIT_M, METRES(-3000), METRES(3000),
           "tally, shift: by so much, m; down is positive"),
    LENGTH("core_top", core_top_um, OPTIONAL, UNIT_M, 0, METRES(30000), "reading: drilled top as it should read, m"),
    LENGTH("core_bottom", core_bottom_um, OPTIONAL, UNIT_M, 0, METRES(30000), "reading: drilled bottom, m"),
    LENGTH("seafloor", seafloor_um, OPTIONAL, UNIT_M, 0, METRES(12000), "seafloor below rig floor, m"),
    WORD(seafloor_by, OPTIONAL, seafloor_words, "how the seafloor was found"),
    PLAIN("seafloor_at", seafloor_at, FIELD_INSTANT, OPTIONAL, "when the seafloor was found; tide needs it"),
    WORD(stretch, OPTIONAL, stretch_words, "own weight in mud, a load, or heat"),
    REAL("load", load_kn, "kN", MEASURE_FORCE, "stretch by load: pull"),
    REAL("area", area_mm2, "mm2", MEASURE_AREA, "stretch by load: steel in the cross section"),
    REAL("pipe_weight", pipe_weight_kg_m, "kg_m", MEASURE_LINEAR,
         "stretch by load: weight of the pipe, instead of the area"),
    REAL("modulus", modulus_gpa, "GPa", MEASURE_MODULUS, "stretch: Young's modulus; left out: steel, 30e6 psi"),
    REAL("steel", steel_kg_m3, "kg_m3", MEASURE_DENSITY,
         "stretch by weight: density of the pipe; left out: 65.44 lb/gal"),
    REAL("mud", mud_kg_m3, "kg_m3", MEASURE_DENSITY, "stretch by weight: density of the mud"),
    REAL("poisson", poisson, NULL, MEASURE_RATIO, "stretch by weight: Poisson's ratio; left out: 0.28"),
    REAL("expansion", expansion_um_m_k, "um_m_K", MEASURE_EXPANSION,
         "stretch by heat: expansion of the pipe; left out: steel, 12.45"),
    {.name = "rise",
     .type = FIELD_REAL,
     .offset = AT(rise_k),
     .suffix = "K",
     .measure = MEASURE_WARMTH,
     .least = -1,
     .meaning = "stretch by heat: mean rise of the pipe's temperature; below 0 where it cools"},
    LIST(heights, height_count, tide_height_table, "tide: time,height; items by ';'"),
    LIST(offsets, offset_count, core_offset_table, "composite: core,offset,method[,feature,reference]; items by ';'"),
    LIST(steps, step_count, growth_step_table, "growth: top,factor; items by ';'"),
    LIST(intervals, interval_count, splice_interval_table,
         "splice: order,core,top section,top,bottom section,bottom; items by ';'"),
    LIST(points, point_count, match_point_table, "wireline: core depth,wireline depth; items by ';'"),
    LIST(stations, station_count, survey_station_table, "survey: depth,inclination,azimuth; items by ';'"),
    TEXT(reason, REQUIRED, "why"),
    TEXT(evidence, OPTIONAL, "what shows it: tally sheet, log, page of a notebook"),
    FORMED(evidence_file, OPTIONAL, "^[0-9a-f]{40}$", is_hash, "hash of an attached file"),
    TEXT(evidence_name, OPTIONAL, "what the attached file was called"),
    FORMED(supersedes, OPTIONAL, "^[1-9][0-9]{0,3}( [1-9][0-9]{0,3})*$", is_numbers,
           "numbers of the corrections whose place it takes, separated by a space"),
    TEXT(remark, OPTIONAL, "remark"),
    NUMBERED_WAS,
    STANDING,
};
#undef STRUCT

TABLE(tide_height, "height", false, "height of the sea at a time");
TABLE(core_offset, "composite offset", false, "composite offset of a core");
TABLE(splice_interval, "splice interval", false, "a stretch of core that the splice takes");
TABLE(growth_step, "step", false, "a growth factor from a depth down");
TABLE(match_point, "point", false, "a core depth and its wireline depth");
TABLE(survey_station, "station", false, "a survey station");
TABLE(correction, "correction", true, "a correction of depth");
