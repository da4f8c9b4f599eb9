/* firm_facts.h - what invented firms' leaks say of one rate, with the truth beside it; for tests and bench/learn_study.c.
 *
 * A firm is drawn from a seed: its rate, the effects of its joints, lifts and cold days, how much its leaks and jobs scatter. From the
 * model's own prior, or not. SYNTHETIC: no figure here is of any firm.   Threads  no shared state. */
#ifndef STANCH_TESTS_FIRM_FACTS_H
#define STANCH_TESTS_FIRM_FACTS_H

#include "learn/learn.h"

#include <gsl/gsl_rng.h>

typedef enum {
    FIRM_OF_PRIOR, /* as learn/model.h says that firms are */
    FIRM_FLAT, /* off it: log rate flat within 0.8 of the default, effects flat within 0.4, scatter 0.3, of jobs 0.25 */
    FIRM_ROUGH, /* as FIRM_FLAT; a leak in ten goes badly (scatter 0.6 instead of 0.25), and large ones scatter as small ones do */
    FIRM_SLOW,  /* every firm 1.8 times as slow as the default; else as FIRM_FLAT */
    FIRM_KINDS
} firm_kind;
extern const char *const firm_kind_words[FIRM_KINDS];

typedef struct {
    learn_fact *facts; /* by job */
    size_t n;
    double rate, joint_rate; /* true: hours over quantity of very many leaks, of cracks and of joints */
} firm_facts;

/* `facts` has room for jobs * leaks_a_job. `shipped`: the default of the rate `id`. */
void firm_draw(gsl_rng *random, firm_kind kind, const char *id, double shipped, size_t jobs,
               size_t leaks_a_job, learn_fact *facts, firm_facts *out);

#endif
