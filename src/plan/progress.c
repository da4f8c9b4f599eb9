#include "plan/progress.h"

#include <math.h>
#include <stdio.h>

#define GUESS_MS 100.0 /* of planes a leak, before they are known: one of two leaks has one of 200 ms */

status progress_begin(progress *p, const plan_options *options, size_t n_leaks, fault *why) {
    double a_leak = PROGRESS_LOOK_MS + PROGRESS_REST_MS;
    if (options->planes == PLANES_RUN) a_leak += GUESS_MS;
    *p = (progress){.options = options,
                    .stop = options->stop,
                    .n_leaks = n_leaks,
                    .all_ms = fmax(a_leak * (double)n_leaks, 1)};
    p->all_ms += progress_works_ms(p);
    if (pthread_mutex_init(&p->lock, NULL) != 0) return fault_memory(why);
    return OK;
}

double progress_works_ms(const progress *p) {
    return p->options->works ? fmin(PROGRESS_WORKS_MS * (double)p->n_leaks, PROGRESS_WORKS_MOST_MS) : 0;
}

void progress_end(progress *p) {
    pthread_mutex_destroy(&p->lock);
}

/* With the lock held. */
static void tell(progress *p, double part) {
    char plane[64];
    if (!p->options->progress) return;
    p->told = fmin(fmax(part, p->told), 1);
    size_t now = p->planes_done < p->planes ? p->planes_done + 1 : p->planes;
    if (!p->saying) snprintf(plane, sizeof plane, "crack plane %zu of %zu", now, p->planes);
    p->options->progress(p->options->progress_to, p->told, p->saying ? p->saying : plane);
}

void progress_say(progress *p, const char *saying) {
    pthread_mutex_lock(&p->lock);
    p->saying = saying;
    tell(p, p->done_ms / p->all_ms);
    pthread_mutex_unlock(&p->lock);
}

void progress_add(progress *p, double ms) {
    pthread_mutex_lock(&p->lock);
    p->done_ms += ms;
    tell(p, fmin(p->done_ms / p->all_ms, 0.999)); /* 1 is said at the end only */
    pthread_mutex_unlock(&p->lock);
}

void progress_set_planes(progress *p, size_t n, double ms) {
    pthread_mutex_lock(&p->lock);
    double leaks = (double)p->n_leaks;
    p->all_ms = fmax(leaks * (PROGRESS_LOOK_MS + PROGRESS_REST_MS) + ms + progress_works_ms(p), 1);
    p->planes = n;
    p->saying = n > 0 ? NULL : p->saying;
    pthread_mutex_unlock(&p->lock);
}

void progress_next_plane(progress *p) {
    pthread_mutex_lock(&p->lock);
    p->planes_done++;
    pthread_mutex_unlock(&p->lock);
}

void progress_finish(progress *p) {
    progress_say(p, "planned");
    pthread_mutex_lock(&p->lock);
    tell(p, 1);
    pthread_mutex_unlock(&p->lock);
}

status progress_stopped(const progress *p, fault *why) {
    return plane_stopped(p->stop, why);
}
