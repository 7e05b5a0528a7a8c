/* SPDX-License-Identifier: MIT */
/* Signatures under corrections, as they are read and told. */
#ifndef CORETALLY_CMD_SIGNED_H
#define CORETALLY_CMD_SIGNED_H

#include "coretally/domain/correction.h"
#include "command.h"

MUST_CHECK enum status signatures_read(struct state *state, const char *hole, int32_t number, struct signature_set *out,
                                       struct err *err);

/* Who signed a correction, each with the commit of the signature and whether the correction has changed since: "Ida
 * Lindqvist 0f3a9c21bd; Aino Brandt 8ab686eafe before it was withdrawn". *out NULL: nobody. *standing: how many signed
 * it as it is. */
MUST_CHECK enum status signed_text(struct state *state, const struct correction *it, const char **out, size_t *standing,
                                   struct err *err);

#endif
