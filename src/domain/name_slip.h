/* SPDX-License-Identifier: MIT */
/* Between the parser of names and what guesses at a name that does not read. */
#ifndef CORETALLY_DOMAIN_NAME_SLIP_H
#define CORETALLY_DOMAIN_NAME_SLIP_H

#include "coretally/domain/name.h"

/* name_parse without a guess. */
MUST_CHECK enum status name_read(const char *string, struct name *out, struct err *err);

#endif
