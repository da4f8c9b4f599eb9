#include "report/ical.h"

#include "core/hash.h"
#include "report/date.h"

#include <string.h>

enum { FOLD_OCTETS = 75, UID_HEX = 32 };

/* ---- content lines ---- */

/* Octets of `line` that stay in one line of at most `room`: never inside a character. */
static size_t part_of(const char *line, size_t room) {
    size_t length = strlen(line);
    if (length <= room) return length;
    while (room > 0 && ((unsigned char)line[room] & 0xc0) == 0x80) room--;
    return room;
}

static void add_folded(text *out, const char *line) {
    size_t part = part_of(line, FOLD_OCTETS);
    text_add_bytes(out, line, part);
    for (line += part; *line; line += part) {
        text_add(out, "\r\n ");
        part = part_of(line, FOLD_OCTETS - 1);
        if (part == 0) part = 1; /* no UTF-8: our own mistake elsewhere, but it ends */
        text_add_bytes(out, line, part);
    }
    text_add(out, "\r\n");
}

static void add_escaped(text *to, const char *value) {
    for (const char *at = value; *at; at++) {
        unsigned char c = (unsigned char)*at;
        if (c == '\\' || c == ';' || c == ',') text_add(to, "\\");
        if (c == '\n')
            text_add(to, "\\n");
        else if ((c >= 0x20 && c != 0x7f) || c == '\t')
            text_add_bytes(to, at, 1);
    }
}

void ical_add_text(text *out, const char *name, const char *value) {
    text line = {0};
    text_print(&line, "%s:", name);
    add_escaped(&line, value);
    if (line.failed) out->failed = true;
    add_folded(out, text_get(&line));
    text_free(&line);
}

/* ---- what all calendars have ---- */

void ical_begin(text *out, const survey *s, const ical_options *options) {
    text product = {0};
    text_print(&product, "-//stanch//works %s//EN", options->version);
    text_add(out, "BEGIN:VCALENDAR\r\nVERSION:2.0\r\n");
    ical_add_text(out, "PRODID", text_get(&product));
    text_add(out, "CALSCALE:GREGORIAN\r\nMETHOD:PUBLISH\r\n");
    if (s->site.name) ical_add_text(out, "NAME", s->site.name); /* RFC 7986, 5.1 */
    if (product.failed) out->failed = true;
    text_free(&product);
}

void ical_begin_event(text *out, const survey *s, const ical_options *options, const char *what,
                      const char *summary) {
    char uid[HASH_TEXT];
    text named = {0};
    text_print(&named, "%s\n%s", options->job, what);
    hash_text(text_get(&named), named.length, uid);
    if (named.failed) out->failed = true;
    text_free(&named);
    text_print(out, "BEGIN:VEVENT\r\nUID:%.*s\r\nDTSTAMP:%.4s%.2s%.2sT000000Z\r\n", UID_HEX, uid,
               options->date, options->date + 5, options->date + 8);
    ical_add_text(out, "SUMMARY", summary);
    const char *place = s->site.place;
    if (place && *place) ical_add_text(out, "LOCATION", place);
}

/* ---- events ---- */

typedef struct {
    const survey *survey;
    const works_plan *works;
    const ical_options *options;
    say words;
    text *out;
} calendar;

static void add_moment(const calendar *c, const char *name, int minute) {
    calendar_day at;
    int day = works_day_of(minute), of_day = minute - day * WORKS_DAY_MIN;
    if (!works_date(c->works, day, &at)) at = (calendar_day){9999, 12, 31};
    text_print(c->out, "%s:%04d%02d%02dT%02d%02d00\r\n", name, at.year, at.month, at.day, of_day / 60,
               of_day % 60);
}

static void add_day(const calendar *c, const char *name, int day) {
    calendar_day at;
    if (!works_date(c->works, day, &at)) at = (calendar_day){9999, 12, 31};
    text_print(c->out, "%s;VALUE=DATE:%04d%02d%02d\r\n", name, at.year, at.month, at.day);
}

static void begin(calendar *c, const char *what, const char *summary) {
    ical_begin_event(c->out, c->survey, c->options, what, summary);
}

static void end(calendar *c) {
    text_add(c->out, "END:VEVENT\r\n");
}

static const char *mark_of(const calendar *c, const works_task *t) {
    return t->leak < c->survey->n_defects ? c->survey->defects[t->leak].mark : "";
}

static const char *face_name(const calendar *c, size_t face) {
    if (face >= c->survey->n_faces) return "";
    const survey_face *f = &c->survey->faces[face];
    return f->name ? f->name : f->id;
}

static bool is_visit(const works_task *t) {
    return strcmp(t->step, "mist") == 0;
}

static bool is_opening(const works_task *t) {
    return strcmp(t->step, "open") == 0;
}

