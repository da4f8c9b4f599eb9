/* One leak as built against its plan: sizes of the cut, materials, hours, and what differs with its reason. */
#include "accept/built_parts.h"

#include <math.h>
#include <string.h>

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* ---- lines ---- */

static const record *reason_of(const built_slice *s, uint64_t steps) {
    const record *found = NULL;
    bool of_step = false;
    for (size_t i = 0; i < s->n; i++) {
        const record *r = s->from[i].r;
        if (r->what != RECORD_DEVIATION) continue;
        int step = built_step_of(r->step);
        if (step == BUILT_NO_STEP ? !of_step : (steps & BUILT_BIT(step)) != 0) {
            found = r;
            of_step = step != BUILT_NO_STEP;
        }
    }
    return found;
}

status built_add_line(building *b, const built_slice *s, const built_said *said) {
    built_leak *leak = s->out;
    built_line *lines = arena_push(b->memory, leak->lines, &leak->n_lines, sizeof *lines);
    if (!lines) return fault_memory(b->why);
    leak->lines = lines;
    built_line *line = &lines[leak->n_lines - 1];
    *line = said->line;
    line->mark = leak->mark;
    if (!said->deviates) return OK;
    line->deviates = true;
    b->out->n_deviations++;
    const record *reason = reason_of(s, said->steps);
    if (reason)
        line->reason = reason->text;
    else
        b->out->n_unreasoned++;
    return OK;
}

/* More than planned shows at once; less when the leak is finished, or the figure is a size found. */
static bool differs(maybe planned, maybe actual, bool finished) {
    if (!actual.known) return false;
    if (!planned.known || !(planned.v > 0)) return actual.v > 0;
    double by = actual.v - planned.v, most = BUILT_TOLERANCE * planned.v * (1 + 1e-9);
    return by > most || (finished && -by > most);
}

/* ---- the cut ---- */

static double mean_depth(const repair_design *d) {
    double sum = 0, length = 0;
    for (size_t i = 0; i < d->n_slots; i++) {
        sum += d->slots[i].depth_m * (d->slots[i].to_m - d->slots[i].from_m);
        length += d->slots[i].to_m - d->slots[i].from_m;
    }
    return length > 0 ? sum / length : d->n_slots ? d->slots[0].depth_m : 0;
}

static maybe above_0(double v) {
    return (maybe){v > 0, v};
}

static void plan_cut(const building *b, size_t leak, built_work *w) {
    w->length_label = "Length";
    w->cut_step = NULL;
    w->longer = w->larger = 1;
    w->wettest = -1;
    if (leak >= b->p->n_leaks || !design_is_priced(&b->p->designs[leak])) return;
    const repair_design *d = &b->p->designs[leak];
    const takeoff_leak *t = &b->p->takeoff.leaks[leak];
    if (method_is_injection(d->method.name)) {
        w->length_m = above_0(d->injection.to_m - d->injection.from_m);
        w->length_label = "Length injected";
        w->cut_step = "inject";
    } else if (d->method.name == METHOD_FLEXIBLE) {
        w->length_m = above_0(d->flexible.length_m);
        w->width_m = above_0(d->flexible.groove.width_m);
        w->depth_m = above_0(d->flexible.groove.groove_depth_m);
        w->length_label = "Groove length";
        w->cut_step = "rout";
    } else if (d->method.name == METHOD_DRAIN) {
        w->length_m = above_0(t->channel_m);
        w->length_label = "Channel length";
        w->cut_step = "channel";
    } else if (d->n_slots) {
        bool hole = d->method.name == METHOD_HOLE, patch = d->method.name == METHOD_CUT_BACK;
        w->length_m = above_0(hole || patch                   ? 0
                              : d->method.name == METHOD_RING ? d->ring_length_m
                                                              : t->slot_length_m);
        w->width_m = above_0(patch ? 0 : hole ? d->hole_diameter_m : d->slot_width_m);
        w->depth_m = above_0(mean_depth(d));
        if (w->length_m.known) w->length_label = "Slot length";
        w->cut_step = "cut";
    }
}

