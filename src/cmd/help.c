/* SPDX-License-Identifier: MIT */
/* Help, manual page and completion, all from the command table. */
#include <string.h>

#include "coretally/run/command.h"
#include "dispatch.h"

static const struct option reading_options[] = {
    {"registry", "PLACE", "the registry; default: CORETALLY_REGISTRY, else the nearest from this folder upward"},
    {"as-of", "STATE",
     "answer from that state alone: a commit, a tag, a branch (origin/main), or a time (2026-03-09T14:00Z; a date: its "
     "end, "
     "UTC)"},
    {"json", NULL, "an array of objects, null where nothing is known"},
    {"csv", NULL, "the same table as CSV, empty where nothing is known"},
    {"feet", NULL, "lengths and depths in feet instead of metres, volumes in barrels"},
    {0},
};

static const struct option calculating_options[] = {
    {"json", NULL, "an object of tables, null where nothing is known"},
    {"csv", NULL, "the table as CSV, empty where nothing is known"},
    {"feet", NULL, "shown in oilfield units: feet, inches, barrels; what is typed stays as documented"},
    {0},
};

#define REGISTRY_OPTION                                                                                                \
    {                                                                                                                  \
        "registry", "PLACE", "the registry; default: CORETALLY_REGISTRY, else the nearest from this folder upward"     \
    }
#define REASON_OPTION                                                                                                  \
    {                                                                                                                  \
        "reason", "TEXT", "why; goes into the commit. Required for amendments and withdrawals"                         \
    }
#define STATION_OPTION                                                                                                 \
    {                                                                                                                  \
        "station", "NAME",                                                                                             \
            "the station that acts; default: CORETALLY_STATION, git's coretally.station, the host's name"              \
    }
#define SURE_OPTION                                                                                                    \
    {                                                                                                                  \
        "sure", NULL, "keep what is doubted (looks like feet, core out of order, ...); the doubt is recorded"          \
    }

static const struct option writing_options[] = {
    REGISTRY_OPTION,
    REASON_OPTION,
    STATION_OPTION,
    SURE_OPTION,
    {"dry-run", NULL, "check everything, say what would be recorded, write nothing"},
    {0},
};

static const struct option moving_options[] = {
    REGISTRY_OPTION,
    REASON_OPTION,
    STATION_OPTION,
    SURE_OPTION,
    {"dry-run", NULL, "check everything, say what would move and what would be recorded, write nothing"},
    {"watch", "NAMES", "show the depths of these before and after; names by ';'"},
    {"each", NULL, "list everything that moves"},
    {"brief", NULL, "look for what moves only among the cores, not at sections, samples, bags and labels"},
    {0},
};

#define MOVING "Before it records, it shows what moves and how many labels become stale.\n"

static const struct option exchanging_options[] = {
    REGISTRY_OPTION,
    {"dry-run", NULL, "say what would come or go, and move neither side; what was brought for it need not come again"},
    {0},
};

static const struct option no_options[] = {{0}};

const struct option *use_options(enum command_use use)
{
    return use == USE_READING       ? reading_options
           : use == USE_WRITING     ? writing_options
           : use == USE_MOVING      ? moving_options
           : use == USE_CALCULATING ? calculating_options
           : use == USE_EXCHANGING  ? exchanging_options
                                    : no_options;
}

bool use_writes(enum command_use use)
{
    return use == USE_WRITING || use == USE_MOVING;
}

#define CAUTIONS                                                                                                       \
    "Depth and lag here serve to label samples; never for well control, kick detection, cementing or any pressure\n"   \
    "decision. "                                                                                                       \
    "Cores can hold H2S and gas under pressure: the rig's safety rules and licensed practice come first.\n"

void option_spell(char *name)
{
    for (; *name; name++)
        if (*name == '_')
            *name = '-';
}

static void add_option(struct text *out, const char *name, const char *argument, const char *meaning)
{
    char label[64];
    size_t used =
        (size_t)snprintf(label, sizeof label, "--%s%s%s", name, argument ? " " : "", argument ? argument : "");
    option_spell(label);
    text_addf(out, "  %s", label);
    for (; used < 26; used++)
        text_add(out, " ");
    text_addf(out, " %s\n", meaning);
}

