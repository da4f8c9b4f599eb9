/* accept.h - the proof of a job in one struct: its tanks, its leaks, what was saved and what is due.
 *
 * Model  a tank's readings are the records `level` of its id in order of `at`, corrected ones replaced; the verdict of the job is the
 *   worst of its parts, in the order broken or fail, not proven or undecided, open, kept.   Threads  no shared state. */
#ifndef STANCH_ACCEPT_ACCEPT_H
#define STANCH_ACCEPT_ACCEPT_H

#include "accept/built.h"
#include "accept/revisit.h"
#include "accept/watertest.h"

typedef struct {
    const survey_tank *tank;
    const record **readings;
    size_t n_readings;
    bool judged; /* false: `problem` says why not */
    const char *problem;
    watertest_input input; /* judged: of its readings, for its figure */
    watertest_result result;
    const watertest_rule *rule;
} accept_tank;

typedef struct {
    proof_leak *leaks; /* in the order of the survey */
    size_t n_leaks;
    accept_tank *tanks;
    size_t n_tanks;
    revisit *revisits;
    size_t n_revisits;
    maybe saved_m3_s, before_m3_s; /* of the leaks where both are known */
    size_t counts[PROOF_VERDICTS];
    size_t n_flows;            /* leaks in before and saved */
    survey_tightness agreed;   /* as told */
    survey_tightness class_id; /* by which it was judged */
    proof_verdict verdict;
    const char *sentence;
} accept_job;

status accept_judge(const plan *p, const record *records, size_t n, const char *today, arena *memory,
                    accept_job *out, fault *why);

#endif
