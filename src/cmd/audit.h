/* SPDX-License-Identifier: MIT */
/* The audit of a registry, gathered into a page. Its numbers come from the functions that the commands use. */
#ifndef CORETALLY_CMD_AUDIT_H
#define CORETALLY_CMD_AUDIT_H

#include "coretally/view/page.h"
#include "coretally/state/correction_roll.h"
#include "reach_say.h"

/* A correction with what is told of it. */
struct audit_correction {
    struct correction *it;
    const char *state;
    const char *who_signed; /* NULL: nobody */
    bool in_force;
    bool waits;           /* for a signature */
    struct commit commit; /* since when it is as it is */
    struct commit first;  /* that recorded it */
    size_t first_part;    /* in the parts of its hole; where it is in force */
    size_t part_count;
};

/* A core: as the driller reported it, and by how much its corrections moved it; on DSF or, without a seafloor, DRF. */
struct audit_core {
    int32_t number;
    char type;
    int64_t top_um;
    int64_t bottom_um;
    int64_t shift_um;
    size_t sections;
};

struct audit_hole {
    struct correction_roll roll;
    struct hole reported; /* without any correction */
    enum scale scale;
    struct reach_parts parts;             /* of all corrections together, then of each in force */
    struct audit_correction *corrections; /* in force in the order of the chain, then the others by number */
    size_t correction_count;
    struct audit_core *cores; /* those with a depth, by number */
    size_t core_count;
};

struct audit {
    struct run *run;
    struct page page;
    struct audit_hole *holes;
    size_t hole_count;
    struct commit state;
    const char *from; /* state of --from; NULL */
};

/* audit_hole.c: read, and written into the page. */
MUST_CHECK enum status audit_hole_read(struct run *run, const char *hole, struct audit_hole *out, struct err *err);
MUST_CHECK enum status audit_hole_write(struct audit *audit, const struct audit_hole *hole, struct err *err);

/* audit_correction.c */
MUST_CHECK enum status audit_corrections_read(struct run *run, struct audit_hole *hole, struct err *err);
MUST_CHECK enum status audit_corrections_write(struct audit *audit, const struct audit_hole *hole, struct err *err);

/* audit_core.c: shift against depth, and what moved most. */
MUST_CHECK enum status audit_cores_read(struct state *state, struct audit_hole *hole, struct err *err);
MUST_CHECK enum status audit_cores_write(struct audit *audit, const struct audit_hole *hole, struct err *err);

/* audit_check.c: the commands by which an outsider checks it. */
MUST_CHECK enum status audit_ways_write(struct audit *audit, struct err *err);

/* A row of a sheet of facts. A value of NULL or "" adds none. */
MUST_CHECK enum status audit_fact_add(struct sheet *sheet, const char *what, const char *value, struct err *err);

/* A sheet that lives as long as the run. */
MUST_CHECK enum status audit_sheet_new(struct state *state, const struct column *columns, size_t count,
                                       struct sheet **out, struct err *err);

/* "0f3a9c21bd by Mira Tamm, 2026-03-01T04:12:00Z, station: core table" */
MUST_CHECK enum status audit_commit_text(struct state *state, const struct commit *commit, const char **out,
                                         struct err *err);

/* A formatted text that lives as long as the run. */
MUST_CHECK enum status audit_text(struct state *state, const char **out, struct err *err, const char *format, ...)
    PRINTF_LIKE(4, 5);

#endif
