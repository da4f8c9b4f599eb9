/* progress.h - how far a plan is, as one fraction that never falls, and whether it is to stop; only for src/plan.
 *
 * Model  work done over all work, in milliseconds of one thread as we measured them: so much a leak before and after the
 *   planes, and the weight of each plane that is not in the store. Until the planes are known a guess stands for them.
 * Threads  any may add; the caller of the plan is told under the lock. */
#ifndef STANCH_PLAN_PROGRESS_H
#define STANCH_PLAN_PROGRESS_H

#include "plan/plan.h"

#include <pthread.h>

typedef struct {
    const plan_options *options;
    const atomic_bool *stop;
    pthread_mutex_t lock;
    double done_ms, all_ms, told;
    size_t n_leaks, planes, planes_done;
    const char *saying; /* NULL while the planes run */
} progress;

status progress_begin(progress *p, const plan_options *options, size_t n_leaks, fault *why);
void progress_end(progress *p);

void progress_say(progress *p, const char *saying); /* a new stage */
void progress_add(progress *p, double ms);          /* done now */
void progress_set_planes(progress *p, size_t n, double ms);
void progress_next_plane(progress *p);
void progress_finish(progress *p); /* tells 1 */

/* E_STATE "stopped" when somebody asked for it. */
status progress_stopped(const progress *p, fault *why);

/* Of one leak: looking, designing; measuring, pricing, writing its card. Measured on a job of 500 leaks. */
#define PROGRESS_LOOK_MS 0.2
#define PROGRESS_REST_MS 0.4

/* Of all works: so much a leak, and no more than so much. Measured on jobs of 20 and of 300 leaks. */
#define PROGRESS_WORKS_MS 50.0
#define PROGRESS_WORKS_MOST_MS 10000.0
double progress_works_ms(const progress *p);

#endif
