/* SPDX-License-Identifier: MIT */
/* The depth scales: their words and what they mean. */
#include <stddef.h>
#include <strings.h>

#include "coretally/domain/depth.h"

const char *const scale_words[] = {"DRF",    "DSF",  "CSF-A", "CSF-B", "CCSF", "CCSF-B",
                                   "CCSF-D", "WMSF", "TVD",   "TVDSF", NULL};
const char *const scale_meanings[] = {
    "drilling depth below rig floor: what the driller reported, corrected",
    "drilling depth below seafloor: DRF less the seafloor's DRF",
    "core depth below seafloor, method A: core top + curated lengths above + offset; long cores overlap the next",
    "core depth below seafloor, method B: as A, long cores compressed onto their advance",
    "core composite depth: CSF-A + the composite offset of the core",
    "core composite depth, method B: CCSF with the growth of the record taken out by its factors",
    "core composite depth, method D: CCSF of what lies on the splice",
    "wireline depth below seafloor that CSF-A was matched to",
    "true vertical depth below rig floor: along the hole by DRF or CSF-B, then by the survey",
    "true vertical depth below seafloor",
    NULL,
};

enum scale scale_find(const char *word)
{
    if (strcasecmp(word, "MRF") == 0)
        return SCALE_DRF;
    if (strcasecmp(word, "MSF") == 0)
        return SCALE_DSF;
    int at = 0;
    while (at < SCALE_COUNT && strcasecmp(word, scale_words[at]) != 0)
        at++;
    return (enum scale)at;
}

bool scale_is_drilled(enum scale scale)
{
    return scale == SCALE_DRF || scale == SCALE_DSF || scale_is_vertical(scale);
}

bool scale_is_vertical(enum scale scale)
{
    return scale == SCALE_TVD || scale == SCALE_TVDSF;
}
