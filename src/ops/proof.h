/* proof.h - the verbs of acceptance: is it dry, what was built, when is it looked at again.
 *
 * Errors, threads  as ops.h. */
#ifndef STANCH_OPS_PROOF_H
#define STANCH_OPS_PROOF_H

#include "accept/accept.h"
#include "ops/ops.h"

/* A planned job with its records, judged; `job` must outlive it. */
typedef struct {
    arena *memory;   /* of all below */
    ops_job offered; /* what the last kept offer was made from: its rates are billed; {0}: none is kept */
    bool stale;      /* the survey was changed since the plan: set by who knows; what is told is of before */
    record *records;
    size_t n_records;
    accept_job accept;
    built_job built;
    char today[12];     /* the date given */
    long long head_seq; /* of the chain; 0: no record */
    char head_hash[HASH_TEXT];
} ops_proof;
/* today: YYYY-MM-DD. The records are those up to head_seq. */
status ops_proof_look(const char *path, const ops_job *job, const char *today, ops_proof *out, fault *why);
void ops_proof_free(ops_proof *proof); /* {0} is fine */

/* As docs/page.md has them. */
status ops_proof_json(const plan *p, const ops_proof *proof, text *out, fault *why);
status ops_built_json(const plan *p, const ops_proof *proof, text *out, fault *why);

/* The looks that are not done, as a calendar (RFC 5545) of proof->today, appended; those without a date are left out. `job`: the
 * name of its file without its ending. E_STATE: there are none. */
status ops_revisits_ical(const plan *p, const ops_proof *proof, const char *job, text *out, fault *why);

/* Readings of a tank from CSV (at or hours from `from`, level_mm, tank_water_c, pan_level_mm, rain_mm; in the job's units), kept as
 * records `level`. An id is made of tank and moment: taken in twice, they stand once; another value of
 * that moment is a fault. All or nothing; `faults` has them all, each with its line and column. *kept: how many were new. */
typedef struct {
    const char *tank, *by, *from; /* from: YYYY-MM-DDTHH:MM:SSZ, of hour 0; NULL where the file has `at` */
    const char *name, *csv;       /* for sentences; the bytes */
    size_t length;
} ops_tank_readings;
status ops_tank_import(const char *path, const ops_tank_readings *readings, const ops_actor *actor,
                       fault_list *faults, size_t *kept, fault *why);

#endif
