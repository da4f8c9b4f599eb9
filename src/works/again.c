#include "works/again.h"

#include "core/date.h"
#include "survey/names.h"
#include "works/parts.h"

#include <stdlib.h>
#include <string.h>

/* "2026-03-02 14:00", or "day 1, 14:00" without a first day. */
static const char *moment(const works_plan *p, int minute, arena *memory) {
    long long day_0;
    int day = minute >= 0 ? minute / WORKS_DAY_MIN : (minute + 1) / WORKS_DAY_MIN - 1; /* a day put off */
    int of_day = minute - day * WORKS_DAY_MIN;
    if (!p->start_on || !date_day(p->start_on, &day_0))
        return arena_print(memory, "day %d, %02d:%02d", day + 1, of_day / 60, of_day % 60);
    calendar_day at = date_of_days(day_0 + day);
    return arena_print(memory, "%04d-%02d-%02d %02d:%02d", at.year, at.month, at.day, of_day / 60,
                       of_day % 60);
}

typedef struct {
    const works_plan *before, *after;
    arena *memory;
    works_moved *list;
    size_t n;
} comparing;

static bool add(comparing *c, works_moved moved) {
    works_moved *list = moved.sentence ? arena_push(c->memory, c->list, &c->n, sizeof *list) : NULL;
    if (!list) return false;
    list[c->n - 1] = moved;
    c->list = list;
    return true;
}

static bool compare_task(comparing *c, const works_task *was, const works_task *is) {
    if (abs(is->start_min - was->start_min) <= WORKS_STEP_MIN) return true;
    const char *from = moment(c->before, was->start_min, c->memory),
               *to = moment(c->after, is->start_min, c->memory);
    const char *sentence =
        from && to ? arena_print(c->memory, "%s: %s%s, was %s", is->id, is->done ? "done " : "", to, from)
                   : NULL;
    return add(c, (works_moved){is->id, was->start_min, is->start_min, sentence});
}

static bool add_new(comparing *c, const works_task *is) {
    const char *at = moment(c->after, is->start_min, c->memory);
    return add(c, (works_moved){is->id, -1, is->start_min,
                                at ? arena_print(c->memory, "%s: new, %s", is->id, at) : NULL});
}

static bool add_gone(comparing *c, const works_task *was) {
    const char *at = moment(c->before, was->start_min, c->memory);
    return add(c, (works_moved){was->id, was->start_min, -1,
                                at ? arena_print(c->memory, "%s: no longer, was %s", was->id, at) : NULL});
}

/* Visits of the cure follow from the rest: they are not told. */
static bool is_told(const works_task *t) {
    return strcmp(t->step, "mist") != 0;
}

static bool put_ids(names *into, const works_plan *p) {
    for (size_t t = 0; t < p->n_tasks; t++)
        if (is_told(&p->tasks[t]) && !names_put(into, p->tasks[t].id, t)) return false;
    return true;
}

static int by_time(const void *a, const void *b) {
    const works_moved *x = a, *y = b;
    int one = x->to_min < 0 ? x->from_min : x->to_min, two = y->to_min < 0 ? y->from_min : y->to_min;
    return one != two ? (one > two) - (one < two) : strcmp(x->task, y->task);
}

status again_compare(const works_plan *before, const works_plan *after, arena *memory, works_moved **list,
                     size_t *n, fault *why) {
    comparing c = {before, after, memory, NULL, 0};
    names *was = names_new(), *is = names_new();
    bool good = was && is && put_ids(was, before) && put_ids(is, after);
    for (size_t t = 0; good && t < after->n_tasks; t++) {
        if (!is_told(&after->tasks[t])) continue;
        size_t at = names_find(was, after->tasks[t].id);
        good = at == NAMES_NONE ? add_new(&c, &after->tasks[t])
                                : compare_task(&c, &before->tasks[at], &after->tasks[t]);
    }
    for (size_t t = 0; good && t < before->n_tasks; t++)
        if (is_told(&before->tasks[t]) && names_find(is, before->tasks[t].id) == NAMES_NONE)
            good = add_gone(&c, &before->tasks[t]);
    names_free(was);
    names_free(is);
    if (good && c.n) qsort(c.list, c.n, sizeof *c.list, by_time);
    *list = c.list;
    *n = c.n;
    return good ? OK : fault_memory(why);
}
