/* What a log points to beside itself: pictures, and documents that were kept. */
#include "core/file.h"
#include "ops/check_parts.h"
#include "ops/photo.h"
#include "record/record.h"
#include "store/offers.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

/* ---- pictures ---- */

enum { NAMED_HASH = 24 }; /* digits that a name carries (ops/photo.c), or all of a hash */

/* The digits of a hash at the end of the name's stem; NULL: it carries none. The last group of a UUID is shorter. */
static const char *named_hash(const char *file, size_t *n) {
    const char *dot = strrchr(file, '.'), *end = dot ? dot : file + strlen(file), *from = end;
    while (from > file && strchr("0123456789abcdef", from[-1])) from--;
    *n = (size_t)(end - from);
    return *n == NAMED_HASH || *n == HASH_TEXT - 1 ? from : NULL;
}

static void compare_bytes(checking *c, const char *path, const char *file, long long seq) {
    char hash[HASH_TEXT], *bytes = NULL;
    size_t n, length = 0;
    fault why;
    const char *named = named_hash(file, &n);
    if (!named) return;
    if (file_read(path, &bytes, &length, &why) != OK)
        check_tell(c, "photo %.100s of record %lld: cannot be read: %.300s", file, seq, why.text);
    else if (strncmp(named, hash_text(bytes, length, hash), n) != 0)
        check_tell(c, "photo %.100s of record %lld: its bytes are not those it was named by", file, seq);
    mem_free(bytes);
}

/* A stored body has its names in quotes; looking for one is cheaper than reading a million bodies. */
void check_photo(checking *c, const store_record *r) {
    record read;
    fault why;
    if (!r->body || !strstr(r->body, "\"photo\"")) return;
    arena *scratch = arena_new();
    status code = scratch ? record_read_body(r->body, scratch, &read, &why) : fault_memory(c->why);
    if (!scratch || code == E_MEMORY)
        c->code = fault_memory(c->why);
    else if (code != OK)
        check_tell(c, "record %lld names a photo, but cannot be read: %.300s", r->seq, why.text);
    else if (read.photo) {
        const char *path = NULL;
        c->out->photos++;
        c->code = ops_photo_find(c->path, read.photo, scratch, &path, c->why);
        if (path)
            compare_bytes(c, path, read.photo, r->seq);
        else if (c->code == OK)
            check_tell(c, "photo %.100s of record %lld is not beside the job", read.photo, r->seq);
    }
    arena_free(scratch);
}

/* ---- documents ---- */

static int by_seq(const void *a, const void *b) {
    const known_head *x = a, *y = b;
    return (x->seq > y->seq) - (x->seq < y->seq);
}

/* E_FORMAT is the sentence of a document that is not what its hash says. */
static void check_document(checking *c, store *job, const store_offer *listed) {
    store_offer whole;
    bool found = false;
    fault why = {0};
    arena *scratch = arena_new();
    status code =
        scratch ? store_load_offer(job, listed->number, scratch, &whole, &found, &why) : fault_memory(c->why);
    if (!scratch || code == E_MEMORY)
        c->code = fault_memory(c->why);
    else if (code != OK)
        check_tell(c, "%s %lld: %.400s", listed->kind, listed->number, why.text);
    arena_free(scratch);
}

static void tell_missing(checking *c, long long from, long long to) {
    if (to == from) check_tell(c, "document %lld is missing", from);
    if (to > from) check_tell(c, "documents %lld to %lld are missing", from, to);
}

/* Numbers are given one after another, and no row is removed. */
static status check_numbers(checking *c, store *job, const store_offer *list, size_t n) {
    long long next = 1, given = 0;
    fault why = {0};
    for (size_t i = 0; i < n; i++) {
        if (list[i].number < 1) {
            check_tell(c, "document %lld: no document gets a number below 1", list[i].number);
            continue;
        }
        tell_missing(c, next, list[i].number - 1);
        if (list[i].number == LLONG_MAX) return c->code; /* none can follow */
        next = list[i].number + 1;
    }
    status code = store_next_offer(job, &given, &why);
    if (code == E_FORMAT)
        check_tell(c, "documents: %.300s", why.text);
    else if (code != OK)
        return fault_set(c->why, code, "%s", why.text);
    else
        tell_missing(c, next, given - 1);
    return c->code;
}

status check_offers(checking *c, store *job) {
    store_offer *list = NULL;
    size_t n = 0;
    status code = store_list_offers(job, NULL, c->memory, &list, &n, c->why);
    if (code != OK) return code;
    c->out->offers = n;
    code = check_numbers(c, job, list, n);
    if (code != OK) return code;
    c->heads = arena_get(c->memory, n + 1, sizeof *c->heads);
    if (!c->heads) return fault_memory(c->why);
    for (size_t i = 0; i < n && c->code == OK; i++) {
        check_document(c, job, &list[i]);
        if (list[i].head_seq < 1) continue;
        const char *whose = arena_print(c->memory, "%s %lld", list[i].kind, list[i].number);
        c->heads[c->n_heads++] = (known_head){list[i].head_seq, list[i].head_hash, whose, false};
        if (!whose) c->code = fault_memory(c->why);
    }
    if (c->request->seq > 0)
        c->heads[c->n_heads++] = (known_head){c->request->seq, c->request->hash, "the head given", true};
    qsort(c->heads, c->n_heads, sizeof *c->heads, by_seq);
    return c->code;
}
