/* SPDX-License-Identifier: MIT */
/* The list of commands, and what is made of it: finding one, running it, help. */
#ifndef CORETALLY_CMD_DISPATCH_H
#define CORETALLY_CMD_DISPATCH_H

#include "coretally/run/command.h"

/* All commands, ending with NULL words; sorted by what a day needs first. */
extern const struct command *const commands[];

/* Everything but main: find the command, read its options, run it. *exit_code as documented in err.h. Prints the error.
 */
int dispatch(int argc, const char *const *argv, environment_read *environment, void *context, const char *folder,
             FILE *in, FILE *out, FILE *talk);

/* Help of one command, of all, the manual page, the completion (help.c). */
void help_command(const struct command *command, struct text *out);
void help_all(struct text *out);
void help_manual(struct text *out);
void help_completion(struct text *out);
/* Options are spelled with '-' where fields have '_'. */
void option_spell(char *name);
/* The options that come with a use, ending with a NULL name. */
const struct option *use_options(enum command_use use);
bool use_writes(enum command_use use);

#endif
