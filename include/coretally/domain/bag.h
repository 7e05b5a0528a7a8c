/* SPDX-License-Identifier: MIT */
/* What is taken at the shaker and the flowline: cuttings in bags, mud gas, mud.
 * Their names end in a word and a number: U0013A-BAG12, U0013A-GAS3, U0013A-MUD4. */
#ifndef CORETALLY_DOMAIN_BAG_H
#define CORETALLY_DOMAIN_BAG_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "coretally/base/clock.h"

enum bag_kind { BAG_NONE, BAG_CUTTINGS, BAG_GAS, BAG_MUD };
extern const char *const bag_words[];          /* "", "bag", "gas", "mud" */
enum bag_kind bag_kind_find(const char *word); /* BAG_NONE: no such kind */

enum { BAG_NUMBER_MAX = 999999, BAGS_A_FILE = 100 };

struct bag {
    enum bag_kind kind;
    int32_t number;
    struct instant from; /* collected from; or at this instant, where to is not known */
    struct instant to;
    double mass_g;
    double volume_cm3;
    const char *lithology;
    const char *fraction; /* sieve fraction, "1-4 mm" */
    bool washed;
    const char *contaminants; /* cavings, cement, metal, ...: words separated by a comma */
    bool bypassed;            /* the shaker was bypassed, or the bag taken late: the window is not what fell */
    const char *requester;
    const char *hazard; /* what to beware of, as on the label */
    const char *doubt;  /* rules it was kept against, separated by ' ' */
    const char *remark;
    const char *was; /* minted.h: its number before registries were joined; NULL */
    const char *withdrawn;
    int32_t version;
};

/* Bags of one kind whose numbers share the hundreds. */
struct bag_set {
    const char *hole;
    enum bag_kind kind;
    int32_t hundred;  /* number / BAGS_A_FILE + 1 */
    struct bag *bags; /* by number */
    size_t bag_count;
};

/* The hundred of a number, counted from 1. */
int32_t bag_hundred(int32_t number);

/* A lag check: a tracer goes down with the mud and is seen at the shaker. */
struct lag_check {
    int32_t number;
    struct instant in;   /* tracer into the string at the surface */
    struct instant seen; /* at the sampling point */
    const char *tracer;
    const char *evidence; /* what shows it */
    const char *remark;
    const char *was; /* minted.h: its number before registries were joined; NULL */
    const char *withdrawn;
    int32_t version;
};

struct lag_check_set {
    const char *hole;
    struct lag_check *checks; /* by in */
    size_t check_count;
};

#endif
