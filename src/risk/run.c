#include "risk/run.h"

#include <math.h>
#include <pthread.h>
#include <string.h>

enum { SIDES = 2, BLOCK = 1024 }; /* a block of all that a term touches stays in the nearest cache */

typedef struct {
    const risk_model *m;
    const spread_options *options;
    size_t runs, kept_runs, n_moving;
    size_t *moving;  /* where an amount's column stands; SIZE_MAX: nowhere */
    float *kept;     /* kept_runs an input */
    double **values; /* a column of each value that is an input */
} shared;

typedef struct {
    const shared *all;
    size_t side;
    spread_sampler *sampler;
    double *amounts; /* n_moving columns */
    double *length, *wet;
    status code;
    fault why;
} side;

static status sample(side *s, int input, double *column) {
    size_t n = s->all->kept_runs;
    status code = spread_sample(s->sampler, (size_t)input, &s->all->m->items[input], column, &s->why);
    float *kept = s->all->kept + (size_t)input * n;
    for (size_t k = 0; code == OK && k < n; k++) kept[k] = (float)column[k];
    return code;
}

static void add_block(const risk_leak *leak, const risk_term *t, const double *length, const double *wet,
                      size_t n, double *to) {
    if (leak->wet == RISK_NONE)
        for (size_t k = 0; k < n; k++) to[k] += t->by_length * length[k];
    else if (leak->length == RISK_NONE)
        for (size_t k = 0; k < n; k++) to[k] += t->by_wet * wet[k];
    else
        for (size_t k = 0; k < n; k++)
            to[k] += t->by_length * length[k] + wet[k] * (t->by_wet + t->by_both * length[k]);
}

static status add_leak(side *s, const risk_leak *leak) {
    status code = OK;
    if (leak->n_terms == 0) return OK;
    if (leak->length != RISK_NONE) code = sample(s, leak->length, s->length);
    if (code == OK && leak->wet != RISK_NONE) code = sample(s, leak->wet, s->wet);
    for (size_t from = 0; code == OK && from < s->all->runs; from += BLOCK) {
        size_t n = s->all->runs - from < BLOCK ? s->all->runs - from : BLOCK;
        for (size_t i = 0; i < leak->n_terms; i++)
            add_block(leak, &leak->terms[i], s->length + from, s->wet + from, n,
                      s->amounts + s->all->moving[leak->terms[i].amount] * s->all->runs + from);
    }
    return code;
}

static void *work(void *argument) {
    side *s = argument;
    const risk_model *m = s->all->m;
    s->code = spread_begin(s->all->options, &s->sampler, &s->why);
    for (size_t i = s->side; s->code == OK && i < m->n_leaks; i += SIDES) s->code = add_leak(s, &m->leaks[i]);
    for (size_t v = s->side; s->code == OK && v < VALUES; v += SIDES)
        if (m->value_input[v] != RISK_NONE) s->code = sample(s, m->value_input[v], s->all->values[v]);
    spread_end(s->sampler);
    return NULL;
}

static status run_sides(side sides[SIDES], fault *why) {
    pthread_t other;
    bool started = pthread_create(&other, NULL, work, &sides[1]) == 0;
    work(&sides[0]);
    if (started)
        pthread_join(other, NULL);
    else
        work(&sides[1]);
    for (size_t i = 0; i < SIDES; i++)
        if (sides[i].code != OK) return fault_set(why, sides[i].code, "%s", sides[i].why.text);
    return OK;
}

static void price_runs(const shared *all, const side sides[SIDES], double *amounts, double *prices) {
    const risk_model *m = all->m;
    double values[VALUES];
    memcpy(amounts, m->constants, m->n_amounts * sizeof *amounts);
    memcpy(values, m->values, sizeof values);
    for (size_t k = 0; k < all->runs; k++) {
        for (size_t at = 0; at < m->n_amounts; at++) {
            if (all->moving[at] == SIZE_MAX) continue;
            size_t place = all->moving[at] * all->runs + k;
            amounts[at] = m->constants[at] + (sides[0].amounts[place] + sides[1].amounts[place]);
        }
        for (size_t v = 0; v < VALUES; v++)
            if (all->values[v]) values[v] = all->values[v][k];
        prices[k] = risk_cost(&m->costing, amounts, values);
    }
}

