/* handover_tank.c - the test of a tank, line by line, against the criterion by its name. */
#include "report/handover_parts.h"
#include "report/tank_figure.h"

#include <math.h>

static const table_column tank_columns[] = {{"", 0.34, ALIGN_LEFT, false},
                                            {"", 0.16, ALIGN_RIGHT, false},
                                            {"", 0.37, ALIGN_LEFT, true},
                                            {"From", 0.13, ALIGN_LEFT, true}};

static void line(const handover *h, handover_rows *to, const char *const *cells, bool total) {
    handover_put(h, to, cells, total ? ROW_TOTAL : ROW_PLAIN);
}

static const char *readings(const handover *h, const accept_tank *t, handover_by rule) {
    long long *seqs = arena_get(h->words->memory, t->n_readings, sizeof *seqs);
    if (!seqs) h->words->failed = true;
    if (!seqs || t->n_readings == 0) return handover_said(h, "", rule);
    for (size_t i = 0; i < t->n_readings; i++) seqs[i] = t->readings[i]->seq;
    return handover_from(h, seqs, t->n_readings, rule);
}

/* Millimetres with two decimals (thousandths of an inch): what is added up is seen to add up. */
static const char *level(const handover *h, double m) {
    char shown[UNITS_SHOWN];
    units_show(UNITS_SIZE, h->words->system, m, h->words->system == UNITS_US ? 4 : 2, shown);
    return say_print(h->words, "%s%s", m > 0 ? "+" : "", shown);
}

static void arithmetic(const handover *h, handover_rows *to, const accept_tank *t) {
    const watertest_result *r = &t->result;
    line(h, to,
         (const char *[]){
             "Drop, first to last reading", level(h, r->drop_m),
             say_print(h->words, "over %s h, %zu readings", say_plain(h->words, r->hours, 1), t->n_readings),
             readings(h, t, BY_NONE)},
         false);
    line(h, to,
         (const char *[]){"less evaporation", level(h, -r->evaporation_m), "by the pan",
                          readings(h, t, BY_PAN)},
         false);
    line(h, to,
         (const char *[]){"plus rain", level(h, r->rain_m), "fallen into the tank", readings(h, t, BY_NET)},
         false);
    line(h, to,
         (const char *[]){"plus what warming lifted", level(h, r->thermal_m),
                          "warmer water stands higher and hides a drop", readings(h, t, BY_THERMAL)},
         false);
    line(h, to,
         (const char *[]){"Net drop", level(h, r->net_drop_m), "the sum of these four",
                          handover_said(h, "", BY_NET)},
         true);
    line(h, to,
         (const char *[]){"Drop by the line through the readings", level(h, r->fitted_drop_m),
                          say_print(h->words, "uncertainty %s either way",
                                    say_value(h->words, UNITS_SIZE, r->uncertainty_m)),
                          readings(h, t, BY_LOSS)},
         false);
}

static const char *in_unit(const handover *h, watertest_allowed_unit unit, double value) {
    switch (unit) {
    case ALLOWED_PERCENT_DAY: return say_print(h->words, "%s %% a day", say_plain(h->words, value, 4));
    case ALLOWED_MM: return say_value(h->words, UNITS_SIZE, value / 1000);
    case ALLOWED_L_M2:
        if (h->words->system == UNITS_US)
            return say_print(h->words, "%s/ft²",
                             say_value(h->words, UNITS_VOLUME, value / 1000 * 0.09290304));
        return say_print(h->words, "%s\u00a0l/m²", say_plain(h->words, value, 3));
    case ALLOWED_NONE:
    case ALLOWED_UNITS: break;
    }
    return "";
}

