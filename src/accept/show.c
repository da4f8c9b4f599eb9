#include "accept/show.h"

#include "plan/show.h"

#include <string.h>

#define YEAR_S (365.0 * 86400)

static bool is_us(const plan *p) {
    return p->survey->site.system == UNITS_US;
}

static const char *or_nothing(const char *said) {
    return said ? said : "";
}

const char *accept_show_metres(const plan *p, const proof_leak *leak, double m) {
    if (!leak->is_line) return m > 0 ? "whole" : "none";
    return show_length(p, m);
}

/* The number of "3.00 l/min". */
static int number_of(const char *shown) {
    return (int)strcspn(shown, " ");
}

const char *accept_show_kept(const plan *p, const proof_leak *leak) {
    if (!leak->treated) return "";
    const char *kept = accept_show_metres(p, leak, leak->kept_m);
    if (!leak->is_line) return kept;
    return or_nothing(
        arena_print(p->memory, "%.*s of %s", number_of(kept), kept, show_length(p, leak->length_m)));
}

const char *accept_show_change(const plan *p, const proof_leak *leak) {
    const char *sign = leak->before_measured ? "" : "~", *after = accept_show_flow(p, leak->after_m3_s);
    if (!leak->before_m3_s.known) return *after ? or_nothing(arena_print(p->memory, "-> %s", after)) : "";
    const char *before = show_flow(p, leak->before_m3_s.v);
    if (!*after) return or_nothing(arena_print(p->memory, "%s%s", sign, before));
    return or_nothing(arena_print(p->memory, "%s%.*s -> %s", sign, number_of(before), before, after));
}

const char *accept_show_flow(const plan *p, maybe m3_s) {
    return m3_s.known ? show_flow(p, m3_s.v) : "";
}

const char *accept_show_before(const plan *p, const proof_leak *leak) {
    if (!leak->before_m3_s.known) return "";
    return or_nothing(arena_print(p->memory, "%s %s", show_flow(p, leak->before_m3_s.v),
                                  leak->before_measured ? "measured" : "expected"));
}

const char *accept_show_saved(const plan *p, maybe m3_s) {
    if (!m3_s.known) return "";
    double year_m3 = m3_s.v * YEAR_S;
    const char *flow = m3_s.v < 0 ? show_flow(p, -m3_s.v) : show_flow(p, m3_s.v);
    if (m3_s.v < 0) return or_nothing(arena_print(p->memory, "-%s: more than before", flow));
    const char *year =
        is_us(p) ? arena_print(p->memory, "%.0f gal", units_from_si(UNITS_VOLUME, UNITS_US, year_m3))
                 : arena_print(p->memory, year_m3 < 10 ? "%.1f m³" : "%.0f m³", year_m3);
    return or_nothing(arena_print(p->memory, "%s, %s a year", flow, or_nothing(year)));
}

const char *accept_show_after(const plan *p, const accept_job *job) {
    if (!job->saved_m3_s.known) return "";
    double after_m3_s = job->before_m3_s.v - job->saved_m3_s.v;
    return show_flow(p, after_m3_s > 0 ? after_m3_s : 0);
}

const char *accept_show_agreed(const plan *p, const accept_job *job) {
    if (job->agreed != TIGHT_NOT_AGREED) return tightness_name(job->agreed);
    return or_nothing(
        arena_print(p->memory, "none; judged as %s (our default)", tightness_name(job->class_id)));
}

const char *accept_show_amount(const plan *p, watertest_allowed_unit unit, double value) {
    double l_m2 = value * 1e-3; /* m3 on a m2 */
    switch (unit) {
    case ALLOWED_PERCENT_DAY: return or_nothing(arena_print(p->memory, "%.3g %% a day", value));
    case ALLOWED_MM:
        return or_nothing(
            arena_print(p->memory, is_us(p) ? "%.3g in" : "%.3g mm", is_us(p) ? value / 25.4 : value));
    case ALLOWED_L_M2:
        if (!is_us(p)) return or_nothing(arena_print(p->memory, "%.3g l/m2", value));
        return or_nothing(
            arena_print(p->memory, "%.3g gal/ft2",
                        units_from_si(UNITS_VOLUME, UNITS_US, l_m2) * units_to_si(UNITS_AREA, UNITS_US, 1)));
    case ALLOWED_NONE:
    case ALLOWED_UNITS: break;
    }
    return or_nothing(arena_print(p->memory, "%.3g %% a day", value));
}
