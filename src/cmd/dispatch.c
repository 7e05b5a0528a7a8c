/* SPDX-License-Identifier: MIT */
/* From words to a command with its options, run, and the one place that prints an error. */
#include <errno.h>
#include <popt.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "coretally/base/limits.h"
#include "coretally/base/marks.h"
#include "coretally/run/command.h"
#include "coretally/run/shown_stream.h"
#include "dispatch.h"
#include "run_commit.h"

enum { OPTIONS_MAX = 48, WORDS_MAX = 2 };

/* The command that the first one or two words name; *words tells how many were used. */
static const struct command *find_command(const char *const *argv, size_t count, size_t *words)
{
    for (size_t use = count < WORDS_MAX ? count : WORDS_MAX; use > 0; use--) {
        char typed[64] = "";
        (void)snprintf(typed, sizeof typed, "%.30s%s%.30s", argv[0], use > 1 ? " " : "", use > 1 ? argv[1] : "");
        for (size_t at = 0; commands[at]; at++)
            if (strcmp(commands[at]->words, typed) == 0) {
                *words = use;
                return commands[at];
            }
    }
    return NULL;
}

/* The options of a command as popt wants them; every one answers with its index + 1. */
static size_t list_options(const struct command *command, struct option out[OPTIONS_MAX])
{
    size_t count = 0;
    for (const struct option *option = use_options(command->use); option->name; option++)
        out[count++] = *option;
    for (const struct option *option = command->options; option && option->name; option++)
        out[count++] = *option;
    for (const char *const *name = command->fields; name && *name; name++)
        out[count++] = (struct option){.name = *name, .argument = "VALUE"};
    return count;
}

/* "-9.62" is a number, not nine options: popt sees it with a byte before it that nobody types. */
#define GUARD '\001'
static enum status guard_number(struct run *run, const char *word, const char **out, struct err *err)
{
    char *copy = NULL;
    *out = word;
    if (word[0] != '-' || !((word[1] >= '0' && word[1] <= '9') || word[1] == '.'))
        return STATUS_OK;
    TRY(arena_take(run->state->arena, strlen(word) + 2, 1, &copy, err));
    copy[0] = GUARD;
    memcpy(copy + 1, word, strlen(word) + 1);
    *out = copy;
    return STATUS_OK;
}

static const char *unguard_number(const char *word)
{
    return word + (word[0] == GUARD);
}

/* "—empty", "“Slope fans”": what a word processor made of dashes and quotes is no option, and holds no words together.
 */
static enum status blame_marks(const char *const *argv, size_t count, struct err *err)
{
    struct mark mark;
    for (size_t at = 0; at < count; at++) {
        char plain[120];
        if (!mark_at(argv[at], &mark) || (mark.plain && mark.plain != '-'))
            continue;
        marks_plain(argv[at], plain, sizeof plain);
        err_set(err, STATUS_USAGE, argv[at], "'%s' at its beginning is %s", mark.as_typed, mark.kind);
        if (mark.plain)
            return err_hint(err, "an option begins with two hyphens: --%s", plain + strspn(plain, "-"));
        return err_hint(err, "put straight quotes around words: \"%s ...\"", plain);
    }
    return err->status;
}

static enum status read_options(struct run *run, const char *const *argv, size_t count, struct err *err)
{
    struct option known[OPTIONS_MAX];
    struct poptOption table[OPTIONS_MAX + 1];
    char names[OPTIONS_MAX][FIELD_KEY_MAX];
    const size_t known_count = list_options(run->command, known);
    memset(table, 0, sizeof table);
    for (size_t at = 0; at < known_count; at++) {
        (void)snprintf(names[at], sizeof names[at], "%s", known[at].name);
        option_spell(names[at]);
        table[at] = (struct poptOption){
            .longName = names[at], .argInfo = known[at].argument ? POPT_ARG_STRING : POPT_ARG_NONE, .val = (int)at + 1};
    }
    const char **words = NULL;
    TRY(arena_take(run->state->arena, count + 2, sizeof *words, &words, err));
    words[0] = "coretally";
    for (size_t at = 0; at < count; at++)
        TRY(guard_number(run, argv[at], &words[at + 1], err));
    TRY(arena_take(run->state->arena, count + 1, sizeof *run->options, &run->options, err));
    TRY(arena_take(run->state->arena, count + 1, sizeof *run->args, &run->args, err));
    poptContext context = poptGetContext(NULL, (int)count + 1, words, table, 0);
    if (!context)
        return err_set(err, STATUS_SYSTEM, "memory", "could not read the options");
    enum status status = STATUS_OK;
    int found = 0;
    while (status == STATUS_OK && (found = poptGetNextOpt(context)) > 0) {
        char *value = poptGetOptArg(context);
        struct option_value *option = &run->options[run->option_count];
        option->name = known[found - 1].name;
        status = arena_copy(run->state->arena, value ? value : "", value ? strlen(value) : 0, &option->value, err);
        option->value = status == STATUS_OK ? unguard_number(option->value) : NULL;
        for (size_t at = 0; status == STATUS_OK && at < run->option_count; at++)
            if (strcmp(run->options[at].name, option->name) == 0)
                status = err_set(err, STATUS_USAGE, option->name, "this option is given twice");
        run->option_count++;
        free(value);
    }
    if (status == STATUS_OK && found < -1) {
        err_set(err, STATUS_USAGE, poptBadOption(context, POPT_BADOPTION_NOALIAS), "%s", poptStrerror(found));
        err_hint(err, "coretally %s --help lists its options", run->command->words);
        status = blame_marks(argv, count, err);
    }
    const char **rest = poptGetArgs(context);
    for (; status == STATUS_OK && rest && rest[run->arg_count]; run->arg_count++)
        status = arena_copy(run->state->arena, rest[run->arg_count], strlen(rest[run->arg_count]),
                            (const char **)&run->args[run->arg_count], err);
    for (size_t at = 0; status == STATUS_OK && at < run->arg_count; at++)
        ((const char **)run->args)[at] = unguard_number(run->args[at]);
    poptFreeContext(context);
    return status;
}

