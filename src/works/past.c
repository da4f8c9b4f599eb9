#include "works/past.h"

#include "core/date.h"
#include "survey/names.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    const works_making *m;
    past_plan *out;
    names *corrected, *leaks;
    long long day_0; /* days since 1970 */
} looking;

int past_round_up(int minutes) {
    return (minutes + WORKS_STEP_MIN - 1) / WORKS_STEP_MIN * WORKS_STEP_MIN;
}

/* "YYYY-MM-DDTHH:MM" of the site's clock. */
static status read_now(looking *l) {
    const works_past *past = l->m->options->past;
    const char *start_on = l->m->out->start_on, *now = past->now ? past->now : "";
    char as_record[32];
    long long seconds;
    if (!start_on || !date_day(start_on, &l->day_0))
        return fault_set(
            l->m->why, E_INPUT,
            "work: start_on is not told; without the first day of work what was recorded has no place in the "
            "plan");
    snprintf(as_record, sizeof as_record, "%.20s:00Z", now);
    if (!record_time(as_record, &seconds))
        return fault_set(l->m->why, E_INPUT, "now is \"%.40s\"; it must be a time as YYYY-MM-DDTHH:MM", now);
    long long minutes = seconds / 60 - l->day_0 * WORKS_DAY_MIN;
    if (minutes > SCHEDULE_MOST_MINUTES / 2)
        return fault_set(l->m->why, E_INPUT, "now, %s, lies %lld days from the first day of work", now,
                         minutes / WORKS_DAY_MIN);
    l->out->now_min = minutes > 0 ? past_round_up((int)minutes) : 0;
    return OK;
}

static int clock_of(const looking *l, long long seconds) {
    long long minutes = seconds / 60 + l->m->options->past->utc_offset_min - l->day_0 * WORKS_DAY_MIN;
    return minutes < 0 ? 0 : minutes > l->out->now_min ? l->out->now_min : (int)minutes;
}

/* Tasks [*from, *to) of a leak from the first to the last of this step, which coat and pack in turns share; none when the step
 * is not among them. */
static bool find_step(const looking *l, size_t leak, const char *step, size_t *from, size_t *to) {
    const works_leak_tasks *of = &l->m->of_leak[leak];
    const works_task *tasks = l->m->out->tasks;
    *from = *to = of->first;
    for (size_t t = of->first; t < of->first + of->n; t++) {
        if (strcmp(tasks[t].step, step) != 0) continue;
        if (*to == of->first) *from = t;
        *to = t + 1;
    }
    return *to > of->first;
}

/* Tasks done without a word about them: their end is where the later one began. */
static void imply(const looking *l, size_t first, size_t at, int minute) {
    for (size_t t = first; t < at; t++) {
        past_task *p = &l->out->tasks[t];
        if (p->state == PAST_DONE) continue;
        if (p->state == PAST_OPEN) p->start_min = minute;
        *p = (past_task){.state = PAST_DONE,
                         .start_min = p->start_min < minute ? p->start_min : minute,
                         .end_min = minute};
    }
}

static void take_start(const looking *l, size_t leak, size_t from, int minute) {
    past_task *p = &l->out->tasks[from];
    imply(l, l->m->of_leak[leak].first, from, minute);
    if (p->state == PAST_OPEN) *p = (past_task){.state = PAST_BEGUN, .start_min = minute, .end_min = minute};
}

/* When a step began that was only told as finished: as long ago as it usually takes, but not before what came before it was
 * done. */
static int usual_start(const looking *l, size_t leak, size_t from, size_t to, int minute) {
    int start = minute;
    for (size_t t = from; t < to; t++) start -= l->m->out->tasks[t].minutes;
    if (start < 0) start = 0;
    for (size_t t = l->m->of_leak[leak].first; t < from; t++) {
        const past_task *p = &l->out->tasks[t];
        int known = p->state == PAST_DONE ? p->end_min : p->state == PAST_BEGUN ? p->start_min : 0;
        if (known > start) start = known;
    }
    return start < minute ? start : minute;
}

