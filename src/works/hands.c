#include "works/hands.h"

#include "repair/tools.h"
#include "works/hands_parts.h"
#include "works/parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { OVERTIME_MIN = 720 }; /* our default: longer after the shift began it is another day's work */

bool hands_able(const survey *s, size_t worker, int skill) {
    const survey_work *w = &s->site.work;
    if (w->n_workers == 0 || skill == WORKER_ANY) return true;
    if (worker >= w->n_workers) return false;
    const survey_worker *one = &w->workers[worker];
    return skill == WORKER_CUTTER ? one->cuts : skill == WORKER_PLACER ? one->places : one->mixes;
}

bool hands_may(const hands *h, size_t place, int worker) {
    return hands_able(h->s, (size_t)worker, h->places[place].skill);
}

bool hands_free(const hands *h, size_t place, int worker, size_t but_for) {
    for (size_t i = h->near_from[place]; i < h->near_from[place + 1]; i++)
        if (h->near_to[i] != but_for && h->places[h->near_to[i]].worker == worker) return false;
    return true;
}

/* ---- sums ---- */

/* Those who may hold a task's tool: its cutters where it wants some, else all its people. */
static bool holds(const hands *h, const hands_place *p) {
    const works_task *t = &h->plan->tasks[p->task];
    return p->worker != HANDS_NOBODY &&
           (t->people[WORKER_CUTTER] == 0 || hands_able(h->s, (size_t)p->worker, WORKER_CUTTER));
}

double hands_points(const hands *h, size_t place) {
    size_t task = h->places[place].task;
    int holders = 0;
    if (!holds(h, &h->places[place])) return 0;
    for (size_t p = h->first[task]; p < h->first[task + 1]; p++) holders += holds(h, &h->places[p]);
    return h->loads[task].points / holders;
}

void hands_count(hands *h, size_t task, double sign) {
    const hands_load *load = &h->loads[task];
    if (!load->tool) return;
    for (size_t p = h->first[task]; p < h->first[task + 1]; p++) {
        const hands_place *at = &h->places[p];
        if (at->worker == HANDS_NOBODY) continue;
        hands_day *sum = &h->sums[load->day * h->n_workers + (size_t)at->worker];
        sum->points += sign * hands_points(h, p);
        sum->dose_percent += sign * load->dose_percent;
        sum->silica_min += sign * load->silica_min;
    }
}

void hands_put(hands *h, size_t place, int worker) {
    hands_place *p = &h->places[place];
    const works_task *t = &h->plan->tasks[p->task];
    int minutes = t->end_min - t->start_min;
    int *on_leak = t->leak == SIZE_MAX ? NULL : &h->on_leak[t->leak * h->n_workers];
    hands_count(h, p->task, -1);
    if (p->worker != HANDS_NOBODY) {
        h->minutes[p->worker] -= minutes;
        if (on_leak) on_leak[p->worker]--;
    }
    p->worker = worker;
    if (worker != HANDS_NOBODY) {
        h->minutes[worker] += minutes;
        if (on_leak) on_leak[worker]++;
    }
    hands_count(h, p->task, 1);
}

/* ---- places ---- */

static size_t wanted(const works_task *t) {
    size_t n = 0;
    if (t->done) return t->n_workers; /* who did it is known, or it is nobody's affair now */
    for (int k = 0; k < WORKER_KINDS; k++) n += (size_t)t->people[k];
    return n;
}