static enum status check_arguments(const struct run *run, struct err *err)
{
    const struct command *command = run->command;
    if (run->arg_count >= command->least && run->arg_count <= command->most)
        return STATUS_OK;
    err_set(err, STATUS_USAGE, command->words,
            run->arg_count < command->least ? "something is missing: it takes %s" : "too much was typed: it takes %s",
            *command->arguments ? command->arguments : "no arguments");
    err_hint(err, "for example: coretally %s", command->example);
    return blame_marks(run->args, run->arg_count, err);
}

static enum status read_surroundings(struct run *run, struct err *err)
{
    if (run_option(run, "json") && run_option(run, "csv"))
        return err_set(err, STATUS_USAGE, run->command->words, "--json and --csv are two forms; choose one");
    run->format = run_option(run, "json") ? SHEET_JSON : run_option(run, "csv") ? SHEET_CSV : SHEET_PEOPLE;
    run->shown->form = run->format == SHEET_JSON ? SHOWN_JSON : SHOWN_PEOPLE;
    run->unit = run_option(run, "feet") ? UNIT_FT : UNIT_M;
    const char *clock = run->environment(run->environment_context, "CORETALLY_CLOCK");
    if (clock && *clock) {
        if (instant_take(clock, INT_NONE, &run->state->now, err) == STATUS_OK)
            return STATUS_OK;
        (void)snprintf(err->subject, sizeof err->subject, "CORETALLY_CLOCK '%.60s'", clock);
        return err->status;
    }
    run->state->now = instant_now();
    return STATUS_OK;
}

/* How the names are meant that are typed for this command. */
static void read_naming(struct run *run)
{
    struct naming *naming = &run->state->naming;
    naming->option = run_option(run, "hole");
    naming->hole = run->environment(run->environment_context, "CORETALLY_HOLE");
    naming->is_acting = use_writes(run->command->use);
    naming->is_sure = run_option(run, "sure") != NULL;
    run->state->is_edited = naming->is_acting;
    for (const struct option *option = run->command->options; option && option->name; option++)
        naming->takes_option = naming->takes_option || strcmp(option->name, "hole") == 0;
}

/* Opens what the command works on, and finds it. */
static enum status find_target(struct run *run, struct err *err)
{
    static const struct {
        enum name_level least;
        enum name_level most;
    } levels[] = {
        [ON_HOLE] = {NAME_HOLE, NAME_HOLE},          [ON_CORE] = {NAME_CORE, NAME_CORE},
        [ON_SECTION] = {NAME_SECTION, NAME_SECTION}, [ON_SAMPLE] = {NAME_SAMPLE, NAME_SAMPLE},
        [ON_HOLE_TO_CORE] = {NAME_HOLE, NAME_CORE},  [ON_HOLE_TO_SECTION] = {NAME_HOLE, NAME_SECTION},
    };
    const struct command *command = run->command;
    if (command->needs_reason)
        TRY(run_need_reason(run, err));
    if (command->on == ON_ITSELF)
        return STATUS_OK;
    TRY(run_open(run, use_writes(command->use) ? STORE_WRITE : STORE_READ, err));
    if (command->on == ON_STATE)
        return STATUS_OK;
    if (command->on == ON_BAG)
        return bag_resolve(run->state, run->args[0], &run->bag, err);
    return resolve(run->state, run->args[0], levels[command->on].least, levels[command->on].most, &run->target, err);
}

static void take_note(void *talk, const char *text)
{
    (void)fputs(text, talk);
}

static enum status print_help(struct run *run, void (*help)(struct text *), struct err *err)
{
    struct text text;
    text_init(&text, run->state->arena);
    if (help)
        help(&text);
    else
        help_command(run->command, &text);
    return run_print_text(run, &text, err);
}