static void take_finish(const looking *l, size_t leak, size_t from, size_t to, int minute) {
    const works_task *tasks = l->m->out->tasks;
    const past_task *first = &l->out->tasks[from];
    int start = first->state == PAST_OPEN ? usual_start(l, leak, from, to, minute) : first->start_min;
    if (start > minute) start = minute;
    imply(l, l->m->of_leak[leak].first, from, start);
    long long all = 0, before = 0;
    for (size_t t = from; t < to; t++) all += tasks[t].minutes;
    for (size_t t = from; t < to; t++) {
        long long after = before + tasks[t].minutes, length = minute - start;
        l->out->tasks[t] = (past_task){.state = PAST_DONE,
                                       .start_min = start + (all > 0 ? (int)(length * before / all) : 0),
                                       .end_min = all > 0 ? start + (int)(length * after / all) : minute};
        before = after;
    }
}

static bool counts(const looking *l, const record *r) {
    bool of_time = r->what == RECORD_START || r->what == RECORD_FINISH || r->what == RECORD_HOLD;
    return of_time && r->mark && r->id && names_find(l->corrected, r->id) == NAMES_NONE;
}

static void take_record(const looking *l, const record *r, int minute) {
    bool ends = r->what != RECORD_START;
    size_t leak = names_find(l->leaks, r->mark), from, to;
    if (leak == NAMES_NONE || l->m->of_leak[leak].n == 0) return;
    const works_leak_tasks *of = &l->m->of_leak[leak];
    if (!r->step) {
        if (ends)
            imply(l, of->first, of->first + of->n, minute);
        else
            take_start(l, leak, of->first, minute);
    } else if (find_step(l, leak, r->step, &from, &to)) {
        if (ends)
            take_finish(l, leak, from, to, minute);
        else
            take_start(l, leak, from, minute);
    }
}

typedef struct {
    long long seconds;
    size_t at;
} timed;

static int by_time(const void *a, const void *b) {
    const timed *x = a, *y = b;
    if (x->seconds != y->seconds) return x->seconds < y->seconds ? -1 : 1;
    return (x->at > y->at) - (x->at < y->at);
}

/* In the order of their times: a phone may send in the evening what was begun in the morning. */
static bool take_records(const looking *l) {
    const works_past *past = l->m->options->past;
    size_t n = 0;
    timed *list = arena_get(l->m->memory, past->n_records, sizeof *list);
    for (size_t i = 0; list && i < past->n_records; i++) {
        list[n].at = i;
        if (counts(l, &past->records[i]) && record_time(past->records[i].at, &list[n].seconds)) n++;
    }
    if (n) qsort(list, n, sizeof *list, by_time);
    for (size_t i = 0; i < n; i++) take_record(l, &past->records[list[i].at], clock_of(l, list[i].seconds));
    return list != NULL;
}

static bool index_names(looking *l) {
    const works_past *past = l->m->options->past;
    bool good = l->corrected && l->leaks;
    for (size_t i = 0; good && i < l->m->s->n_defects; i++)
        good = names_put(l->leaks, l->m->s->defects[i].mark, i);
    for (size_t i = 0; good && i < past->n_records; i++)
        if (past->records[i].what == RECORD_CORRECTION && past->records[i].about)
            good = names_put(l->corrected, past->records[i].about, i);
    return good;
}

/* Where each task stood in the plan that was followed, by its id. */
static bool find_before(looking *l) {
    const works_plan *before = l->m->options->past->before;
    names *ids = names_new();
    bool good = ids != NULL;
    for (size_t t = 0; good && before && t < before->n_tasks; t++)
        good = names_put(ids, before->tasks[t].id, t);
    for (size_t t = 0; good && t < l->m->out->n_tasks; t++) {
        size_t at = names_find(ids, l->m->out->tasks[t].id);
        bool has = before && at != NAMES_NONE;
        int start = has ? before->tasks[at].start_min : -1;
        l->out->before[t] = has && start < 0 ? 0 : start; /* before a first day put off */
    }
    names_free(ids);
    return good;
}

status past_look(const works_making *m, past_plan *out) {
    looking l = {.m = m, .out = out};
    *out = (past_plan){0};
    out->tasks = arena_get(m->memory, m->out->n_tasks, sizeof *out->tasks);
    out->before = arena_get(m->memory, m->out->n_tasks, sizeof *out->before);
    if (!out->tasks || !out->before) return fault_memory(m->why);
    status code = read_now(&l);
    if (code != OK) return code;
    l.corrected = names_new();
    l.leaks = names_new();
    bool good = index_names(&l) && find_before(&l) && take_records(&l);
    names_free(l.corrected);
    names_free(l.leaks);
    return good ? OK : fault_memory(m->why);
}