static status make_places(hands *h, fault *why) {
    const works_plan *plan = h->plan;
    h->first = arena_get(h->memory, plan->n_tasks + 1, sizeof *h->first);
    if (!h->first) return fault_memory(why);
    for (size_t t = 0; t < plan->n_tasks; t++) h->first[t + 1] = h->first[t] + wanted(&plan->tasks[t]);
    h->n_places = h->first[plan->n_tasks];
    h->places = arena_get(h->memory, h->n_places, sizeof *h->places);
    if (!h->places) return fault_memory(why);
    for (size_t t = 0; t < plan->n_tasks; t++) {
        size_t p = h->first[t];
        for (int k = 0; k < WORKER_KINDS; k++)
            for (int i = 0; i < plan->tasks[t].people[k] && p < h->first[t + 1]; i++, p++)
                h->places[p] = (hands_place){.task = t, .skill = k, .worker = HANDS_NOBODY};
        for (; p < h->first[t + 1]; p++) /* more did it than were wanted */
            h->places[p] = (hands_place){.task = t, .skill = WORKER_ANY, .worker = HANDS_NOBODY};
    }
    return OK;
}

typedef struct {
    int start;
    size_t place;
} started;

static int by_start(const void *a, const void *b) {
    const started *x = a, *y = b;
    if (x->start != y->start) return x->start < y->start ? -1 : 1;
    return (x->place > y->place) - (x->place < y->place);
}

static bool overlap(const hands *h, size_t early, size_t late) {
    size_t a = h->places[early].task, b = h->places[late].task;
    return a == b || h->plan->tasks[b].start_min < h->plan->tasks[a].end_min;
}

/* Pairs of places that no one person can hold; `to` NULL: only counted. Places of a task without length lie side by side. */
static void pair_up(const hands *h, size_t *next, size_t *to) {
    for (size_t i = 0; i < h->n_places; i++)
        for (size_t k = i + 1; k < h->n_places && overlap(h, h->by_start[i], h->by_start[k]); k++) {
            size_t a = h->by_start[i], b = h->by_start[k];
            if (to) {
                to[next[a]] = b;
                to[next[b]] = a;
            }
            next[a]++;
            next[b]++;
        }
}

static status make_near(hands *h, fault *why) {
    size_t n = h->n_places;
    started *order = arena_get(h->memory, n, sizeof *order);
    size_t *next = arena_get(h->memory, n, sizeof *next);
    h->by_start = arena_get(h->memory, n, sizeof *h->by_start);
    h->near_from = arena_get(h->memory, n + 1, sizeof *h->near_from);
    if (!order || !next || !h->by_start || !h->near_from) return fault_memory(why);
    for (size_t p = 0; p < n; p++) order[p] = (started){h->plan->tasks[h->places[p].task].start_min, p};
    qsort(order, n, sizeof *order, by_start);
    for (size_t p = 0; p < n; p++) h->by_start[p] = order[p].place;
    pair_up(h, next, NULL);
    for (size_t p = 0; p < n; p++) h->near_from[p + 1] = h->near_from[p] + next[p];
    h->near_to = arena_get(h->memory, h->near_from[n], sizeof *h->near_to);
    if (!h->near_to) return fault_memory(why);
    memcpy(next, h->near_from, n * sizeof *next);
    pair_up(h, next, h->near_to);
    return OK;
}

/* ---- loads ---- */

/* Of the shift in which it starts, or that began less than OVERTIME_MIN before; else of the calendar. Never falls. */
static int day_of(const works_plan *plan, int start_min) {
    const works_shift *last = NULL;
    for (size_t i = 0; i < plan->n_shifts && plan->shifts[i].from_min <= start_min; i++)
        last = &plan->shifts[i];
    bool in = last && (start_min < last->to_min || start_min - last->from_min < OVERTIME_MIN);
    return in ? last->day : start_min / WORKS_DAY_MIN;
}

static hands_load load_of(const hands *h, const works_task *t) {
    hands_load out = {0};
    if (t->leak == SIZE_MAX) return out;
    out.tool = tool_of_step(&h->s->defects[t->leak], &h->designs[t->leak], t->step);
    double minutes = t->end_min - t->start_min;
    if (minutes > OVERTIME_MIN) minutes = fmin(t->minutes, OVERTIME_MIN); /* recorded over a night */
    double trigger_min = WORKS_TRIGGER * minutes;
    if (!out.tool || !(minutes > 0)) return (hands_load){0};
    int tools = t->people[WORKER_CUTTER] > 1 ? t->people[WORKER_CUTTER] : 1;
    out.points = tools * exposure_points(out.tool->a_m_s2, trigger_min);
    out.dose_percent = 100 * trigger_min / exposure_noise_min(NOISE_NIOSH, out.tool->level_dba);
    out.silica_min = minutes; /* dust is there as long as the task lasts */
    return out;
}

