/* When work is done: shifts with their break, days of the week, holidays, the hours in which noise is allowed. */
#include "works/parts.h"

#include "core/date.h"

#include <math.h>

static const double STARTS_H = 7, BREAK_LENGTH_H = 0.5; /* our defaults (survey_work) */
enum { MONDAY_TO_FRIDAY = 0x1f, WHOLE_WEEK = 0x7f, PART_LEAST_MIN = 120, DAYS_MOST = 6900 };
/* PART_LEAST_MIN: a shift's shorter stretch gives the length of parts unless it is shorter than this, our default.
 * DAYS_MOST: what the time grid of schedule.h holds in steps of WORKS_STEP_MIN. */

static int up(double minutes) {
    return (int)ceil(minutes / WORKS_STEP_MIN - 1e-9) * WORKS_STEP_MIN;
}

static int down(double minutes) {
    return (int)floor(minutes / WORKS_STEP_MIN + 1e-9) * WORKS_STEP_MIN;
}

static void add_stretch(works_hours *h, double from, double to) {
    works_span span = {up(from), down(to)};
    if (span.from_min < span.to_min) h->stretch[h->n_stretches++] = span;
}

/* A break outside of the shift is none; one of a night shift may be named by the hour of the next day. */
static void read_shift(const survey_site *site, works_hours *h) {
    const survey_work *w = &site->work;
    double start = 60 * (w->starts_h.known ? w->starts_h.v : STARTS_H), work = 60 * site->shift_h;
    double length = 60 * (w->break_length_h.known ? w->break_length_h.v : BREAK_LENGTH_H);
    double at = w->break_h.known ? 60 * w->break_h.v : start + work / 2;
    if (at < start) at += WORKS_DAY_MIN;
    bool broken = length > 0 && at > start && at < start + work;
    double end = fmin(start + work + (broken ? length : 0), start + WORKS_DAY_MIN);
    add_stretch(h, start, broken ? at : end);
    if (broken) add_stretch(h, at + length, end);
}

static void read_noise(const survey_work *w, works_hours *h) {
    h->noise_limited = w->noise_from_h.known || w->noise_to_h.known;
    h->noise.from_min = w->noise_from_h.known ? up(60 * w->noise_from_h.v) : 0;
    h->noise.to_min = w->noise_to_h.known ? down(60 * w->noise_to_h.v) : WORKS_DAY_MIN;
    if (h->noise.to_min <= h->noise.from_min) h->noise.to_min += WORKS_DAY_MIN;
}

static status read_days(const survey_work *w, arena *memory, works_hours *h, fault *why) {
    long long first = 0;
    h->days = w->days & WHOLE_WEEK ? w->days & WHOLE_WEEK : MONDAY_TO_FRIDAY;
    if (!w->start_on) return OK; /* day 1 is a Monday, our default; holidays have no place */
    if (!date_day(w->start_on, &first))
        return fault_set(why, E_INPUT, "work: start_on is \"%.40s\"; it must be a day as YYYY-MM-DD",
                         w->start_on);
    h->weekday = (int)(((first + 3) % 7 + 7) % 7); /* 1970-01-01 was a Thursday */
    long long *holidays = arena_get(memory, w->n_holidays, sizeof *holidays);
    if (!holidays) return fault_memory(why);
    for (size_t i = 0; i < w->n_holidays; i++) {
        long long day;
        if (!date_day(w->holidays[i], &day))
            return fault_set(why, E_INPUT, "work: holiday \"%.40s\" is no day as YYYY-MM-DD", w->holidays[i]);
        holidays[i] = day - first;
    }
    h->holidays = holidays;
    h->n_holidays = w->n_holidays;
    return OK;
}

bool hours_work_on(const works_hours *h, int day) {
    if (!(h->days & 1u << ((h->weekday + day) % 7))) return false;
    for (size_t i = 0; i < h->n_holidays; i++)
        if (h->holidays[i] == day) return false;
    return true;
}

/* The spans of one stretch of day 0 in which work of a kind may be done; at most two. */
static int spans_of(const works_hours *h, works_hours_kind kind, works_span stretch, works_span spans[3]) {
    int n = 0;
    if (kind == HOURS_USUAL || !h->noise_limited) {
        spans[0] = stretch;
        return 1;
    }
    for (int day = -1; day <= 1; day++) {
        int from = h->noise.from_min + day * WORKS_DAY_MIN, to = h->noise.to_min + day * WORKS_DAY_MIN;
        if (from < stretch.from_min) from = stretch.from_min;
        if (to > stretch.to_min) to = stretch.to_min;
        if (from < to) spans[n++] = (works_span){from, to};
    }
    return n;
}

static void measure(works_hours *h) {
    for (int kind = 0; kind < HOURS_KINDS; kind++) {
        int least = WORKS_DAY_MIN, most = 0;
        for (int i = 0; i < h->n_stretches; i++) {
            works_span spans[3];
            int n = spans_of(h, (works_hours_kind)kind, h->stretch[i], spans);
            for (int k = 0; k < n; k++) {
                int length = spans[k].to_min - spans[k].from_min;
                if (length > most) most = length;
                if (length < least) least = length;
            }
        }
        h->longest_min[kind] = most;
        h->split_min[kind] = least < PART_LEAST_MIN || least > most ? most : least;
    }
}

status hours_read(const survey *s, arena *memory, works_hours *out, fault *why) {
    *out = (works_hours){0};
    status code = read_days(&s->site.work, memory, out, why);
    if (code != OK) return code;
    read_shift(&s->site, out);
    read_noise(&s->site.work, out);
    measure(out);
    if (out->longest_min[HOURS_USUAL] == 0)
        return fault_set(why, E_INPUT, "site: a shift of %g h leaves no %d minutes of work", s->site.shift_h,
                         WORKS_STEP_MIN);
    return OK;
}

status hours_windows(const works_hours *h, works_hours_kind kind, int n_days, arena *memory,
                     schedule_calendar *out, fault *why) {
    schedule_window *windows =
        arena_get(memory, (size_t)n_days * (size_t)h->n_stretches * 3, sizeof *windows);
    if (!windows) return fault_memory(why);
    *out = (schedule_calendar){windows, 0};
    for (int day = 0; day < n_days; day++)
        for (int i = 0; i < h->n_stretches && hours_work_on(h, day); i++) {
            works_span spans[3];
            int n = spans_of(h, kind, h->stretch[i], spans);
            for (int k = 0; k < n; k++)
                windows[out->n++] = (schedule_window){day * WORKS_DAY_MIN + spans[k].from_min,
                                                      day * WORKS_DAY_MIN + spans[k].to_min};
        }
    return OK;
}

int hours_days_for(const works_hours *h, long days_of_work) {
    int day = 0;
    for (long done = 0; done < days_of_work && day < DAYS_MOST; day++) done += hours_work_on(h, day);
    return day;
}
