/* SPDX-License-Identifier: MIT */
/* Evidence files read and hashed. */
#include "coretally/ask/evidence.h"

#include <string.h>

#include "coretally/store/registry.h"

const char *const evidence_words[] = {
    [EVIDENCE_NONE] = "none",     [EVIDENCE_WORDS] = "words",    [EVIDENCE_INTACT] = "intact",
    [EVIDENCE_SPOILT] = "SPOILT", [EVIDENCE_GONE] = "NOT THERE",
};

/* A file that cannot be read is an answer here. */
static enum status look(struct state *state, const char *hash, enum evidence *out, struct err *err)
{
    char path[REGISTRY_PATH_MAX];
    char found[HASH_TEXT_MAX];
    struct bytes bytes = {0};
    struct err why = {0};
    evidence_path(hash, path);
    enum status status = store_read(state->store, path, state->arena, &bytes, &why);
    if (status == STATUS_OK && bytes.data)
        status = store_hash(bytes, found, &why);
    if (status == STATUS_SYSTEM) {
        *err = why;
        return status;
    }
    if (status != STATUS_OK)
        *out = EVIDENCE_SPOILT;
    else
        *out = !bytes.data ? EVIDENCE_GONE : strcmp(found, hash) == 0 ? EVIDENCE_INTACT : EVIDENCE_SPOILT;
    return STATUS_OK;
}

enum status evidence_find(struct state *state, const struct correction *it, enum evidence *out, struct err *err)
{
    struct state inner; /* a file may be large */
    *out = it->evidence ? EVIDENCE_WORDS : EVIDENCE_NONE;
    if (!it->evidence_file)
        return STATUS_OK;
    state_nest(state, &inner);
    const enum status status = look(&inner, it->evidence_file, out, err);
    state_leave(&inner);
    return status;
}
