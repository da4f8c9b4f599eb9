/* watertest.c - the verdict on a tank, and how much longer it would take to have one. */
#include "accept/watertest_work.h"

#include <math.h>

const char *const watertest_part_words[WATERTEST_PARTS] = {"readings", "pan factor", "pan not read", "rain",
                                                           "temperature"};

static const double SIZE_MOST = 1e9, FACTOR_MOST = 2;
static const double HOURS_A_DAY = 24, SECONDS_AN_HOUR = 3600, PERCENT = 100, MM = 1000, LITRES = 1000;
static const double LONGEST_HOURS = 2400; /* our default: nobody reads a tank for longer than 100 days */

static status check_size(const char *what, double value, fault *why) {
    if (value > 0 && value <= SIZE_MOST) return OK;
    return fault_set(why, E_INPUT, "%s is %g; it must lie above 0, to %g", what, value, SIZE_MOST);
}

static status check(const watertest_input *in, fault *why) {
    const watertest_rule *rule = watertest_find_rule(in->criterion);
    if (!rule)
        return fault_set(why, E_INPUT, "criterion %d is not one of %d", (int)in->criterion, CRITERION_COUNT);
    if (in->n_readings < 2 || in->n_readings > WATERTEST_READINGS_MOST)
        return fault_set(why, E_INPUT, "%zu readings of the tank: 2 to %d are needed", in->n_readings,
                         WATERTEST_READINGS_MOST);
    if (in->n_pan > WATERTEST_READINGS_MOST)
        return fault_set(why, E_INPUT, "%zu readings of the pan: at most %d", in->n_pan,
                         WATERTEST_READINGS_MOST);
    if (in->n_pan > 0 && !(in->pan_factor > 0 && in->pan_factor <= FACTOR_MOST))
        return fault_set(why, E_INPUT, "the pan factor is %g; it must lie above 0, to %g", in->pan_factor,
                         FACTOR_MOST);
    status code = check_size("the capacity", in->capacity_m3, why);
    if (code == OK) code = check_size("the plan area", in->plan_area_m2, why);
    if (code == OK) code = check_size("the depth", in->depth_m, why);
    if (code == OK && rule->unit == ALLOWED_L_M2 && !in->wetted_area_m2.known)
        return fault_set(why, E_INPUT, "the wetted area is missing; %s allows so much on each m2 of it",
                         rule->name);
    if (code == OK && rule->unit == ALLOWED_L_M2)
        code = check_size("the wetted area", in->wetted_area_m2.v, why);
    return code;
}

/* The criterion's unit for 1 m of fall an hour. */
static double criterion_unit(const watertest_input *in, const watertest_rule *rule) {
    switch (rule->unit) {
    case ALLOWED_MM: return rule->hours_least * MM;
    case ALLOWED_L_M2: return rule->hours_least * in->plan_area_m2 * LITRES / in->wetted_area_m2.v;
    case ALLOWED_PERCENT_DAY:
    case ALLOWED_NONE:
    case ALLOWED_UNITS: break;
    }
    return HOURS_A_DAY * in->plan_area_m2 / in->capacity_m3 * PERCENT;
}

/* ---- figures ---- */

static double combined(const double part[WATERTEST_PARTS]) {
    double square = 0;
    for (int i = 0; i < WATERTEST_PARTS; i++) square += part[i] * part[i];
    return sqrt(square);
}

static void put_figures(watertest_work *w) {
    const watertest_series *t = &w->tank;
    watertest_result *out = w->out;
    size_t last = t->n - 1;
    double unit = criterion_unit(w->in, w->rule), spread = w->coverage * combined(w->part_m_h);
    out->hours = t->hours[last] - t->hours[0];
    out->drop_m = t->level_m[0] - t->level_m[last];
    out->evaporation_m = w->evaporated_m[last];
    out->rain_m = watertest_rain_until(w, t->hours[last]) - watertest_rain_until(w, t->hours[0]);
    out->thermal_m = w->lifted_m[last];
    out->net_drop_m = out->drop_m - out->evaporation_m + out->rain_m + out->thermal_m;
    out->fitted_drop_m = w->loss_m_h * out->hours;
    out->uncertainty_m = spread * out->hours;
    for (int i = 0; i < WATERTEST_PARTS; i++) out->parts_m[i] = w->part_m_h[i] * out->hours;
    out->coverage = w->coverage;
    out->loss_m3_s = w->loss_m_h * w->in->plan_area_m2 / SECONDS_AN_HOUR;
    out->loss_uncertainty_m3_s = (maybe){true, spread * w->in->plan_area_m2 / SECONDS_AN_HOUR};
    out->loss_percent_day = w->loss_m_h * HOURS_A_DAY * w->in->plan_area_m2 / w->in->capacity_m3 * PERCENT;
    out->found = w->loss_m_h * unit;
    out->found_uncertainty = (maybe){true, spread * unit};
    out->start_m = w->start_m;
    out->limit_m_h = out->allowed / unit;
}

