#include "works/rest.h"

#include <limits.h>
#include <string.h>

/* Which maximum lags after what is done or begun are kept. */
typedef enum { KEEP_ALL, KEEP_MIXES, KEEP_NONE, KEEP_LEVELS } keeping;

typedef struct {
    const works_making *m;
    past_plan *past;
    const schedule_problem *problem;
    schedule_task *tasks; /* of the problem, as they are now */
    size_t now_at;
    int from_min; /* work goes on */
} rest;

/* A mix, a resin or a sealant is at hand, which does not wait. */
static bool is_placing(works_step step) {
    return step == STEP_PLUG || step == STEP_CLOSE_RELIEF || step == STEP_FIRST_COAT || step == STEP_PACK ||
           step == STEP_LAST_COAT || step == STEP_SURFACE_SEAL || step == STEP_INJECT || step == STEP_SEAL;
}

/* ---- what is begun ---- */

/* The first moment of work at `minute` or after it; `minute` where the calendar ends before. */
static int work_from(const schedule_calendar *c, int minute) {
    for (size_t w = 0; w < c->n; w++)
        if (c->windows[w].to > minute) return c->windows[w].from > minute ? c->windows[w].from : minute;
    return minute;
}

static void count_left(rest *r) {
    bool placing = false;
    for (size_t t = 0; t < r->m->out->n_tasks; t++) {
        past_task *p = &r->past->tasks[t];
        if (p->state != PAST_BEGUN) continue;
        int left = p->start_min + r->problem->tasks[t].minutes - r->past->now_min;
        p->left_min = left > WORKS_STEP_MIN ? past_round_up(left) : WORKS_STEP_MIN;
        p->paused = true; /* until it is found to go on */
        placing = placing || (left > 0 && is_placing(r->m->made[t].step));
    }
    r->from_min =
        placing ? r->past->now_min : work_from(&r->problem->calendars[HOURS_USUAL], r->past->now_min);
}

static size_t latest_waiting(const rest *r, const bool *seen) {
    size_t best = SIZE_MAX;
    for (size_t t = 0; t < r->m->out->n_tasks; t++) {
        const past_task *p = &r->past->tasks[t];
        if (p->state != PAST_BEGUN || seen[t]) continue;
        if (best == SIZE_MAX || p->start_min >= r->past->tasks[best].start_min) best = t;
    }
    return best;
}

/* The latest begun goes on; of the others those for which people and plant are left. */
static status find_going_on(rest *r) {
    const schedule_problem *p = r->problem;
    bool *seen = arena_get(r->m->memory, p->n_tasks, sizeof *seen);
    int *used = arena_get(r->m->memory, p->n_resources, sizeof *used);
    if (!seen || !used) return fault_memory(r->m->why);
    for (size_t t; (t = latest_waiting(r, seen)) != SIZE_MAX;) {
        bool fits = true;
        seen[t] = true;
        for (size_t k = 0; k < p->n_resources; k++)
            fits = fits && used[k] + p->tasks[t].needs[k] <= p->resources[k].capacity;
        for (size_t k = 0; fits && k < p->n_resources; k++) used[k] += p->tasks[t].needs[k];
        r->past->tasks[t].paused = !fits;
    }
    return OK;
}

/* ---- the problem that is left ---- */

/* The time after `end_min` until which a maximum lag holds, on the grid. */
static int latest_start(int end_min, int max_lag) {
    return (end_min + max_lag) / WORKS_STEP_MIN * WORKS_STEP_MIN;
}

static bool is_kept(const rest *r, size_t before, keeping level) {
    return level == KEEP_ALL || (level == KEEP_MIXES && is_placing(r->m->made[before].step));
}

