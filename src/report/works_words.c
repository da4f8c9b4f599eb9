#include "report/works_words.h"

#include <string.h>

static const char *const WEEKDAYS[7] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
static const char *const MONTHS[12] = {"January", "February", "March",     "April",   "May",      "June",
                                       "July",    "August",   "September", "October", "November", "December"};
enum { MARKS_SHOWN = 12 };

int works_day_of(int minute) {
    return minute >= 0 ? minute / WORKS_DAY_MIN : (minute + 1) / WORKS_DAY_MIN - 1;
}

static bool day_count(const works_plan *works, int day, long long *out) {
    if (!works->start_on || !date_day(works->start_on, out)) return false;
    *out += day;
    return *out < date_days((calendar_day){9999, 12, 31});
}

bool works_date(const works_plan *works, int day, calendar_day *out) {
    long long days;
    bool told = day_count(works, day, &days);
    if (told) *out = date_of_days(days);
    return told;
}

/* 1970-01-01 was a Thursday. */
static const char *weekday(long long days) {
    return WEEKDAYS[((days + 3) % 7 + 7) % 7];
}

const char *works_said_day(say *w, const works_plan *works, int day, works_day_form form) {
    long long days;
    if (!day_count(works, day, &days))
        return say_print(w, form == DAY_NUMBER ? "%d" : "Day\u00a0%d", day + 1);
    calendar_day at = date_of_days(days);
    const char *name = weekday(days), *month = MONTHS[at.month - 1];
    bool us = w->system == UNITS_US;
    if (form == DAY_FULL && us) return say_print(w, "%s, %s %d, %d", name, month, at.day, at.year);
    if (form == DAY_FULL) return say_print(w, "%s %d %s %d", name, at.day, month, at.year);
    if (form == DAY_MONTH && us) return say_print(w, "%s,\u00a0%.3s\u00a0%d", name, month, at.day);
    if (form == DAY_MONTH) return say_print(w, "%s\u00a0%d\u00a0%.3s", name, at.day, month);
    if (form == DAY_SHORT) return say_print(w, "%s\u00a0%d", name, at.day);
    return say_print(w, "%d", at.day);
}

const char *works_said_time(say *w, int minute) {
    int at = minute - works_day_of(minute) * WORKS_DAY_MIN, hour = at / 60;
    if (w->system != UNITS_US) return say_print(w, "%02d:%02d", hour, at % 60);
    return say_print(w, "%d:%02d\u00a0%s", hour % 12 ? hour % 12 : 12, at % 60, hour < 12 ? "am" : "pm");
}

/* Without "am" where the next has the same. */
static const char *time_before(say *w, int minute, int next) {
    const char *said = works_said_time(w, minute);
    bool same = minute / (WORKS_DAY_MIN / 2) == next / (WORKS_DAY_MIN / 2);
    return w->system == UNITS_US && same ? say_print(w, "%.*s", (int)strcspn(said, "\u00a0"), said) : said;
}

const char *works_said_hours(say *w, int from, int to) {
    if (to == from) return works_said_time(w, from);
    return say_print(w, "%s-%s", time_before(w, from, to), works_said_time(w, to));
}

const char *works_said_times(say *w, const int *minutes, size_t n) {
    const char *all = "";
    for (size_t i = 0; i < n; i++)
        all = say_print(w, "%s%s%s", all, i ? ", " : "",
                        i + 1 < n ? time_before(w, minutes[i], minutes[i + 1])
                                  : works_said_time(w, minutes[i]));
    return all;
}

const char *works_said_moment(say *w, const works_plan *works, int minute) {
    return say_print(w, "%s %s", works_said_day(w, works, works_day_of(minute), DAY_MONTH),
                     works_said_time(w, minute));
}

const char *works_said_span(say *w, const works_plan *works, int from, int to) {
    const char *first = works_said_moment(w, works, from);
    if (works_day_of(from) == works_day_of(to))
        return say_print(w, "%s to %s", first, works_said_time(w, to));
    return say_print(w, "%s to %s", first, works_said_moment(w, works, to));
}

bool works_deadline(const works_plan *works, int *minute) {
    *minute = works->back_min;
    return works->n_tasks > 0 && works->start_on && works->back_min >= 0;
}

static const char *length(say *w, int minutes) {
    if (minutes < 2 * WORKS_DAY_MIN) return say_time(w, 60.0 * minutes);
    return say_print(w, "%s days", say_plain(w, (double)minutes / WORKS_DAY_MIN, 1));
}

