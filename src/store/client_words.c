/* SPDX-License-Identifier: MIT */
/* What the git client says when something goes wrong, as one sentence with what to do. Its words are those of git 2.30
 * to 2.50 in English, of ssh and of curl; what is not known here is told as it is. */
#include <string.h>

#include "client.h"

#define SHALLOW "that clone has only the newest part of the history, so it cannot be joined"
#define UNSHALLOW "type there: git fetch --unshallow; then type the same again"
#define DAMAGED "the registry there is damaged: git cannot read all of its objects"
#define REPAIR "type there: coretally verify; what it lacks may be in another copy of it. Nothing was changed here"
#define AGAIN "type the same again when the line is up; nothing is lost on either side"

static const struct meaning {
    const char *words; /* somewhere in what it said; the first that fits counts */
    enum status status;
    const char *reason;
    const char *hint;
} meanings[] = {
    {"dubious ownership", STATUS_SYSTEM, "this folder belongs to somebody else, and git does not read from it",
     "if it is to be trusted: git config --global --add safe.directory, and its path; then type the same again"},
    {"No space left on device", STATUS_SYSTEM, "the disk is full", "make room, and type the same again"},
    {"Disk quota exceeded", STATUS_SYSTEM, "the disk is full for you", "make room, and type the same again"},
    {"File too large", STATUS_SYSTEM, "a file may not grow as far as this needs",
     "raise the limit (ulimit -f), and type the same again"},
    {"Could not resolve host", STATUS_SYSTEM, "no machine of this name is known here", AGAIN},
    {"Name or service not known", STATUS_SYSTEM, "no machine of this name is known here", AGAIN},
    {"name resolution", STATUS_SYSTEM, "no machine of this name is known here", AGAIN},
    {"Connection refused", STATUS_SYSTEM, "the machine is there, and nobody answers on it", AGAIN},
    {"unreachable", STATUS_SYSTEM, "the machine cannot be reached", AGAIN},
    {"No route to host", STATUS_SYSTEM, "the machine cannot be reached", AGAIN},
    {"timed out", STATUS_SYSTEM, "the machine did not answer in time", AGAIN},
    {"Operation too slow", STATUS_SYSTEM, "the line has been silent for too long", AGAIN},
    {"Failed to connect", STATUS_SYSTEM, "the machine cannot be reached", AGAIN},
    {"Couldn't connect", STATUS_SYSTEM, "the machine cannot be reached", AGAIN},
    {"Host key verification failed", STATUS_SYSTEM, "ssh does not know this machine, or it is not the one it was",
     "ask who runs it; ssh to it once by hand shows what ssh has to say"},
    {"Permission denied (", STATUS_SYSTEM, "ssh was not let in", "ask who runs it; ssh -v to it shows what was tried"},
    {"Authentication failed", STATUS_SYSTEM, "it does not let you in", "ask who runs it for a name and a password"},
    {"could not read Username", STATUS_SYSTEM, "it asks for a name and a password",
     "type it at a terminal, or set up a git credential helper"},
    {"could not read Password", STATUS_SYSTEM, "it asks for a password",
     "type it at a terminal, or set up a git credential helper"},
    {"error: 401", STATUS_SYSTEM, "it does not let you in", "ask who runs it for a name and a password"},
    {"error: 403", STATUS_SYSTEM, "it does not let you do this", "ask who runs it for the right to"},
    {"transport '", STATUS_INPUT, "this way of speaking is not used here",
     "ssh://, https://, http://, git://, host:path, or a path"},
    {"Unable to find remote helper", STATUS_INPUT, "git does not speak this way here",
     "ssh://, https://, http://, git://, host:path, or a path"},
    {"insufficient permission", STATUS_SYSTEM, "you may not write there", "ask who owns it, or do it as that user"},
    {"unable to create temporary", STATUS_SYSTEM, "you may not write there", "ask who owns it, or do it as that user"},
    {"Permission denied", STATUS_SYSTEM, "you may not read or write there", "ask who owns it, or do it as that user"},
    {"Read-only file system", STATUS_SYSTEM, "it is on a disk that cannot be written to",
     "join from it instead, on the side that can be written to"},
    {"couldn't find remote ref", STATUS_UNKNOWN, "nothing has been recorded there yet", "coretally send fills it"},
    {"does not appear to be a git repository", STATUS_UNKNOWN, "there is no registry at this place",
     "look at the path or address"},
    {"' not found", STATUS_UNKNOWN, "there is no registry at this address", "look at the path or address"},
    {"not valid: is this a git repository", STATUS_UNKNOWN, "there is no registry at this address",
     "look at the path or address"},
    {"error: 404", STATUS_UNKNOWN, "there is no registry at this address", "look at the path or address"},
    {"does not exist", STATUS_UNKNOWN, "there is no registry at this place", "look at the path or address"},
    {"shallow update not allowed", STATUS_RULE, SHALLOW, UNSHALLOW},
    {" is corrupt", STATUS_DAMAGED, DAMAGED, REPAIR},
    {"object corrupt", STATUS_DAMAGED, DAMAGED, REPAIR},
    {" is empty", STATUS_DAMAGED, DAMAGED, REPAIR},
    {"fatal: unable to read", STATUS_DAMAGED, DAMAGED, REPAIR},
    {"unable to parse", STATUS_DAMAGED, DAMAGED, REPAIR},
    {"bad tree object", STATUS_DAMAGED, DAMAGED, REPAIR},
    {"bad object", STATUS_DAMAGED, DAMAGED, REPAIR},
    {"missing blob", STATUS_DAMAGED, DAMAGED, REPAIR},
    {"repository corruption", STATUS_DAMAGED, DAMAGED, REPAIR},
    {"hung up unexpectedly", STATUS_SYSTEM, "the line was cut", AGAIN},
    {"early EOF", STATUS_SYSTEM, "the line was cut", AGAIN},
    {"disconnect", STATUS_SYSTEM, "the line was cut", AGAIN},
    {"RPC failed", STATUS_SYSTEM, "the line was cut", AGAIN},
    {"onnection reset", STATUS_SYSTEM, "the line was cut", AGAIN},
    {"onnection closed", STATUS_SYSTEM, "the line was cut", AGAIN},
    {"Empty reply", STATUS_SYSTEM, "the line was cut", AGAIN},
    {"Broken pipe", STATUS_SYSTEM, "the line was cut", AGAIN},
    {"unexpected http response", STATUS_SYSTEM, "what answers there does not speak as git does", AGAIN},
};

