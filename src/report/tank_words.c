#include "report/tank_words.h"

enum { FINDINGS = 3 };

const char *tank_title(const tank_figure_view *view, say *words) {
    const char *name = view->tank->name && *view->tank->name ? view->tank->name : view->tank->id;
    return say_print(words, "Water test of %s", name);
}

const char *tank_verdict(const tank_figure_view *view) {
    static const char *const said[WATERTEST_VERDICTS] = {"Passes", "Fails", "Undecided"};
    return said[view->result->verdict];
}

const char *tank_said(const tank_figure_view *view, say *w) {
    const watertest_result *r = view->result;
    const char *out = say_print(w, "%s.", r->reason);
    if (r->found_uncertainty.known)
        out = say_print(w,
                        "%s Net drop %s in %s\u00a0h: drop read %s, less evaporation %s, plus rain %s, "
                        "plus what warming lifted, %s.",
                        out, say_value(w, UNITS_SIZE, r->net_drop_m), say_plain(w, r->hours, 1),
                        say_value(w, UNITS_SIZE, r->drop_m), say_value(w, UNITS_SIZE, r->evaporation_m),
                        say_value(w, UNITS_SIZE, r->rain_m), say_value(w, UNITS_SIZE, r->thermal_m));
    for (size_t i = 0; i < r->n_findings && i < FINDINGS; i++)
        out = say_print(w, "%s Note: %s.", out, r->findings[i]);
    if (r->n_findings > FINDINGS) out = say_print(w, "%s And %zu notes more.", out, r->n_findings - FINDINGS);
    return out;
}
