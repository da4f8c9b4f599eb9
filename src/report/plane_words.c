/* plane_words.c - the order and its figures as sentences. */
#include "report/plane_notes.h"

#include <math.h>
#include <string.h>

enum { PHRASES = 12, MARKS = 8 };
static const double TOUCH_M = 1e-6, TELLING = 1e-3; /* of a flow that is worth a word */

const char *plane_marks(const plan *p, const plan_plane *plane, say *words) {
    const char *all = "";
    for (size_t i = 0; i < plane->group->n_leaks && i < MARKS; i++)
        all = say_print(words, "%s%s%s", all, i ? ", " : "", p->survey->defects[plane->group->leaks[i]].mark);
    size_t left = plane->group->n_leaks > MARKS ? plane->group->n_leaks - MARKS : 0;
    return left ? say_print(words, "%s and %zu more", all, left) : all;
}

/* +1 when b goes on to the right of a, -1 to the left, 0 when they do not touch. */
static int goes_on(const plane_interval *a, const plane_interval *b) {
    if (a->panel != b->panel) return 0;
    if (fabs(b->from_m - a->to_m) < TOUCH_M) return 1;
    return fabs(b->to_m - a->from_m) < TOUCH_M ? -1 : 0;
}

/* The last step of the run that begins at `first`. */
static size_t run_end(const plugging_outcome *o, size_t first) {
    size_t last = first;
    int way = first + 1 < o->steps_n ? goes_on(&o->steps[first].on, &o->steps[first + 1].on) : 0;
    while (way != 0 && last + 2 < o->steps_n && goes_on(&o->steps[last].on, &o->steps[last + 1].on) == way)
        last++;
    return last;
}

/* "1 to 9 from 0.00 m to 1.35 m of N1". */
static const char *phrase(const plan *p, const plan_plane *plane, size_t first, size_t last, say *w) {
    const plugging_step *steps = plane->run.orders[plane->run.drawn].steps;
    const plane_interval *a = &steps[first].on, *b = &steps[last].on;
    bool left = last > first && b->from_m < a->from_m;
    double from = left ? a->to_m : a->from_m, to = left ? b->from_m : b->to_m;
    const char *of = plane->group->input.panels_n > 1
                         ? say_print(w, " of %s", plane_defect(p, plane, a->panel)->mark)
                         : "";
    const char *numbers =
        last > first ? say_print(w, "%zu to %zu", first + 1, last + 1) : say_print(w, "%zu", first + 1);
    return say_print(w, "%s from %s to %s%s", numbers, say_length(w, from), say_length(w, to), of);
}

const char *plane_order_words(const plan *p, const plan_plane *plane, size_t most, say *words) {
    const plugging_outcome *o = &plane->run.orders[plane->run.drawn];
    const char *all = "";
    size_t n = 0, first = 0;
    for (; first + 1 < o->steps_n && n < most; n++) {
        size_t last = run_end(o, first);
        all = say_print(words, "%s%s; ", all, phrase(p, plane, first, last, words));
        first = last + 1;
    }
    if (first + 1 < o->steps_n) all = say_print(words, "%sthen by the numbers on the drawing; ", all);
    const char *end = o->reliefs_n ? ", round the tube; then shut the tube" : "";
    return say_print(words, "Plug %slast %s%s.", all, phrase(p, plane, o->steps_n - 1, o->steps_n - 1, words),
                     end);
}

static const char *why_drawn(const plane_view *v) {
    const plugging_result *run = &v->plane->run;
    const plugging_outcome *least = &run->orders[PLUGGING_LEAST_FIRST];
    if (run->drawn == PLUGGING_COMPUTED && least->over_washout > 0)
        return say_print(
            v->words,
            "Drawn: the computed order. Least flow first, the rule of the trade, would meet more than "
            "the wash-out limit at %zu steps, this one at none.",
            least->over_washout);
    if (run->drawn == PLUGGING_COMPUTED) return "Drawn: the computed order.";
    if (run->drawn == PLUGGING_INWARD) return "Drawn: inward to the tube.";
    const char *because = least->over_washout == 0                      ? "it stays under the wash-out limit"
                          : run->orders[PLUGGING_COMPUTED].steps_n == 0 ? "no computed order is offered here"
                          : v->order->reliefs_n == 0 ? "without a tube a computed order is information only"
                                                     : "the computed order too goes above the wash-out limit";
    return say_print(v->words, "Drawn: least flow first, the rule of the trade; %s.", because);
}

