/* SPDX-License-Identifier: MIT */
/* What a stroke of a pump delivers. */
#include "coretally/domain/pump.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "coretally/base/quantity.h"

#define PI 3.14159265358979323846

const char *const pump_words[] = {"", "triplex", "duplex", "measured", NULL};
const char *const line_words[] = {"", "string", "booster", NULL};

bool pump_is_name(const char *name)
{
    size_t len = 0;
    while (len < PUMP_NAME_MAX && ((name[len] >= '0' && name[len] <= '9') || (name[len] >= 'A' && name[len] <= 'Z') ||
                                   (name[len] >= 'a' && name[len] <= 'z')))
        len++;
    return len > 0 && len < PUMP_NAME_MAX && !name[len];
}

double pump_output(const struct pump *pump)
{
    if (pump->kind == PUMP_MEASURED)
        return pump->output_m3;
    const double bore_m = (double)pump->bore_um * 1e-6;
    const double rod_m = (double)pump->rod_um * 1e-6;
    const double stroke_m = (double)pump->stroke_um * 1e-6;
    const double efficiency = isnan(pump->efficiency_pct) ? 1 : pump->efficiency_pct / 100;
    if (pump->kind == PUMP_TRIPLEX)
        return 3 * PI / 4 * bore_m * bore_m * stroke_m * efficiency;
    return PI / 2 * (2 * bore_m * bore_m - rod_m * rod_m) * stroke_m * efficiency;
}

const struct pump *pump_at(const struct pump *pumps, size_t count, const char *name, int64_t utc_us)
{
    const struct pump *found = NULL;
    for (size_t at = 0; at < count; at++)
        if (!pumps[at].withdrawn && strcmp(pumps[at].name, name) == 0 && pumps[at].from.utc_us <= utc_us &&
            (!found || pumps[at].from.utc_us >= found->from.utc_us))
            found = &pumps[at];
    return found;
}

static enum status check_name(const struct pump *pump, struct err *err)
{
    const size_t len = strlen(pump->name);
    bool formed = len > 0 && len < PUMP_NAME_MAX;
    for (size_t at = 0; at < len; at++)
        formed = formed && isalnum((unsigned char)pump->name[at]);
    if (formed)
        return STATUS_OK;
    err_set(err, STATUS_INPUT, pump->name, "a pump's name is 1 to %d letters and digits", PUMP_NAME_MAX - 1);
    return err_hint(err, "for example 1, 2 or B");
}

/* A dimension that the kind needs, within least and most millimetres. */
static enum status check_dimension(const struct pump *pump, const char *what, int64_t um, int least_mm, int most_mm,
                                   struct err *err)
{
    if (um == LENGTH_NONE) {
        err_set(err, STATUS_RULE, pump->name, "a %s pump needs its %s", pump_words[pump->kind], what);
        return err_hint(err, "add --%s, in mm or with its unit: 152.4  6in", what);
    }
    if (um >= (int64_t)least_mm * 1000 && um <= (int64_t)most_mm * 1000)
        return STATUS_OK;
    err_set(err, STATUS_RULE, pump->name, "a %s of %s mm is outside %d to %d mm", what,
            length_text(um, UNIT_MM, 1).text, least_mm, most_mm);
    return err_hint(err,
                    um < (int64_t)least_mm * 1000 && um > 0 ? "if these are inches, type %sin" : "look at %s again",
                    length_text(um, UNIT_MM, 2).text);
}

enum status pump_check(const struct pump *pump, struct err *err)
{
    TRY(check_name(pump, err));
    if (pump->kind == PUMP_NONE) {
        err_set(err, STATUS_RULE, pump->name, "the kind of the pump is not stated");
        return err_hint(err, "add --kind triplex, duplex or measured");
    }
    if (!isnan(pump->efficiency_pct) && (pump->efficiency_pct < 30 || pump->efficiency_pct > 105)) {
        err_set(err, STATUS_RULE, pump->name, "an efficiency of %g %% is outside 30 to 105 %%", pump->efficiency_pct);
        return err_hint(err, pump->efficiency_pct <= 1.05 ? "type percent: 97 for 0.97" : "type percent, such as 97");
    }
    if (!isnan(pump->tolerance_pct) && (pump->tolerance_pct < 0 || pump->tolerance_pct > 50))
        return err_set(err, STATUS_RULE, pump->name, "a tolerance of %g %% of the output is outside 0 to 50 %%",
                       pump->tolerance_pct);
    if (pump->kind == PUMP_MEASURED) {
        if (isnan(pump->output_m3) || pump->output_m3 <= 0 || pump->output_m3 > PUMP_OUTPUT_MOST_M3) {
            err_set(err, STATUS_RULE, pump->name,
                    "a measured output of %g m3 a stroke must be above 0 and at most %g m3",
                    isnan(pump->output_m3) ? 0 : pump->output_m3, PUMP_OUTPUT_MOST_M3);
            return err_hint(err, "add --output with its unit: 0.102bbl/stk  16.2l/stk");
        }
        if (isnan(pump->efficiency_pct) && pump->bore_um == LENGTH_NONE && pump->stroke_um == LENGTH_NONE)
            return STATUS_OK;
        err_set(err, STATUS_RULE, pump->name, "a measured output already contains liner, stroke and efficiency");
        return err_hint(err, "leave --bore, --stroke and --efficiency out");
    }
    if (!isnan(pump->output_m3)) {
        err_set(err, STATUS_RULE, pump->name, "the output of a %s pump is worked out", pump_words[pump->kind]);
        return err_hint(err, "leave --output out, or say --kind measured");
    }
    TRY(check_dimension(pump, "bore", pump->bore_um, 50, 300, err));
    TRY(check_dimension(pump, "stroke", pump->stroke_um, 100, 800, err));
    if (pump->kind == PUMP_DUPLEX) {
        TRY(check_dimension(pump, "rod", pump->rod_um, 10, 200, err));
        if (pump->rod_um >= pump->bore_um)
            return err_set(err, STATUS_RULE, pump->name, "the rod, %s mm, is as wide as the liner, %s mm",
                           length_text(pump->rod_um, UNIT_MM, 1).text, length_text(pump->bore_um, UNIT_MM, 1).text);
    }
    return STATUS_OK;
}
