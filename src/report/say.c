#include "report/say.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *const say_kind_words[KIND_COUNT] = {"crack", "construction joint", "tie hole", "pipe penetration",
                                                "honeycomb"};

static const char *keep(say *s, const char *words) {
    const char *copy = arena_copy(s->memory, words);
    if (!copy) s->failed = true;
    return copy ? copy : "";
}

const char *say_print(say *s, const char *format, ...) {
    char small[512];
    va_list list;
    va_start(list, format);
    int length = vsnprintf(small, sizeof small, format, list);
    va_end(list);
    if (length < 0) return "";
    if ((size_t)length < sizeof small) return keep(s, small);
    char *large = arena_get(s->memory, (size_t)length + 1, 1);
    if (!large) {
        s->failed = true;
        return "";
    }
    va_start(list, format);
    vsnprintf(large, (size_t)length + 1, format, list);
    va_end(list);
    return large;
}

/* Decimals that leave about three figures; never more than four. */
static int decimals_for(double shown) {
    double size = fabs(shown);
    if (!(size > 0)) return 0;
    if (size >= 99.95) return 0;
    if (size >= 9.995) return 1;
    if (size >= 0.9995) return 2;
    return size >= 0.0995 ? 3 : 4;
}

const char *say_plain(say *s, double value, int decimals) {
    char number[64];
    snprintf(number, sizeof number, "%.*f", decimals, value);
    if (decimals > 0) {
        char *end = number + strlen(number);
        while (end[-1] == '0') *--end = 0;
        if (end[-1] == '.') *--end = 0;
    }
    return keep(s, strcmp(number, "-0") == 0 ? "0" : number);
}

const char *say_number(say *s, units_quantity q, double si) {
    double shown = units_from_si(q, s->system, si);
    return say_plain(s, shown, decimals_for(shown));
}

const char *say_unit(const say *s, units_quantity q) {
    return units_symbol(q, s->system);
}

const char *say_value(say *s, units_quantity q, double si) {
    const char *symbol = say_unit(s, q);
    return say_print(s, "%s%s%s", say_number(s, q, si), *symbol ? "\u00a0" : "", symbol);
}

const char *say_maybe(say *s, units_quantity q, maybe value) {
    return value.known ? say_value(s, q, value.v) : "not known";
}

const char *say_length(say *s, double length_m) {
    char into[UNITS_SHOWN];
    return keep(s, units_show(UNITS_LENGTH, s->system, length_m, 2, into));
}

const char *say_level(say *s, double level_m) {
    char into[UNITS_SHOWN];
    units_show(UNITS_LENGTH, s->system, level_m, 2, into);
    return say_print(s, "%s%s", *into == '-' ? "" : "+", into);
}

const char *say_slot(say *s, double width_m, double depth_m) {
    return say_print(s, "%s × %s", say_number(s, UNITS_SIZE, width_m), say_value(s, UNITS_SIZE, depth_m));
}

const char *say_time(say *s, double seconds) {
    if (!(seconds < 1e7)) return say_print(s, "%.0f h", seconds / 3600);
    long whole = lround(seconds);
    if (whole < 60) return say_print(s, "%ld s", whole);
    if (whole < 600 && whole % 60) return say_print(s, "%ld min %ld s", whole / 60, whole % 60);
    long minutes = lround(seconds / 60);
    if (minutes < 60) return say_print(s, "%ld min", minutes);
    if (minutes % 60 == 0) return say_print(s, "%ld h", minutes / 60);
    return say_print(s, "%ld h %ld min", minutes / 60, minutes % 60);
}

const char *say_crew_days(say *s, double days) {
    return say_print(s, "%s crew day%s", say_plain(s, days, 1), days == 1 ? "" : "s");
}

const char *say_money(say *s, double amount) {
    char number[64];
    snprintf(number, sizeof number, "%.2f", fabs(amount) < 1e40 ? amount : 0.0);
    const char *from = number;
    text spaced = {0};
    if (*from == '-') {
        text_add(&spaced, "-");
        from++;
    }
    size_t whole = strcspn(from, ".");
    for (size_t i = 0; i < whole; i++) {
        if (i > 0 && (whole - i) % 3 == 0) text_add(&spaced, "\u00a0");
        text_add_bytes(&spaced, from + i, 1);
    }
    text_add(&spaced, from + whole);
    if (spaced.failed) s->failed = true;
    const char *kept = keep(s, text_get(&spaced));
    text_free(&spaced);
    return kept;
}

const char *say_scale(say *s, double scale) {
    if (s->system == UNITS_METRIC) return say_print(s, "1:%s", say_plain(s, scale, 1));
    static const struct {
        double scale;
        const char *inches;
    } usual[] = {{6, "2 in"},    {12, "1 in"},   {16, "3/4 in"}, {24, "1/2 in"},
                 {32, "3/8 in"}, {48, "1/4 in"}, {96, "1/8 in"}, {192, "1/16 in"}};
    for (size_t i = 0; i < sizeof usual / sizeof *usual; i++) {
        if (scale == usual[i].scale) return say_print(s, "%s = 1 ft (1:%.0f)", usual[i].inches, scale);
    }
    return say_print(s, "1 in = %s ft (1:%s)", say_plain(s, scale / 12, 1), say_plain(s, scale, 1));
}

const char *say_faces(say *s, const survey *from, const survey_defect *d) {
    text all = {0};
    for (size_t i = 0; i < d->n_parts; i++) {
        const survey_face *face = survey_find_face(from, d->parts[i].face);
        if (i > 0 && strcmp(d->parts[i].face, d->parts[i - 1].face) == 0) continue;
        if (i > 0) text_add(&all, ", ");
        text_add(&all, face && face->name ? face->name : d->parts[i].face);
    }
    if (all.failed) s->failed = true;
    const char *kept = keep(s, text_get(&all));
    text_free(&all);
    return kept;
}
