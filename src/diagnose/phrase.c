#include "diagnose/phrase.h"

static const double LITRE_A_MINUTE_M3_S = 1e-3 / 60; /* parts the two bands of a run (trade rule 19) */

static const char *kept(const char *made) {
    return made ? made : "";
}

static const char *show(const phrase *p, units_quantity q, double si, int metric, int us) {
    char into[UNITS_SHOWN];
    return kept(
        arena_copy(p->memory, units_show(q, p->system, si, p->system == UNITS_US ? us : metric, into)));
}

const char *phrase_width(const phrase *p, double m) {
    return show(p, UNITS_SIZE, m, 3, 4);
}

const char *phrase_signed_width(const phrase *p, double m) {
    return kept(arena_print(p->memory, "%s%s", m > 0 ? "+" : "", phrase_width(p, m)));
}

const char *phrase_limit(const phrase *p, double m) {
    return show(p, UNITS_SIZE, m, 1, 3);
}

const char *phrase_size(const phrase *p, double m) {
    return show(p, UNITS_SIZE, m, 0, 2);
}

const char *phrase_length(const phrase *p, double m) {
    return show(p, UNITS_LENGTH, m, 2, 2);
}

/* A degree Fahrenheit is 5/9 of a kelvin. */
const char *phrase_per_degree(const phrase *p, double m_per_k) {
    bool us = p->system == UNITS_US;
    return kept(arena_print(p->memory, "%s a %s", show(p, UNITS_SIZE, us ? m_per_k * 5 / 9 : m_per_k, 4, 5),
                            us ? "°F" : "kelvin"));
}

const char *phrase_flow_day(const phrase *p, double m3_s) {
    return kept(arena_print(p->memory, "%s a day", show(p, UNITS_VOLUME, m3_s * 86400, 1, 2)));
}

const char *phrase_flow(const phrase *p, double m3_s) {
    double minute = units_from_si(UNITS_FLOW, p->system, m3_s), day = minute * 1440;
    if (m3_s >= LITRE_A_MINUTE_M3_S) return show(p, UNITS_FLOW, m3_s, minute < 10, minute < 10);
    int decimals = day < 1 ? 2 : day < 10;
    return kept(arena_print(p->memory, "%s a day", show(p, UNITS_VOLUME, m3_s * 86400, decimals, decimals)));
}