static void fit_lags(const rest *r, size_t at, keeping level, schedule_task *task, schedule_after *after) {
    const schedule_task *whole = &r->problem->tasks[at];
    size_t n = 0;
    int earliest = r->past->now_min, latest = INT_MAX;
    for (size_t a = 0; a < whole->n_after; a++) {
        schedule_after arc = whole->after[a];
        const past_task *p = arc.task < r->m->out->n_tasks ? &r->past->tasks[arc.task] : NULL;
        bool kept = !p || p->state == PAST_OPEN || is_kept(r, arc.task, level);
        if (!kept) arc.max_lag = SCHEDULE_NO_LIMIT;
        if (!p || p->state != PAST_DONE) {
            after[n++] = arc;
            continue;
        }
        int least = past_round_up(p->end_min + arc.min_lag), most = latest_start(p->end_min, arc.max_lag);
        if (least > earliest) earliest = least;
        if (arc.max_lag != SCHEDULE_NO_LIMIT && most < latest) latest = most;
    }
    int most = SCHEDULE_NO_LIMIT; /* one that has passed, or cannot be, is no limit any more */
    if (latest != INT_MAX && latest >= earliest && latest >= r->from_min) most = latest - r->from_min;
    if (task->calendar != SCHEDULE_ALWAYS || most != SCHEDULE_NO_LIMIT)
        after[n++] = (schedule_after){r->now_at, 0, most};
    task->after = after;
    task->n_after = n;
    task->earliest = earliest;
}

/* Everything is behind the moment from which work goes on, so that this is placed first. */
static status fit_task(const rest *r, size_t at, keeping level, const int *nothing) {
    const past_task *was = &r->past->tasks[at];
    schedule_task *task = &r->tasks[at];
    *task = r->problem->tasks[at];
    schedule_after *after = arena_get(r->m->memory, task->n_after + 1, sizeof *after);
    if (!after) return fault_memory(r->m->why);
    if (was->state == PAST_OPEN) {
        fit_lags(r, at, level, task, after);
    } else if (was->state == PAST_DONE) {
        *task = (schedule_task){.id = task->id, .needs = nothing, .calendar = SCHEDULE_ALWAYS};
    } else {
        *after = (schedule_after){r->now_at, 0, was->paused ? SCHEDULE_NO_LIMIT : 0};
        task->after = after;
        task->n_after = 1;
        task->minutes = was->left_min;
        if (!was->paused) task->calendar = SCHEDULE_ALWAYS;
    }
    return OK;
}

static status fit_all(const rest *r, keeping level) {
    int *nothing = arena_get(r->m->memory, SCHEDULE_MOST_RESOURCES, sizeof *nothing);
    if (!nothing) return fault_memory(r->m->why);
    status code = OK;
    for (size_t t = 0; code == OK && t < r->m->out->n_tasks; t++) code = fit_task(r, t, level, nothing);
    for (size_t t = r->m->out->n_tasks; t < r->now_at; t++) r->tasks[t] = r->problem->tasks[t];
    r->tasks[r->now_at] =
        (schedule_task){.id = "now", .needs = nothing, .calendar = SCHEDULE_ALWAYS, .earliest = r->from_min};
    return code;
}

/* ---- its plans ---- */

/* A plan in which work goes on only later than it can is none: maximum lags moved that moment. */
static status solve(const rest *r, const schedule_problem *problem, const schedule_options *options,
                    schedule_result *out, bool *found, fault *why) {
    status code = schedule_solve(problem, options, r->m->memory, out, why);
    *found = code == OK && out->start[r->now_at] == r->from_min;
    return code;
}

/* One pass in the old order; `keep`: no task earlier than it stood. */
static status old_order(const rest *r, const schedule_problem *problem, bool keep, schedule_result *out,
                        bool *found) {
    size_t n = problem->n_tasks;
    int *like = arena_get(r->m->memory, n, sizeof *like);
    schedule_task *tasks = arena_get(r->m->memory, n, sizeof *tasks);
    if (!like || !tasks) return fault_memory(r->m->why);
    memcpy(tasks, problem->tasks, n * sizeof *tasks);
    for (size_t t = 0; t < r->m->out->n_tasks; t++) {
        int before = r->past->before[t];
        if (r->past->tasks[t].state != PAST_OPEN) continue;
        like[t] = before < 0 ? SCHEDULE_MOST_MINUTES : before;
        if (keep && before > tasks[t].earliest) tasks[t].earliest = before;
    }
    schedule_problem same = *problem;
    same.tasks = tasks;
    const schedule_options once = {.schedules = 1, .way = SCHEDULE_SEARCH, .like = like};
    fault none = {0}; /* another first day may make it impossible */
    status code = solve(r, &same, &once, out, found, &none);
    if (code != OK && code != E_INPUT) *r->m->why = none;
    return code == E_INPUT ? OK : code;
}