static void add_visit(calendar *c, const works_task *t) {
    begin(c, t->id, say_print(&c->words, "Keep moist: %s", face_name(c, t->face)));
    add_moment(c, "DTSTART", t->start_min);
    add_moment(c, "DTEND", t->end_min);
    ical_add_text(c->out, "DESCRIPTION", works_said_task(&c->words, t, face_name(c, t->face)));
    text_add(c->out, "BEGIN:VALARM\r\nACTION:DISPLAY\r\n");
    ical_add_text(c->out, "DESCRIPTION", say_print(&c->words, "Keep moist: %s", face_name(c, t->face)));
    text_print(c->out, "TRIGGER:-PT%dM\r\nEND:VALARM\r\n", ICAL_ALARM_MIN);
    end(c);
}

static void add_opening(calendar *c, const works_task *t) {
    begin(c, t->id, say_print(&c->words, "%s: water may come back", mark_of(c, t)));
    add_moment(c, "DTSTART", t->start_min);
    text_add(c->out, "TRANSP:TRANSPARENT\r\n");
    end(c);
}

/* ---- days of work ---- */

typedef struct {
    int from, to; /* hours of the shifts, and of what lies outside of them; from == to: nobody works */
    text tasks;
} day_work;

static day_work day_of(calendar *c, int day) {
    day_work d = {0};
    for (size_t i = 0; i < c->works->n_tasks; i++) {
        const works_task *t = &c->works->tasks[i];
        if (works_day_of(t->start_min) != day || t->end_min <= t->start_min) continue;
        if (d.to == 0 || t->start_min < d.from) d.from = t->start_min;
        if (t->end_min > d.to) d.to = t->end_min;
        const char *where = t->leak < c->survey->n_defects ? mark_of(c, t) : face_name(c, t->face);
        text_print(&d.tasks, "%s%s %s: %s", d.tasks.length ? "\n" : "",
                   works_said_time(&c->words, t->start_min), where, works_said_task(&c->words, t, where));
    }
    for (size_t i = 0; d.to > 0 && i < c->works->n_shifts; i++) {
        const works_shift *s = &c->works->shifts[i];
        if (s->day != day) continue;
        if (s->from_min < d.from) d.from = s->from_min;
        if (s->to_min > d.to) d.to = s->to_min;
    }
    return d;
}

static void add_days(calendar *c) {
    int last = works_day_of(c->works->makespan_min);
    for (int day = 0; day <= last; day++) {
        day_work d = day_of(c, day);
        if (d.to > d.from) {
            const char *site = c->survey->site.name;
            begin(c, say_print(&c->words, "day %d", day),
                  say_print(&c->words, "Works, day %d%s%s", day + 1, site && *site ? ": " : "",
                            site ? site : ""));
            add_moment(c, "DTSTART", d.from);
            add_moment(c, "DTEND", d.to);
            ical_add_text(c->out, "DESCRIPTION", text_get(&d.tasks));
            end(c);
        }
        if (d.tasks.failed) c->words.failed = true;
        text_free(&d.tasks);
    }
}

/* ---- looking again ---- */

/* Leaks whose water came back so many days before the end of `day`; "" when there are none. */
static const char *due(calendar *c, int day, int after) {
    const char *marks = "";
    for (size_t i = 0; i < c->works->n_tasks; i++) {
        const works_task *t = &c->works->tasks[i];
        if (is_opening(t) && works_day_of(t->start_min) + after == day)
            marks = say_print(&c->words, "%s%s%s", marks, *marks ? ", " : "", mark_of(c, t));
    }
    return marks;
}

static void add_looks(calendar *c) {
    static const struct {
        int days;
        const char *said;
    } after[] = {{1, "24 h"}, {7, "7 days"}, {28, "28 days"}}; /* as the step "Prove it dry" asks */
    int last = works_day_of(c->works->makespan_min) + 28;
    for (size_t k = 0; k < sizeof after / sizeof *after; k++)
        for (int day = 0; day <= last; day++) {
            const char *marks = due(c, day, after[k].days);
            if (!*marks) continue;
            begin(c, say_print(&c->words, "look %d %d", after[k].days, day),
                  say_print(&c->words, "Look again, %s: %s", after[k].said, marks));
            add_day(c, "DTSTART", day);
            text_add(c->out, "TRANSP:TRANSPARENT\r\n");
            end(c);
        }
}

static void write(calendar *c) {
    ical_begin(c->out, c->survey, c->options);
    add_days(c);
    for (size_t i = 0; i < c->works->n_tasks; i++) {
        if (is_visit(&c->works->tasks[i])) add_visit(c, &c->works->tasks[i]);
        if (is_opening(&c->works->tasks[i])) add_opening(c, &c->works->tasks[i]);
    }
    add_looks(c);
    text_add(c->out, "END:VCALENDAR\r\n");
}

status report_ical(const survey *s, const works_plan *works, const ical_options *options, text *out,
                   fault *why) {
    status code = date_check(options->date, why);
    if (code != OK) return code;
    calendar_day first;
    if (!works_date(works, 0, &first))
        return fault_set(why, E_STATE, "the works have no first day: tell one before a calendar is made");
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    calendar c = {s, works, options, {.memory = memory, .system = s->site.system}, out};
    write(&c);
    bool whole = !c.words.failed && !out->failed;
    arena_free(memory);
    return whole ? OK : fault_memory(why);
}
