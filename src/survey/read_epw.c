#include "survey/read_epw.h"

#include "survey/fields.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { HEADING_LINES = 8, HOURS = 24, FIELD_MONTH = 1, FIELD_DAY = 2, FIELD_HOUR = 3, FIELD_DRY_BULB = 6 };
enum { LINE_BYTES = 2000 }; /* our default: real lines have 200 to 300, headings up to a thousand */
#define MISSING_C 99.9

static const int month_days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

typedef struct {
    const char *source;
    fault_list *faults;
    const char *at, *end;
    size_t line; /* number of the one in `text` */
    char text[LINE_BYTES + 1];
    int month, day, hour; /* expected next, from 0 */
    units_system system;
    double sum_c, *days;
    size_t n_days, n_hours;
} epw;

/* The next line into `text`, without its end. False at the end of the file or after a fault. */
static bool next_line(epw *e) {
    if (e->at == e->end) return false;
    const char *stop = memchr(e->at, '\n', (size_t)(e->end - e->at));
    size_t length = stop ? (size_t)(stop - e->at) : (size_t)(e->end - e->at);
    e->line++;
    if (length > LINE_BYTES || memchr(e->at, '\0', length)) {
        fault_list_add(e->faults, "%s: line %zu: is no line of an EPW file", e->source, e->line);
        return false;
    }
    memcpy(e->text, e->at, length);
    e->text[length] = '\0';
    if (length > 0 && e->text[length - 1] == '\r') e->text[length - 1] = '\0';
    e->at += length + (stop != NULL);
    return true;
}

/* Field `n` from 0 as a number. */
static bool number_at(const char *line, int n, double *out) {
    char cell[TEXT_NUMBER];
    while (n-- > 0) {
        line = strchr(line, ',');
        if (!line) return false;
        line++;
    }
    size_t length = strcspn(line, ",");
    while (length > 0 && *line == ' ') line++, length--;
    if (length == 0 || length >= sizeof cell) return false;
    memcpy(cell, line, length);
    cell[length] = '\0';
    return text_to_number(cell, out);
}

static bool read_heading(epw *e) {
    for (int i = 0; i < HEADING_LINES; i++) {
        size_t before = fault_list_count(e->faults);
        bool good = next_line(e) && (i > 0 || strncmp(e->text, "LOCATION,", 9) == 0);
        if (good) continue;
        if (fault_list_count(e->faults) == before)
            fault_list_add(
                e->faults,
                "%s: is no EPW file; it must begin with %d lines of heading, the first LOCATION,...",
                e->source, HEADING_LINES);
        return false;
    }
    return true;
}

/* A mean as a person would type it in the job's units. */
static double typed_c(units_system system, double c) {
    double shown = units_from_si(UNITS_TEMPERATURE, system, c);
    return units_to_si(UNITS_TEMPERATURE, system, round(shown * 100) / 100) + 0.0;
}

static void add_hour(epw *e, double dry_bulb_c) {
    e->sum_c += dry_bulb_c;
    e->n_hours++;
    if (++e->hour < HOURS) return;
    e->days[e->n_days++] = typed_c(e->system, e->sum_c / HOURS);
    e->sum_c = 0;
    e->hour = 0;
    if (++e->day < month_days[e->month]) return;
    e->day = 0;
    e->month++;
}

/* One hour of `text`. False after a fault: what follows would be out of step. */
static bool take_hour(epw *e) {
    double month, day, hour, dry_bulb_c;
    if (!number_at(e->text, FIELD_MONTH, &month) || !number_at(e->text, FIELD_DAY, &day) ||
        !number_at(e->text, FIELD_HOUR, &hour) || !number_at(e->text, FIELD_DRY_BULB, &dry_bulb_c)) {
        fault_list_add(e->faults,
                       "%s: line %zu: month, day, hour and dry bulb (fields 2, 3, 4, 7) must be numbers",
                       e->source, e->line);
        return false;
    }
    if (month == 2 && day == 29) return true;
    if (e->month == 12) {
        fault_list_add(e->faults, "%s: line %zu: the year is full, 8760 hours; no more lines may follow",
                       e->source, e->line);
        return false;
    }
    if (month != e->month + 1 || day != e->day + 1 || hour != e->hour + 1) {
        fault_list_add(e->faults,
                       "%s: line %zu: is month %g, day %g, hour %g; month %d, day %d, hour %d must come next",
                       e->source, e->line, month, day, hour, e->month + 1, e->day + 1, e->hour + 1);
        return false;
    }
    if (dry_bulb_c == MISSING_C)
        fault_list_add(e->faults,
                       "%s: line %zu: the dry bulb is missing (99.9); fill it or take another file",
                       e->source, e->line);
    else if (!(dry_bulb_c >= SURVEY_COLDEST_C && dry_bulb_c <= SURVEY_WARMEST_C))
        fault_list_add(e->faults, "%s: line %zu: the dry bulb is %g C; it must lie in %g to %g C", e->source,
                       e->line, dry_bulb_c, SURVEY_COLDEST_C, SURVEY_WARMEST_C);
    add_hour(e, dry_bulb_c);
    return true;
}

static void read_hours(epw *e) {
    while (next_line(e))
        if (e->text[strspn(e->text, " \t")] != '\0' && !take_hour(e)) return;
}

bool survey_read_epw(survey *into, const char *source, const char *bytes, size_t length, fault_list *faults) {
    epw e = {
        .source = source, .faults = faults, .at = bytes, .end = bytes + length, .system = into->site.system};
    size_t before = fault_list_count(faults);
    e.days = arena_get(into->memory, SURVEY_YEAR_DAYS, sizeof *e.days);
    if (!e.days) {
        fault_list_memory(faults);
        return false;
    }
    if (read_heading(&e)) read_hours(&e);
    if (fault_list_count(faults) == before && e.month < 12)
        fault_list_add(faults, "%s: holds %zu hours (29 February left out); a year has 8760", source,
                       e.n_hours);
    if (fault_list_count(faults) != before) return false;
    into->site.typical_c = e.days;
    into->site.n_typical = SURVEY_YEAR_DAYS;
    return true;
}