static const char *what_is_met(const plane_view *v) {
    say *w = v->words;
    const plugging_outcome *o = v->order;
    size_t at = 0;
    double most = -1;
    for (size_t i = 0; i < o->steps_n; i++) {
        const plugging_step *s = &o->steps[i];
        double flow = s->flow_m3_s / (s->on.to_m - s->on.from_m);
        if (s->relief >= 0 || !(flow > most)) continue;
        most = flow;
        at = i;
    }
    const char *above = o->over_washout == 0 ? "no step is above the wash-out limit"
                        : o->over_washout == 1
                            ? "1 step is above the wash-out limit"
                            : say_print(w, "%zu steps are above the wash-out limit", o->over_washout);
    return say_print(w, "Water met: most at step %zu, %s; %s of %s.", at + 1, plane_say_flow(w, o->peak_m2_s),
                     above, plane_say_flow(w, PLUGGING_WASHOUT_M2_S));
}

static const char *tube_words(const plane_view *v, size_t r) {
    say *w = v->words;
    const plugging_relief *relief = &v->order->reliefs[r];
    const plane_relief *t = &relief->relief;
    const char *of = v->plane->group->input.panels_n > 1
                         ? say_print(w, " of %s", plane_defect(v->plan, v->plane, t->at.panel)->mark)
                         : "";
    return say_print(
        w,
        "Tube: %s bore at %s%s, in a hole %s deep from the dry face. With all else shut it passes %s and "
        "leaves %s of water behind the plugs.",
        say_value(w, UNITS_SIZE, t->tube.bore_m), say_length(w, t->at.chainage_m), of,
        say_value(w, UNITS_SIZE, t->depth_m), say_value(w, UNITS_FLOW, relief->flow_m3_s),
        say_length(w, fmax(relief->back_head_m, 0)));
}

static const char *all_shut(const plane_view *v) {
    say *w = v->words;
    const plugging_outcome *o = v->order;
    const char *beyond =
        o->shut_m3_s > TELLING * o->start_m3_s
            ? say_print(w, "; %s still leaves beyond the slot", say_value(w, UNITS_FLOW, o->shut_m3_s))
            : "; nothing to speak of leaves beyond the slot";
    return say_print(
        w,
        "All shut%s: %s of water behind the plugs%s. The plug is sized for the full head of the design "
        "level, not for this.",
        o->reliefs_n ? ", the tube too" : "", say_length(w, o->shut_back_head_m), beyond);
}

static const char *uncut(const plane_view *v) {
    say *w = v->words;
    return say_print(w, "Uncut, the plane passes %s today; the cut slot with %s passes %s (flow factor %s).",
                     say_value(w, UNITS_FLOW, v->plane->uncut_m3_s.v),
                     v->order->reliefs_n ? "its tube" : "no tube",
                     say_value(w, UNITS_FLOW, v->order->start_m3_s),
                     say_number(w, UNITS_PLAIN, v->plane->run.flow_factor));
}

static const char *past(const plane_view *v) {
    say *w = v->words;
    const plugging_past *p = &v->plane->past;
    if (!isfinite(p->past_m))
        return say_print(
            w, "Past the last wet mark: even 3 m of seal leaves %s beyond it; look for where the crack ends.",
            say_value(w, UNITS_FLOW, p->beyond_m3_s));
    const char *need =
        p->past_m > 0 ? say_print(w, "%s of seal is enough", say_length(w, p->past_m)) : "no seal is asked";
    if (p->practice_governs)
        return say_print(
            w, "Past the last wet mark: %s by this plane, so the usual 300 mm (1 ft) or more stands.", need);
    return say_print(w,
                     "Past the last wet mark the seal must run on for %s, more than the usual 300 mm (1 ft).",
                     say_length(w, p->past_m));
}

/* Those that the other sentences and the table do not tell already, in the units of the job. */
static bool is_told(const char *warning) {
    return strncmp(warning, "order ", 6) == 0 || strncmp(warning, "with everything shut", 20) == 0;
}

size_t plane_sentences(const plane_view *v, const char *out[PLANE_SENTENCES]) {
    size_t n = 0;
    out[n++] = plane_order_words(v->plan, v->plane, PHRASES, v->words);
    out[n++] = what_is_met(v);
    for (size_t r = 0; r < v->order->reliefs_n && r < PLUGGING_RELIEFS; r++) out[n++] = tube_words(v, r);
    if (v->order->reliefs_n == 0) out[n++] = "No tube: the last plug meets all the water that is left.";
    out[n++] = all_shut(v);
    if (v->plane->uncut_m3_s.known) out[n++] = uncut(v);
    if (v->plane->past_known) out[n++] = past(v);
    out[n++] = why_drawn(v);
    if (v->plane->group->stop_unknown)
        out[n++] = "The open places of the waterstop are not known, so the computed order is not offered.";
    for (size_t i = 0; i < v->plane->run.warnings_n && n < PLANE_SENTENCES; i++)
        if (!is_told(v->plane->run.warnings[i]))
            out[n++] = say_print(v->words, "Note: %s.", v->plane->run.warnings[i]);
    return n;
}