/* The line that git ends with, without the word before it. */
static void copy_last_words(const char *heard, char *out, size_t size)
{
    static const char *const begins[] = {"fatal: ", "error: ", "ssh: ", "remote: "};
    (void)snprintf(out, size, "it does not say why");
    for (const char *line = heard; *line; line += strcspn(line, "\n") + (line[strcspn(line, "\n")] != '\0'))
        for (size_t at = 0; at < sizeof begins / sizeof *begins; at++)
            if (strncmp(line, begins[at], strlen(begins[at])) == 0)
                (void)snprintf(out, size, "%.*s", (int)(strcspn(line, "\n") - strlen(begins[at])),
                               line + strlen(begins[at]));
}

enum status client_refuse(const struct client_call *call, const struct client_end *end, struct err *err)
{
    char words[ERR_REASON_MAX / 2];
    for (size_t at = 0; at < sizeof meanings / sizeof *meanings && !end->signal; at++)
        if (strstr(end->heard, meanings[at].words)) {
            err_set(err, meanings[at].status, call->other, "%s", meanings[at].reason);
            return err_hint(err, "%s", meanings[at].hint);
        }
    if (end->signal) {
        err_set(err, STATUS_SYSTEM, call->other, "git was ended by signal %d (%s)", end->signal,
                strsignal(end->signal));
        return err_hint(err, "type the same again; nothing is lost on either side");
    }
    copy_last_words(end->heard, words, sizeof words);
    err_set(err, STATUS_SYSTEM, call->other, "git did not succeed: %s", words);
    return err_hint(err, "nothing is lost on either side");
}
