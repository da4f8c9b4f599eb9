/* check.h - the verb of the owner's engineer: was anything in the log of this job changed since it was written?
 *
 * Looks at every record's hash, at numbers that are missing, at what the database itself finds wrong with the log, at the
 * photos that records name (their names, and their bytes where the name carries a hash of them), and at the documents
 * kept, with the head of the chain that each was printed at. Nothing is written.
 * Errors, threads  as ops.h. A break is no error: it is told in the result. */
#ifndef STANCH_OPS_CHECK_H
#define STANCH_OPS_CHECK_H

#include "ops/ops.h"

typedef struct {
    long long seq; /* that the asker knows, from a document; 0: none */
    const char *hash;
} ops_check_request;

typedef struct {
    long long records, head_seq;
    char head_hash[HASH_TEXT];
    const char *
        *breaks; /* sentences, records in order of seq: "record 512 (N1, found, id ...): its content ..." */
    size_t n_breaks; /* at most CHECK_BREAKS_MOST */
    bool more;
    bool known_given, known_holds;
    size_t photos, offers;
} ops_check_result;
enum { CHECK_BREAKS_MOST = 100 };

/* `known` that does not hold is a break, too. */
status ops_check(const char *path, const ops_check_request *request, arena *memory, ops_check_result *out,
                 fault *why);

/* docs/page.md: {"records","head_seq","head_hash","breaks","more","known","photos","offers"}, appended. */
void ops_check_json(const ops_check_result *result, text *out);

#endif
