/* tries.h - failed logins by name and by address, and how long each has to wait for the next try.
 *
 * Model  TRIES_FREE failures cost nothing; each one more doubles the wait, from TRIES_FIRST_S to TRIES_MOST_S. A
 *   key without a failure for TRIES_FORGET_S after its wait is forgotten. Our defaults.
 * Limits  TRIES_KEYS keys, whatever comes: when full, the one with the fewest failures, the oldest of these, goes.
 *   Keys are kept as keyed hashes (SipHash with a key of this run), so that nobody can aim at another's place.
 * Threads  one table belongs to one thread at a time; the clock (seconds) is an input. */
#ifndef STANCH_WEB_TRIES_H
#define STANCH_WEB_TRIES_H

enum { TRIES_FREE = 5, TRIES_FIRST_S = 15, TRIES_MOST_S = 900, TRIES_FORGET_S = 900, TRIES_KEYS = 4096 };

typedef struct tries tries;

tries *tries_new(void); /* NULL without memory */
void tries_free(tries *t);

/* `kind` keeps names apart from addresses. 0: may try. */
int tries_wait_s(tries *t, char kind, const char *key, long long now_s);
void tries_failed(tries *t, char kind, const char *key, long long now_s);
void tries_clear(tries *t, char kind, const char *key);

#endif