static enum status run_words(struct run *run, const char *const *argv, size_t count, struct err *err)
{
    if (count == 0 || strcmp(argv[0], "--help") == 0 || strcmp(argv[0], "-h") == 0 ||
        (count == 1 && strcmp(argv[0], "help") == 0))
        return print_help(run, help_all, err);
    if (strcmp(argv[0], "--version") == 0) {
        (void)fprintf(run->out, "coretally %s\n", CORETALLY_VERSION);
        return STATUS_OK;
    }
    const bool help = strcmp(argv[0], "help") == 0;
    size_t words = 0;
    run->command = find_command(argv + help, count - help, &words);
    if (!run->command) {
        char whole[64];
        (void)snprintf(whole, sizeof whole, "%.30s%s%.30s", argv[help], count > help + 1u ? " " : "",
                       count > help + 1u ? argv[help + 1] : "");
        err_set(err, STATUS_USAGE, whole, "there is no such command");
        struct text family;
        struct bytes listed = {0};
        text_init(&family, run->state->arena);
        const size_t noun = strlen(argv[help]);
        for (size_t at = 0; noun && commands[at]; at++)
            if (strncmp(commands[at]->words, argv[help], noun) == 0 && commands[at]->words[noun] == ' ')
                text_addf(&family, "%s%s", family.len ? ", " : "", commands[at]->words);
        TRY(text_done(&family, &listed, err));
        if (listed.len)
            return err_hint(err, "there are: %s", listed.data);
        int best = 3; /* as many slips as a typed word may have */
        for (size_t at = 0; commands[at]; at++) {
            const int distance = name_distance(whole, commands[at]->words);
            if (distance < best) {
                best = distance;
                err_hint(err, "did you mean: coretally %s", commands[at]->words);
            }
        }
        if (!*err->hint)
            err_hint(err, "coretally --help lists the commands");
        return err->status;
    }
    for (size_t at = 0; at < count; at++)
        if (help || strcmp(argv[at], "--help") == 0)
            return print_help(run, NULL, err);
    TRY(read_options(run, argv + words, count - words, err));
    TRY(check_arguments(run, err));
    TRY(read_surroundings(run, err));
    read_naming(run);
    TRY(find_target(run, err));
    return run->command->run(run, err);
}

/* An answer that did not arrive must not pass for success; of an act that stands nobody must believe that it does not.
 */
static enum status check_arrival(const struct run *run, FILE *out, struct err *err)
{
    errno = 0;
    if (fflush(out) == 0 && !ferror(out))
        return STATUS_OK;
    const char *reason = errno ? strerror(errno) : "a line was lost";
    if (!*run->recorded)
        return err_set(err, STATUS_SYSTEM, "output", "could not be written: %s", reason);
    return err_set(err, STATUS_SYSTEM, "output", "could not be written (%s), but the act IS recorded: commit %.10s",
                   reason, run->recorded);
}

static void print_error(FILE *talk, struct run *run, const struct err *err, bool stands)
{
    struct text text;
    text_init(&text, run->state->arena);
    text_add(&text, "coretally: ");
    text_add_shown(&text, err->subject, strlen(err->subject), false);
    text_add(&text, ": ");
    text_add_shown(&text, err->reason, strlen(err->reason), false);
    if (*err->hint) {
        text_add(&text, "\n  ");
        text_add_shown(&text, err->hint, strlen(err->hint), false);
    }
    if (text.failed) /* no memory is left to look at it: the stream does */
        (void)fprintf(talk, "coretally: %s: %s\n%s%s\n", err->subject, err->reason, *err->hint ? "  " : "", err->hint);
    else
        (void)fprintf(talk, "%s\n", text.data);
    if (stands)
        (void)fprintf(talk, "  the act itself IS recorded: commit %.10s\n", run->recorded);
}

int dispatch(int argc, const char *const *argv, environment_read *environment, void *context, const char *folder,
             FILE *in, FILE *out, FILE *talk)
{
    struct arena arena;
    struct err err = {0};
    struct shown_stream shown = {.file = NULL};
    struct shown_stream told = {.file = NULL};
    arena_init(&arena, ARENA_LIMIT_BYTES);
    enum status status = shown_stream_open(&shown, out, &err);
    if (status == STATUS_OK)
        status = shown_stream_open(&told, talk, &err);
    const struct sink sink = {take_note, told.file};
    struct state_shared shared;
    struct state state;
    state_init(&state, &shared, &arena, &sink);
    struct run run = {.state = &state,
                      .environment = environment,
                      .environment_context = context,
                      .folder = folder,
                      .in = in,
                      .out = shown.file,
                      .raw = out,
                      .shown = &shown,
                      .talk = told.file};
    if (status == STATUS_OK)
        status = run_words(&run, argv + 1, argc > 0 ? (size_t)argc - 1 : 0, &err);
    const bool stands = *run.recorded && status != STATUS_OK;
    shown_stream_close(&shown);
    if (status == STATUS_OK)
        status = check_arrival(&run, out, &err);
    state_clear(&state);
    if (status != STATUS_OK)
        print_error(told.file ? told.file : talk, &run, &err, stands);
    shown_stream_close(&told);
    arena_clear(&arena);
    return status_exit_code(status);
}
