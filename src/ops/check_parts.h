/* check_parts.h - what the files of ops_check share; only for src/ops. */
#ifndef STANCH_OPS_CHECK_PARTS_H
#define STANCH_OPS_CHECK_PARTS_H

#include "ops/check.h"
#include "store/log.h"

enum { CHECK_CALLED = 200 };

typedef struct {
    long long seq;
    const char *hash, *whose; /* whose: "offer 3", "what you gave" */
    bool asked;               /* of the request */
} known_head;

typedef struct {
    const char *path;
    const ops_check_request *request;
    arena *memory;
    ops_check_result *out;
    status code;
    fault *why;
    long long last; /* seq of the record before */
    char kept[HASH_TEXT], counted[HASH_TEXT],
        next[HASH_TEXT]; /* hash of the record before, as kept and as it should be */
    bool doubt;          /* the record before, `called`, did not fit */
    char called[CHECK_CALLED];
    known_head *heads; /* by seq */
    size_t n_heads, head_at;
} checking;

/* One break more, as a sentence; beyond CHECK_BREAKS_MOST only counted as more. False without memory, noted in c->code. */
bool check_tell(checking *c, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* The picture that a record names, if it names one. */
void check_photo(checking *c, const store_record *r);

/* The documents kept; their heads and the one asked for go to c->heads. */
status check_offers(checking *c, store *job);

#endif
