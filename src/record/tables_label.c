/* SPDX-License-Identifier: MIT */
/* The field tables of labels. */
#include <string.h>

#include "coretally/base/limits.h"
#include "coretally/domain/depth.h"
#include "table_rows.h"

static bool is_commit(const char *string)
{
    return strspn(string, "0123456789abcdef") == 40 && !string[40];
}

static bool is_scale(const char *string)
{
    return strcmp(string, "MRF") == 0 || strcmp(string, "MSF") == 0 ||
           (scale_find(string) != SCALE_COUNT && strcmp(string, scale_words[scale_find(string)]) == 0);
}

#define STRUCT label
static const struct field label_fields[] = {
    TEXT(name, REQUIRED, "the thing, as printed, without spaces"),
    COUNT(copy, OPTIONAL, 2, INT16_MAX, "left out for the first label of a thing; 2 and up: reprints"),
    PLAIN("printed", printed, FIELD_INSTANT, REQUIRED, "when it was printed"),
    FORMED(state, REQUIRED, "^[0-9a-f]{40}$", is_commit, "commit that the depth was worked out from, 40 digits"),
    FORMED(scale, REQUIRED, "^(DRF|DSF|CSF-A|CSF-B|CCSF|CCSF-B|CCSF-D|WMSF|TVD|TVDSF|MRF|MSF)$", is_scale,
           "depth scale as printed"),
    LENGTH("top", top_um, OPTIONAL, UNIT_M, METRES(-30000), METRES(30000),
           "upper depth as printed, m; left out where none was known"),
    LENGTH("bottom", bottom_um, OPTIONAL, UNIT_M, METRES(-30000), METRES(30000), "lower depth as printed, m"),
    TEXT(hazard, OPTIONAL, "what the label warns of"),
    TEXT(layout, REQUIRED, "layout that it was printed with"),
};
#undef STRUCT

#define STRUCT label_set
static const struct field label_set_fields[] = {
    TEXT(hole, REQUIRED, "the hole, site and letter"),
    COUNT(core, OPTIONAL, 1, CORE_NUMBER_MAX, "core number, where these are labels of a core"),
    WORD_AT("what", kind, bag_words, "bag of cuttings, gas or mud, where these are labels of bags"),
    COUNT(hundred, OPTIONAL, 1, BAG_NUMBER_MAX / BAGS_A_FILE + 1,
          "bags: which hundred of their numbers, counted from 1"),
    LIST(labels, label_count, label_table, "labels in the order of printing"),
};
#undef STRUCT

TABLE(label, "label", false, "a label as it was printed");
TABLE(label_set, "labels", true, "the labels of a core and what was taken from it, or of a hundred bags");