static double squared_correlation(const float *a, const double *b, double mean_b, double bb, size_t n) {
    double sum = 0, aa = 0, ab = 0;
    for (size_t k = 0; k < n; k++) sum += (double)a[k];
    double mean = sum / (double)n;
    for (size_t k = 0; k < n; k++) {
        double x = (double)a[k] - mean;
        aa += x * x;
        ab += x * (b[k] - mean_b);
    }
    return aa > 0 && bb > 0 ? ab / aa * (ab / bb) : 0;
}

static void correlate(const shared *all, const double *prices, double *squared) {
    size_t n = all->kept_runs;
    double sum = 0, bb = 0;
    for (size_t k = 0; k < n; k++) sum += prices[k];
    double mean = sum / (double)n;
    for (size_t k = 0; k < n; k++) bb += (prices[k] - mean) * (prices[k] - mean);
    for (size_t i = 0; i < all->m->n_inputs; i++)
        squared[i] = squared_correlation(all->kept + i * n, prices, mean, bb, n);
}

/* Columns for the amounts that some leak moves. */
static status find_moving(shared *all, fault *why) {
    const risk_model *m = all->m;
    all->moving = mem_get(m->n_amounts, sizeof *all->moving);
    if (!all->moving) return fault_memory(why);
    for (size_t at = 0; at < m->n_amounts; at++) all->moving[at] = SIZE_MAX;
    for (size_t i = 0; i < m->n_leaks; i++)
        for (size_t t = 0; t < m->leaks[i].n_terms; t++) {
            size_t at = m->leaks[i].terms[t].amount;
            if (all->moving[at] == SIZE_MAX) all->moving[at] = all->n_moving++;
        }
    return OK;
}

static status make_room(shared *all, side sides[SIDES], fault *why) {
    const risk_model *m = all->m;
    size_t n = m->n_inputs ? m->n_inputs : 1;
    all->kept_runs = all->runs < RUN_KEPT / n ? all->runs : RUN_KEPT / n;
    all->kept = mem_get(m->n_inputs, all->kept_runs * sizeof *all->kept);
    all->values = mem_zero(VALUES, sizeof *all->values);
    if (!all->kept || !all->values) return fault_memory(why);
    for (size_t v = 0; v < VALUES; v++)
        if (m->value_input[v] != RISK_NONE) {
            all->values[v] = mem_get(all->runs, sizeof **all->values);
            if (!all->values[v]) return fault_memory(why);
        }
    for (size_t i = 0; i < SIDES; i++) {
        sides[i].amounts = mem_zero(all->n_moving * all->runs, sizeof *sides[i].amounts);
        sides[i].length = mem_zero(all->runs, sizeof *sides[i].length);
        sides[i].wet = mem_zero(all->runs, sizeof *sides[i].wet);
        if (!sides[i].amounts || !sides[i].length || !sides[i].wet) return fault_memory(why);
    }
    return OK;
}

static void give_back(shared *all, side sides[SIDES]) {
    for (size_t v = 0; all->values && v < VALUES; v++) mem_free(all->values[v]);
    for (size_t i = 0; i < SIDES; i++) {
        mem_free(sides[i].amounts);
        mem_free(sides[i].length);
        mem_free(sides[i].wet);
    }
    mem_free(all->values);
    mem_free(all->kept);
    mem_free(all->moving);
}

status risk_runs(const risk_model *m, const spread_options *options, double *prices, double *squared,
                 fault *why) {
    shared all = {.m = m, .options = options, .runs = options->runs};
    side sides[SIDES] = {{.all = &all, .side = 0}, {.all = &all, .side = 1}};
    double *amounts = mem_get(m->n_amounts, sizeof *amounts);
    status code = amounts ? find_moving(&all, why) : fault_memory(why);
    if (code == OK) code = make_room(&all, sides, why);
    if (code == OK) code = run_sides(sides, why);
    if (code == OK) {
        price_runs(&all, sides, amounts, prices);
        correlate(&all, prices, squared);
    }
    give_back(&all, sides);
    mem_free(amounts);
    return code;
}