/* The options of a command, each with its line; via decides the markup. */
static void each_option(const struct command *command, struct text *out,
                        void (*via)(struct text *, const char *, const char *, const char *))
{
    char meaning[400];
    for (const char *const *name = command->fields; name && *name; name++) {
        const struct field *field = field_find(command->table, *name);
        const char *unit = field->type == FIELD_LENGTH ? length_unit_suffix(field->unit)
                           : field->suffix             ? measure_unit(field->measure)
                                                       : NULL;
        size_t used = (size_t)snprintf(meaning, sizeof meaning, "%s%s%s", field->meaning,
                                       unit ? "; bare numbers are " : "", unit ? unit : "");
        for (int at = 1; field->type == FIELD_WORD && field->words[at]; at++)
            used +=
                (size_t)snprintf(meaning + used, sizeof meaning - used, "%s%s", at > 1 ? ", " : ": ", field->words[at]);
        via(out, field->name, field->type == FIELD_FLAG ? "yes|no" : "VALUE", meaning);
    }
    for (const struct option *option = command->options; option && option->name; option++)
        via(out, option->name, option->argument, option->meaning);
    for (const struct option *option = use_options(command->use); option->name; option++)
        via(out, option->name, option->argument, option->meaning);
}

void help_command(const struct command *command, struct text *out)
{
    text_addf(out, "coretally %s: %s\n\n  coretally %s\n\n", command->words, command->purpose, command->example);
    text_addf(out, "usage: coretally %s %s%s[options]\n", command->words, command->arguments,
              *command->arguments ? " " : "");
    if (command->detail)
        text_addf(out, "%s\n", command->detail);
    if (command->use == USE_MOVING)
        text_add(out, MOVING);
    text_add(out, "\n");
    each_option(command, out, add_option);
}

void help_all(struct text *out)
{
    text_add(out, "coretally: cores, samples and cuttings against drilled depth, in a git registry\n\n"
                  "  coretally start 901 --title \"Slope fans\"\n"
                  "  coretally hole add U0012A --returns seafloor --seafloor 3021.4 --seafloor-by tagged\n"
                  "  coretally core add U0012A-1H 3021.4 +9.5 --recovered 9.43 --sections 6x1.5,0.20,cc:0.23\n"
                  "  coretally sample add 'U0012A-1H-3W, 45-47 cm' --purpose isotopes\n"
                  "  coretally depth 'U0012A-1H-3W, 45-47 cm'\n"
                  "  coretally lag --bores 'casing,0,1500,312.4mm; open,1500,2500,12.25in' --string 'drill pipe,,5in' "
                  "--flow 300gpm\n\ncommands:\n");
    for (size_t at = 0; commands[at]; at++)
        text_addf(out, "  %-18s %s\n", commands[at]->words, commands[at]->purpose);
    text_add(out, "\n'coretally COMMAND --help' shows an example first, then every option. Bare numbers are metres, "
                  "offsets in a\n"
                  "section centimetres; 345.1ft, 12in, 45cm say otherwise. Data goes to standard output, notes and "
                  "messages to standard error.\n\n"
                  "exit codes:\n");
#define STATUS_LINE(id, code, word, meaning) text_addf(out, "  %d  %-9s %s\n", code, word, meaning);
    STATUS_LIST(STATUS_LINE)
#undef STATUS_LINE
    text_add(out, "\n" CAUTIONS);
}

/* Text for roff: a leading point or quote, backslashes and hyphens are marked. */
static void add_roff(struct text *out, const char *string)
{
    if (*string == '.' || *string == '\'')
        text_add(out, "\\&");
    for (const char *at = string; *at; at++) {
        if (*at == '\\')
            text_add(out, "\\e");
        else if (*at == '-')
            text_add(out, "\\-");
        else if (*at == '\n') {
            text_add(out, "\n");
            if (at[1] == '.' || at[1] == '\'')
                text_add(out, "\\&");
        } else
            text_add_bytes(out, at, 1);
    }
}

static void add_roff_option(struct text *out, const char *name, const char *argument, const char *meaning)
{
    char label[64];
    (void)snprintf(label, sizeof label, "--%s%s%s", name, argument ? " " : "", argument ? argument : "");
    option_spell(label);
    text_add(out, ".TP\n.B ");
    add_roff(out, label);
    text_add(out, "\n");
    add_roff(out, meaning);
    text_add(out, "\n");
}

