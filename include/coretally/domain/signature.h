/* SPDX-License-Identifier: MIT */
/* Signatures under a correction or an act: people who looked at it beside the
 * one who recorded it. Under a correction each holds the hash that git has of its
 * file as it was signed, so that a change made afterwards shows. An act is
 * named by its commit, whose id is the hash of all that it did. */
#ifndef CORETALLY_DOMAIN_SIGNATURE_H
#define CORETALLY_DOMAIN_SIGNATURE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "coretally/base/clock.h"

struct signature {
    const char *name;
    const char *mail;
    struct instant at;
    const char *record; /* hash of the correction's file as it was signed, 40 digits; of an act NULL */
    const char *remark;
};

/* Those of one correction, in the order of signing. */
struct signature_set {
    const char *hole;
    int32_t number;
    struct signature *signatures;
    size_t signature_count;
};

/* Those of one act. */
struct act_signature_set {
    const char *act; /* the whole id of its commit */
    struct signature *signatures;
    size_t signature_count;
};

/* The same name or the same mail, whatever the case of ASCII letters and the blanks around: then it is one person. */
bool signature_is_person(const char *name, const char *mail, const char *other_name, const char *other_mail);

#endif