static bool is_worth(const schedule_result *is, bool found, const schedule_result *other) {
    return !found || is->makespan - other->makespan > AGAIN_WORTH_MIN;
}

static status choose(const rest *r, const schedule_problem *problem, schedule_result *out) {
    schedule_result kept, ordered;
    bool has_kept, has_ordered;
    status code = old_order(r, problem, true, &kept, &has_kept);
    if (code == OK) code = old_order(r, problem, false, &ordered, &has_ordered);
    if (code != OK) return code;
    bool other = has_ordered && is_worth(&kept, has_kept, &ordered);
    const schedule_result *old = other ? &ordered : &kept;
    if (is_worth(old, other || has_kept, out)) return OK;
    out->start = old->start;
    out->makespan = old->makespan;
    return OK;
}

status rest_solve(const works_making *m, past_plan *past, const schedule_problem *problem,
                  const schedule_options *options, schedule_result *out) {
    rest r = {.m = m, .past = past, .problem = problem, .now_at = problem->n_tasks - 1};
    r.tasks = arena_get(m->memory, problem->n_tasks, sizeof *r.tasks);
    if (!r.tasks) return fault_memory(m->why);
    count_left(&r);
    status code = find_going_on(&r);
    if (code != OK) return code;
    schedule_problem left = *problem;
    left.tasks = r.tasks;
    bool found = false;
    for (keeping level = KEEP_ALL; level < KEEP_LEVELS && !found; level++) {
        code = fit_all(&r, level);
        if (code == OK) code = solve(&r, &left, options, out, &found, m->why);
        if (code != OK && code != E_INPUT) return code;
    }
    return code == OK && m->options->past->before ? choose(&r, &left, out) : code;
}

/* ---- what is told ---- */

/* What to do where this should have been followed sooner; NULL: it does no harm. */
static const char *remedy(works_step before) {
    if (before == STEP_SOAK) return "soak the face again first";
    if (before == STEP_ROUT) return "clean and dry the groove again first";
    if (is_placing(before) || before == STEP_STOPPED)
        return "look whether what was placed still takes it, else do that again";
    return NULL;
}

static status tell_passed(works_making *m, const past_plan *past, size_t at) {
    const works_task *tasks = m->out->tasks, *t = &tasks[at];
    for (size_t a = 0; a < t->n_after; a++) {
        const schedule_after *arc = &t->after[a];
        const works_task *before = &tasks[arc->task];
        const char *what = remedy(m->made[arc->task].step);
        if (past->tasks[arc->task].state == PAST_OPEN || arc->max_lag == SCHEDULE_NO_LIMIT || !what) continue;
        if (t->start_min <= before->end_min + arc->max_lag) continue;
        status code = works_warn(
            m,
            arena_print(m->memory, "%s: should have followed %s within %d minutes and comes %d after it: %s",
                        t->id, before->id, arc->max_lag, t->start_min - before->end_min, what));
        if (code != OK) return code;
    }
    return OK;
}

static void tell_ends(works_plan *out) {
    out->makespan_min = 0;
    for (size_t t = 0; t < out->n_tasks; t++)
        if (out->tasks[t].end_min > out->makespan_min) out->makespan_min = out->tasks[t].end_min;
    if (out->lower_bound_min > out->makespan_min) out->lower_bound_min = out->makespan_min; /* all is done */
}

status rest_tell(works_making *m, const past_plan *past) {
    status code = OK;
    for (size_t t = 0; t < m->out->n_tasks; t++) {
        works_task *task = &m->out->tasks[t];
        const past_task *was = &past->tasks[t];
        task->done = was->state == PAST_DONE;
        task->begun = was->state == PAST_BEGUN;
        if (task->begun) task->end_min = task->start_min + was->left_min;
        if (task->done) task->end_min = was->end_min;
        if (task->done || (task->begun && !was->paused)) task->start_min = was->start_min;
    }
    for (size_t t = 0; code == OK && t < m->out->n_tasks; t++)
        if (past->tasks[t].state == PAST_OPEN) code = tell_passed(m, past, t);
    tell_ends(m->out);
    return code;
}
