/* errand.h - what a work of the queue is told by the request that starts it.
 *
 * Threads  made by a handler, then the worker's. */
#ifndef STANCH_WEB_ERRAND_H
#define STANCH_WEB_ERRAND_H

#include "core/clock.h"
#include "stats/spread.h"
#include "web/plans.h"
#include "web/work.h"

typedef struct {
    web_server *server;
    char *path, *now, *address; /* of the job file; YYYY-MM-DDTHH:MM:SSZ; what the server is reached by */
    bool planes;                /* of planning */
    double temperature_c;       /* of the works at another temperature ... */
    char *name;                 /* ... and under which they are kept with the plan */
    char *who;                  /* for the log */
    char on[11];                /* of an offer, a handover: the date on it */
    spread_options spread;      /* of the risk of a price */
} errand;

/* NULL without memory. `name`: as above, "" for works that keep none. */
errand *errand_make(const web_request *r, const char *path, const char *name);

/* One of {"on", "runs", "seed"}, the last two of which may be left out. E_INPUT. (api_offer.c) */
status errand_make_dated(const web_request *r, const char *path, errand **out, fault *why);

/* Queue it and answer {"work": n}; the errand is the queue's from now on, NULL is no memory. `what`: work.h. */
status errand_start(const web_request *r, const char *what, work_run *run, errand *e, web_response *out,
                    fault *why);

/* A text that was made of a held plan, kept with it under a name; takes its lock for that. */
status errand_keep(const errand *e, held *of, const char *name, const char *made, fault *why);

/* The moment of the request by the local clock, as ops_plan_request wants it. */
typedef struct {
    char now[CLOCK_TEXT];
    int utc_offset_min;
} errand_clock;
status errand_tell_clock(const errand *e, errand_clock *out, fault *why);

#endif
