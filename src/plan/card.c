/* The step cards: the order of work at one leak, in the words of the trade (common practice, trade page site.md 1). */
#include "plan/card.h"
#include "plan/show.h"
#include "repair/tools.h"

#include <ctype.h>
#include <string.h>

const char *const plan_step_codes[] = {
    "answer",       "gauge",   "watch",      "scan",   "ports",     "surface_seal", "flush",
    "inject",       "strip",   "channel",    "outlet", "rout",      "cut",          "measure",
    "wash",         "soak",    "prime",      "backer", "seal",      "relief",       "plug",
    "close_relief", "stopped", "first_coat", "pack",   "last_coat", "cure",         "prove"};
const size_t plan_n_step_codes = sizeof plan_step_codes / sizeof *plan_step_codes;

status card_step(card_writing *w, const char *code, bool hold, const char *title, const char *body) {
    plan_step *steps = arena_push(w->p->memory, w->card->steps, &w->card->n_steps, sizeof *steps);
    if (!steps || !body) return fault_memory(w->why);
    steps[w->card->n_steps - 1] = (plan_step){.code = code, .hold = hold, .title = title, .body = body};
    w->card->steps = steps;
    return OK;
}

void card_timer(card_writing *w, const char *what, double seconds) {
    plan_step *last = &w->card->steps[w->card->n_steps - 1];
    last->timer = what;
    last->timer_s = seconds;
}

status card_caution(card_writing *w, const char *sentence) {
    const char **list = arena_push(w->p->memory, w->card->cautions, &w->card->n_cautions, sizeof *list);
    if (!list || !sentence) return fault_memory(w->why);
    list[w->card->n_cautions - 1] = sentence;
    w->card->cautions = list;
    return OK;
}

/* "cut the slot, set the relief tube": the steps that want a tool. */
static const char *steps_with(const card_writing *w, const exposure_tool *tool) {
    const plan *p = w->p;
    char *list = arena_copy(p->memory, "");
    for (size_t i = 0; list && i < w->card->n_steps; i++) {
        const plan_step *step = &w->card->steps[i];
        if (tool_of_step(p->leaks[w->leak].defect, &p->designs[w->leak], step->code) != tool) continue;
        size_t at = strlen(list) + (*list ? 2 : 0);
        list = arena_print(p->memory, "%s%s%s", list, *list ? ", " : "", step->title);
        if (list) list[at] = (char)tolower((unsigned char)list[at]);
    }
    return list;
}

static const char *respirator(const card_writing *w, exposure_silica_row row) {
    bool enclosed = w->p->survey->site.enclosed;
    int up_to = exposure_apf(row, enclosed, EXPOSURE_SILICA_MIN),
        past = exposure_apf(row, enclosed, EXPOSURE_DAY_MIN);
    if (past == 0) return "no respirator asked";
    if (up_to == past) return arena_print(w->p->memory, "respirator APF %d", past);
    if (up_to == 0) return arena_print(w->p->memory, "respirator APF %d past 4 h in a shift", past);
    return arena_print(w->p->memory, "respirator APF %d, past 4 h in a shift APF %d", up_to, past);
}

status card_dust(card_writing *w) {
    bool told[EXPOSURE_TOOLS] = {false};
    status code = OK;
    for (size_t i = 0; code == OK && i < w->card->n_steps; i++) {
        const exposure_tool *tool =
            tool_of_step(w->p->leaks[w->leak].defect, &w->p->designs[w->leak], w->card->steps[i].code);
        if (!tool || told[tool - exposure_tools]) continue;
        told[tool - exposure_tools] = true;
        const char *steps = steps_with(w, tool), *wear = respirator(w, tool->row);
        if (!steps || !wear) return fault_memory(w->why);
        code = card_caution(w, arena_print(w->p->memory, "Silica, %s (%s): %s; %s (29 CFR 1926.1153).",
                                           tool->tool, steps, exposure_control(tool->row), wear));
    }
    return code;
}