static bool is_of_cut(const char *step) {
    static const char *const not [] = {"scan",  "measure", "stopped", "cure",
                                       "prove", "answer",  "gauge",   "watch"};
    for (size_t i = 0; step && i < COUNT_OF(not ); i++)
        if (strcmp(step, not [i]) == 0) return false;
    return true;
}

static bool before_plug(const char *step) {
    static const char *const these[] = {"scan",  "cut",          "measure", "wash", "soak",   "relief",
                                        "ports", "surface_seal", "flush",   "rout", "channel"};
    for (size_t i = 0; step && i < COUNT_OF(these); i++)
        if (strcmp(step, these[i]) == 0) return true;
    return !step;
}

static void take_found(built_work *w, const record *r) {
    if (r->what != RECORD_FOUND && r->what != RECORD_FINISH && r->what != RECORD_HOLD) return;
    if (before_plug(r->step)) {
        for (int k = 0; r->wetness && k < WET_COUNT; k++)
            if (strcmp(survey_wetness_words[k], r->wetness) == 0 && k > w->wettest) w->wettest = k;
        if (r->volume_m3.known && r->volume_m3.v > 0 && r->time_s.known && w->wettest < WET_SEEP)
            w->wettest = WET_SEEP; /* what can be caught runs */
    }
    if (!is_of_cut(r->step)) return;
    if (r->length_m.known && r->length_m.v > 0) { /* a place has none */
        w->found_length_m = r->length_m;
        w->found_length = r;
    }
    if (r->width_m.known && r->width_m.v >= BUILT_CRACK_M) {
        w->found_width_m = r->width_m;
        w->found_width = r;
    }
    if (r->depth_m.known) {
        w->found_depth_m = r->depth_m;
        w->found_depth = r;
    }
}

static double ratio(maybe found, maybe planned) {
    return found.known && planned.known && planned.v > 0 ? found.v / planned.v : 1;
}

static status cut_lines(building *b, const built_slice *s) {
    built_work *w = s->work;
    const struct {
        const char *label;
        units_quantity q;
        maybe planned, actual;
        const record *r;
    } sizes[] = {{w->length_label, UNITS_LENGTH, w->length_m, w->found_length_m, w->found_length},
                 {"Width", UNITS_SIZE, w->width_m, w->found_width_m, w->found_width},
                 {"Depth", UNITS_SIZE, w->depth_m, w->found_depth_m, w->found_depth}};
    int step = built_step_of(w->cut_step);
    status code = OK;
    for (size_t i = 0; code == OK && i < COUNT_OF(sizes); i++) {
        if (!sizes[i].planned.known && !sizes[i].actual.known) continue;
        built_said said = {.line = {.label = sizes[i].label,
                                    .step = w->cut_step,
                                    .q = sizes[i].q,
                                    .planned = sizes[i].planned,
                                    .actual = sizes[i].actual},
                           .steps = step == BUILT_NO_STEP ? BUILT_ALL_STEPS : BUILT_BIT(step)};
        if (sizes[i].r) code = built_push_seq(b, &said.line.seqs, &said.line.n_seqs, sizes[i].r->seq);
        said.deviates = sizes[i].planned.known && differs(sizes[i].planned, sizes[i].actual, true);
        if (code == OK) code = built_add_line(b, s, &said);
    }
    return code;
}

/* ---- hours ---- */

static status hour_line(building *b, const built_slice *s) {
    built_leak *leak = s->out;
    built_said said = {
        .line = {.label = "Hours", .q = UNITS_PLAIN, .unit = "h", .actual = above_0(leak->hours)},
        .steps = BUILT_ALL_STEPS};
    status code = OK;
    for (size_t i = 0; code == OK && i < s->n; i++) {
        const record *r = s->from[i].r;
        const built_tally *t = &s->work->steps[built_step_of(r->step)];
        bool act = r->what == RECORD_START || r->what == RECORD_FINISH || r->what == RECORD_HOLD;
        if (r->what == RECORD_NOTE || r->what == RECORD_DEVIATION || r->what >= RECORD_LEVEL) continue;
        if (t->told ? r->hours.known : act && t->hours > 0)
            code = built_push_seq(b, &said.line.seqs, &said.line.n_seqs, r->seq);
    }
    said.line.planned = above_0(leak->hours_planned);
    if (code != OK || (!said.line.planned.known && !said.line.actual.known)) return code;
    said.deviates = s->leak < b->p->n_leaks && differs(said.line.planned, said.line.actual, leak->finished);
    return built_add_line(b, s, &said);
}

