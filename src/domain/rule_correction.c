/* SPDX-License-Identifier: MIT */
/* Rules of a correction against those beside it. */
#include <stdlib.h>

#include "coretally/base/limits.h"
#include "coretally/base/quantity.h"
#include "coretally/domain/depth.h"
#include "coretally/domain/rule.h"
#include "coretally/domain/stretch.h"

/* How far it moves what it covers; 0 for a table. */
static int64_t reach_of(const struct correction *it, const struct hole *hole)
{
    if (it->kind == CORRECTION_TALLY || it->kind == CORRECTION_SHIFT)
        return llabs(it->amount_um);
    const int64_t seafloor_um = hole_seafloor(hole_of_seafloor(hole));
    if (it->kind == CORRECTION_SEAFLOOR && seafloor_um != LENGTH_NONE)
        return llabs(it->seafloor_um - seafloor_um);
    return 0;
}

/* The steepest station upwards. */
static void survey_check(const struct correction *it, struct findings *findings)
{
    const struct survey_station *most = NULL;
    for (size_t at = 0; at < it->station_count; at++)
        if (!most || it->stations[at].inclination_deg > most->inclination_deg)
            most = &it->stations[at];
    if (!most || most->inclination_deg <= INCLINATION_PLAIN_DEG)
        return;
    findings_add(findings, RULE_CORRECTION_FAR, "an inclination of %.1f degrees at %s m points steeply up",
                 most->inclination_deg, length_text(most->depth_um, UNIT_M, 3).text);
    findings_hint(findings,
                  "check whether inclination and azimuth are in each other's column; if it is right, add --sure");
}

void correction_check(const struct correction *it, const struct correction *const *in_force, size_t count,
                      const struct hole *hole, struct findings *findings)
{
    const char *word = correction_words[it->kind];
    for (size_t at = 0; at < count; at++) {
        const struct correction *other = in_force[at];
        if (other->number == it->number || other->kind != it->kind)
            continue;
        if (correction_repeats(it, other)) {
            findings_add(findings, RULE_CORRECTION_TWICE,
                         "correction %d (%s) is in force for the same; both would be applied", (int)other->number,
                         word);
            findings_hint(findings, "to put this one in its place: --supersedes %d", (int)other->number);
        } else if (it->kind == CORRECTION_TALLY)
            findings_add(findings, RULE_CORRECTION_ADDS, "where both hold, it is added to correction %d, %s m",
                         (int)other->number, length_text(other->amount_um, UNIT_M, 3).text);
    }
    if (it->kind == CORRECTION_SEAFLOOR && hole_seafloor(hole_of_seafloor(hole)) == LENGTH_NONE) {
        findings_add(findings, RULE_SEAFLOOR_METHOD, "this hole has no recorded seafloor to correct");
        findings_hint(findings, "record the first reading: coretally hole amend HOLE --seafloor ... --seafloor-by ...");
    }
    if (it->kind == CORRECTION_STRETCH && llabs(stretch_of(it, STRETCH_LENGTH_UM)) > STRETCH_PLAIN_UM) {
        findings_add(findings, RULE_CORRECTION_FAR,
                     "3000 m of pipe would be %s m longer; more than %s m is probably a slip",
                     length_text(stretch_of(it, STRETCH_LENGTH_UM), UNIT_M, 3).text,
                     length_text(STRETCH_PLAIN_UM, UNIT_M, 0).text);
        findings_hint(findings, "look at the units: load in kN, area in mm2, mud in kg/m3, rise in K; or add --sure");
    }
    survey_check(it, findings);
    if (reach_of(it, hole) > CORRECTION_PLAIN_UM) {
        findings_add(findings, RULE_CORRECTION_FAR,
                     "it moves what it covers by %s m; more than %s m is probably a slip",
                     length_text(reach_of(it, hole), UNIT_M, 3).text, length_text(CORRECTION_PLAIN_UM, UNIT_M, 0).text);
        findings_hint(findings, "look at the number and its unit (31.2ft, 45cm); if it is right, add --sure");
    }
}
