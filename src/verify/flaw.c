/* SPDX-License-Identifier: MIT */
/* Flaws: the list of them, and those that were found. */
#include <stdarg.h>
#include <string.h>

#include "parts.h"

/* Flaws that joins may have brought are judged one by one, so more of them are kept. */
enum { FLAWS_MAX = 1000, FLAWS_JUDGED_MAX = 10000, SENTENCE_MAX = 800 };

const char *const severity_words[] = {"doubtful", "wrong", "damaged", NULL};
const char *const severity_meanings[] = {"may well be right; a person should look",
                                         "readable, but no act of ours leaves it so", "cannot be read or relied on",
                                         NULL};

static const struct {
    const char *word;
    enum severity severity;
    const char *meaning;
} flaw_rows[FLAW_COUNT] = {
#define FLAW_ROW(id, word, severity, meaning) [FLAW_##id] = {word, SEVERITY_##severity, meaning},
    FLAW_LIST(FLAW_ROW)
#undef FLAW_ROW
};

const char *flaw_word(enum flaw flaw)
{
    return flaw_rows[flaw].word;
}

enum severity flaw_severity(enum flaw flaw)
{
    return flaw_rows[flaw].severity;
}

const char *flaw_meaning(enum flaw flaw)
{
    return flaw_rows[flaw].meaning;
}

bool flaw_may_be_open(enum flaw flaw)
{
    return flaw == FLAW_RULE_BROKEN || flaw == FLAW_REFERENCE_MISSING || flaw == FLAW_REFERENCE_LOOP ||
           flaw == FLAW_NAME_HISTORY || flaw == FLAW_NAME_TWICE || flaw == FLAW_DEPTH_ORDER || flaw == FLAW_DEPTH_PAST;
}

/* Of one record several rules may doubt something. */
static bool is_of_rules(enum flaw flaw)
{
    return flaw == FLAW_RULE_UNKEPT || flaw == FLAW_RULE_DOUBTED || flaw == FLAW_RULE_OPEN;
}

/* What a commit left behind is not told again of the state. */
static bool is_told(const struct verify *verify, enum flaw flaw, const char *path, const char *item,
                    const char *sentence)
{
    for (size_t at = 0; at < verify->found_count; at++) {
        const struct flaw_found *found = &verify->found[at];
        if (found->flaw == flaw && strcmp(found->path, path) == 0 && strcmp(found->item, item) == 0 &&
            (!is_of_rules(flaw) || strcmp(found->sentence, sentence) == 0) &&
            (!*verify->commit || strcmp(found->commit, verify->commit) == 0))
            return true;
    }
    return false;
}

static enum status keep(struct verify *verify, enum flaw flaw, const char *path, const char *item, const char *sentence,
                        struct err *err)
{
    struct arena *arena = verify->state->arena;
    struct flaw_found found = {.flaw = flaw};
    TRY(arena_copy(arena, path, strlen(path), &found.path, err));
    TRY(arena_copy(arena, item, strlen(item), &found.item, err));
    TRY(arena_copy(arena, verify->commit, strlen(verify->commit), &found.commit, err));
    TRY(arena_copy(arena, sentence, strlen(sentence), &found.sentence, err));
    TRY(arena_grow(arena, &verify->found, verify->found_count, &verify->found_room, sizeof found, err));
    verify->found[verify->found_count++] = found;
    return STATUS_OK;
}

void flaw_add(struct verify *verify, enum flaw flaw, const char *path, const char *item, const char *format, ...)
{
    char sentence[SENTENCE_MAX];
    char shown[PATH_TEXT_MAX];
    va_list args;
    (void)snprintf(shown, sizeof shown, "%s", path);
    text_make_printable(shown);
    va_start(args, format);
    (void)vsnprintf(sentence, sizeof sentence, format, args);
    va_end(args);
    text_make_printable(sentence);
    if (is_told(verify, flaw, shown, item ? item : "", sentence))
        return;
    verify->counts[flaw_severity(flaw)]++;
    if (verify->failed || verify->found_count >= (flaw_may_be_open(flaw) ? FLAWS_JUDGED_MAX : FLAWS_MAX))
        return;
    verify->failed = keep(verify, flaw, shown, item ? item : "", sentence, &verify->failure) != STATUS_OK;
}

enum status flaw_unreadable(struct verify *verify, enum flaw flaw, const char *path, const struct err *why,
                            struct err *err)
{
    if (why->status == STATUS_SYSTEM) {
        *err = *why;
        return why->status;
    }
    flaw_add(verify, flaw, path, "", "%s", why->reason);
    return STATUS_OK;
}

void verify_init(struct verify *verify, struct state *state, const char *path, const char *const *acts)
{
    state->open = NULL; /* what is open is looked at like the rest, and told by nobody */
    *verify = (struct verify){.state = state, .path = path, .acts = acts, .commit = ""};
}

void verify_close(struct verify *verify)
{
    store_close(verify->past);
    verify->past = NULL;
}