static void judged(const handover *h, handover_rows *to, const accept_tank *t) {
    const watertest_result *r = &t->result;
    const char *volume = say_value(h->words, UNITS_VOLUME, r->loss_m3_s * 86400);
    const char *sure = r->found_uncertainty.known
                           ? say_print(h->words, "uncertainty %s either way",
                                       in_unit(h, r->allowed_unit, r->found_uncertainty.v))
                           : "";
    line(h, to,
         (const char *[]){
             "Loss a day", volume,
             say_print(h->words, "%s %% of the capacity", say_plain(h->words, r->loss_percent_day, 4)),
             readings(h, t, BY_LOSS)},
         false);
    if (r->allowed_unit != ALLOWED_NONE) {
        line(h, to,
             (const char *[]){"Found, as the criterion counts", in_unit(h, r->allowed_unit, r->found), sure,
                              readings(h, t, BY_CRITERION)},
             false);
        line(h, to,
             (const char *[]){"Allowed", in_unit(h, r->allowed_unit, r->allowed),
                              t->rule ? t->rule->name : "", handover_said(h, "", BY_CRITERION)},
             false);
    }
    line(h, to,
         (const char *[]){"Verdict", watertest_verdict_words[r->verdict], r->reason,
                          handover_said(h, "", BY_CRITERION)},
         true);
}

handover_rows handover_tank(const handover *h, size_t tank) {
    const accept_tank *t = &h->view->accept->tanks[tank];
    handover_rows rows = {.columns = tank_columns, .n_columns = 4};
    if (!t->judged) return rows;
    arithmetic(h, &rows, t);
    judged(h, &rows, t);
    return rows;
}

static void rule_words(doc *d, const watertest_rule *rule) {
    if (!rule) return;
    doc_paragraph(d, DOC_SMALL,
                  say_print(&d->words, "Criterion: %s: %s", rule->name, rule->asks ? rule->asks : ""));
    if (rule->source) doc_paragraph(d, DOC_SOFT, say_print(&d->words, "Source: %s", rule->source));
}

/* A tank is told in cubic metres; gallons stay gallons. */
static const char *capacity(say *w, double m3) {
    if (w->system == UNITS_US) return say_value(w, UNITS_VOLUME, m3);
    return say_print(w, "%s\u00a0m³", say_plain(w, m3, 1));
}

static void figure(doc *d, const accept_tank *t) {
    const watertest_input input = {.criterion = t->tank->criterion}; /* which limit is drawn */
    const tank_figure_view view = {t->tank, &input, &t->result};
    sheet drawing = {.memory = d->words.memory};
    if (t->result.n_points < 2) return;
    if (!report_tank_figure(&view, (tank_figure_size){doc_inner(d) / DOC_MM, TANK_FIGURE_TYPE_MM}, &d->words,
                            &drawing)) {
        d->words.failed = true;
        return;
    }
    doc_need(d, drawing.height * DOC_MM);
    doc_sheet(d, &drawing, DOC_MARGIN, d->y);
    d->y += drawing.height * DOC_MM + 6;
}

static void one(doc *d, const handover *h, size_t tank) {
    const accept_tank *t = &h->view->accept->tanks[tank];
    say *w = &d->words;
    doc_need(d, 330); /* with figure and sum */
    doc_heading(d, DOC_SUBHEAD, t->tank->name ? t->tank->name : t->tank->id);
    doc_paragraph(
        d, DOC_SMALL,
        say_print(w, "Capacity %s, water surface %s, depth %s%s%s (S).", capacity(w, t->tank->capacity_m3),
                  say_value(w, UNITS_AREA, t->tank->plan_area_m2), say_length(w, t->tank->depth_m),
                  t->tank->filled_on ? ", filled on " : "", t->tank->filled_on ? t->tank->filled_on : ""));
    rule_words(d, t->rule);
    if (!t->judged)
        doc_paragraph(d, DOC_ALARM,
                      say_print(w, "Not judged: %s", t->problem ? t->problem : "no reason was given"));
    if (t->judged) figure(d, t);
    handover_rows rows = handover_tank(h, tank);
    handover_draw(d, &rows, 8);
    for (size_t i = 0; t->judged && i < t->result.n_findings; i++)
        doc_paragraph(d, DOC_SMALL, say_print(w, "•  %s", t->result.findings[i]));
}

void handover_tanks(doc *d) {
    handover *h = handover_of(d);
    if (h->view->accept->n_tanks == 0) return;
    doc_need(d, 360); /* the heading with the first of them */
    doc_heading(d, DOC_HEAD, "Tank tests");
    doc_outline(d, 0, "Tank tests");
    for (size_t i = 0; i < h->view->accept->n_tanks; i++) one(d, h, i);
}