/* ---- verdict ---- */

/* By the interval alone. */
static watertest_verdict interval_verdict(const watertest_work *w) {
    const watertest_result *out = w->out;
    double spread = out->found_uncertainty.v;
    if (w->rule->unit == ALLOWED_NONE) {
        if (out->found - spread > 0) return WATERTEST_FAIL;
        return spread <= WATERTEST_MEASURABLE ? WATERTEST_PASS : WATERTEST_UNDECIDED;
    }
    if (out->found + spread <= out->allowed) return WATERTEST_PASS;
    return out->found - spread > out->allowed ? WATERTEST_FAIL : WATERTEST_UNDECIDED;
}

/* Expanded uncertainty after `hours` of the same readings, in the criterion's unit: what the readings leave falls with the time and,
 * on a line, with their number; what rain and temperature leave falls with the time; pan factor does not. */
static double spread_after(const watertest_work *w, double hours) {
    double s = w->out->hours / hours, part[WATERTEST_PARTS];
    for (int i = 0; i < WATERTEST_PARTS; i++) part[i] = w->part_m_h[i];
    part[PART_READINGS] *= w->fitted ? pow(s, 1.5) : s;
    part[PART_RAIN] *= s;
    part[PART_TEMPERATURE] *= s;
    return w->coverage * combined(part) * criterion_unit(w->in, w->rule);
}

/* Hours in all until the interval leaves the limit. */
static maybe hours_needed(const watertest_work *w) {
    const watertest_result *out = w->out;
    double room = w->rule->unit == ALLOWED_NONE ? WATERTEST_MEASURABLE : fabs(out->allowed - out->found);
    double low = out->hours, high = fmax(LONGEST_HOURS, 2 * out->hours);
    if (spread_after(w, low) <= room) return (maybe){true, low};
    if (!(spread_after(w, high) <= room)) return (maybe){0};
    for (int i = 0; i < 60; i++) {
        double middle = (low + high) / 2;
        if (spread_after(w, middle) <= room)
            high = middle;
        else
            low = middle;
    }
    return (maybe){true, high};
}

static void look_ahead(watertest_work *w) {
    watertest_result *out = w->out;
    maybe needed = hours_needed(w);
    bool fails = w->rule->unit != ALLOWED_NONE && out->found > out->allowed;
    if (!needed.known) return;
    double all = fails ? needed.v : fmax(needed.v, w->rule->hours_least);
    if (all > out->hours) out->hours_more = (maybe){true, all - out->hours};
}

static const char *interval_said(watertest_work *w) {
    const char *loss = watertest_loss(w), *name = w->rule->name;
    if (w->rule->unit == ALLOWED_NONE)
        return watertest_print(w, "Loss %s, none measurable allowed (%s)", loss, name);
    const char *in = w->rule->unit == ALLOWED_PERCENT_DAY ? ""
                     : w->rule->hours_least < 1           ? " in 30 min"
                                                          : " in 7 days";
    return watertest_print(w, "Loss %s, allowed %s%s (%s)", loss, watertest_amount(w, w->out->allowed), in,
                           name);
}

static void say_undecided(watertest_work *w, const char *because) {
    w->out->verdict = WATERTEST_UNDECIDED;
    w->out->reason = watertest_print(w, "%s: %s", interval_said(w), because);
}

static void say_fail(watertest_work *w) {
    watertest_result *out = w->out;
    double all = w->rule->hours_extended;
    if (all > out->hours) {
        out->hours_more = (maybe){true, all - out->hours};
        out->reason =
            watertest_print(w, "%s: over it; the test may go on to %g h in all, whose mean then counts",
                            interval_said(w), all);
    } else
        out->reason = watertest_print(w, "%s: over it with all its uncertainty", interval_said(w));
}

static const char *hours_said(watertest_work *w, double hours) {
    if (hours < 1) return watertest_print(w, "%.0f min", fmax(1, ceil(60 * hours)));
    return watertest_print(w, "%.3g h", hours < 10 ? hours : ceil(hours));
}