void help_manual(struct text *out)
{
    text_add(out,
             ".TH CORETALLY 1\n.SH NAME\ncoretally \\- cores, samples and cuttings against drilled depth, in a git "
             "registry\n.SH SYNOPSIS\n.B coretally\n.I command\n[arguments] [options]\n.SH DESCRIPTION\n"
             "Records cores, sections, samples and cuttings as they arrive, gives every one its name and its depth "
             "(cuttings\n"
             "through well geometry and pump log), keeps every act as one commit of a git repository, and explains "
             "every depth down to the reading and the commit\n"
             "behind it. Names read 901\\-U0012A\\-12H\\-3W, 45\\-47 cm.\n.SH CAUTIONS\n");
    add_roff(out, CAUTIONS);
    text_add(out, ".SH COMMANDS\n");
    for (size_t at = 0; commands[at]; at++) {
        const struct command *command = commands[at];
        text_add(out, ".SS coretally ");
        add_roff(out, command->words);
        text_add(out, " ");
        add_roff(out, command->arguments);
        text_add(out, "\n");
        add_roff(out, command->purpose);
        text_add(out, "\n.PP\n.nf\n");
        text_add(out, "    coretally ");
        add_roff(out, command->example);
        text_add(out, "\n.fi\n");
        if (command->detail) {
            text_add(out, ".PP\n");
            add_roff(out, command->detail);
            text_add(out, "\n");
        }
        if (command->use == USE_MOVING)
            text_add(out, ".PP\n" MOVING);
        each_option(command, out, add_roff_option);
    }
    text_add(out, ".SH EXIT STATUS\n");
#define STATUS_ENTRY(id, code, word, meaning) text_addf(out, ".TP\n.B %d %s\n%s\n", code, word, meaning);
    STATUS_LIST(STATUS_ENTRY)
#undef STATUS_ENTRY
    text_add(
        out,
        ".SH ENVIRONMENT\n"
        ".TP\n.B CORETALLY_REGISTRY\nthe registry to use\n"
        ".TP\n.B CORETALLY_HOLE\nthe hole of names typed without one\n"
        ".TP\n.B CORETALLY_STATION\nthe station that acts\n"
        ".TP\n.B CORETALLY_CLOCK\nan RFC 3339 time to use instead of the machine's clock, for replays and tests\n"
        ".TP\n.B GIT_AUTHOR_NAME, GIT_AUTHOR_EMAIL\nwho acts, before git's own settings\n"
        ".SH FILES\n.TP\n.B registry.git\nthe registry: a bare git repository that plain git can clone and read\n");
}

/* The options of the commands of one word, or of two. */
static void complete_options(struct text *out, bool two)
{
    for (size_t at = 0; commands[at]; at++) {
        const struct command *command = commands[at];
        if ((strchr(command->words, ' ') != NULL) != two)
            continue;
        text_addf(out, "        \"%s\"%s) list=\"", command->words, strchr(command->words, ' ') ? "*" : "\\ *");
        for (const char *const *name = command->fields; name && *name; name++) {
            text_add(out, "--");
            for (const char *c = *name; *c; c++)
                text_add_bytes(out, *c == '_' ? "-" : c, 1);
            text_add(out, " ");
        }
        for (const struct option *option = command->options; option && option->name; option++)
            text_addf(out, "--%s ", option->name);
        for (const struct option *option = use_options(command->use); option->name; option++)
            text_addf(out, "--%s ", option->name);
        text_add(out, "--help\" ;;\n");
    }
}

void help_completion(struct text *out)
{
    text_add(out, "# bash completion for coretally, made from its command table\n_coretally()\n{\n"
                  "    local word=${COMP_WORDS[COMP_CWORD]} words=\"${COMP_WORDS[1]} ${COMP_WORDS[2]}\" list=\n"
                  "    case $COMP_CWORD in\n    1) list=\"");
    const char *last = "";
    for (size_t at = 0; commands[at]; at++) { /* the families of one noun stand together */
        const size_t len = strcspn(commands[at]->words, " ");
        if (strlen(last) < len || strncmp(last, commands[at]->words, len) != 0 || (last[len] && last[len] != ' ')) {
            text_add_bytes(out, commands[at]->words, len);
            text_add(out, " ");
        }
        last = commands[at]->words;
    }
    text_add(out, "help\" ;;\n    *) case $words in\n");
    complete_options(out, true); /* before the verbs of their noun, and before a noun that is a command itself */
    for (size_t at = 0; commands[at]; at++) { /* each noun once, with its verbs */
        const size_t len = strcspn(commands[at]->words, " ");
        const char *const noun = commands[at]->words;
        if (!noun[len] ||
            (at && strncmp(commands[at - 1]->words, noun, len) == 0 && commands[at - 1]->words[len] == ' '))
            continue;
        text_addf(out, "        \"%.*s \"*) list=\"", (int)len, noun);
        for (size_t verb = at; commands[verb]; verb++)
            if (strncmp(commands[verb]->words, noun, len) == 0 && commands[verb]->words[len] == ' ')
                text_addf(out, "%s ", commands[verb]->words + len + 1);
        text_add(out, "\" ;;\n");
    }
    complete_options(out, false);
    text_add(out, "        esac ;;\n    esac\n    COMPREPLY=($(compgen -W \"$list\" -- \"$word\"))\n}\n"
                  "complete -o default -F _coretally coretally\n");
}
