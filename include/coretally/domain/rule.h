/* SPDX-License-Identifier: MIT */
/* The rules of the trade that a record is checked against, and what they find.
 * A finding is told, doubted, taken or refused:
 *
 *     told     kept, with a line that says so
 *     doubted  refused unless the user is sure (--sure), or an import keeps doubtful rows; then marked on the record
 *     taken    the material is gone: refused; only an import of an archive's own table may keep it, marked
 *     refused  never kept
 */
#ifndef CORETALLY_DOMAIN_RULE_H
#define CORETALLY_DOMAIN_RULE_H

#include "coretally/domain/core.h"
#include "coretally/domain/correction.h"
#include "coretally/domain/bag.h"
#include "coretally/domain/hole.h"
#include "coretally/domain/pump.h"
#include "coretally/domain/sample.h"

/* The one list: id, word for scripts, what becomes of it, meaning. */
#define RULE_LIST(X)                                                                                                   \
    X(DEPTH_BACKWARDS, "depth-backwards", REFUSED, "the bottom of a run lies above its top")                           \
    X(ADVANCE_ZERO, "advance-zero", TOLD, "the run did not advance: recovery is n/a")                                  \
    X(ADVANCE_LONG, "advance-long", DOUBTED, "one coring run does not advance this far")                               \
    X(ADVANCE_OPEN, "advance-open", TOLD, "the bottom of the run is not known: recovery is n/a")                       \
    X(ABOVE_SEAFLOOR, "above-seafloor", DOUBTED, "the drilled depth lies above the seafloor")                          \
    X(CORE_ORDER, "core-order", DOUBTED, "the core's top lies above the top of an earlier core")                       \
    X(CORE_OVERLAP, "core-overlap", TOLD, "the drilled interval overlaps that of a neighbour")                         \
    X(CORE_OVERLAP_FAR, "core-overlap-far", DOUBTED, "the drilled interval was cored or washed before")                \
    X(CORE_SKIPPED, "core-skipped", TOLD, "core numbers before this one are not recorded")                             \
    X(CORE_CORRECTED, "core-corrected", REFUSED, "a correction names the core by the number that it would leave")      \
    X(CORE_COVERED, "core-covered", DOUBTED, "a correction would hold for the core under only one of its names")       \
    X(CORE_AGAIN, "core-again", DOUBTED, "the core has the run of one that had its name before")                       \
    X(CORE_GAP, "core-gap", TOLD, "nothing is recorded between this core and the one above")                           \
    X(DATUM_MIXED, "datum-mixed", DOUBTED, "a depth below seafloor looks like one below rig floor")                    \
    X(CORE_LETTER, "core-letter", TOLD, "the type letter is not in the list of published ones")                        \
    X(CORE_ON_DRILLED, "core-on-drilled", DOUBTED, "the core overlaps an interval drilled without coring")             \
    X(LOOKS_LIKE_FEET, "looks-like-feet", DOUBTED, "the figure looks like feet typed as metres")                       \
    X(RECOVERY_OVER, "recovery-over-100", TOLD, "more was recovered than the run advanced")                            \
    X(RECOVERY_FAR_OVER, "recovery-far-over", DOUBTED, "far more was recovered than the run advanced")                 \
    X(LENGTH_NEGATIVE, "length-negative", REFUSED, "a length below zero")                                              \
    X(EMPTY_WITH_SECTIONS, "empty-with-sections", REFUSED, "an empty barrel has no sections")                          \
    X(SECTION_TWICE, "section-twice", REFUSED, "two sections with one number")                                         \
    X(SECTION_MISSING, "section-missing", DOUBTED, "a section number was left out")                                    \
    X(SECTION_LONG, "section-long", DOUBTED, "a section is not cut this long")                                         \
    X(SECTIONS_SUM, "sections-sum", DOUBTED, "the sections add up to more than the stated curated length")             \
    X(SECTIONS_OPEN, "sections-open", TOLD, "a part of the stated curated length has no section yet")                  \
    X(RECOVERED_SUM, "recovered-sum", TOLD, "the sections do not add up to the recovered length")                      \
    X(SECTIONS_EXCEED, "sections-exceed", DOUBTED, "the sections hold far more than was recovered")                    \
    X(LINER_SUM, "liner-sum", TOLD, "the section liners do not add up to the liner of the core")                       \
    X(GAP_OUTSIDE, "void-outside", REFUSED, "a void lies outside its section, or upside down")                         \
    X(ROUND_OUTSIDE, "whole-round-outside", REFUSED, "a whole round lies outside its section, or upside down")         \
    X(ROUND_TWICE, "whole-round-twice", REFUSED, "two whole rounds share an interval")                                 \
    X(PIECE_ORDER, "piece-order", REFUSED, "pieces are numbered from the top of the section, each once")               \
    X(PIECE_EMPTY, "piece-empty", DOUBTED, "a piece without a length")                                                 \
    X(PIECE_SUM, "piece-sum", REFUSED, "pieces and spacers do not add up to the curated length")                       \
    X(SAMPLE_REVERSED, "sample-reversed", TAKEN, "the sample's bottom lies above its top")                             \
    X(SAMPLE_OUTSIDE, "sample-outside", DOUBTED, "the sample lies outside its section")                                \
    X(SAMPLE_PAST_END, "sample-past-end", TOLD, "the sample ends up to 2 cm past the curated bottom of its section")   \
    X(SAMPLE_NO_LENGTH, "sample-no-length", DOUBTED, "the sample has no length")                                       \
    X(SAMPLE_METRES, "looks-like-metres", DOUBTED, "the figures look like metres typed as centimetres")                \
    X(SAMPLE_SHARES, "sample-shares", TOLD, "the sample shares its interval with another of the same half")            \
    X(SAMPLE_IN_ROUND, "sample-in-whole-round", TAKEN, "a whole round took the interval")                              \
    X(SAMPLE_USED_UP, "sample-used-up", TAKEN, "the interval is used up")                                              \
    X(SAMPLE_IN_VOID, "sample-in-void", DOUBTED, "the interval is a void")                                             \
    X(SAMPLE_EMPTY_CORE, "sample-empty-core", REFUSED, "the barrel came up empty")                                     \
    X(SAMPLE_OUTSIDE_PARENT, "sample-outside-parent", REFUSED, "a sub-sample lies outside its parent")                 \
    X(SEAFLOOR_METHOD, "seafloor-method", REFUSED, "a seafloor depth needs its method, and a method its reading")      \
    X(DRILLED_OVERLAP, "drilled-overlap", DOUBTED, "the drilled interval overlaps a core or another one")              \
    X(LAG_UNKNOWN, "lag-unknown", TOLD, "the depth of what was taken at the surface is not known (yet)")               \
    X(NO_RETURNS, "no-returns", DOUBTED, "no mud came over the shaker while the bag was collected")                    \
    X(NO_NEW_HOLE, "no-new-hole", TOLD, "nothing was being drilled when this left the bit")                            \
    X(BAG_SPANS, "bag-spans", TOLD, "the window of the bag spans two planned intervals")                               \
    X(AFTER_CEMENT, "after-cement", TOLD, "the bag follows cementing")                                                 \
    X(LAG_GAP, "lag-gap", TOLD, "the way up crosses a gap of the pump log")                                            \
    X(OFF_BOTTOM, "off-bottom", TOLD, "much was pumped with the bit off bottom while the cuttings were on their way")  \
    X(TRIP, "trip", TOLD, "the bit was off bottom for long while this was on its way up")                              \
    X(BAG_LATE, "bag-late", TOLD, "the bag was taken late or past the shaker")                                         \
    X(BAG_REVERSED, "bag-reversed", REFUSED, "the window of the bag ends before it begins")                            \
    X(BAG_OVERLAP, "bag-overlap", DOUBTED, "the window overlaps that of another bag")                                  \
    X(CHECK_FAR, "check-far", DOUBTED, "a tracer gives the open hole a width that no bit leaves")                      \
    X(CHECK_TWICE, "check-twice", REFUSED, "another standing lag check has the same tracer")                           \
    X(LOG_FUTURE, "log-future", DOUBTED, "the pump log goes on after now")                                             \
    X(PUMP_LARGE, "looks-like-barrels", DOUBTED, "a stroke's output looks like barrels typed as cubic metres")         \
    X(CORRECTION_TWICE, "correction-twice", REFUSED, "a correction of this kind is in force already")                  \
    X(CORRECTION_ADDS, "correction-adds", TOLD, "the correction adds to another one")                                  \
    X(CORRECTION_FAR, "correction-far", DOUBTED, "a correction does not move anything this far")                       \
    X(CORRECTION_ORDER, "correction-order", DOUBTED, "cores would lie above the core before them")                     \
    X(CORRECTION_LOST, "correction-lost", DOUBTED, "items would be left without a depth")                              \
    X(CORRECTION_IDLE, "correction-idle", TOLD, "the correction moves nothing that is recorded")                       \
    X(TIES_APART, "ties-apart", TOLD, "features that were tied do not lie at one composite depth")                     \
    X(SPLICE_GAP, "splice-gap", TOLD, "a gap in the splice")                                                           \
    X(SPLICE_OVERLAP, "splice-overlap", DOUBTED, "two intervals of the splice overlap")                                \
    X(ABOVE_KICKOFF, "above-kickoff", DOUBTED, "above its kickoff a sidetrack is its parent")                          \
    X(KICKOFF, "kickoff", REFUSED, "a sidetrack needs its parent and its kickoff")                                     \
    X(PLAN_ORDER, "plan-order", REFUSED, "the parts of a sampling plan are out of order, or overlap")                  \
    X(BAG_FUTURE, "bag-future", DOUBTED, "the bag was collected after it was recorded")                                \
    X(BAG_LONG, "bag-long", DOUBTED, "no bag is collected for this long")                                              \
    X(TIME_FUTURE, "time-future", DOUBTED, "a time later than its recording")                                          \
    X(DECK_ORDER, "deck-order", DOUBTED, "cores of a hole come on deck in the order of their numbers")                 \
    X(DECK_FAR, "deck-far", DOUBTED, "on deck long before or after the nearest core of the hole")                      \
    X(DECK_OLD, "deck-old", TOLD, "on deck long ago, and no other time of the hole to compare it with")                \
    X(TAKEN_EARLY, "taken-early", DOUBTED, "the sample was taken before its core came on deck")