size_t works_days_worked(const works_plan *works, arena *memory) {
    int last = works_day_of(works->makespan_min);
    if (works->n_tasks == 0 || last < 0) return 0;
    bool *worked = arena_get(memory, (size_t)last + 1, sizeof *worked);
    size_t n = 0;
    if (!worked) return 0;
    for (size_t i = 0; i < works->n_tasks; i++) {
        int day = works_day_of(works->tasks[i].start_min);
        if (works->tasks[i].minutes <= 0 || day < 0 || day > last || worked[day]) continue;
        worked[day] = true;
        n++;
    }
    return n;
}

static int first_start(const works_plan *works) {
    int first = works->tasks[0].start_min;
    for (size_t i = 1; i < works->n_tasks; i++)
        if (works->tasks[i].start_min < first) first = works->tasks[i].start_min;
    return first;
}

const char *works_said_when(say *w, const works_plan *works) {
    if (works->n_tasks == 0) return NULL;
    size_t days = works_days_worked(works, w->memory);
    return say_print(w, "%s; work on %zu day%s, %zu %s",
                     works_said_span(w, works, first_start(works), works->makespan_min), days,
                     days == 1 ? "" : "s", works->n_workers, works->n_workers == 1 ? "person" : "people");
}

const char *works_said_out(say *w, const works_plan *works) {
    int minutes = works->out_to_min - works->out_from_min;
    if (minutes <= 0) return NULL;
    return say_print(w, "%s, %s", works_said_span(w, works, works->out_from_min, works->out_to_min),
                     length(w, minutes));
}

const char *works_said_deadline(say *w, const works_plan *works) {
    int minute;
    if (!works_deadline(works, &minute)) return NULL;
    const char *when = works_said_moment(w, works, minute);
    if (works->late) return say_print(w, "%s: LATE by %s", when, length(w, works->late_min));
    return say_print(w, "%s: kept", when);
}

const char *works_said_bound(say *w, const works_plan *works) {
    if (works->n_tasks == 0 || works->lower_bound_min <= 0) return NULL;
    if (!(works->gap_percent >= 0.05)) return "No plan with these people and hours can end sooner.";
    return say_print(w, "At most %s\u00a0%% longer than the shortest plan there can be.",
                     say_plain(w, works->gap_percent, 1));
}

const char *works_said_absent(say *w, const survey *s, const works_plan *works) {
    bool *there = arena_get(w->memory, s->n_defects, sizeof *there);
    text marks = {0};
    size_t n = 0;
    if (!there) w->failed = true;
    for (size_t i = 0; there && i < works->n_tasks; i++)
        if (works->tasks[i].leak < s->n_defects) there[works->tasks[i].leak] = true;
    for (size_t i = 0; there && i < s->n_defects; i++) {
        if (there[i]) continue;
        if (n++ < MARKS_SHOWN) text_print(&marks, "%s%s", n > 1 ? ", " : "", s->defects[i].mark);
    }
    if (marks.failed) w->failed = true;
    const char *said = NULL;
    if (n > MARKS_SHOWN)
        said = say_print(w, "%s and %zu others have no work here.", text_get(&marks), n - MARKS_SHOWN);
    else if (n)
        said = say_print(w, "%s: no work here.", text_get(&marks));
    text_free(&marks);
    return said;
}

const char *works_said_all(say *w, const survey *s, const works_plan *works) {
    const char *when = works_said_when(w, works), *out = works_said_out(w, works),
               *back = works_said_deadline(w, works);
    const char *parts[] = {when ? say_print(w, "%s.", when) : NULL,
                           out ? say_print(w, "Out of service %s.", out) : NULL,
                           back ? say_print(w, "To be back in service %s.", back) : NULL,
                           works_said_bound(w, works), works_said_absent(w, s, works)};
    const char *all = "";
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        if (parts[i]) all = say_print(w, "%s%s%s", all, *all ? " " : "", parts[i]);
    return all;
}

const char *works_said_task(say *w, const works_task *task, const char *where) {
    const char *title = task->title;
    size_t n = strlen(where);
    if (n > 0 && strncmp(title, where, n) == 0 && strncmp(title + n, ": ", 2) == 0) title += n + 2;
    return task->parts > 1 ? say_print(w, "%s (%d of %d)", title, task->part, task->parts) : title;
}
