/* SPDX-License-Identifier: MIT */
/* The field tables of what the lag rests on, and of what is taken at the shaker. */
#include "coretally/base/limits.h"
#include "table_rows.h"

#define STRUCT bore
static const struct field bore_fields[] = {
    WORD(kind, REQUIRED, bore_words, "riser, casing, liner or open (hole)"),
    LENGTH("top", top_um, REQUIRED, UNIT_M, 0, METRES(30000), "top below rig floor, m"),
    LENGTH("bottom", bottom_um, OPTIONAL, UNIT_M, 0, METRES(30000),
           "bottom below rig floor, m; left out for open hole: the bottom of the hole"),
    LENGTH("diameter", diameter_um, REQUIRED, UNIT_MM, 0, METRES(2), "inside diameter; of open hole the bit's"),
    REAL("washout", washout_pct, "pct", MEASURE_PERCENT,
         "open hole is this much wider than the bit, % of the diameter"),
    LENGTH("tolerance", tolerance_um, OPTIONAL, UNIT_MM, 0, METRES(1), "tolerance of the diameter, to either side"),
};
#undef STRUCT

#define STRUCT part
static const struct field part_fields[] = {
    TEXT(name, REQUIRED, "collars, heavy pipe, drill pipe, ..."),
    LENGTH("length", length_um, OPTIONAL, UNIT_M, 0, METRES(30000),
           "length, m; left out for the last part: up to the rig floor"),
    LENGTH("outside", outer_um, REQUIRED, UNIT_MM, 0, METRES(2), "outside diameter"),
    LENGTH("inside", inner_um, OPTIONAL, UNIT_MM, 0, METRES(2), "inside diameter; needed for the volume of the string"),
};
#undef STRUCT

#define STRUCT geometry
static const struct field geometry_fields[] = {
    COUNT(number, REQUIRED, 1, 9999, "counts the states of the well"),
    PLAIN("from", from, FIELD_INSTANT, REQUIRED, "the time from which the well is like this"),
    LIST(bores, bore_count, bore_table,
         "from the rig floor down: kind,top,bottom,inside diameter[,washout %[,tolerance]]; items by ';'"),
    {.name = "string",
     .type = FIELD_LIST,
     .offset = AT(parts),
     .count_offset = AT(part_count),
     .of = &part_table,
     .meaning = "from the bit up: name,length,outside[,inside diameter]; items by ';'; the last without a length"},
    LENGTH("inlet", inlet_um, OPTIONAL, UNIT_M, 0, METRES(30000), "where the booster line enters, m below rig floor"),
    REAL("flowline", flowline_m3, "m3", MEASURE_VOLUME, "return line from the well to the shaker"),
    REAL("supply", supply_m3, "m3", MEASURE_VOLUME, "surface line from the pumps to the string; only tracers see it"),
    REAL("shaker_delay", shaker_delay_s, "s", MEASURE_TIME, "from the end of the flowline to the sample"),
    LENGTH("loss_depth", loss_um, OPTIONAL, UNIT_M, 0, METRES(30000), "mud is lost at this depth below rig floor, m"),
    REAL("loss", loss_pct, "pct", MEASURE_PERCENT, "share of the mud passing there that is lost"),
    WORD_AT("slip", slip.method, slip_words, "how cuttings fall behind the mud; left out: they do not"),
    REAL("cutting_size", slip.size_m, "m", MEASURE_SIZE, "slip: diameter of a cutting"),
    REAL("cutting_density", slip.density_kg_m3, "kg_m3", MEASURE_DENSITY, "slip: density of the cuttings"),
    REAL("mud_density", slip.mud_kg_m3, "kg_m3", MEASURE_DENSITY, "slip: density of the mud"),
    REAL("viscosity", slip.viscosity_mpa_s, "mPa_s", MEASURE_VISCOSITY, "slip: viscosity of the mud"),
    REAL("sphericity", slip.sphericity, NULL, MEASURE_RATIO, "slip by drag: sphericity of the cuttings, 0 to 1"),
    PLAIN("cemented", cemented, FIELD_INSTANT, OPTIONAL, "when cement was last circulated"),
    TEXT(remark, OPTIONAL, "remark"),
    NUMBERED_WAS,
    STANDING,
};
#undef STRUCT

#define STRUCT geometry_set
static const struct field geometry_set_fields[] = {
    TEXT(hole, REQUIRED, "the hole, site and letter"),
    LIST(states, state_count, geometry_table, "states of the well, in order of time"),
};
#undef STRUCT

