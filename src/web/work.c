#include "web/work.h"

#include <pthread.h>
#include <stdio.h>
#include <string.h>

const char *const work_state_words[] = {"waiting", "running", "done", "failed", "stopped"};

enum { SAYING = 160, NAME = 256 };

struct work {
    works *all;
    long long number; /* 0: an empty place */
    work_order order;
    char what[32], job[NAME], saying[SAYING];
    work_state state;
    double part;
    fault why;
    atomic_bool stop;
};

struct works {
    pthread_mutex_t lock;
    pthread_cond_t more;
    pthread_t worker;
    bool ending;
    long long last;
    work places[WORK_KEPT];
};

const atomic_bool *work_stopping(const work *self) {
    return &self->stop;
}

void work_progress(void *self, double part, const char *saying) {
    work *w = self;
    pthread_mutex_lock(&w->all->lock);
    if (part > w->part) w->part = part < 1 ? part : 1;
    snprintf(w->saying, sizeof w->saying, "%s", saying);
    pthread_mutex_unlock(&w->all->lock);
}

static bool is_open(const work *w) {
    return w->number != 0 && (w->state == WORK_WAITING || w->state == WORK_RUNNING);
}

/* ---- the worker; with the lock ---- */

static work *oldest_waiting(works *all) {
    work *found = NULL;
    for (size_t i = 0; i < WORK_KEPT; i++) {
        work *w = &all->places[i];
        if (w->number != 0 && w->state == WORK_WAITING && (!found || w->number < found->number)) found = w;
    }
    return found;
}

static void run_one(works *all, work *w) {
    fault why = {0};
    bool begin = !atomic_load(&w->stop);
    w->state = begin ? WORK_RUNNING : WORK_STOPPED;
    pthread_mutex_unlock(&all->lock);
    status code = begin ? w->order.run(w->order.data, w, &why) : OK;
    w->order.end(w->order.data);
    pthread_mutex_lock(&all->lock);
    if (!begin) return;
    w->why = why;
    w->state = code == OK ? WORK_DONE : atomic_load(&w->stop) ? WORK_STOPPED : WORK_FAILED;
    if (code == OK) w->part = 1;
}

static void *work_on(void *data) {
    works *all = data;
    pthread_mutex_lock(&all->lock);
    while (!all->ending) {
        work *next = oldest_waiting(all);
        if (next)
            run_one(all, next);
        else
            pthread_cond_wait(&all->more, &all->lock);
    }
    pthread_mutex_unlock(&all->lock);
    return NULL;
}

/* ---- made and ended with the server ---- */

static void *make(web_server *s) {
    (void)s;
    works *all = mem_zero(1, sizeof *all);
    if (!all) return NULL;
    pthread_mutex_init(&all->lock, NULL);
    pthread_cond_init(&all->more, NULL);
    if (pthread_create(&all->worker, NULL, work_on, all) == 0) return all;
    pthread_cond_destroy(&all->more);
    pthread_mutex_destroy(&all->lock);
    mem_free(all);
    return NULL;
}

static void end(void *data) {
    works *all = data;
    pthread_mutex_lock(&all->lock);
    all->ending = true;
    for (size_t i = 0; i < WORK_KEPT; i++) atomic_store(&all->places[i].stop, true);
    pthread_cond_signal(&all->more);
    pthread_mutex_unlock(&all->lock);
    pthread_join(all->worker, NULL);
    for (size_t i = 0; i < WORK_KEPT; i++) /* those that never began */
        if (all->places[i].number != 0 && all->places[i].state == WORK_WAITING)
            all->places[i].order.end(all->places[i].order.data);
    pthread_cond_destroy(&all->more);
    pthread_mutex_destroy(&all->lock);
    mem_free(all);
}

works *works_of(web_server *s) {
    return web_server_keep(s, WEB_KEEP_WORK, make, end);
}

/* ---- from handlers ---- */

/* An empty place, or that of the oldest that is over; NULL when too many wait. */
static work *find_place(works *all) {
    work *found = NULL;
    size_t waiting = 0;
    for (size_t i = 0; i < WORK_KEPT; i++) {
        work *w = &all->places[i];
        waiting += is_open(w);
        if (!is_open(w) && (!found || w->number < found->number)) found = w;
    }
    return waiting < WORK_WAITING_MOST ? found : NULL;
}

static work *find_same(works *all, const work_order *order) {
    for (size_t i = 0; i < WORK_KEPT; i++) {
        work *w = &all->places[i];
        if (is_open(w) && !atomic_load(&w->stop) && strcmp(w->what, order->what) == 0 &&
            strcmp(w->job, order->job) == 0)
            return w;
    }
    return NULL;
}

static void fill(works *all, work *w, const work_order *order) {
    w->all = all;
    w->number = ++all->last;
    w->order = *order;
    w->state = WORK_WAITING;
    w->part = 0;
    w->why = (fault){0};
    atomic_store(&w->stop, false);
    snprintf(w->what, sizeof w->what, "%s", order->what);
    snprintf(w->job, sizeof w->job, "%s", order->job);
    snprintf(w->saying, sizeof w->saying, "waiting");
}

status works_start(works *all, const work_order *order, long long *number, fault *why) {
    pthread_mutex_lock(&all->lock);
    work *same = find_same(all, order), *place = same ? NULL : find_place(all);
    if (place) fill(all, place, order);
    if (same || place) *number = (same ? same : place)->number;
    pthread_cond_signal(&all->more);
    pthread_mutex_unlock(&all->lock);
    if (place) return OK;
    order->end(order->data);
    return same ? OK
                : fault_set(why, E_BUSY, "%d pieces of work are waiting already; try again when one is done",
                            (int)WORK_WAITING_MOST);
}

static work *find_number(works *all, long long number) {
    for (size_t i = 0; number > 0 && i < WORK_KEPT; i++)
        if (all->places[i].number == number) return &all->places[i];
    return NULL;
}

bool works_look(works *all, long long number, arena *memory, work_view *out) {
    pthread_mutex_lock(&all->lock);
    const work *w = find_number(all, number);
    if (w)
        *out = (work_view){.what = arena_copy(memory, w->what),
                           .job = arena_copy(memory, w->job),
                           .saying = arena_copy(memory, w->saying),
                           .fault = w->state == WORK_FAILED ? arena_copy(memory, w->why.text) : NULL,
                           .state = w->state,
                           .part = w->part};
    pthread_mutex_unlock(&all->lock);
    return w && out->what && out->job && out->saying;
}

bool works_stop(works *all, long long number) {
    pthread_mutex_lock(&all->lock);
    work *w = find_number(all, number);
    if (w) atomic_store(&w->stop, true);
    pthread_mutex_unlock(&all->lock);
    return w != NULL;
}
