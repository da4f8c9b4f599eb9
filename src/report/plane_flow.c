/* plane_flow.c - the flow along the face, three times: before the first plug, half-way, before the last. */
#include "report/plane_view.h"

#include <math.h>
#include <stdlib.h>

static const double PLOT_MM = 30, KEY_MM = 4.2, SAMPLE_MM = 8;
static const sheet_ink inks[PLUGGING_PICTURES] = {INK_FLOW_FIRST, INK_FLOW_HALF, INK_FLOW_LAST};

static int by_from(const void *a, const void *b) {
    const plane_bin *x = a, *y = b;
    return (x->from_m > y->from_m) - (x->from_m < y->from_m);
}

/* Mean over a bin of the flow along the face in one state. */
static double mean_flow(const plugging_picture *state, size_t panel, const plane_bin *bin) {
    double sum = 0;
    for (size_t i = 0; i < state->face_n; i++) {
        const plane_interval *on = &state->face[i];
        double common = fmin(on->to_m, bin->to_m) - fmax(on->from_m, bin->from_m);
        if (on->panel == panel && common > 0) sum += state->flow_m2_s[i] * common;
    }
    return sum / (bin->to_m - bin->from_m);
}

typedef struct {
    plane_bin *bins;
    size_t n;
    arena *memory;
} binning;

/* Cut a stretch beside the slot into pieces about as long as a segment. */
static bool add_pieces(binning *b, double from_m, double to_m) {
    double length = to_m - from_m;
    if (!(length > 1e-6)) return true;
    int pieces = (int)fmin(ceil(length / PLUGGING_SEGMENT_M - 1e-9), PLUGGING_SEGMENTS);
    for (int i = 0; i < pieces; i++) {
        plane_bin *bins = arena_push(b->memory, b->bins, &b->n, sizeof *bins);
        if (!bins) return false;
        b->bins = bins;
        bins[b->n - 1] = (plane_bin){from_m + length * i / pieces, from_m + length * (i + 1) / pieces, 0};
    }
    return true;
}

plane_bin *plane_bins(const plan_plane *p, size_t panel, size_t picture, size_t *n, arena *memory) {
    const plane_panel *on = &p->group->input.panels[panel];
    const plugging_outcome *order = &p->run.orders[p->run.drawn];
    double at = on->stations[0].chainage_m, end = on->stations[on->stations_n - 1].chainage_m;
    plane_bin *slot = arena_get(memory, order->steps_n, sizeof *slot);
    binning b = {.memory = memory};
    size_t cut = 0;
    *n = 0;
    for (size_t i = 0; slot && i < order->steps_n; i++)
        if (order->steps[i].on.panel == panel)
            slot[cut++] = (plane_bin){order->steps[i].on.from_m, order->steps[i].on.to_m, 0};
    if (!slot) return NULL;
    if (cut > 1) qsort(slot, cut, sizeof *slot, by_from);
    for (size_t i = 0; i < cut; i++) {
        if (!add_pieces(&b, at, slot[i].from_m)) return NULL;
        plane_bin *bins = arena_push(memory, b.bins, &b.n, sizeof *bins);
        if (!bins) return NULL;
        b.bins = bins;
        bins[b.n - 1] = slot[i];
        at = slot[i].to_m;
    }
    if (!add_pieces(&b, at, end)) return NULL;
    for (size_t i = 0; i < b.n; i++)
        b.bins[i].flow_m2_s = mean_flow(&p->run.pictures[picture], panel, &b.bins[i]);
    *n = b.n;
    return b.bins;
}

bool plane_most_flow(const plan_plane *p, arena *memory, double *most_m2_s) {
    *most_m2_s = 0;
    for (size_t k = 0; k < PLUGGING_PICTURES; k++)
        for (size_t i = 0; i < p->group->input.panels_n; i++) {
            size_t n;
            const plane_bin *bins = plane_bins(p, i, k, &n, memory);
            if (!bins) return false;
            for (size_t b = 0; b < n; b++) *most_m2_s = fmax(*most_m2_s, bins[b].flow_m2_s);
        }
    return true;
}

static double height_of(const plane_view *v, double flow_m2_s) {
    return PLOT_MM * flow_m2_s / v->flow_top_m2_s;
}

