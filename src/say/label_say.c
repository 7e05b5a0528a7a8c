/* SPDX-License-Identifier: MIT */
/* Labels in words: what is asked of them by options, how fresh they are, the depth that they show. */
#include "coretally/say/label_say.h"

#include <string.h>
#include <strings.h>

const char *const freshness_words[] = {[LABEL_FRESH] = "as today", [LABEL_STALE] = "stale", [LABEL_GONE] = "gone"};

static enum status read_kinds(const char *typed, struct label_asked *asked, struct err *err)
{
    const bool is_all = !typed;
    for (int kind = 0; kind <= THING_BAG; kind++)
        asked->kinds[kind] = is_all;
    while (typed && *typed) {
        const size_t len = strcspn(typed, ",; ");
        int kind = THING_CORE;
        while (kind <= THING_BAG && (strncasecmp(typed, thing_words[kind], strlen(thing_words[kind])) != 0 ||
                                     len > strlen(thing_words[kind]) + 1)) /* "cores", too */
            kind++;
        if (kind > THING_BAG) {
            err_set(err, STATUS_INPUT, "--what", "'%.40s' is nothing that has a label", typed);
            return err_hint(err, "one or more of core, section, sample, bag, by ','");
        }
        asked->kinds[kind] = true;
        typed += len + strspn(typed + len, ",; ");
    }
    return STATUS_OK;
}

enum status label_asked_read(const struct run *run, struct label_asked *out, struct err *err)
{
    struct label_asked asked = {.scale = SCALE_COUNT};
    TRY(read_kinds(run_option(run, "what"), &asked, err));
    TRY(scale_option(run, "scale", &asked.scale, err));
    *out = asked;
    return STATUS_OK;
}

void label_depth_text(int64_t top_um, int64_t bottom_um, int decimals, char out[LABEL_DEPTH_MAX])
{
    if (top_um == LENGTH_NONE)
        (void)snprintf(out, LABEL_DEPTH_MAX, "not known");
    else if (top_um == bottom_um)
        (void)snprintf(out, LABEL_DEPTH_MAX, "%s", length_text(top_um, UNIT_M, decimals).text);
    else
        (void)snprintf(out, LABEL_DEPTH_MAX, "%s%s%s", length_text(top_um, UNIT_M, decimals).text,
                       top_um < 0 || bottom_um < 0 ? " to " : "-", length_text(bottom_um, UNIT_M, decimals).text);
}
