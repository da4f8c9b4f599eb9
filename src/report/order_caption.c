/* order_caption.c - what is told over the picture of one step. */
#include "report/order_figure.h"
#include "report/plane_view.h"

#include <math.h>

static const double TELLING = 1e-3; /* part of the first flow that is worth a figure, as in plane_words.c */

/* "E3, 0.45 m to 0.60 m". */
static const char *place_of(const plan *p, const plan_plane *plane, const plugging_step *step, say *w) {
    return say_print(w, "%s, %s to %s", plane_defect(p, plane, step->on.panel)->mark,
                     say_length(w, step->on.from_m), say_length(w, step->on.to_m));
}

static const char *water_behind(double head_m, say *w) {
    return say_print(w, "water behind the plugs up to %s", say_length(w, fmax(head_m, 0)));
}

static void nothing_yet(const plan *p, const plan_plane *plane, const plugging_outcome *o, say *w,
                        const char *out[ORDER_CAPTION_LINES]) {
    out[0] = say_print(w, "Nothing plugged yet: %s leaves", say_value(w, UNITS_FLOW, o->start_m3_s));
    out[1] = say_print(w, "%zu step%s to do; the first:", o->steps_n, o->steps_n == 1 ? "" : "s");
    out[2] = place_of(p, plane, &o->steps[0], w);
}

static void all_shut(const plugging_outcome *o, say *w, const char *out[ORDER_CAPTION_LINES]) {
    out[0] = o->reliefs_n > 1 ? "All plugged, the tubes shut" : "All plugged, the tube shut";
    out[1] = o->shut_m3_s > TELLING * o->start_m3_s
                 ? say_print(w, "%s still leaves beyond the slot", say_value(w, UNITS_FLOW, o->shut_m3_s))
                 : "nothing to speak of leaves beyond the slot";
    out[2] = water_behind(o->shut_back_head_m, w);
}

void order_figure_caption(const plan *p, const plan_plane *plane, size_t closed, say *words,
                          const char *out[ORDER_CAPTION_LINES]) {
    const plugging_outcome *o = &plane->run.orders[plane->run.drawn];
    if (closed == 0) {
        nothing_yet(p, plane, o, words, out);
        return;
    }
    if (closed > o->steps_n) {
        all_shut(o, words, out);
        return;
    }
    const plugging_step *step = &o->steps[closed - 1];
    const char *met = say_value(words, UNITS_FLOW, step->flow_m3_s),
               *left = say_value(words, UNITS_FLOW, step->total_m3_s);
    const char *end = o->reliefs_n == 0  ? "All plugged"
                      : o->reliefs_n > 1 ? "All plugged; the tubes still drain"
                                         : "All plugged; the tube still drains";
    out[0] = closed == o->steps_n ? end
                                  : say_print(words, "Step %zu of %zu: %s", closed, o->steps_n,
                                              place_of(p, plane, step, words));
    out[1] = say_print(words, "met %s; leaving after it %s", met, left);
    out[2] = water_behind(step->max_back_head_m, words);
}