/* One state as stairs: level over each bin, upright between. */
static void draw_stairs(plane_view *v, const plane_lane *lane, double base, size_t picture) {
    arena *memory = v->sheet->memory;
    size_t n;
    plane_bin *bins = plane_bins(v->plane, lane->panel, picture, &n, memory);
    sheet_point *points = arena_get(memory, 2 * n, sizeof *points);
    if (!bins || !points) {
        v->sheet->failed = true;
        return;
    }
    for (size_t i = 0; i < n; i++) {
        double y = base + height_of(v, fmax(bins[i].flow_m2_s, 0));
        points[2 * i] = (sheet_point){plane_lane_x(lane, bins[i].from_m), y};
        points[2 * i + 1] = (sheet_point){plane_lane_x(lane, bins[i].to_m), y};
    }
    sheet_path(v->sheet, inks[picture], points, 2 * n, false);
}

static void draw_scale(plane_view *v, double base) {
    double top = plane_flow_shown(v->words, v->flow_top_m2_s), step = top / 4;
    for (int i = 0; i <= 4; i++) {
        double y = base + PLOT_MM * i / 4;
        for (size_t k = 0; k < v->n_lanes; k++) {
            const plane_lane *lane = &v->lanes[k];
            sheet_line(v->sheet, INK_GRID, (sheet_point){lane->x, y},
                       (sheet_point){lane->x + lane->width, y});
        }
        sheet_place place = {
            {PLANE_MARGIN_MM - 1, y - 0.7}, PLANE_TEXT_MM, PLANE_MARGIN_MM - 5, 0, ALIGN_RIGHT, false};
        sheet_text(v->sheet, INK_TEXT_SOFT, place, say_number(v->words, UNITS_PLAIN, step * i));
    }
    sheet_place side = {{3.2, base + PLOT_MM / 2}, PLANE_TEXT_MM, PLOT_MM, 90, ALIGN_MIDDLE, false};
    sheet_text(v->sheet, INK_TEXT_SOFT, side, plane_flow_unit(v->words));
}

static void draw_limit(plane_view *v, double base) {
    if (!(PLUGGING_WASHOUT_M2_S <= v->flow_top_m2_s)) return;
    double y = base + height_of(v, PLUGGING_WASHOUT_M2_S);
    for (size_t k = 0; k < v->n_lanes; k++)
        sheet_line(v->sheet, INK_WASHOUT, (sheet_point){v->lanes[k].x, y},
                   (sheet_point){v->lanes[k].x + v->lanes[k].width, y});
}

/* What the lines are, in rows over the plot. */
static void draw_key(plane_view *v, double y) {
    say *w = v->words;
    const plugging_picture *states = v->plane->run.pictures;
    bool limit = PLUGGING_WASHOUT_M2_S <= v->flow_top_m2_s;
    const char *far = limit ? "wash-out limit" : "off this scale: wash-out limit";
    const char *names[] = {"before the first plug", say_print(w, "half-way, after %zu", states[1].closed),
                           say_print(w, "before the last, after %zu", states[2].closed),
                           say_print(w, "%s\u00a0%s", far, plane_say_flow(w, PLUGGING_WASHOUT_M2_S))};
    double x = PLANE_MARGIN_MM;
    for (int i = 0; i < 4; i++) {
        double sample = i < 3 || limit ? SAMPLE_MM + 1 : 0;
        double width = sample + sheet_text_width(names[i], PLANE_TEXT_MM, false);
        if (x + width > v->sheet->width && x > PLANE_MARGIN_MM) {
            x = PLANE_MARGIN_MM;
            y -= KEY_MM - 0.8;
        }
        if (sample > 0)
            sheet_line(v->sheet, i < 3 ? inks[i] : INK_WASHOUT, (sheet_point){x, y + 0.7},
                       (sheet_point){x + SAMPLE_MM, y + 0.7});
        sheet_place place = {{x + sample, y}, PLANE_TEXT_MM, v->sheet->width - x - sample, 0,
                             ALIGN_LEFT,      false};
        sheet_text(v->sheet, INK_TEXT_SOFT, place, names[i]);
        x += width + 2.5;
    }
}

double plane_draw_flow(plane_view *v, double top) {
    double base = top - 2 * KEY_MM - PLOT_MM - 2;
    draw_key(v, top - 3);
    draw_scale(v, base);
    for (size_t k = 0; k < v->n_lanes; k++)
        for (size_t picture = 0; picture < PLUGGING_PICTURES; picture++)
            draw_stairs(v, &v->lanes[k], base, picture);
    draw_limit(v, base);
    return top - base + 2;
}