status card_scan(card_writing *w, const char *title, const char *more) {
    const char *first =
        w->p->designs[w->leak].scan_first
            ? "Not scanned yet: scan, mark bars and services on the wall, write the cover on this card. No "
              "cover is assumed."
            : "Bars are marked from the survey's scan: check the marks before the first cut or hole.";
    return card_step(w, "scan", true, title,
                     more ? arena_print(w->p->memory, "%s%s%s", first, *more ? " " : "", more) : NULL);
}

status card_prove(card_writing *w, const char *first) {
    return card_step(
        w, "prove", true, "Prove it dry",
        first ? arena_print(w->p->memory,
                            "%sDry hand and blotter over all that was treated, at a recorded water "
                            "level, after the cure; again at 24 h, 7 d, 28 d and the next high "
                            "water.",
                            first)
              : NULL);
}

/* First of all where a person chose: by whom, when, against what and why. */
static status say_overruled(card_writing *w) {
    const method_choice *m = &w->p->designs[w->leak].method;
    const survey_overrule *by = m->overruled;
    if (!by) return OK;
    const char *against =
        m->by_table != m->name
            ? arena_print(w->p->memory, "against the table (would be %s)", method_words[m->by_table])
            : "as the table would";
    if (!against) return fault_memory(w->why);
    return card_caution(w, arena_print(w->p->memory, "Method chosen by %s on %s %s: %s%s%s%s",
                                       by->by ? by->by : "a person", by->on ? by->on : "a day not given",
                                       against, by->why ? by->why : "no reason given",
                                       m->objection ? " (the table's objection: " : "",
                                       m->objection ? m->objection : "", m->objection ? ")" : ""));
}

static status write_answer(card_writing *w) {
    return card_step(w, "answer", true, "Do not cut",
                     "A STOP finding is open. A named person must answer it before there is a design.");
}

static status write_watch(card_writing *w) {
    return card_step(
        w, "watch", false, "Leave and watch",
        "No work now. Look again at 24 h, 7 d, 28 d and at the next high water; write down what is seen.");
}

static status write_gauge(card_writing *w) {
    return card_step(w, "gauge", true, "Measure the movement",
                     "Fix a gauge, read it weekly with the temperature. The flexible seal is sized from the "
                     "readings; nothing rigid here.");
}

/* A way that found nothing to size: it was chosen for a place that it does not fit. */
static status write_none(card_writing *w) {
    return card_step(w, "answer", true, "No design",
                     "This way has no sizes here: choose another, or have it designed by a named person.");
}

typedef struct {
    status (*steps)(card_writing *w);
    status (*cautions)(card_writing *w);
} card_way;

static card_way way_of(const repair_design *d) {
    static const card_way slot = {card_of_slot, card_slot_cautions},
                          injection = {card_of_injection, card_injection_cautions},
                          flexible = {card_of_flexible, card_flexible_cautions},
                          drain = {card_of_drain, card_drain_cautions}, gauge = {write_gauge, NULL},
                          none = {write_none, NULL};
    survey_method name = d->method.name;
    if (name == METHOD_ENGINEER) return (card_way){write_answer, NULL};
    if (name == METHOD_WATCH) return (card_way){write_watch, NULL};
    if (!design_is_priced(d)) return name == METHOD_FLEXIBLE ? gauge : none;
    if (method_is_injection(name)) return injection;
    if (name == METHOD_FLEXIBLE) return flexible;
    return name == METHOD_DRAIN ? drain : slot;
}

status plan_write_card(plan *p, size_t i, fault *why) {
    card_writing w = {p, i, &p->cards[i], why};
    card_way way = way_of(&p->designs[i]);
    status code = say_overruled(&w);
    if (code == OK) code = way.steps(&w);
    if (code == OK && way.cautions) code = way.cautions(&w);
    if (code == OK && way.cautions && p->survey->site.enclosed)
        code =
            card_caution(&w, "Enclosed place: treat as confined space until assessed; wet power tools on a "
                             "residual-current device.");
    return code;
}
