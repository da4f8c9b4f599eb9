#include "works/past.h"

#include "core/date.h"
#include "survey/names.h"

#include <stdio.h>
#include <string.h>

typedef struct {
    const works_making *m;
    past_plan *out;
    names *corrected, *leaks;
    long long day_0; /* days since 1970 */
} looking;

static int round_up(int minutes) {
    int over = minutes % WORKS_STEP_MIN;
    return over == 0 ? minutes : minutes - over + (over > 0 ? WORKS_STEP_MIN : 0);
}

/* "YYYY-MM-DDTHH:MM" of the site's clock. */
static status read_now(looking *l) {
    const works_past *past = l->m->options->past;
    const char *start_on = l->m->out->start_on, *now = past->now ? past->now : "";
    char day[11];
    long long today;
    int hour = -1, minute = -1, end = 0;
    if (!start_on || !date_day(start_on, &l->day_0))
        return fault_set(
            l->m->why, E_INPUT,
            "work: start_on is not told; without the first day of work what was recorded has no place in the "
            "plan");
    snprintf(day, sizeof day, "%.10s", now);
    bool good = strlen(now) == 16 && now[10] == 'T' && date_day(day, &today) &&
                sscanf(now + 11, "%2d:%2d%n", &hour, &minute, &end) == 2 && end == 5 && hour >= 0 &&
                hour < 24 && minute >= 0 && minute < 60;
    if (!good)
        return fault_set(l->m->why, E_INPUT, "now is \"%.40s\"; it must be a time as YYYY-MM-DDTHH:MM", now);
    long long minutes = (today - l->day_0) * WORKS_DAY_MIN + hour * 60 + minute;
    if (minutes > SCHEDULE_MOST_MINUTES / 2)
        return fault_set(l->m->why, E_INPUT, "now, %s, lies %lld days from the first day of work", now,
                         today - l->day_0);
    l->out->now_min = minutes > 0 ? round_up((int)minutes) : 0;
    return OK;
}

static int minute_of(const looking *l, const record *r) {
    long long seconds;
    if (!record_time(r->at, &seconds)) return 0;
    long long minutes = seconds / 60 + l->m->options->past->utc_offset_min - l->day_0 * WORKS_DAY_MIN;
    return minutes < 0 ? 0 : minutes > l->out->now_min ? l->out->now_min : (int)minutes;
}

/* Tasks [*from, *to) of a leak that are this step's; none when the step is not among them. */
static bool find_step(const looking *l, size_t leak, const char *step, size_t *from, size_t *to) {
    const works_leak_tasks *of = &l->m->of_leak[leak];
    const works_task *tasks = l->m->out->tasks;
    *from = of->first;
    while (*from < of->first + of->n && strcmp(tasks[*from].step, step) != 0) ++*from;
    for (*to = *from; *to < of->first + of->n && strcmp(tasks[*to].step, step) == 0;) ++*to;
    return *to > *from;
}

/* Tasks done without a word about them: their end is where the later one began. */
static void imply(const looking *l, size_t first, size_t at, int minute) {
    for (size_t t = first; t < at; t++) {
        past_task *p = &l->out->tasks[t];
        if (p->state == PAST_DONE) continue;
        if (p->state == PAST_OPEN) p->start_min = minute;
        *p = (past_task){PAST_DONE, p->start_min < minute ? p->start_min : minute, minute};
    }
}

static void take_start(const looking *l, size_t leak, size_t from, int minute) {
    past_task *p = &l->out->tasks[from];
    imply(l, l->m->of_leak[leak].first, from, minute);
    if (p->state == PAST_OPEN) *p = (past_task){PAST_BEGUN, minute, minute};
}

static void take_finish(const looking *l, size_t leak, size_t from, size_t to, int minute) {
    const works_task *tasks = l->m->out->tasks;
    int usual = minute;
    for (size_t t = from; t < to; t++) usual -= tasks[t].minutes;
    past_task *first = &l->out->tasks[from];
    int start = first->state == PAST_OPEN ? usual : first->start_min;
    if (start < 0) start = 0;
    if (start > minute) start = minute;
    imply(l, l->m->of_leak[leak].first, from, start);
    for (size_t t = from; t < to; t++) l->out->tasks[t] = (past_task){PAST_DONE, start, minute};
}

static void take_record(const looking *l, const record *r) {
    bool ends = r->what == RECORD_FINISH || r->what == RECORD_HOLD;
    if ((!ends && r->what != RECORD_START) || names_find(l->corrected, r->id) != NAMES_NONE) return;
    size_t leak = names_find(l->leaks, r->mark), from, to;
    if (leak == NAMES_NONE || l->m->of_leak[leak].n == 0) return;
    const works_leak_tasks *of = &l->m->of_leak[leak];
    int minute = minute_of(l, r);
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

static bool index_names(looking *l) {
    const works_past *past = l->m->options->past;
    bool good = l->corrected && l->leaks;
    for (size_t i = 0; good && i < l->m->s->n_defects; i++)
        good = names_put(l->leaks, l->m->s->defects[i].mark, i);
    for (size_t i = 0; good && i < past->n_records; i++)
        if (past->records[i].what == RECORD_CORRECTION)
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
        l->out->before[t] = at == NAMES_NONE ? -1 : before->tasks[at].start_min;
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
    bool good = index_names(&l) && find_before(&l);
    for (size_t i = 0; good && i < m->options->past->n_records; i++)
        take_record(&l, &m->options->past->records[i]);
    names_free(l.corrected);
    names_free(l.leaks);
    return good ? OK : fault_memory(m->why);
}
