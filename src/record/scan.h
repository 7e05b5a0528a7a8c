/* SPDX-License-Identifier: MIT */
/* The strict look at JSON text before cJSON parses it. Inside the record layer only. */
#ifndef CORETALLY_RECORD_SCAN_H
#define CORETALLY_RECORD_SCAN_H

#include "coretally/base/text.h"

/* STATUS_DAMAGED with the byte, counted from 1. Structure is left to cJSON. */
MUST_CHECK enum status json_scan(struct bytes text, const char *subject, struct err *err);

#endif
