#include "works/rest.h"

#include <string.h>

static int round_up(int minutes) {
    return (minutes + WORKS_STEP_MIN - 1) / WORKS_STEP_MIN * WORKS_STEP_MIN;
}

/* The plan is solved again where a cure turns out longer. */
static status warn_once(works_making *m, const char *sentence) {
    for (size_t i = 0; sentence && i < m->out->n_warnings; i++)
        if (strcmp(m->out->warnings[i], sentence) == 0) return OK;
    return works_warn(m, sentence);
}

/* The lag after a task that is done: an earliest start; one that has passed is told. */
static status past_lag(works_making *m, const past_plan *past, size_t at, const schedule_after *arc,
                       int *earliest) {
    const past_task *before = &past->tasks[arc->task];
    int least = round_up(before->end_min + arc->min_lag);
    if (least > *earliest) *earliest = least;
    if (arc->max_lag == SCHEDULE_NO_LIMIT || before->end_min + arc->max_lag >= past->now_min) return OK;
    return warn_once(
        m,
        arena_print(m->memory,
                    "%s: should have followed %s within %d minutes, which have passed: look whether what was "
                    "placed still takes it, else do that again",
                    m->out->tasks[at].id, m->out->tasks[arc->task].id, arc->max_lag));
}

static status fit_open(works_making *m, const past_plan *past, size_t at, schedule_task *task) {
    schedule_after *after = arena_get(m->memory, task->n_after, sizeof *after);
    if (!after) return fault_memory(m->why);
    size_t n = 0;
    int earliest = past->now_min;
    status code = OK;
    for (size_t a = 0; code == OK && a < task->n_after; a++) {
        const schedule_after *arc = &task->after[a];
        bool done = arc->task < m->out->n_tasks && past->tasks[arc->task].state == PAST_DONE;
        if (done)
            code = past_lag(m, past, at, arc, &earliest);
        else
            after[n++] = *arc;
    }
    task->after = after;
    task->n_after = n;
    task->earliest = earliest;
    return code;
}

status rest_fit(works_making *m, const past_plan *past, schedule_task *tasks, size_t now_at) {
    schedule_after *at_once = arena_get(m->memory, 1, sizeof *at_once);
    int *nothing = arena_get(m->memory, SCHEDULE_MOST_RESOURCES, sizeof *nothing);
    if (!at_once || !nothing) return fault_memory(m->why);
    *at_once = (schedule_after){now_at, 0, 0};
    tasks[now_at] = (schedule_task){
        .id = "now", .needs = nothing, .calendar = SCHEDULE_ALWAYS, .earliest = past->now_min};
    status code = OK;
    for (size_t t = 0; code == OK && t < m->out->n_tasks; t++) {
        const past_task *was = &past->tasks[t];
        if (was->state == PAST_OPEN) {
            code = fit_open(m, past, t, &tasks[t]);
        } else if (was->state == PAST_DONE) {
            tasks[t] = (schedule_task){.id = tasks[t].id, .needs = nothing, .calendar = SCHEDULE_ALWAYS};
        } else {
            int left = round_up(was->start_min + tasks[t].minutes - past->now_min);
            tasks[t].minutes = left > WORKS_STEP_MIN ? left : WORKS_STEP_MIN;
            tasks[t].after = at_once;
            tasks[t].n_after = 1;
            tasks[t].calendar = SCHEDULE_ALWAYS;
            tasks[t].earliest = past->now_min;
        }
    }
    return code;
}

/* One pass in the old order; `keep`: no task earlier than it stood. */
static status old_order(const works_making *m, const past_plan *past, const schedule_problem *problem,
                        bool keep, schedule_result *out) {
    size_t n = problem->n_tasks, bytes = n * sizeof(schedule_task);
    int *like = arena_get(m->memory, n, sizeof *like);
    schedule_task *tasks = arena_get(m->memory, n, sizeof *tasks);
    if (!like || !tasks) return fault_memory(m->why);
    memcpy(tasks, problem->tasks, bytes);
    for (size_t t = 0; t < m->out->n_tasks; t++) {
        if (past->tasks[t].state != PAST_OPEN) continue;
        like[t] = past->before[t] < 0 ? SCHEDULE_MOST_MINUTES : past->before[t];
        if (keep && past->before[t] > tasks[t].earliest) tasks[t].earliest = past->before[t];
    }
    schedule_problem same = *problem;
    same.tasks = tasks;
    const schedule_options once = {.schedules = 1, .way = SCHEDULE_SEARCH, .like = like};
    return schedule_solve(&same, &once, m->memory, out, m->why);
}

status rest_solve(const works_making *m, const past_plan *past, const schedule_problem *problem,
                  const schedule_options *options, schedule_result *out) {
    schedule_result free_order, kept, ordered;
    status code = schedule_solve(problem, options, m->memory, &free_order, m->why);
    *out = free_order;
    if (code != OK || !m->options->past->before) return code;
    code = old_order(m, past, problem, false, &ordered);
    if (code == OK) code = old_order(m, past, problem, true, &kept);
    if (code != OK) return code;
    const schedule_result *taken = kept.makespan - ordered.makespan > AGAIN_WORTH_MIN ? &ordered : &kept;
    if (taken->makespan - free_order.makespan > AGAIN_WORTH_MIN) taken = &free_order;
    out->start = taken->start;
    out->makespan = taken->makespan;
    return OK;
}

void rest_tell(const works_making *m, const past_plan *past) {
    for (size_t t = 0; t < m->out->n_tasks; t++) {
        works_task *task = &m->out->tasks[t];
        const past_task *was = &past->tasks[t];
        task->done = was->state == PAST_DONE;
        task->begun = was->state == PAST_BEGUN;
        if (was->state == PAST_OPEN) continue;
        task->start_min = was->start_min;
        if (task->done) task->end_min = was->end_min;
    }
}