enum rule {
#define RULE_ID(id, word, level, meaning) RULE_##id,
    RULE_LIST(RULE_ID)
#undef RULE_ID
        RULE_COUNT
};

enum rule_level { RULE_TOLD, RULE_DOUBTED, RULE_TAKEN, RULE_REFUSED };

const char *rule_word(enum rule rule);
enum rule_level rule_level(enum rule rule);
const char *rule_meaning(enum rule rule);

enum { FINDINGS_MAX = 24, FINDING_TEXT_MAX = 240 };

struct finding {
    enum rule rule;
    bool is_settled;             /* stood before the act: findings_settle */
    int32_t of_section;          /* one more than the number of the section that it is about; 0 for the whole */
    char text[FINDING_TEXT_MAX]; /* one sentence with the value and its limit */
    char hint[FINDING_TEXT_MAX]; /* what to type instead; may be empty */
};

/* The first FINDINGS_MAX of them, worst kept: a refusal is never dropped for a remark. */
struct findings {
    struct finding items[FINDINGS_MAX];
    size_t count;
    size_t dropped;
    int32_t of_section; /* given to what is added */
    size_t last;        /* where the finding added last stands; FINDINGS_MAX when it was dropped */
};

void findings_add(struct findings *findings, enum rule rule, const char *format, ...) PRINTF_LIKE(3, 4);
/* A hint for the finding added last. */
void findings_hint(struct findings *findings, const char *format, ...) PRINTF_LIKE(2, 3);
/* Does the same rule say it there in the same words? */
bool findings_have(const struct findings *findings, const struct finding *wanted);

