/* SPDX-License-Identifier: MIT */
/* Names of contradictions. */
#include "coretally/domain/contradiction.h"

#include <inttypes.h>
#include <stdint.h>
#include <stdio.h>

/* FNV-1a, 64 bits (Fowler, Noll, Vo; RFC 9923), a zero byte after each part. */
static uint64_t mix(uint64_t hash, const char *part)
{
    const char *at = part ? part : "";
    do
        hash = (hash ^ (unsigned char)*at) * UINT64_C(0x100000001b3);
    while (*at++);
    return hash;
}

void contradiction_id(const struct contradiction *contradiction, char out[CONTRADICTION_ID_MAX])
{
    uint64_t hash = UINT64_C(0xcbf29ce484222325);
    hash = mix(hash, contradiction->path);
    hash = mix(hash, contradiction->item);
    hash = mix(hash, contradiction->field);
    (void)snprintf(out, CONTRADICTION_ID_MAX, "%016" PRIx64, hash);
}
