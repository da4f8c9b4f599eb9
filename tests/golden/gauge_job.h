/* gauge_job.h - gauges with readings to draw, all invented. For tests only. */
#ifndef STANCH_TESTS_GAUGE_JOB_H
#define STANCH_TESTS_GAUGE_JOB_H

#include "diagnose/diagnosis.h"

/* A wall that is warm at mid-year, a crack that closes as it warms and drifts, read with an error. */
typedef struct {
    size_t n;
    double span_days, width_m, per_kelvin_m, per_year_m, error_m;
    double swing_k;   /* of the wall about 12 degrees Celsius over a year; 0: always the same */
    double bad_m;     /* added to one reading, two fifths along */
    bool air;         /* an air series instead, the wall 5 days behind */
    bool year;        /* the coming year from -2 to 26 degrees Celsius */
    unsigned seed;    /* of error and dates, at least 1 */
    bool ragged;      /* dates that keep no step */
    const char *name; /* NULL: "" */
    bool us;          /* units of its sentences */
} gauge_job;

/* Fitted, in `memory`; a fault fails the running test. */
diagnosis_gauge gauge_job_make(gauge_job like, arena *memory);

/* The one of the golden drawing: 15 months, growing, one bad reading. */
gauge_job gauge_job_growing(void);

#endif
