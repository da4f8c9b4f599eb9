/* model.h - what may come out otherwise in a job, and how each leak's amounts follow from it; only for src/risk.
 *
 * An amount of the job in a run is its constant and, leak by leak, terms with the columns of that leak: f (its length over what was
 * measured), w (1 where it was found wet) and f w. Amounts of what slots twice as deep add stand behind all others.
 * Threads  read only once made. */
#ifndef STANCH_RISK_MODEL_H
#define STANCH_RISK_MODEL_H

#include "risk/cost.h"
#include "risk/risk.h"

typedef struct {
    size_t amount;
    double by_length, by_wet, by_both;
} risk_term;

enum { RISK_NONE = -1 };

/* A leak that may come out otherwise: the numbers of its inputs, or RISK_NONE. */
typedef struct {
    int length, wet;
    risk_term *terms;
    size_t n_terms;
} risk_leak;

typedef struct {
    risk_leak *leaks;
    size_t n_leaks;
    risk_costing costing;
    size_t n_amounts;        /* with those of depth: 2 x costing.n_amounts */
    double *constants;       /* amounts that no leak's column moves */
    double *likely;          /* amounts with every leak as planned */
    double values[VALUES];   /* at their likely value */
    int value_input[VALUES]; /* the input that sets it, or RISK_NONE */
    risk_input *inputs;      /* in the order of their numbers */
    spread_item *items;      /* one for each input: factors, chances, values */
    size_t n_inputs;
    survey_rate length, depth, dry_wet;
    double correlation;
    size_t n_still; /* rates and prices without a range where the shipped ones have one */
    const char **warnings;
    size_t n_warnings;
} risk_model;

/* All in `memory`. */
status risk_model_make(const plan *p, arena *memory, risk_model *out, fault *why);

/* A sentence more. */
status risk_model_warn(risk_model *m, arena *memory, fault *why, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* The second plan: every dry or damp leak without a measured flow as a drip, planes off. *out NULL where there is none or it
 * cannot be made, which a warning says. The caller's (plan_free). */
status risk_wet_plan(const plan *p, arena *memory, risk_model *m, plan **out, fault *why);
bool risk_is_dry(const leak_water *leak);

#endif