/* A doubt is settled that the same rule had in the same words before the act: it was kept then, or taken in with an
 * archive, and is not asked again. So is what was taken. then: what the rules find in the state before. */
void findings_settle(struct findings *findings, const struct findings *then);
/* Not so of these, which nobody kept although they stood before: two sides came together. */
void findings_open(struct findings *findings, const struct findings *open);
/* The same of notes: what was told in these words before is not told again. */
void findings_settle_notes(struct findings *findings, const struct findings *then);
/* The worst level found; RULE_TOLD with none. */
enum rule_level findings_level(const struct findings *findings);

/* What an act may be kept against: nothing; what is doubted, since somebody is sure; that and what was taken, since an
 * archive's own table says so. */
enum keeping { KEEP_NOTHING, KEEP_DOUBTED, KEEP_TAKEN };

/* What becomes of a finding. */
enum fate { FATE_SETTLED, FATE_TOLD, FATE_KEPT, FATE_REFUSED };
enum fate finding_fate(const struct finding *finding, enum keeping keeping);

/* The first of the worst that are refused; NULL: none is. */
const struct finding *findings_worst(const struct findings *findings, enum keeping keeping);
/* STATUS_RULE with that one's sentence and hint where there is one. */
MUST_CHECK enum status findings_pass(const struct findings *findings, enum keeping keeping, const char *subject,
                                     struct err *err);

