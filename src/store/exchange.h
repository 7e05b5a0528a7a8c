/* SPDX-License-Identifier: MIT */
/* What the files of the exchange share. */
#ifndef CORETALLY_STORE_EXCHANGE_PARTS_H
#define CORETALLY_STORE_EXCHANGE_PARTS_H

#include "client.h"
#include "coretally/store/exchange.h"

/* exchange_file.c: the head of a file: where it leads to, and by which name. is_ours false: it is no such file. */
struct parcel {
    bool is_ours;
    char tip[COMMIT_ID_MAX];
    char name[BRANCH_MAX];
};
MUST_CHECK enum status parcel_read(const char *path, struct parcel *out, struct err *err);
/* STATUS_RULE where it builds on commits that are not here. */
MUST_CHECK enum status parcel_check(struct store *store, const char *path, const char *typed, struct err *err);

#endif
