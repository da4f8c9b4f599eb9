#include "crew/schedule_check.h"

typedef struct {
    const schedule_problem *p;
    int *longest; /* window of each calendar */
    fault *why;
} checking;

static status check_lags(const checking *k, size_t i) {
    const schedule_task *t = &k->p->tasks[i];
    for (size_t a = 0; a < t->n_after; a++) {
        const schedule_after *arc = &t->after[a];
        if (!(arc->task < k->p->n_tasks) || arc->task == i)
            return fault_set(k->why, E_INPUT, "task %s: waits for %s", t->id,
                             arc->task == i ? "itself" : "a task that is not there");
        const char *earlier = k->p->tasks[arc->task].id;
        if (arc->min_lag < 0 || arc->min_lag > SCHEDULE_MOST_MINUTES)
            return fault_set(k->why, E_INPUT,
                             "task %s after %s: minimum lag %d minutes; it must lie in 0 to %d", t->id,
                             earlier, arc->min_lag, (int)SCHEDULE_MOST_MINUTES);
        if (arc->max_lag == SCHEDULE_NO_LIMIT) continue;
        if (arc->max_lag < 0 || arc->max_lag > SCHEDULE_MOST_MINUTES)
            return fault_set(k->why, E_INPUT,
                             "task %s after %s: maximum lag %d minutes; it must lie in 0 to %d", t->id,
                             earlier, arc->max_lag, (int)SCHEDULE_MOST_MINUTES);
        if (arc->max_lag < arc->min_lag)
            return fault_set(k->why, E_INPUT, "task %s after %s: maximum lag %d is below the minimum lag %d",
                             t->id, earlier, arc->max_lag, arc->min_lag);
    }
    return OK;
}

static status check_calendar(const checking *k, size_t i) {
    const schedule_task *t = &k->p->tasks[i];
    if (t->calendar == SCHEDULE_ALWAYS) return OK;
    if (t->calendar < 0 || (size_t)t->calendar >= k->p->n_calendars)
        return fault_set(k->why, E_INPUT, "task %s: calendar %d is not there", t->id, t->calendar);
    const schedule_calendar *c = &k->p->calendars[t->calendar];
    if (t->minutes > k->longest[t->calendar])
        return fault_set(k->why, E_INPUT,
                         "task %s: %d minutes are longer than every shift (the longest has %d)", t->id,
                         t->minutes, k->longest[t->calendar]);
    if (c->n == 0 || t->earliest > c->windows[c->n - 1].to)
        return fault_set(k->why, E_INPUT, "task %s: no shift is left for it; the shifts end too early",
                         t->id);
    return OK;
}

static status check_task(const checking *k, size_t i) {
    const schedule_task *t = &k->p->tasks[i];
    if (t->minutes < 0 || t->minutes > SCHEDULE_MOST_MINUTES)
        return fault_set(k->why, E_INPUT, "task %s: %d minutes; it must lie in 0 to %d", t->id, t->minutes,
                         (int)SCHEDULE_MOST_MINUTES);
    if (t->earliest < 0 || t->earliest > SCHEDULE_MOST_MINUTES)
        return fault_set(k->why, E_INPUT, "task %s: earliest start %d; it must lie in 0 to %d", t->id,
                         t->earliest, (int)SCHEDULE_MOST_MINUTES);
    for (size_t r = 0; r < k->p->n_resources; r++)
        if (t->needs[r] < 0 || t->needs[r] > k->p->resources[r].capacity)
            return fault_set(k->why, E_INPUT,
                             "task %s: needs %d of %s; it must lie in 0 to %d, what there is", t->id,
                             t->needs[r], k->p->resources[r].name, k->p->resources[r].capacity);
    status code = check_lags(k, i);
    return code == OK ? check_calendar(k, i) : code;
}

static status check_resources(const checking *k) {
    const schedule_problem *p = k->p;
    if (p->n_resources > SCHEDULE_MOST_RESOURCES)
        return fault_set(k->why, E_INPUT, "%zu resources; at most %d", p->n_resources,
                         (int)SCHEDULE_MOST_RESOURCES);
    for (size_t r = 0; r < p->n_resources; r++)
        if (p->resources[r].capacity < 0 || p->resources[r].capacity > SCHEDULE_MOST_CAPACITY)
            return fault_set(k->why, E_INPUT, "resource %s: capacity %d; it must lie in 0 to %d",
                             p->resources[r].name, p->resources[r].capacity, (int)SCHEDULE_MOST_CAPACITY);
    return OK;
}

static status check_windows(const checking *k, size_t c) {
    const schedule_calendar *calendar = &k->p->calendars[c];
    for (size_t w = 0; w < calendar->n; w++) {
        const schedule_window *at = &calendar->windows[w];
        int least = w > 0 ? calendar->windows[w - 1].to : 0;
        if (at->from < least || at->to <= at->from || at->to > SCHEDULE_MOST_MINUTES)
            return fault_set(k->why, E_INPUT,
                             "shift %zu: %d to %d minutes; shifts must rise, not overlap and lie in 0 to %d",
                             w + 1, at->from, at->to, (int)SCHEDULE_MOST_MINUTES);
        if (at->to - at->from > k->longest[c]) k->longest[c] = at->to - at->from;
    }
    return OK;
}

status schedule_check(const schedule_problem *p, arena *memory, fault *why) {
    checking k = {.p = p, .why = why};
    if (p->n_tasks < 1 || p->n_tasks > SCHEDULE_MOST_TASKS)
        return fault_set(why, E_INPUT, "%zu tasks; there must be 1 to %d", p->n_tasks,
                         (int)SCHEDULE_MOST_TASKS);
    k.longest = arena_get(memory, p->n_calendars, sizeof *k.longest);
    if (!k.longest) return fault_memory(why);
    status code = check_resources(&k);
    for (size_t c = 0; code == OK && c < p->n_calendars; c++) code = check_windows(&k, c);
    for (size_t i = 0; code == OK && i < p->n_tasks; i++) code = check_task(&k, i);
    return code;
}
