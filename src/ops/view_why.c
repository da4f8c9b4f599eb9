#include "ops/view_why.h"

#include "core/date.h"
#include "diagnose/tightness.h"
#include "plan/show.h"

#include <math.h>
#include <string.h>

/* A text of this leak that must be there: NULL is no memory. */
static void say(json_out *o, const char *name, const char *value) {
    if (!value) o->to->failed = true;
    json_out_text(o, name, value ? value : "");
}

/* A text of a stage that may have none. */
static void say_any(json_out *o, const char *name, const char *value) {
    json_out_text(o, name, value ? value : "");
}

static void say_list(json_out *o, const char *name, const char *const *list, size_t n) {
    json_out_open(o, name, '[');
    for (size_t i = 0; i < n; i++) json_out_text(o, NULL, list[i]);
    json_out_close(o, ']');
}

/* ---- method ---- */

static void write_tips(json_out *o, const method_choice *m) {
    json_out_open(o, "tips", '[');
    for (size_t i = 0; i < m->n_tips; i++) {
        json_out_open(o, NULL, '{');
        json_out_text(o, "change", m->tips[i].change);
        json_out_text(o, "to", method_words[m->tips[i].to]);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

static void write_passed(json_out *o, const method_choice *m) {
    json_out_open(o, "passed", '[');
    for (size_t i = 0; i < m->n_passed; i++) {
        json_out_open(o, NULL, '{');
        json_out_text(o, "method", method_words[m->passed[i].method]);
        json_out_text(o, "why", m->passed[i].why);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

static void write_overruled(json_out *o, const method_choice *m) {
    if (!m->overruled) {
        json_out_null(o, "overruled");
        return;
    }
    json_out_open(o, "overruled", '{');
    json_out_text(o, "method", survey_method_words[m->overruled->method]); /* a STOP comes before it */
    say_any(o, "by", m->overruled->by);
    say_any(o, "on", m->overruled->on);
    say_any(o, "why", m->overruled->why);
    json_out_text(o, "objection", m->objection);
    json_out_close(o, '}');
}

/* What a person may choose; to call an engineer is a STOP, no choice of method. */
static void write_choices(json_out *o) {
    json_out_open(o, "choices", '[');
    for (int k = 0; k < METHOD_COUNT; k++) {
        if (k == METHOD_ENGINEER) continue;
        json_out_open(o, NULL, '{');
        json_out_text(o, "word", survey_method_words[k]);
        json_out_text(o, "name", method_words[k]);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

void view_method_json(json_out *o, const plan *p, size_t leak) {
    const method_choice *m = &p->designs[leak].method;
    json_out_open(o, "method", '{');
    json_out_text(o, "name", method_words[m->name]);
    json_out_text(o, "word", survey_method_words[m->name]);
    json_out_whole(o, "row", m->row);
    say_any(o, "reason", m->reason);
    say_any(o, "basis", m->basis);
    json_out_text(o, "runner_up", method_words[m->runner_up]);
    say_any(o, "tip", m->tip);
    write_tips(o, m);
    write_passed(o, m);
    json_out_text(o, "by_table", method_words[m->by_table]);
    write_overruled(o, m);
    write_choices(o);
    json_out_close(o, '}');
}

/* ---- movement ---- */

static bool is_of(const survey_reading *r, const char *gauge) {
    return strcmp(r->gauge ? r->gauge : "", gauge) == 0;
}

/* Was the reading of that day set aside? */
static bool is_aside(const diagnosis_gauge *g, const char *on) {
    long long day, first;
    if (!g->fit.aside || !date_day(on, &day) || !date_day(g->first_on, &first)) return false;
    for (size_t i = 0; i < g->input.n; i++)
        if (g->fit.aside[i] && llround(g->input.readings[i].day) == day - first) return true;
    return false;
}

static void write_dates(json_out *o, const survey_defect *d, const diagnosis_gauge *g) {
    const char *first = NULL, *last = NULL;
    for (size_t i = 0; i < d->n_readings; i++) {
        if (!is_of(&d->readings[i], g->gauge)) continue;
        if (!first) first = d->readings[i].on;
        last = d->readings[i].on;
    }
    say_any(o, "first", first);
    say_any(o, "last", last);
}

static void write_aside(json_out *o, const survey_defect *d, const diagnosis_gauge *g) {
    json_out_open(o, "set_aside", '[');
    for (size_t i = 0; i < d->n_readings; i++)
        if (is_of(&d->readings[i], g->gauge) && is_aside(g, d->readings[i].on))
            json_out_text(o, NULL, d->readings[i].on);
    json_out_close(o, ']');
}

/* "+0.110 ± 0.009 mm a year", "-0.0123 ± 0.0004 mm/K": a slope and half its band at the confidence, SI. */
static const char *slope(const plan *p, double value, double error, int decimals, const char *per) {
    units_system system = p->survey->site.system;
    double unit = pow(10, -decimals);
    double shown = round(units_from_si(UNITS_SIZE, system, value) / unit) * unit;
    return arena_print(p->memory, "%s%.*f ± %.*f %s", shown > 0 ? "+" : "", decimals, shown + 0.0, decimals,
                       units_from_si(UNITS_SIZE, system, error), per);
}

static void write_slopes(json_out *o, const plan *p, const movement_result *fit) {
    bool us = p->survey->site.system == UNITS_US;
    double step = us ? 5.0 / 9.0 : 1; /* of a kelvin, one degree */
    if (!fit->fitted) {
        json_out_text(o, "drift", "");
        json_out_text(o, "per_kelvin", "");
        return;
    }
    say(o, "drift",
        slope(p, fit->per_year_m, fit->t * fit->per_year_se_m, us ? 4 : 3, us ? "in a year" : "mm a year"));
    say(o, "per_kelvin",
        slope(p, fit->per_kelvin_m * step, fit->t * fit->per_kelvin_se_m * step, us ? 6 : 4,
              us ? "in/°F" : "mm/K"));
}

static void write_gauge(json_out *o, const plan *p, const survey_defect *d, const diagnosis_gauge *g) {
    const movement_result *fit = &g->fit;
    json_out_open(o, NULL, '{');
    json_out_text(o, "gauge", g->gauge);
    json_out_whole(o, "readings", (long long)g->input.n);
    write_dates(o, d, g);
    json_out_text(o, "verdict", movement_verdict_words[fit->verdict]);
    say_any(o, "rule", fit->rule);
    if (fit->months_more.known)
        json_out_number(o, "months_more", fit->months_more.v);
    else
        json_out_null(o, "months_more");
    write_slopes(o, p, fit);
    say(o, "widest", g->widest_m.known ? show_width(p, g->widest_m.v) : "");
    say(o, "narrowest", g->narrowest_m.known ? show_width(p, g->narrowest_m.v) : "");
    json_out_text(o, "year_basis", g->year_basis);
    write_aside(o, d, g);
    say_list(o, "warnings", fit->warnings, fit->n_warnings);
    json_out_close(o, '}');
}

static void write_movement(json_out *o, const plan *p, const survey_defect *d, const diagnosis *why_leaks) {
    static const char *const basis[] = {
        [MOVES_NOT_KNOWN] = "not known", [MOVES_TOLD] = "told", [MOVES_MEASURED] = "measured"};
    bool known = why_leaks->basis != MOVES_NOT_KNOWN;
    json_out_open(o, "movement", '{');
    json_out_text(o, "verdict", known ? movement_verdict_words[why_leaks->verdict] : "not known");
    json_out_text(o, "basis", basis[why_leaks->basis]);
    say_any(o, "reason", why_leaks->reason);
    say(o, "total",
        why_leaks->movement_m.known
            ? arena_print(p->memory, "%s a year", show_width(p, why_leaks->movement_m.v))
            : "");
    json_out_open(o, "gauges", '[');
    for (size_t i = 0; i < why_leaks->n_gauges; i++) write_gauge(o, p, d, &why_leaks->gauges[i]);
    json_out_close(o, ']');
    json_out_close(o, '}');
}

/* ---- healing, tightness, causes ---- */

static void write_healing(json_out *o, const plan *p, const diagnosis *why_leaks) {
    const healing_result *h = &why_leaks->healing;
    if (!why_leaks->healing_known) {
        json_out_null(o, "healing");
        return;
    }
    json_out_open(o, "healing", '{');
    json_out_text(o, "rule", healing_rule_name(why_leaks->healing_in.rule));
    say(o, "width", show_width(p, why_leaks->healing_in.width_m));
    say(o, "limit", h->limit_m > 0 ? show_width(p, h->limit_m) : ""); /* nothing is credited there */
    say(o, "gradient", show_plain(p, h->gradient, 1));
    json_out_bool(o, "heals", h->heals);
    json_out_text(o, "source", healing_rule_source(why_leaks->healing_in.rule));
    json_out_close(o, '}');
}

static void write_tightness(json_out *o, const plan *p, const leak_water *leak) {
    static const char *const verdicts[] = {
        [TIGHT_KEPT] = "kept", [TIGHT_BROKEN] = "broken", [TIGHT_NOT_SEEN] = "not seen"};
    survey_tightness class = p->survey->site.tightness;
    if (class == TIGHT_NOT_AGREED) {
        json_out_null(o, "tightness");
        return;
    }
    json_out_open(o, "tightness", '{');
    json_out_text(o, "class", tightness_name(class));
    json_out_text(o, "asks", tightness_asks(class));
    json_out_text(o, "verdict", verdicts[tightness_of_leak(class, leak)]);
    json_out_close(o, '}');
}

static void write_causes(json_out *o, const hint_list *causes) {
    json_out_open(o, "causes", '[');
    for (size_t i = 0; i < causes->n; i++) {
        const hint *h = &causes->items[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "cause", hints_cause_words[h->cause]);
        say_list(o, "for", h->evidence, h->n_evidence);
        say_list(o, "against", h->against, h->n_against);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

void view_diagnosis_json(json_out *o, const plan *p, size_t leak) {
    const diagnosis *why_leaks = &p->diagnoses[leak];
    json_out_open(o, "diagnosis", '{');
    write_movement(o, p, p->leaks[leak].defect, why_leaks);
    write_healing(o, p, why_leaks);
    write_tightness(o, p, &p->leaks[leak]);
    write_causes(o, &why_leaks->causes);
    json_out_close(o, '}');
}

/* ---- steel ---- */

static void write_stretch(json_out *o, const plan *p, const steel_stretch *s) {
    static const char *const bars[BAR_COUNT] = {[BAR_NOT_SCANNED] = "not scanned",
                                                [BAR_NONE] = "no bar",
                                                [BAR_CROSSING] = "crossing bar",
                                                [BAR_ALONG] = "bar along the crack"};
    json_out_open(o, NULL, '{');
    say(o, "from", show_length(p, s->from_m));
    say(o, "to", show_length(p, s->to_m));
    json_out_text(o, "bar", bars[s->bar]);
    say(o, "allowed", s->allowed_m.known ? show_size(p, s->allowed_m.v) : "");
    json_out_close(o, '}');
}

/* Up to the next digit shown: with what is shown the plug holds. */
static const char *bond_wanted(const plan *p, double pa) {
    units_system u = p->survey->site.system;
    double digit = u == UNITS_US ? 0.1 : 0.001; /* of show_stress */
    return show_stress(
        p, units_to_si(UNITS_STRESS, u, ceil(units_from_si(UNITS_STRESS, u, pa) / digit - 1e-9) * digit));
}

static const char *saying(const plan *p, const steel_advice *a) {
    const char *depth = show_size(p, a->depth_m);
    switch (a->name) {
    case REMEDY_CHIPPED: return arena_print(p->memory, "the plug then wants %s", depth);
    case REMEDY_NARROWER:
        return arena_print(p->memory, "in a slot of %s the plug wants %s", show_size(p, a->value), depth);
    case REMEDY_UNDERCUT:
        return arena_print(p->memory, "with flanks undercut by %s° the plug wants %s",
                           show_plain(p, a->value, 0), depth);
    case REMEDY_STRONGER:
        return a->value > 0 ? arena_print(p->memory, "with a proven bond of %s the plug does in %s",
                                          bond_wanted(p, a->value), depth)
                            : "the steel leaves no depth for a plug";
    case REMEDY_INJECT: return "no slot: the crack is injected";
    case REMEDY_COUNT:
    default: return "";
    }
}

void view_steel_json(json_out *o, const plan *p, size_t leak) {
    const repair_design *d = &p->designs[leak];
    json_out_open(o, "steel", '{');
    json_out_open(o, "stretches", '[');
    for (size_t i = 0; i < d->steel.n; i++) write_stretch(o, p, &d->steel.stretches[i]);
    json_out_close(o, ']');
    json_out_open(o, "advice", '[');
    for (int k = 0; d->advised && k < REMEDY_COUNT; k++) {
        const steel_advice *a = &d->advice[k];
        json_out_open(o, NULL, '{');
        json_out_text(o, "remedy", steel_remedy_words[a->name]);
        json_out_bool(o, "enough", a->enough);
        say(o, "saying", saying(p, a));
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
    json_out_close(o, '}');
}
