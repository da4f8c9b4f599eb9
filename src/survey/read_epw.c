#include "survey/read_epw.h"

#include "survey/fields.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { HEADING_LINES = 8, HOURS = 24, EPW_MONTH = 1, EPW_DAY = 2, EPW_HOUR = 3, EPW_DRY_BULB = 6 };
enum { EPW_HUMIDITY = 8, EPW_WIND = 21 };
enum { LINE_BYTES = 2000 }; /* our default: real lines have 200 to 300, headings up to a thousand */
#define MISSING_C 99.9
#define MISSING 999.0         /* humidity, wind */
#define DAMPEST_PERCENT 110.0 /* the format's limit; above 100 a station errs */

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
    survey_weather *year;
    size_t n_days, n_hours;
} epw;

typedef struct {
    double dry_bulb_c, humidity_percent, wind_m_s;
} epw_hour;

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

/* A value as a person would type it in the job's units. */
static double typed(units_quantity q, units_system system, double si) {
    double shown = units_from_si(q, system, si);
    return units_to_si(q, system, round(shown * 100) / 100) + 0.0;
}

static void add_hour(epw *e, const epw_hour *h) {
    const double km_h = 3.6; /* 1 m/s, exact */
    e->sum_c += h->dry_bulb_c;
    e->year[e->n_hours++] = (survey_weather){typed(UNITS_TEMPERATURE, e->system, h->dry_bulb_c),
                                             typed(UNITS_PLAIN, e->system, fmin(h->humidity_percent, 100)),
                                             typed(UNITS_WIND, e->system, h->wind_m_s * km_h)};
    if (++e->hour < HOURS) return;
    e->days[e->n_days++] = typed(UNITS_TEMPERATURE, e->system, e->sum_c / HOURS);
    e->sum_c = 0;
    e->hour = 0;
    if (++e->day < month_days[e->month]) return;
    e->day = 0;
    e->month++;
}

/* One value of an hour; comparisons let NaN fail. */
static void check_value(epw *e, const char *what, double value, double missing, double low, double high,
                        const char *unit) {
    if (value == missing)
        fault_list_add(e->faults, "%s: line %zu: the %s is missing (%g); fill it or take another file",
                       e->source, e->line, what, missing);
    else if (!(value >= low && value <= high))
        fault_list_add(e->faults, "%s: line %zu: the %s is %g %s; it must lie in %g to %g %s", e->source,
                       e->line, what, value, unit, low, high, unit);
}

static void check_values(epw *e, const epw_hour *h) {
    const double strongest_m_s = 40; /* the format's limit */
    check_value(e, "dry bulb", h->dry_bulb_c, MISSING_C, SURVEY_COLDEST_C, SURVEY_WARMEST_C, "C");
    check_value(e, "relative humidity", h->humidity_percent, MISSING, 0, DAMPEST_PERCENT, "%");
    check_value(e, "wind speed", h->wind_m_s, MISSING, 0, strongest_m_s, "m/s");
}

/* One hour of `text`. False after a fault: what follows would be out of step. */
static bool take_hour(epw *e) {
    double month, day, hour;
    epw_hour h;
    if (!number_at(e->text, EPW_MONTH, &month) || !number_at(e->text, EPW_DAY, &day) ||
        !number_at(e->text, EPW_HOUR, &hour) || !number_at(e->text, EPW_DRY_BULB, &h.dry_bulb_c) ||
        !number_at(e->text, EPW_HUMIDITY, &h.humidity_percent) ||
        !number_at(e->text, EPW_WIND, &h.wind_m_s)) {
        fault_list_add(
            e->faults,
            "%s: line %zu: month, day, hour, dry bulb, relative humidity and wind speed (fields 2, "
            "3, 4, 7, 9, 22) must be numbers",
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
    check_values(e, &h);
    add_hour(e, &h);
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
    e.year = arena_get(into->memory, SURVEY_YEAR_HOURS, sizeof *e.year);
    if (!e.days || !e.year) {
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
    into->site.year = e.year;
    into->site.n_year = SURVEY_YEAR_HOURS;
    return true;
}