/* The neighbours of a core in its hole: the nearest standing cores by number; NULL where there is none. */
struct core_neighbours {
    const struct core *above;
    const struct core *below;
    const struct core *wash;       /* a wash core between the core and the one above it: its interval is no gap */
    const struct drilled *drilled; /* the hole's drilled intervals */
    size_t drilled_count;
    const struct core *timed_above; /* the nearest of any kind that have their time on deck */
    const struct core *timed_below;
};

void hole_check(const struct hole *hole, struct findings *findings);

/* The core with its sections against its hole and its neighbours. Sections sorted by number. */
void core_check(const struct hole *hole, const struct core *core, const struct core_neighbours *neighbours,
                struct findings *findings);

/* A core that is new against the nearest number below its own that is recorded, whether it stands or not; 0: none. Said
 * of a gap once, by the core that leaves it. */
void core_number_check(const struct core *core, int32_t below, struct findings *findings);

/* A core that is to have another number, against all corrections of its hole. They name cores by number, and stay as
 * they were recorded and signed: one that names it must be withdrawn first. */
void core_number_corrected(const struct core *core, int32_t number, const struct correction *all, size_t count,
                           struct findings *findings);

/* A core that is new against one that had its name before and has another now: typed twice? */
void core_again_check(const struct core *core, const struct core *former, struct findings *findings);

/* One section for itself: lengths, voids, whole rounds, pieces. core_check calls it for each that stands. */
void section_check(const struct section *section, struct findings *findings);

/* Does a sample begin above its section or end further below it than cutting explains? It may have been kept so, or the
 * section was amended on another side. */
bool sample_is_outside(const struct section *section, const struct sample *sample);

/* A sample against its section and the other samples of its core (sorted; the one at skip is the sample itself, pass
 * count for none). parent: of a sub-sample, else NULL. */
void sample_check(const struct core *core, const struct sample *sample, const struct sample *others, size_t count,
                  size_t skip, const struct sample *parent, struct findings *findings);

/* What another standing sample of the same section, there before, means for this one. Not symmetric: what is used up
 * may have been sampled before it was. */
void sample_check_other(const struct sample *sample, const struct sample *other, struct findings *findings);

/* A drilled interval against the other intervals of its hole; cores that it meets are the caller's to name. */
void drilled_check(const struct drilled *interval, const struct drilled *others, size_t count,
                   struct findings *findings);

/* A time that something was done or read, against now: a finding of the rule where it lies after now by more than the
 * slack. what: "the time on deck". Unknown times pass. */
void time_check(enum rule rule, const char *what, struct instant at, int64_t now_us, int64_t slack_us,
                struct findings *findings);

/* For now_us where a recorded state is judged: it must be judged alike on every day, so that no clock is asked. */
#define NOW_NONE INT64_MAX

/* In its place: a recorded time against when the state that holds it came in (store_came_in). Git keeps whole seconds,
 * so that a second more than the slack passes. */
void time_check_state(enum rule rule, const char *what, struct instant at, int64_t came_in_us, int64_t slack_us,
                      struct findings *findings);

/* When the core came on deck, against now and against the nearest cores that have their time; with none of these
 * against when the seafloor was found. */
void core_check_time(const struct hole *hole, const struct core *core, const struct core_neighbours *neighbours,
                     int64_t now_us, struct findings *findings);

/* When a sample was taken, against now and against when its core came on deck. */
void sample_check_time(const struct core *core, const struct sample *sample, int64_t now_us, struct findings *findings);

/* The last row of a log against now. */
void log_check(int64_t last_us, int64_t now_us, struct findings *findings);

/* A pump's output that pump_check lets pass. */
void pump_doubt(const struct pump *pump, struct findings *findings);

/* A bag's window against those of its kind (the one with its own number passed over), and against now. */
void bag_check(const struct bag *bag, const struct bag *others, size_t count, int64_t now_us,
               struct findings *findings);

/* A correction that is to come against those that would stay in force beside it. */
void correction_check(const struct correction *correction, const struct correction *const *in_force, size_t count,
                      const struct hole *hole, struct findings *findings);

#endif
