/* SPDX-License-Identifier: MIT */
/* The lag calculator: a well on the command line or in a file, a flow or strokes; needs no registry. */
#include <string.h>

#include "coretally/intake/well_file.h"
#include "coretally/say/lag_table.h"
#include "lag_case.h"

static enum status run_lag(struct run *run, struct err *err);

static const char *const well_options[] = {"bores",           "string",      "inlet",     "flowline",   "supply",
                                           "shaker_delay",    "loss_depth",  "loss",      "slip",       "cutting_size",
                                           "cutting_density", "mud_density", "viscosity", "sphericity", NULL};

static const struct option lag_options[] = {
    {"file", "FILE", "the well from a file, CSV or JSON; options on top of it"},
    LAG_CASE_OPTIONS,
    {0},
};

const struct command lag_command = {
    .words = "lag",
    .arguments = "",
    .purpose = "calculate annular volume, lag and strokes of a well; needs no registry",
    .example = "lag --bores 'casing,0,1500,312.4mm; open,1500,2500,12.25in' --string 'collars,200,8in,2.81in; drill "
               "pipe,,5in,4.276in' --pump triplex,6in,12in,97 --spm 80",
    .detail =
        "Bores from the rig floor down: kind,top,bottom,inside diameter[,washout %[,tolerance]]; kinds are riser, "
        "casing,\n"
        "liner, open. The string from the bit up: name,length,outside,inside; the last part without a length reaches "
        "the\n"
        "rig floor. Bare lengths are m, bare diameters mm. With --booster and --inlet the riser is circulated faster.\n"
        "Slip: --slip drag|moore|chien with --cutting-size 6mm --cutting-density 2.7g/cm3 --mud-density 10ppg\n"
        "--viscosity 12cP (and --sphericity 0.8 for drag).\n"
        "A file: columns what,name,top_m,bottom_m,length_m,outside_mm,inside_mm,washout_pct; a row a bore or part.",
    .use = USE_CALCULATING,
    .table = &geometry_table,
    .fields = well_options,
    .options = lag_options,
    .run = run_lag,
};

static enum status run_lag(struct run *run, struct err *err)
{
    struct lag_case lag_case = {.bit_um = LENGTH_NONE};
    struct geometry *geometry = &lag_case.geometry;
    bool any = false;
    record_init(&geometry_table, geometry);
    if (run_option(run, "file")) {
        struct well_file set = {0};
        TRY(well_file_read(run->state->arena, run->in, run_option(run, "file"), INT_NONE, &set, err));
        *geometry = set.states[set.state_count - 1];
    }
    TRY(run_take_fields(run, &geometry_table, INT_NONE, geometry, &any, err));
    if (geometry->bore_count == 0 || geometry->part_count == 0) {
        err_set(err, STATUS_USAGE, "lag", "%s is not stated", geometry->bore_count ? "the string" : "the bore");
        return err_hint(err, "for example: coretally %s", run->command->example);
    }
    TRY(lag_case_read(run, &lag_case, err));
    if (lag_case.bit_um == LENGTH_NONE) /* on the bottom of the deepest bore, where that is stated */
        lag_case.bit_um = geometry->bores[geometry->bore_count - 1].bottom_um;
    if (lag_case.bit_um == LENGTH_NONE) {
        err_set(err, STATUS_USAGE, "lag", "the depth of the bit is not stated");
        return err_hint(err, "add --bit 3500, or a bottom to the open hole: open,2500,3500,311.2mm");
    }
    return lag_case_show(run, &lag_case, err);
}
