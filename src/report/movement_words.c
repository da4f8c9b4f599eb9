/* movement_words.c - what the figure of a gauge says: the verdict with its number, the fit, the coming year. */
#include "report/movement_view.h"

#include <math.h>
#include <string.h>

enum { ASIDE_NAMED = 3 };

const char *const movement_months[12] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                         "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

calendar_day movement_date(const movement_view *v, double day) {
    long long first = 0;
    date_day(v->gauge->first_on, &first);
    return date_of_days(first + (long long)floor(day));
}

bool movement_kept(const diagnosis_gauge *g, size_t reading) {
    return !g->fit.aside || !g->fit.aside[reading];
}

/* ---- figures ---- */

/* Decimals that leave `digits` figures of a number, 0 to `most`. */
static int decimals_for(double shown, int digits, int most) {
    if (!(fabs(shown) > 0)) return most;
    double decimals = digits - 1 - floor(log10(fabs(shown)) + 1e-9);
    return (int)fmin(fmax(decimals, 0), most);
}

/* A gauge is read to 0.01 mm or 0.0005 in: no more figures than a mean of many readings has. */
static int most_decimals(const say *w) {
    return w->system == UNITS_US ? 6 : 4;
}

const char *movement_width_said(say *w, double width_m) {
    double shown = units_from_si(UNITS_SIZE, w->system, width_m);
    int decimals = w->system == UNITS_US ? 3 : 2;
    if (fabs(shown) < 0.5 * pow(10, -decimals)) shown = 0;
    return say_print(w, "%.*f\u00a0%s", decimals, shown, say_unit(w, UNITS_SIZE));
}

/* "+0.110 ± 0.009 mm": as many decimals as the error bears. */
static const char *with_error(say *w, double value, double error, int more) {
    double shown = units_from_si(UNITS_SIZE, w->system, value),
           give = units_from_si(UNITS_SIZE, w->system, error);
    int decimals = decimals_for(give, 2, most_decimals(w) + more);
    if (fabs(shown) < 0.5 * pow(10, -decimals)) shown = 0;
    return say_print(w, shown > 0 ? "+%.*f\u00a0±\u00a0%.*f\u00a0%s" : "%.*f\u00a0±\u00a0%.*f\u00a0%s",
                     decimals, shown, decimals, give, say_unit(w, UNITS_SIZE));
}

const char *movement_drift_said(const movement_view *v) {
    const movement_result *fit = &v->gauge->fit;
    return say_print(v->words, "%s a year",
                     with_error(v->words, fit->per_year_m, fit->t * fit->per_year_se_m, 0));
}

static const char *per_degree_said(const movement_view *v) {
    const movement_result *fit = &v->gauge->fit;
    units_system in = v->words->system;
    double degree = units_to_si(UNITS_TEMPERATURE, in, 1) - units_to_si(UNITS_TEMPERATURE, in, 0);
    return say_print(
        v->words, "%s per %s",
        with_error(v->words, degree * fit->per_kelvin_m, degree * fit->t * fit->per_kelvin_se_m, 2),
        say_unit(v->words, UNITS_TEMPERATURE));
}

static const char *temperature_said(say *w, double celsius) {
    double shown = units_from_si(UNITS_TEMPERATURE, w->system, celsius);
    return say_print(w, "%.0f", fabs(shown) < 0.5 ? 0 : shown);
}

static const char *date_said(const movement_view *v, double day) {
    calendar_day at = movement_date(v, day);
    const char *month = movement_months[at.month - 1];
    return v->words->system == UNITS_US ? say_print(v->words, "%s\u00a0%d,\u00a0%d", month, at.day, at.year)
                                        : say_print(v->words, "%d\u00a0%s\u00a0%d", at.day, month, at.year);
}

/* ---- sentences ---- */

const char *movement_figure_title(const char *mark, const diagnosis_gauge *gauge, say *words) {
    return *gauge->gauge ? say_print(words, "Movement of %s, gauge %s", mark, gauge->gauge)
                         : say_print(words, "Movement of %s", mark);
}

const char *movement_verdict_said(const movement_view *v) {
    const movement_result *fit = &v->gauge->fit;
    say *w = v->words;
    if (!fit->fitted) return "Undecided";
    const char *drift = movement_drift_said(v), *cycle = say_value(w, UNITS_SIZE, fit->cyclic_range_m);
    switch (fit->verdict) {
    case MOVEMENT_GROWING: return say_print(w, "Growing: %s", drift);
    case MOVEMENT_CLOSING: return say_print(w, "Closing: %s", drift);
    case MOVEMENT_CYCLIC: return say_print(w, "Cyclic: opens and closes by %s", cycle);
    case MOVEMENT_STILL: return say_print(w, "Still: %s with the temperature", cycle);
    case MOVEMENT_UNDECIDED:
    case MOVEMENT_VERDICTS: break;
    }
    return "Undecided";
}