/* Kept, or open: is the test long enough? */
static void decide_by_time(watertest_work *w) {
    watertest_result *out = w->out;
    double least = w->rule->hours_least;
    look_ahead(w);
    if (out->verdict == WATERTEST_UNDECIDED && out->hours_more.known)
        say_undecided(w, watertest_print(w, "about %s more of such readings would decide",
                                         hours_said(w, out->hours_more.v)));
    else if (out->verdict == WATERTEST_UNDECIDED)
        say_undecided(w, "the uncertainty is too large, and longer reading alone will not decide");
    else if (out->hours + 1e-6 < least)
        say_undecided(w, watertest_print(w, "kept so far, %.3g h of %g h", out->hours, least));
    else {
        out->hours_more = (maybe){0};
        out->reason = watertest_print(w, "%s: kept with all its uncertainty", interval_said(w));
    }
}

static void decide(watertest_work *w) {
    watertest_result *out = w->out;
    out->verdict = interval_verdict(w);
    const char *hides = w->hides;
    if (!hides && out->found + out->found_uncertainty.v < 0) hides = "the tank gained water";
    if (w->units_doubted)
        say_undecided(w, "units seem mixed, nothing can be told");
    else if (out->verdict == WATERTEST_FAIL && w->adds)
        say_undecided(w, watertest_print(w, "over it, but %s", w->adds));
    else if (out->verdict == WATERTEST_FAIL)
        say_fail(w);
    else if (out->verdict == WATERTEST_PASS && hides)
        say_undecided(w, watertest_print(w, "kept, but %s", hides));
    else
        decide_by_time(w);
}

/* ---- one look, pan open or not ---- */

static void look(watertest_work *w, bool pan_open) {
    w->pan_open = pan_open;
    watertest_correct(w);
    if (!w->failed && watertest_sort_far(w)) watertest_correct(w);
    if (!w->failed) watertest_find_missing(w);
    if (!w->failed) watertest_find_rise(w);
    if (!w->failed) watertest_fit(w);
    if (w->failed) return;
    put_figures(w);
    decide(w);
}

static void put_points(watertest_work *w) {
    watertest_result *out = w->out;
    const watertest_input *in = w->in;
    out->points = watertest_get(w, in->n_readings, sizeof *out->points);
    if (w->failed) return;
    out->n_points = in->n_readings;
    out->n_good = w->tank.n;
    for (size_t i = 0; i < in->n_readings; i++)
        out->points[i] = (watertest_point){in->readings[i].hours, in->readings[i].level_m,
                                           in->readings[i].level_m, w->aside[i]};
    for (size_t i = 0; w->y_m && i < w->tank.n; i++) out->points[w->tank.at[i]].corrected_m = w->y_m[i];
}

/* Nobody knows whether the rain fell into the pan: both ways, and the verdict stands where they agree. */
static void look_both_ways(watertest_work *w) {
    watertest_find(w, "nobody told whether the pan stood open to the rain: judged both ways");
    look(w, true);
    watertest_verdict open = w->out->verdict;
    w->out->hours_more = (maybe){0};
    if (w->failed) return;
    look(w, false);
    if (!w->failed && w->out->verdict != open) {
        const char *one = watertest_verdict_words[w->out->verdict], *other = watertest_verdict_words[open];
        w->out->hours_more = (maybe){0};
        say_undecided(
            w, watertest_print(w, "%s if the pan was under a roof, %s if it stood open, and nobody told", one,
                               other));
    }
}

static void judge(watertest_work *w) {
    watertest_sort(w);
    if (w->failed) return;
    if (w->tank.n < 2 || (w->n_aside > 0 && w->tank.n <= 2)) {
        w->out->reason = watertest_print(w, "Of %zu readings %zu can be used: too few to tell",
                                         w->in->n_readings, w->tank.n);
    } else {
        if (w->pan.n >= 2 && w->rain_total_m > 0 && w->in->pan_kind == PAN_UNKNOWN)
            look_both_ways(w);
        else
            look(w, w->in->pan_kind == PAN_OPEN);
    }
    if (!w->failed) put_points(w);
    if (!w->failed) watertest_find_untold(w);
}

status watertest_judge(const watertest_input *in, arena *memory, watertest_result *out, fault *why) {
    *out = (watertest_result){.verdict = WATERTEST_UNDECIDED, .reason = ""};
    status code = check(in, why);
    if (code != OK) return code;
    watertest_work w = {.in = in, .rule = watertest_find_rule(in->criterion), .memory = memory, .out = out};
    out->allowed = watertest_allowed(w.rule, in->depth_m);
    out->allowed_unit = w.rule->unit;
    judge(&w);
    return w.failed ? fault_memory(why) : OK;
}