/* Days in order of their tasks' starts, so that a day's places lie side by side in by_start. */
static status make_loads(hands *h, fault *why) {
    const works_plan *plan = h->plan;
    h->loads = arena_get(h->memory, plan->n_tasks, sizeof *h->loads);
    h->days = arena_get(h->memory, h->n_places, sizeof *h->days);
    h->day_from = arena_get(h->memory, h->n_places, sizeof *h->day_from);
    h->day_to = arena_get(h->memory, h->n_places, sizeof *h->day_to);
    if (!h->loads || !h->days || !h->day_from || !h->day_to) return fault_memory(why);
    for (size_t t = 0; t < plan->n_tasks; t++) h->loads[t] = load_of(h, &plan->tasks[t]);
    for (size_t i = 0; i < h->n_places; i++) {
        size_t task = h->places[h->by_start[i]].task;
        hands_load *load = &h->loads[task];
        if (!load->tool) continue;
        int day = day_of(plan, plan->tasks[task].start_min);
        if (h->n_days == 0 || h->days[h->n_days - 1] != day) {
            h->days[h->n_days] = day;
            h->day_from[h->n_days++] = i;
        }
        load->day = h->n_days - 1;
        h->day_to[h->n_days - 1] = i + 1;
    }
    return OK;
}

static status make_workers(hands *h, fault *why) {
    h->sums = arena_get(h->memory, h->n_days * h->n_workers, sizeof *h->sums);
    h->on_leak = arena_get(h->memory, h->s->n_defects * h->n_workers, sizeof *h->on_leak);
    h->minutes = arena_get(h->memory, h->n_workers, sizeof *h->minutes);
    h->skills = arena_get(h->memory, h->n_workers, sizeof *h->skills);
    if (!h->sums || !h->on_leak || !h->minutes || !h->skills) return fault_memory(why);
    for (size_t w = 0; w < h->n_workers; w++)
        for (int k = 0; k < WORKER_ANY; k++) h->skills[w] += hands_able(h->s, w, k);
    return OK;
}

/* Who comes with a task stays: of a finished one always, else where he is able and free. */
static void keep(hands *h, size_t task) {
    const works_task *t = &h->plan->tasks[task];
    for (size_t i = 0; i < t->n_workers; i++) {
        int w = t->workers[i];
        bool put = w < 0 || (size_t)w >= h->n_workers;
        for (size_t p = h->first[task]; p < h->first[task + 1] && !put; p++) {
            hands_place *at = &h->places[p];
            if (at->worker != HANDS_NOBODY) continue;
            if (!t->done && (!hands_may(h, p, w) || !hands_free(h, p, w, SIZE_MAX))) continue;
            hands_put(h, p, w);
            at->kept = put = true;
            at->fixed = t->done;
        }
    }
}

status hands_assign(const survey *s, const repair_design *designs, works_plan *plan, arena *memory,
                    fault *why) {
    hands h = {.s = s, .designs = designs, .plan = plan, .memory = memory, .n_workers = plan->n_workers};
    status code = make_places(&h, why);
    if (code == OK) code = make_near(&h, why);
    if (code == OK) code = make_loads(&h, why);
    if (code == OK) code = make_workers(&h, why);
    if (code != OK) return code;
    for (size_t t = 0; t < plan->n_tasks; t++)
        if (plan->tasks[t].done) keep(&h, t);
    for (size_t t = 0; t < plan->n_tasks; t++)
        if (!plan->tasks[t].done) keep(&h, t);
    code = hands_give(&h, why);
    if (code == OK) code = hands_turn(&h, why);
    return code == OK ? hands_tell(&h, why) : code;
}
