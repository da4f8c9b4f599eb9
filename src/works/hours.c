/* When work is done: shifts with their break, days of the week, holidays, the hours in which noise is allowed. */
#include "works/parts.h"

#include "core/date.h"
#include "survey/work.h"

#include <math.h>

enum { MONDAY_TO_FRIDAY = 0x1f, WHOLE_WEEK = 0x7f, PART_LEAST_MIN = 120, DAYS_MOST = 6900 };
/* PART_LEAST_MIN: a shift's shorter stretch gives the length of parts unless it is shorter than this, our default.
 * DAYS_MOST: what the time grid of schedule.h holds in steps of WORKS_STEP_MIN. */

static int up(double hours) {
    return (int)ceil(60 * hours / WORKS_STEP_MIN - 1e-9) * WORKS_STEP_MIN;
}

static int down(double hours) {
    return (int)floor(60 * hours / WORKS_STEP_MIN + 1e-9) * WORKS_STEP_MIN;
}

static void add_stretch(works_hours *h, double from_h, double to_h) {
    works_span span = {up(from_h), down(to_h)};
    if (span.from_min < span.to_min) h->stretch[h->n_stretches++] = span;
}

static void read_shift(const survey_site *site, works_hours *h) {
    work_shift shift = work_shift_of(site);
    bool broken = shift.break_from_h < shift.break_to_h;
    add_stretch(h, shift.from_h, broken ? shift.break_from_h : shift.to_h);
    if (broken) add_stretch(h, shift.break_to_h, shift.to_h);
    h->noise = (works_span){up(shift.noise_from_h), down(shift.noise_to_h)};
    h->noise_limited = shift.noise_from_h > shift.from_h || shift.noise_to_h < shift.to_h;
}

static status read_days(const survey_work *w, arena *memory, works_hours *h, fault *why) {
    long long first = 0;
    h->days = w->days & WHOLE_WEEK ? w->days & WHOLE_WEEK : MONDAY_TO_FRIDAY;
    if (!w->start_on) return OK; /* day 1 is a Monday, our default; holidays have no place */
    if (!date_day(w->start_on, &first))
        return fault_set(why, E_INPUT, "work: start_on is \"%.40s\"; it must be a day as YYYY-MM-DD",
                         w->start_on);
    h->weekday = work_week_day(first);
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

/* What a stretch of a day holds of a kind; empty: from_min = to_min. */
static works_span span_of(const works_hours *h, works_hours_kind kind, works_span stretch) {
    if (kind == HOURS_USUAL || !h->noise_limited) return stretch;
    if (stretch.from_min < h->noise.from_min) stretch.from_min = h->noise.from_min;
    if (stretch.to_min > h->noise.to_min) stretch.to_min = h->noise.to_min;
    if (stretch.to_min < stretch.from_min) stretch.to_min = stretch.from_min;
    return stretch;
}

static void measure(works_hours *h) {
    for (int kind = 0; kind < HOURS_KINDS; kind++) {
        int least = WORKS_DAY_MIN, most = 0;
        for (int i = 0; i < h->n_stretches; i++) {
            works_span span = span_of(h, (works_hours_kind)kind, h->stretch[i]);
            int length = span.to_min - span.from_min;
            if (length > most) most = length;
            if (length > 0 && length < least) least = length;
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
    measure(out);
    if (out->longest_min[HOURS_USUAL] == 0)
        return fault_set(why, E_INPUT, "site: a shift of %g h leaves no %d minutes of work", s->site.shift_h,
                         WORKS_STEP_MIN);
    return OK;
}

status hours_windows(const works_hours *h, works_hours_kind kind, int n_days, arena *memory,
                     schedule_calendar *out, fault *why) {
    schedule_window *windows = arena_get(memory, (size_t)n_days * (size_t)h->n_stretches, sizeof *windows);
    if (!windows) return fault_memory(why);
    *out = (schedule_calendar){windows, 0};
    for (int day = 0; day < n_days; day++)
        for (int i = 0; i < h->n_stretches && hours_work_on(h, day); i++) {
            works_span span = span_of(h, kind, h->stretch[i]);
            if (span.from_min < span.to_min)
                windows[out->n++] =
                    (schedule_window){day * WORKS_DAY_MIN + span.from_min, day * WORKS_DAY_MIN + span.to_min};
        }
    return OK;
}

int hours_days_for(const works_hours *h, long days_of_work) {
    int day = 0;
    for (long done = 0; done < days_of_work && day < DAYS_MOST; day++) done += hours_work_on(h, day);
    return day;
}
