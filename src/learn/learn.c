#include "learn/learn.h"

#include "learn/parts.h"
#include "survey/catalogue.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

learn_class *learn_add_class(const learning *l, learn_rate *rate, const char *what) {
    learn_class *list = arena_push(l->memory, rate->classes, &rate->n_classes, sizeof *list);
    if (!list) return NULL;
    rate->classes = list;
    list[rate->n_classes - 1].what = what;
    return &list[rate->n_classes - 1];
}

/* ---- what comes in ---- */

static const survey_rate *find(const survey *catalogue, const char *id) {
    for (size_t i = 0; i < catalogue->n_rates; i++)
        if (strcmp(catalogue->rates[i].id, id) == 0) return &catalogue->rates[i];
    return NULL;
}

static bool is_positive(double value) {
    return value > 0 && isfinite(value);
}

static status check_fact(const survey *catalogue, const learn_fact *f, size_t at, fault *why) {
    if (!find(catalogue, f->rate))
        return fault_set(why, E_INPUT, "fact %zu: %s is no rate of the catalogue", at + 1, f->rate);
    if (!is_positive(f->value))
        return fault_set(why, E_INPUT, "fact %zu: %s is %g; it must be above 0", at + 1, f->rate, f->value);
    if (!is_positive(f->quantity))
        return fault_set(why, E_INPUT, "fact %zu: the quantity of %s is %g; it must be above 0", at + 1,
                         f->rate, f->quantity);
    return OK;
}

static status check_price(const learn_price *p, fault *why) {
    if (!p->p20.known || !p->p80.known || p->p20.v <= p->p80.v) return OK;
    return fault_set(why, E_INPUT, "job %s: P20 of its offer is %.2f, above P80, %.2f", p->job, p->p20.v,
                     p->p80.v);
}

static status check(const learn_input *in, const survey *catalogue, fault *why) {
    status code = OK;
    for (size_t i = 0; code == OK && i < in->n_facts; i++)
        code = check_fact(catalogue, &in->facts[i], i, why);
    for (size_t i = 0; code == OK && i < in->n_events; i++)
        if (!find(catalogue, in->events[i].rate))
            code = fault_set(why, E_INPUT, "event %zu: %s is no rate of the catalogue", i + 1,
                             in->events[i].rate);
    for (size_t i = 0; code == OK && i < in->n_prices; i++) code = check_price(&in->prices[i], why);
    return code;
}

/* ---- one rate after the other ---- */

static int by_job_of_fact(const void *a, const void *b) {
    const learn_fact *const *first = a, *const *second = b;
    if ((*first)->job != (*second)->job) return (*first)->job < (*second)->job ? -1 : 1;
    return (*first > *second) - (*first < *second); /* of one array: the order in which they came */
}

static int by_job_of_event(const void *a, const void *b) {
    const learn_event *const *first = a, *const *second = b;
    if ((*first)->job != (*second)->job) return (*first)->job < (*second)->job ? -1 : 1;
    return (*first > *second) - (*first < *second);
}

/* Room for a list of pointers, used again for each rate. */
typedef struct {
    const learn_fact **facts;
    const learn_event **events;
    size_t n_facts, n_events;
} collected;

static void collect(const learn_input *in, const char *id, collected *of) {
    of->n_facts = of->n_events = 0;
    for (size_t i = 0; i < in->n_facts; i++)
        if (strcmp(in->facts[i].rate, id) == 0) of->facts[of->n_facts++] = &in->facts[i];
    for (size_t i = 0; i < in->n_events; i++)
        if (strcmp(in->events[i].rate, id) == 0) of->events[of->n_events++] = &in->events[i];
    if (of->n_facts) qsort(of->facts, of->n_facts, sizeof *of->facts, by_job_of_fact);
    if (of->n_events) qsort(of->events, of->n_events, sizeof *of->events, by_job_of_event);
}

static status learn_one(const learning *l, const survey_rate *shipped, collected *of, learn_result *out) {
    collect(l->in, shipped->id, of);
    if (!of->n_facts && !of->n_events) return OK;
    learn_rate *rates = arena_push(l->memory, out->rates, &out->n_rates, sizeof *rates);
    if (!rates) return fault_memory(l->why);
    out->rates = rates;
    learn_rate *rate = &rates[out->n_rates - 1];
    *rate = (learn_rate){
        .id = shipped->id, .label = shipped->label, .unit = shipped->unit, .shipped = shipped->value};
    status code = of->n_facts ? learn_of_facts(l, shipped, of->facts, of->n_facts, rate)
                              : learn_of_events(l, shipped, of->events, of->n_events, rate);
    if (code != OK) return code;
    rate->evidence = learn_evidence(l, rate);
    return rate->evidence ? OK : fault_memory(l->why);
}

static status learn_rates(const learning *l, const survey *catalogue, learn_result *out) {
    collected of = {.facts = arena_get(l->memory, l->in->n_facts, sizeof *of.facts),
                    .events = arena_get(l->memory, l->in->n_events, sizeof *of.events)};
    if (!of.facts || !of.events) return fault_memory(l->why);
    status code = check(l->in, catalogue, l->why);
    for (size_t i = 0; code == OK && i < catalogue->n_rates; i++)
        code = learn_one(l, &catalogue->rates[i], &of, out);
    return code;
}

status learn_estimate_all(const learn_input *in, arena *memory, learn_result *out, fault *why) {
    const learning l = {in, memory, why};
    *out = (learn_result){.jobs = in->n_jobs, .leaks = in->n_leaks};
    survey *catalogue = survey_new(); /* its texts are the program's: they outlive it */
    if (!catalogue) return fault_memory(why);
    status code = survey_catalogue_fill(catalogue, why);
    if (code == OK) code = learn_rates(&l, catalogue, out);
    if (code == OK) code = learn_calibrate(&l, out);
    survey_free(catalogue);
    if (code != OK) *out = (learn_result){0};
    return code;
}
