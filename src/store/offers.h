/* offers.h - documents that left the house: kept as the bytes that were printed, with all that they were made from.
 *
 * A row is never changed or removed (triggers). inputs: the survey as canonical JSON, rates and prices in it. SHA-256 of
 * each document stands beside it, one of all that it was made from, and the head of the chain of records (record/chain.h) of that moment. Schema version 6.
 * Errors  as store.h.   Threads  a store belongs to one thread. */
#ifndef STANCH_STORE_OFFERS_H
#define STANCH_STORE_OFFERS_H

#include "store/store.h"

#include "core/hash.h"

typedef struct {
    const void *bytes;
    size_t length;
    char hash[HASH_TEXT]; /* filled in when it is added */
} store_document;

typedef struct {
    long long number;         /* from 1; not read when added */
    const char *kind;         /* "offer" or "handover" */
    const char *on, *at, *by; /* date on it; moment; whose hand */
    const char *program_version;
    const char *inputs, *options,
        *facts;         /* JSON; options: runs, seed ...; facts: total, p20, p50, p80, currency */
    long long head_seq; /* of the last record then; 0: none */
    const char *head_hash;
    store_document pdf, xlsx; /* xlsx.length 0: none */
} store_offer;

status store_add_offer(store *st, const store_offer *offer, long long *number, fault *why);
/* The number that the next document gets: after every one that ever was, so that one taken out leaves a gap. E_FORMAT where no
 * number is left. */
status store_next_offer(store *st, long long *number, fault *why);
/* Oldest first, of one kind (NULL: all), without documents and inputs (NULL). */
status store_list_offers(store *st, const char *kind, arena *memory, store_offer **out, size_t *n,
                         fault *why);
/* Whole. *found = false and OK when there is none. E_FORMAT when a document is not what its hash says. */
status store_load_offer(store *st, long long number, arena *memory, store_offer *out, bool *found,
                        fault *why);

#endif
