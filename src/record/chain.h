/* chain.h - each record carries the hash of the one before it, so that it can be seen that nothing was changed, taken out or put
 * between.
 *
 * Model  hash(n) = SHA-256 of hash(n-1), seq, id, mark, body, received_at and received_by, each on a line of its own; hash(0) is
 *   CHAIN_START. Nobody who changes an old record can keep the last hash, which stands in every document that was handed over.
 * Limits  a log that was cut at its end, or wholly written anew, is only seen against a hash kept outside the file: ask with
 *   `known`. It is no signature: it does not tell who.   Threads  no shared state. */
#ifndef STANCH_RECORD_CHAIN_H
#define STANCH_RECORD_CHAIN_H

#include "core/hash.h"

#include <stdbool.h>

#define CHAIN_START "0000000000000000000000000000000000000000000000000000000000000000"

typedef struct {
    long long seq;
    const char *id, *mark, *body, *received_at, *received_by;
} chain_link;

/* Returns `into`. `before` may be `into`. No member holds a line break: names and marks never do, a body is one line; who
 * verifies a log says so of one that has. */
char *chain_hash(const char before[HASH_TEXT], const chain_link *link, char into[HASH_TEXT]);

#endif
