/* plan.h - the chain of the stages: a survey goes in, a whole plan comes out. One struct that the terminal,
 * the document, the spreadsheet and JSON all show, so that no figure is computed twice.
 *
 * look (leak.h) -> why (diagnosis.h, finding.h) -> what (method.h, design.h) -> how much (takeoff.h) -> price
 * (estimate.h) -> who does what when (works.h), then the step cards. Everything is allocated in the plan's own arena and refers to the
 * survey, which must outlive it. Threads  no shared state. */
#ifndef STANCH_PLAN_PLAN_H
#define STANCH_PLAN_PLAN_H

#include "core/hash.h"
#include "plan/planes.h"
#include "price/estimate.h"
#include "works/again.h"
#include "works/moist.h"

/* One line of a step card. A hold point needs a tick and a name before the next step. `code` never changes: records from
 * the wall name a step by it; no card has one twice. */
typedef struct {
    const char *code; /* one of plan_step_codes */
    bool hold;
    const char *title; /* "Cut the slot" */
    const char *body;  /* sentences, in the job's units */
    double timer_s;    /* 0: none */
    const char *timer; /* what the timer counts: "set", "pot life", "tacky", "mist" */
} plan_step;
extern const char *const plan_step_codes[]; /* in the order of work; docs/page.md */
extern const size_t plan_n_step_codes;

typedef struct {
    plan_step *steps;
    size_t n_steps;
    const char **cautions; /* short sentences, only those that this leak calls for */
    size_t n_cautions;
} plan_card;

/* The hash of what each stage read, chained: a stored result is current while its hash is. */
typedef struct {
    char look[HASH_TEXT], design[HASH_TEXT];
} plan_hashes;

typedef struct {
    arena *memory;
    const survey *survey;
    size_t n_leaks; /* = survey->n_defects, same order, in all arrays below */
    leak_water *leaks;
    diagnosis *diagnoses;
    repair_design *designs;
    plan_card *cards;
    plan_hashes *hashes;
    finding_list findings; /* site first, then leaks in order */
    bool planes_on;        /* false: --planes off */
    plan_plane *planes;    /* one a group of leaks solved together */
    size_t n_planes;
    const plan_plane **plane_of; /* per leak; NULL: none */
    const char **plane_skipped;  /* per leak; NULL, or why a leaking line has no plane */
    takeoff_job takeoff;
    estimate price;
    const char **assumptions; /* sentences: defaults used, with their mark */
    size_t n_assumptions;
    moist_round rounds[LIE_COUNT]; /* to a fresh repair */
    const works_plan *works;       /* NULL: not asked for, or there is none */
    const works_moved *moved;      /* against the works that were followed (plan_options.past) */
    size_t n_moved;
    const char *works_problem; /* NULL, or the sentence why there is none: the rest stands without it */
    char takeoff_hash[HASH_TEXT], price_hash[HASH_TEXT], works_hash[HASH_TEXT];
} plan;

/* What is done about the water in the crack planes. Steady: only flow factor and uncut flow of each, to see a change at
 * once; the plan is not for a document then. */
typedef enum { PLANES_OFF, PLANES_RUN, PLANES_STEADY } plan_planes;

typedef struct {
    plan_planes planes;
    int threads;                   /* for the planes, at least 1 */
    const plan_known_plane *known; /* stored planes, taken where the hash is right */
    size_t n_known;
    const char *only;       /* NULL, or a mark: of the planes only that leak's is computed */
    bool works;             /* who does what when: seconds in a job of hundreds of leaks */
    const works_past *past; /* NULL, or what was recorded: the works are planned again from its now */
    /* NULL, or set from another thread: E_STATE "stopped", mostly within half a second; a factorisation is not broken
     * off, which takes seconds on a plane of a dozen panels. */
    const atomic_bool *stop;
    /* NULL, or told the part done, 0 to 1, never less than before, and what is being done ("crack plane 5 of 11").
     * Called from several threads, one at a time, while a lock is held: it must be short. */
    void (*progress)(void *to, double part, const char *saying);
    void *progress_to;
} plan_options;

/* Compute the whole plan. *out is the caller's (plan_free). E_STATE when stopped. */
status plan_make(const survey *s, const plan_options *options, plan **out, fault *why);
void plan_free(plan *p); /* NULL is fine */

/* Of the search: the same job gives the same works, and at another temperature what differs is the temperature's doing. */
#define PLAN_WORKS_SEED 1

/* The works of a plan, in `memory`: leaks of one plane in its drawn order. With options->temperature_c what they would be at
 * another temperature. Errors as works_make; options->after_leak is filled in here. */
status plan_works(const plan *p, const works_options *options, arena *memory, works_plan *out, fault *why);

size_t plan_open_stops(const plan *p);
size_t plan_open_asks(const plan *p);

/* One row of an explanation: every number with its equation, inputs and source. */
typedef struct {
    const char *group; /* "Water", "Slot", "Plug" ... */
    const char *label, *value, *equation, *inputs, *source;
} plan_reason;

/* Explain one leak. Rows are allocated in the plan's arena. E_STATE when the mark is unknown, with the
 * nearest mark. */
status plan_explain(plan *p, const char *mark, plan_reason **rows, size_t *n, fault *why);

/* The sources and caution statements that every document carries. */
enum { PLAN_SOURCES = 10 };
const char *const *plan_sources(units_system system); /* PLAN_SOURCES sentences, sizes in those units */
extern const char *const plan_general_cautions[];
extern const size_t plan_n_general_cautions;

#endif
