/* gantt_time.c - working time laid along the paper: which stretches there are, and where a minute lies. */
#include "report/gantt_view.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>

static const double NIGHT = 0.9, DAYS_OFF = 1.6, BREAK = 0.3; /* heights of type */

/* ---- the stretches ---- */

static int by_from(const void *a, const void *b) {
    const gantt_stretch *x = a, *y = b;
    return (x->from > y->from) - (x->from < y->from);
}

static bool add(gantt *g, gantt_stretch like) {
    gantt_stretch *all = arena_push(g->words->memory, g->stretches, &g->n_stretches, sizeof *all);
    if (!all) return false;
    g->stretches = all;
    all[g->n_stretches - 1] = like;
    return true;
}

static bool in_shift(const works_plan *works, const works_task *t) {
    for (size_t i = 0; i < works->n_shifts; i++)
        if (works->shifts[i].from_min <= t->start_min && t->end_min <= works->shifts[i].to_min) return true;
    return false;
}

static bool busy(const works_plan *works, int day, int from, int to) {
    for (size_t i = 0; i < works->n_tasks; i++) {
        const works_task *t = &works->tasks[i];
        if (t->start_min < t->end_min && t->start_min < to && t->end_min > from) return true;
        if (t->start_min == t->end_min && works_day_of(t->start_min) == day && t->start_min >= from &&
            t->start_min <= to)
            return true;
    }
    return false;
}

/* Of one day: what is worked between its first and last shift. */
static bool day_busy(const works_plan *works, size_t first) {
    const works_shift *s = works->shifts;
    size_t last = first;
    while (last + 1 < works->n_shifts && s[last + 1].day == s[first].day) last++;
    return busy(works, s[first].day, s[first].from_min, s[last].to_min);
}

/* Recorded times need not keep to the shifts: stretches that meet are one. */
static void merge(gantt *g) {
    size_t kept = 0;
    qsort(g->stretches, g->n_stretches, sizeof *g->stretches, by_from);
    for (size_t i = 1; i < g->n_stretches; i++) {
        gantt_stretch *last = &g->stretches[kept], *next = &g->stretches[i];
        if (next->from < last->to)
            last->to = next->to > last->to ? next->to : last->to;
        else
            g->stretches[++kept] = *next;
    }
    if (g->n_stretches) g->n_stretches = kept + 1;
}

static bool wanted(const gantt *g, int day) {
    return g->room.day == GANTT_ALL_DAYS || g->room.day == day;
}

static bool find_stretches(gantt *g) {
    const works_plan *works = g->works;
    bool take = false;
    for (size_t i = 0; i < works->n_shifts; i++) {
        const works_shift *s = &works->shifts[i];
        if (i == 0 || s->day != works->shifts[i - 1].day) take = wanted(g, s->day) && day_busy(works, i);
        if (take && !add(g, (gantt_stretch){.from = s->from_min, .to = s->to_min, .day = s->day}))
            return false;
    }
    for (size_t i = 0; i < works->n_tasks; i++) {
        const works_task *t = &works->tasks[i];
        int day = works_day_of(t->start_min);
        if (t->end_min <= t->start_min || !wanted(g, day) || in_shift(works, t)) continue;
        if (!add(g, (gantt_stretch){.from = t->start_min, .to = t->end_min, .day = day})) return false;
    }
    int day = g->room.day < 0 ? 0 : g->room.day, from = day * WORKS_DAY_MIN;
    if (g->n_stretches == 0 && !add(g, (gantt_stretch){.from = from, .to = from + WORKS_DAY_MIN, .day = day}))
        return false;
    merge(g);
    return true;
}

bool gantt_find_days(gantt *g) {
    if (!find_stretches(g)) return false;
    for (size_t i = 0; i < g->n_stretches; i++) {
        if (g->n_days && g->days[g->n_days - 1].day == g->stretches[i].day) {
            g->days[g->n_days - 1].n++;
            continue;
        }
        gantt_day *days = arena_push(g->words->memory, g->days, &g->n_days, sizeof *days);
        if (!days) return false;
        g->days = days;
        days[g->n_days - 1] = (gantt_day){.day = g->stretches[i].day, .first = i, .n = 1};
    }
    return true;
}

/* ---- where they lie ---- */

double gantt_place_days(const gantt *g, size_t first, size_t n, double minute_mm) {
    double x = g->left;
    for (size_t i = first; i < first + n; i++) {
        gantt_day *day = &g->days[i];
        if (i > first) x += (day->day > day[-1].day + 1 ? DAYS_OFF : NIGHT) * g->type;
        day->x = x;
        for (size_t k = day->first; k < day->first + day->n; k++) {
            gantt_stretch *s = &g->stretches[k];
            if (k > day->first) x += BREAK * g->type;
            s->x = x;
            s->width = minute_mm * (s->to - s->from);
            x += s->width;
        }
        day->width = x - day->x;
    }
    return x;
}

static size_t first_stretch(const gantt *g, const gantt_strip *strip) {
    return g->days[strip->first_day].first;
}

static size_t end_stretch(const gantt *g, const gantt_strip *strip) {
    const gantt_day *last = &g->days[strip->first_day + strip->n_days - 1];
    return last->first + last->n;
}

static double inside(const gantt_stretch *s, int minute) {
    double part = (double)(minute - s->from) / (s->to - s->from);
    return s->x + s->width * fmin(fmax(part, 0), 1);
}

double gantt_right(const gantt *g, const gantt_strip *strip) {
    const gantt_day *last = &g->days[strip->first_day + strip->n_days - 1];
    return last->x + last->width;
}

double gantt_x_from(const gantt *g, const gantt_strip *strip, int minute) {
    for (size_t i = first_stretch(g, strip); i < end_stretch(g, strip); i++)
        if (g->stretches[i].to > minute) return inside(&g->stretches[i], minute);
    return gantt_right(g, strip);
}

double gantt_x_to(const gantt *g, const gantt_strip *strip, int minute) {
    for (size_t i = end_stretch(g, strip); i > first_stretch(g, strip); i--)
        if (g->stretches[i - 1].from < minute) return inside(&g->stretches[i - 1], minute);
    return g->left;
}

double gantt_x_at(const gantt *g, const gantt_strip *strip, int minute) {
    return (gantt_x_from(g, strip, minute) + gantt_x_to(g, strip, minute)) / 2;
}
