/* watertest_work.h - a tank test while it is judged; only for src/accept/watertest*.c.   Units  SI, hours.   Threads  one. */
#ifndef STANCH_ACCEPT_WATERTEST_WORK_H
#define STANCH_ACCEPT_WATERTEST_WORK_H

#include "accept/watertest.h"

/* Readings that may be used, hours strictly rising. */
typedef struct {
    size_t n;
    size_t *at; /* their indices in the input */
    double *hours, *level_m;
} watertest_series;

typedef struct {
    const watertest_input *in;
    const watertest_rule *rule;
    arena *memory;
    watertest_result *out;
    bool failed; /* no memory */

    watertest_series tank, pan;
    size_t n_untold;          /* findings beyond those told */
    bool *aside;              /* of the readings of the tank, in->n_readings */
    size_t n_aside;           /* of them */
    double *rain_m;           /* fallen from the first reading given to each; input order */
    double rain_total_m;      /* over the good readings */
    bool ends_only;           /* rain told in all */
    double *celsius;          /* of each good reading; NULL: not read */
    double expansion;         /* per kelvin at the mean */
    bool units_doubted;       /* two readings, and their ratio is one of units */
    const char *hides, *adds; /* why a pass, a fail is not to be trusted; NULL */

    bool pan_open;                         /* as taken in this look */
    bool *pan_good;                        /* of the stretches between pan readings */
    double *evaporated_m, *lifted_m, *y_m; /* of each good reading, from the first; corrected level */
    double filled_m;                       /* of the evaporation, by its mean rate */

    double *weight;  /* of each corrected level in the slope, per hour */
    double loss_m_h; /* fall of the line */
    double start_m;  /* of the line at the first good reading */
    double part_m_h[WATERTEST_PARTS];
    double coverage;
    bool fitted;
} watertest_work;

/* A finding in words. */
void watertest_find(watertest_work *w, const char *format, ...) __attribute__((format(printf, 2, 3)));
const char *watertest_print(watertest_work *w, const char *format, ...) __attribute__((format(printf, 2, 3)));
const char *watertest_mm(watertest_work *w, double m); /* "4.0 mm", "0.16 in" */
/* "0.0284 ± 0.0093 % a day" */
const char *watertest_loss(watertest_work *w);
const char *watertest_amount(watertest_work *w, double of); /* in the criterion's unit */
void *watertest_get(watertest_work *w, size_t n, size_t size);

/* Sort out what can be used: clock, units, temperatures, rain, pan. */
void watertest_sort(watertest_work *w);
/* Refills and dry stretches of the pan: what cannot be used of it. */
void watertest_find_pan(watertest_work *w);
/* Set aside readings far off the line that most share, once levels are corrected; true where some were. */
bool watertest_sort_far(watertest_work *w);
/* The level rose and no rain explains it. */
void watertest_find_rise(watertest_work *w);
/* What the criterion asks and was not told, and what was not read. */
void watertest_find_missing(watertest_work *w);
/* How many findings more there are than are told. */
void watertest_find_untold(watertest_work *w);

/* Evaporation, rain and thermal lift of each good reading, and the corrected levels. */
void watertest_correct(watertest_work *w);
/* Rain fallen until `hours`, between the readings given evenly. */
double watertest_rain_until(const watertest_work *w, double hours);

/* The line and the parts of its uncertainty. */
void watertest_fit(watertest_work *w);

#endif
