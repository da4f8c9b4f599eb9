/* What a plan says once its tasks have times: shifts, people, batches, when the place is out of service. */
#include "works/again.h"
#include "works/parts.h"

#include "core/date.h"
#include "survey/names.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    SHIFTS_MORE = 30
}; /* days past the end, our default: the cure is looked after and late days are seen */

static status tell_shifts(works_making *m) {
    works_plan *out = m->out;
    int days = out->makespan_min / WORKS_DAY_MIN + SHIFTS_MORE;
    out->shifts = arena_get(m->memory, (size_t)days * (size_t)m->hours.n_stretches, sizeof *out->shifts);
    if (!out->shifts) return fault_memory(m->why);
    for (int day = 0; day < days; day++)
        for (int i = 0; i < m->hours.n_stretches && hours_work_on(&m->hours, day); i++)
            out->shifts[out->n_shifts++] =
                (works_shift){day * WORKS_DAY_MIN + m->hours.stretch[i].from_min,
                              day * WORKS_DAY_MIN + m->hours.stretch[i].to_min, day};
    return OK;
}

static status name_workers(works_making *m) {
    works_plan *out = m->out;
    out->n_workers = (size_t)m->crew.all;
    out->workers = arena_get(m->memory, out->n_workers, sizeof *out->workers);
    if (!out->workers) return fault_memory(m->why);
    for (size_t i = 0; i < out->n_workers; i++) {
        bool named = i < m->s->site.work.n_workers;
        out->workers[i] = named ? m->s->site.work.workers[i].name : arena_print(m->memory, "%zu", i + 1);
        if (!out->workers[i]) return fault_memory(m->why);
    }
    return OK;
}

/* ---- who did, or was to do, each task ---- */

static status keep_task(works_making *m, const names *workers, const works_task *was, works_task *is) {
    is->workers = arena_get(m->memory, was->n_workers, sizeof *is->workers);
    if (!is->workers) return fault_memory(m->why);
    for (size_t i = 0; i < was->n_workers; i++) {
        const char *name = m->options->past->before->workers[was->workers[i]];
        size_t at = names_find(workers, name), k = 0;
        while (k < is->n_workers && (size_t)is->workers[k] != at) k++;
        if (at != NAMES_NONE && k == is->n_workers) is->workers[is->n_workers++] = (int)at;
    }
    return OK;
}

/* Whoever had a task in the plan that was followed, by name; who has left the crew is let go. */
status filled_keep_workers(works_making *m) {
    const works_plan *before = m->options->past ? m->options->past->before : NULL;
    if (!before) return OK;
    names *ids = names_new(), *workers = names_new();
    bool good = ids && workers;
    for (size_t t = 0; good && t < before->n_tasks; t++) good = names_put(ids, before->tasks[t].id, t);
    for (size_t i = 0; good && i < m->out->n_workers; i++) good = names_put(workers, m->out->workers[i], i);
    status code = good ? OK : fault_memory(m->why);
    for (size_t t = 0; code == OK && t < m->out->n_tasks; t++) {
        size_t at = names_find(ids, m->out->tasks[t].id);
        if (at != NAMES_NONE) code = keep_task(m, workers, &before->tasks[at], &m->out->tasks[t]);
    }
    names_free(ids);
    names_free(workers);
    return code;
}

/* ---- batches, service ---- */

/* The end of the stretch in which a task begins. */
static int until(const works_plan *p, int start) {
    size_t low = 0, high = p->n_shifts; /* the first that ends after `start` */
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (p->shifts[middle].to_min <= start)
            low = middle + 1;
        else
            high = middle;
    }
    return low < p->n_shifts ? p->shifts[low].to_min : INT32_MAX;
}

static status list_batches(works_making *m, size_t at) {
    works_task *t = &m->out->tasks[at];
    works_mixing mixing;
    works_batch *list = NULL;
    int hands = 0;
    for (int k = 0; k < WORKER_KINDS; k++) hands += t->people[k];
    status code = steps_mix(m, t->leak, m->made[at].step, t->parts, hands, &mixing);
    if (code != OK || !mixing.mix.material || t->done || t->begun) return code;
    works_stint stint = {mixing.step, 0, mixing.sizes.n, t->start_min, until(m->out, t->start_min)};
    code = batches_list(&mixing.mix, &mixing.sizes, &stint, m->memory, &list, m->why);
    t->batches = list;
    t->n_batches = code == OK ? (size_t)mixing.sizes.n : 0;
    return code;
}

/* Setting up and scanning leave a place in service. */
static void tell_service(works_making *m) {
    works_plan *out = m->out;
    bool any = false;
    for (size_t t = 0; t < out->n_tasks; t++) {
        works_step step = m->made[t].step;
        if (step == STEP_OPEN && out->tasks[t].end_min > out->out_to_min)
            out->out_to_min = out->tasks[t].end_min;
        if (step == STEP_SETUP || step == STEP_SCAN) continue;
        if (!any || out->tasks[t].start_min < out->out_from_min) out->out_from_min = out->tasks[t].start_min;
        any = true;
    }
}

static status tell_deadline(works_making *m) {
    const survey_work *w = &m->s->site.work;
    long long first, back;
    if (!w->back_on || !w->start_on || !date_day(w->start_on, &first)) return OK;
    if (!date_day(w->back_on, &back))
        return fault_set(m->why, E_INPUT, "work: back_on is \"%.40s\"; it must be a day as YYYY-MM-DD",
                         w->back_on);
    if (llabs(back - first) > SCHEDULE_MOST_MINUTES / WORKS_DAY_MIN)
        return fault_set(m->why, E_INPUT, "work: back_on, %s, lies %lld days from the first day of work",
                         w->back_on, back - first);
    m->out->back_min = (int)(back - first) * WORKS_DAY_MIN + m->hours.stretch[0].from_min;
    m->out->late = m->out->out_to_min > m->out->back_min;
    m->out->late_min = m->out->late ? m->out->out_to_min - m->out->back_min : 0;
    return OK;
}

/* The plan has a coat and the pack on it as one after the other; in the hand they go on together. */
static status warn_of_packs(works_making *m) {
    size_t n = 0;
    for (size_t t = 0; t < m->out->n_tasks; t++)
        n +=
            m->made[t].step == STEP_PACK && m->out->tasks[t].minutes > m->tacky_min && !m->out->tasks[t].done;
    if (n == 0) return OK;
    return works_warn(m,
                      arena_print(m->memory,
                                  "%zu pack%s longer than the coat stays tacky, %s %d minutes: coat and pack "
                                  "stretch by stretch, never more coat than is packed in that time.",
                                  n, n == 1 ? " takes" : "s take", m->tacky_min > 0 ? "about" : "under",
                                  m->tacky_min > 0 ? m->tacky_min : WORKS_STEP_MIN));
}

status filled_plan(works_making *m) {
    status code = tell_shifts(m);
    if (code == OK) code = name_workers(m);
    for (size_t t = 0; code == OK && t < m->out->n_tasks; t++) code = list_batches(m, t);
    if (code == OK) code = warn_of_packs(m);
    if (code != OK) return code;
    tell_service(m);
    return tell_deadline(m);
}
