/* learn_parts.h - the pieces of ops_learn; only for src/ops.
 *
 * learn_job.c reads one job and says whether it is finished; learn_hours.c hours by step to rates; learn_again.c what was done
 * again; learn_json.c what goes out.   Threads  a told job belongs to one thread until it is done. */
#ifndef STANCH_OPS_LEARN_PARTS_H
#define STANCH_OPS_LEARN_PARTS_H

#include "accept/built.h"
#include "accept/proof.h"
#include "ops/learn.h"

/* What one job file tells. */
typedef struct {
    const char *name; /* of its file */
    arena *memory;    /* its own */
    learn_fact *facts;
    size_t n_facts;
    learn_event *events;
    size_t n_events;
    learn_price price;
    size_t leaks;
    const char *left_out; /* sentence; NULL: it is finished */
} learn_told;

/* A job while it is read: all in an arena that goes with it. */
typedef struct {
    const plan *p;
    const record *records;
    size_t n_records;
    built_job built;
    proof_leak *proofs;
    const char *handed_over; /* moment; NULL: not */
    bool *again;             /* per leak: work on it was done again */
    learn_told *out;
    arena *scratch;
    fault *why;
} learn_reading;

/* Reads the job at `path` without writing anything. A job that cannot be used has its sentence in out->left_out, OK. E_MEMORY. */
status learn_read_job(const char *path, learn_told *out, fault *why);

/* Whether leaks were done again; fills r->again. */
status learn_tell_again(learn_reading *r);
/* Then rates, of leaks that were not: a rate is for doing it once; waste; whether dry leaks were found wet. */
status learn_tell_hours(const learn_reading *r);

status learn_add_fact(const learn_reading *r, const learn_fact *fact);
status learn_add_event(const learn_reading *r, const learn_event *event);

/* Kind, access and temperature of a leak. */
learn_fact learn_about(const learn_reading *r, size_t leak);

#endif