/* ---- steps that are not as on the card ---- */

static status step_line(building *b, const built_slice *s, const built_step *step, double planned,
                        double actual) {
    built_said said = {.line = {.label = step->title,
                                .step = step->code,
                                .q = UNITS_PLAIN,
                                .unit = "step",
                                .planned = {true, planned},
                                .actual = {true, actual}},
                       .steps = BUILT_BIT(built_step_of(step->code)),
                       .deviates = true};
    status code = step->seq ? built_push_seq(b, &said.line.seqs, &said.line.n_seqs, step->seq) : OK;
    return code == OK ? built_add_line(b, s, &said) : code;
}

/* Steps that a deviation names. */
static uint64_t excused(const built_slice *s) {
    uint64_t set = 0;
    for (size_t i = 0; i < s->n; i++)
        if (s->from[i].r->what == RECORD_DEVIATION && s->from[i].r->step)
            set |= BUILT_BIT(built_step_of(s->from[i].r->step));
    return set;
}

/* Written from the last step back, read from the first on. */
static void turn_lines(built_line *lines, size_t n) {
    for (size_t i = 0; i < n / 2; i++) {
        built_line kept = lines[i];
        lines[i] = lines[n - 1 - i];
        lines[n - 1 - i] = kept;
    }
}

static status step_lines(building *b, const built_slice *s) {
    const built_leak *leak = s->out;
    size_t before = leak->n_lines;
    uint64_t named = excused(s);
    status code = OK;
    bool later = leak->finished;
    for (size_t i = leak->n_steps; code == OK && i > 0; i--) {
        const built_step *step = &leak->steps[i - 1];
        int k = built_step_of(step->code);
        if (k == BUILT_NO_STEP || s->leak >= b->p->n_leaks) continue;
        const built_tally *t = &s->work->steps[k];
        bool after = later;
        if (step->planned && (t->begun || t->done || t->told)) later = true;
        bool ticks =
            (s->work->holds & BUILT_BIT(k)) && strcmp(step->code, "prove") != 0; /* judged by its tests */
        if (!step->planned)
            code = step_line(b, s, step, 0, 1);
        else if (ticks ? !t->ticked && !(t->done && t->by) && (after || (!t->seen && (named & BUILT_BIT(k))))
                       : !t->seen && (named & BUILT_BIT(k)))
            code = step_line(b, s, step, 1, 0);
    }
    if (code == OK && leak->n_lines > before) turn_lines(leak->lines + before, leak->n_lines - before);
    return code;
}

/* ---- one leak ---- */

status built_leak_of(building *b, const built_slice *s) {
    built_work *w = s->work;
    bool planned = s->leak < b->p->n_leaks;
    plan_cut(b, s->leak, w);
    for (size_t i = 0; i < s->n; i++) take_found(w, s->from[i].r);
    w->longer = ratio(w->found_length_m, w->length_m);
    w->larger = w->longer * ratio(w->found_width_m, w->width_m) * ratio(w->found_depth_m, w->depth_m);
    if (planned && b->p->leaks[s->leak].worst <= WET_DAMP && w->wettest >= 0)
        s->out->wetter = (maybe){true, w->wettest >= WET_SEEP};
    if (planned) s->out->hours_planned = b->p->price.leaks[s->leak].hours_total;
    status code = built_steps_of(b, s);
    if (code == OK) code = cut_lines(b, s);
    if (code == OK) code = built_materials_of(b, s);
    if (code == OK) code = hour_line(b, s);
    return code == OK ? step_lines(b, s) : code;
}