/* Why it is undecided, in the words of the fit, and when it might be decided. */
static const char *say_undecided(const movement_view *v) {
    const movement_result *fit = &v->gauge->fit;
    const char *rule = fit->rule ? fit->rule : "too few readings to fit";
    say *w = v->words;
    if (!fit->fitted) return say_print(w, "Not fitted: %s.", rule);
    if (fit->verdict != MOVEMENT_UNDECIDED) return NULL;
    if (!fit->months_more.known)
        return say_print(w, "%s. Readings as now would not decide within 5 years.", rule);
    return say_print(w, "%s. About %.0f month%s more of readings as now would decide.", rule,
                     fit->months_more.v, fit->months_more.v == 1 ? "" : "s");
}

static const char *say_fit(const movement_view *v) {
    const movement_result *fit = &v->gauge->fit;
    say *w = v->words;
    double sd = units_from_si(UNITS_SIZE, w->system, fit->residual_sd_m);
    const char *left =
        say_print(w, "%.*f\u00a0%s", decimals_for(sd, 2, most_decimals(w)), sd, say_unit(w, UNITS_SIZE));
    bool told = fit->verdict == MOVEMENT_GROWING || fit->verdict == MOVEMENT_CLOSING; /* in the heading */
    const char *drift = told ? "With" : say_print(w, "Drift %s; with", movement_drift_said(v));
    return say_print(w,
                     "%s the temperature of the wall %s (± at %.0f\u00a0%%). Readings about the fit: %s "
                     "(standard deviation).",
                     drift, per_degree_said(v), 100 * v->gauge->input.confidence, left);
}

static const char *say_wall(const movement_view *v) {
    const diagnosis_gauge *g = v->gauge;
    if (g->input.n_air == 0) return "Temperatures as read with them.";
    const char *from = g->fit.lag_searched ? "found by search" : "given";
    if (!(g->fit.lag_days > 0)) return say_print(v->words, "Wall: as warm as the air, %s.", from);
    return say_print(v->words, "Wall: the air %s %s\u00a0day%s, %s.",
                     g->fit.wall == MOVEMENT_FOLLOW ? "smoothed over" : "delayed by",
                     say_plain(v->words, g->fit.lag_days, 1), g->fit.lag_days == 1 ? "" : "s", from);
}

static const char *say_readings(const movement_view *v) {
    const diagnosis_gauge *g = v->gauge;
    const movement_reading *all = g->input.readings;
    say *w = v->words;
    const char *first = date_said(v, all[0].day), *last = date_said(v, all[g->input.n - 1].day);
    if (g->input.n == 1) return say_print(w, "Read on %s.", first);
    if (!g->fit.fitted) return say_print(w, "Read from %s to %s.", first, last);
    const char *aside = g->fit.n_aside ? say_print(w, ", %zu set aside", g->fit.n_aside) : "";
    return say_print(w, "%zu readings from %s to %s%s. %s", g->input.n, first, last, aside, say_wall(v));
}

static const char *say_year(const movement_view *v) {
    const diagnosis_gauge *g = v->gauge;
    say *w = v->words;
    if (!g->fit.fitted) return NULL;
    if (!g->fit.season) return "Coming year: not told before a season of readings is closed.";
    if (!v->year_known) return "Coming year: not known; the site has no temperatures for it.";
    const char *wall = g->coldest_c.known && g->warmest_c.known
                           ? say_print(w, ", wall %s to %s\u00a0%s", temperature_said(w, g->coldest_c.v),
                                       temperature_said(w, g->warmest_c.v), say_unit(w, UNITS_TEMPERATURE))
                           : "";
    return say_print(w, "Coming year (%s%s): %s to %s, the band of a reading included.",
                     g->year_basis ? g->year_basis : "basis not told", wall,
                     movement_width_said(w, g->narrowest_m.v), movement_width_said(w, g->widest_m.v));
}

static const char *say_aside(const movement_view *v) {
    const diagnosis_gauge *g = v->gauge;
    const char *all = "";
    size_t named = 0;
    if (!g->fit.n_aside) return NULL;
    for (size_t i = 0; i < g->input.n && named < ASIDE_NAMED; i++) {
        if (movement_kept(g, i)) continue;
        all = say_print(v->words, "%s%s%s on %s", all, named++ ? "; " : "",
                        movement_width_said(v->words, g->input.readings[i].width_m),
                        date_said(v, g->input.readings[i].day));
    }
    const char *more =
        g->fit.n_aside > named ? say_print(v->words, "; and %zu more", g->fit.n_aside - named) : "";
    return say_print(v->words, "Set aside, too far off the others: %s%s.", all, more);
}

const char *movement_said(const movement_view *v) {
    const char *all[] = {
        say_undecided(v), v->gauge->fit.fitted ? say_fit(v) : NULL,
        say_readings(v),  say_aside(v),
        say_year(v),      v->cut ? "What lies beyond the frame is drawn at its edge." : NULL};
    const char *out = "";
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        if (all[i]) out = say_print(v->words, "%s%s%s", out, *out ? " " : "", all[i]);
    return out;
}
