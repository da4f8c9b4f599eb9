/* parts.h - what the files of learn/ share; only for src/learn.   Threads  no shared state. */
#ifndef STANCH_LEARN_PARTS_H
#define STANCH_LEARN_PARTS_H

#include "learn/learn.h"

typedef struct {
    const learn_input *in;
    arena *memory;
    fault *why;
} learning;

/* "joint", "lift", "below 10 C". */
const char *learn_kind_said(survey_kind kind);

/* One rate out of its facts or events (n above 0), with its classes and its sentence; `shipped` as it ships. */
status learn_of_facts(const learning *l, const survey_rate *shipped, const learn_fact *const *facts, size_t n,
                      learn_rate *out);
status learn_of_events(const learning *l, const survey_rate *shipped, const learn_event *const *events,
                       size_t n, learn_rate *out);

/* Offers against what came out. */
status learn_calibrate(const learning *l, learn_result *out);

/* "12 leaks in 3 jobs; 90 % between 0.66 and 0.83 h/m; shipped 0.6; own records weigh 87 %". NULL without memory. */
const char *learn_evidence(const learning *l, const learn_rate *rate);

/* A class of a rate; NULL without memory. */
learn_class *learn_add_class(const learning *l, learn_rate *rate, const char *what);

#endif
