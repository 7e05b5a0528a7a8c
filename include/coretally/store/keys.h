/* SPDX-License-Identifier: MIT */
/* Whose key signed a commit. Names and mails are typed, and prove nothing by themselves; a key does. Keys are git's
 * matter: it signs where its settings say so (commit.gpgsign), with ssh, gpg or x509 (gpg.format), and it checks. Which
 * key is whose, whoever checks has told git: gpg.ssh.allowedSignersFile, or the ring of gpg. */
#ifndef CORETALLY_STORE_KEYS_H
#define CORETALLY_STORE_KEYS_H

#include "coretally/store/store.h"

enum key_state {
    KEY_NONE,    /* not signed: name and mail were typed */
    KEY_PROVEN,  /* by a key of the author */
    KEY_EXPIRED, /* the same; the key, or the signature, has expired since */
    KEY_UNKNOWN, /* whose key it is, git does not know here */
    KEY_REVOKED, /* good, by a key that was revoked */
    KEY_OTHER,   /* good, by somebody else's key */
    KEY_BAD,     /* it is not of what stands in the commit; with ssh also: by a key that was revoked */
    KEY_STATE_COUNT
};

struct key_told {
    char commit[COMMIT_ID_MAX];
    enum key_state state;
    const char *signer; /* as git names them: a mail, or a name and a mail; "": it names nobody */
    const char *key;    /* its fingerprint; "": not told */
    const char *author; /* of the commit */
    const char *mail;
};

/* Of each commit, by whole ids. objects: further folders of objects, as in store_open_at; NULL. Git is run only where a
 * commit is signed, once for many; it runs ssh or gpg for each of them. Without a git client all that are signed are
 * KEY_UNKNOWN. */
MUST_CHECK enum status store_keys(struct store *store, const char *objects, const char *const *commits, size_t count,
                                  struct arena *arena, struct key_told *out, struct err *err);
/* "typed, not proven", "proven by a key", ... */
extern const char *const key_state_words[KEY_STATE_COUNT];

#endif