#define STRUCT pump
static const struct field pump_fields[] = {
    COUNT(number, REQUIRED, 1, 9999, "counts the pump records of the hole"),
    TEXT(name, REQUIRED, "the pump: 1, 2, B"),
    PLAIN("from", from, FIELD_INSTANT, REQUIRED, "the time from which the pump is like this"),
    WORD(kind, REQUIRED, pump_words, "how a stroke's output is known"),
    WORD(line, OPTIONAL, line_words, "where its mud goes; left out: the string"),
    LENGTH("bore", bore_um, OPTIONAL, UNIT_MM, 0, METRES(1), "inside diameter of the liners"),
    LENGTH("rod", rod_um, OPTIONAL, UNIT_MM, 0, METRES(1), "duplex: diameter of the rod"),
    LENGTH("stroke", stroke_um, OPTIONAL, UNIT_MM, 0, METRES(2), "length of a stroke"),
    REAL("efficiency", efficiency_pct, "pct", MEASURE_PERCENT, "volumetric efficiency; left out: 100"),
    REAL("output", output_m3, "m3", MEASURE_OUTPUT, "measured: delivered by one stroke"),
    REAL("tolerance", tolerance_pct, "pct", MEASURE_PERCENT, "tolerance of the output, to either side"),
    TEXT(remark, OPTIONAL, "remark"),
    NUMBERED_WAS,
    STANDING,
};
#undef STRUCT

#define STRUCT pump_set
static const struct field pump_set_fields[] = {
    TEXT(hole, REQUIRED, "the hole, site and letter"),
    LIST(pumps, pump_count, pump_table, "pumps, by name and time"),
};
#undef STRUCT

#define STRUCT bag
static const struct field bag_fields[] = {
    COUNT(number, REQUIRED, 1, BAG_NUMBER_MAX, "number in its hole"),
    PLAIN("from", from, FIELD_INSTANT, REQUIRED, "collected from this time on, at the shaker; or at this instant"),
    PLAIN("to", to, FIELD_INSTANT, OPTIONAL, "collected to"),
    REAL("mass", mass_g, "g", MEASURE_MASS, "mass"),
    REAL("volume", volume_cm3, "cm3", MEASURE_SMALL, "volume"),
    TEXT(lithology, OPTIONAL, "what it is made of"),
    TEXT(fraction, OPTIONAL, "sieve fraction, such as 1-4 mm"),
    PLAIN("washed", washed, FIELD_FLAG, OPTIONAL, "yes: washed"),
    TEXT(contaminants, OPTIONAL, "cavings, cement, metal, ...; separated by a comma"),
    PLAIN("bypassed", bypassed, FIELD_FLAG, OPTIONAL,
          "yes: taken late or past the shaker, so the time is not that of its arrival"),
    TEXT(requester, OPTIONAL, "who asked for it"),
    TEXT(hazard, OPTIONAL, "what to beware of, as on the label: H2S, preservative, ..."),
    TEXT(doubt, OPTIONAL, "rules that it was kept against, separated by a space"),
    TEXT(remark, OPTIONAL, "remark"),
    NUMBERED_WAS,
    STANDING,
};
#undef STRUCT

#define STRUCT bag_set
static const struct field bag_set_fields[] = {
    TEXT(hole, REQUIRED, "the hole, site and letter"),
    {.name = "what",
     .type = FIELD_WORD,
     .offset = AT(kind),
     .need = REQUIRED,
     .words = bag_words,
     .meaning = "bag of cuttings, gas or mud"},
    COUNT(hundred, REQUIRED, 1, BAG_NUMBER_MAX / BAGS_A_FILE + 1, "which hundred of numbers, from 1"),
    LIST(bags, bag_count, bag_table, "by number"),
};
#undef STRUCT

#define STRUCT lag_check
static const struct field lag_check_fields[] = {
    COUNT(number, REQUIRED, 1, 9999, "counts the lag checks of the hole"),
    PLAIN("in", in, FIELD_INSTANT, REQUIRED, "tracer into the string at the surface"),
    PLAIN("seen", seen, FIELD_INSTANT, REQUIRED, "tracer seen at the shaker"),
    TEXT(tracer, OPTIONAL, "carbide, rice, dye, ..."),
    TEXT(evidence, OPTIONAL, "what shows it: page of the mud log, chart"),
    TEXT(remark, OPTIONAL, "remark"),
    NUMBERED_WAS,
    STANDING,
};
#undef STRUCT

#define STRUCT lag_check_set
static const struct field lag_check_set_fields[] = {
    TEXT(hole, REQUIRED, "the hole, site and letter"),
    LIST(checks, check_count, lag_check_table, "lag checks, in order of time"),
};
#undef STRUCT

TABLE(geometry, "state", false, "the well from a given time on: bores, string, what else shapes the way of the mud");
TABLE(geometry_set, "well", true, "the well geometry of a hole");
TABLE(bore, "bore", false, "an inside wall that the mud touches");
TABLE(part, "part", false, "a part of the string");
TABLE(pump, "pump", false, "a mud pump from a given time on");
TABLE(pump_set, "pumps", true, "the mud pumps of a hole");
TABLE(bag, "bag", false, "cuttings, gas or mud taken at the surface");
TABLE(bag_set, "bags", true, "bags of one kind of a hole, a hundred numbers");
TABLE(lag_check, "check", false, "a tracer through the well");
TABLE(lag_check_set, "lag-checks", true, "the lag checks of a hole");
