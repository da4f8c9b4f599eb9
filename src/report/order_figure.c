#include "report/order_figure.h"

#include "report/order_strip.h"
#include "report/report.h"
#include "report/sheet_out.h"

#include <math.h>

static const double SIDE_MM = 2, CAPTION_MM = 19, GAP_MM = 2.5;
static const double HEADING_TYPE_MM = 4.4, LINE_TYPE_MM = 3.9, SMALLEST_MM = 2.6;

size_t order_figure_last(const plugging_outcome *order) {
    return order->steps_n + (order->reliefs_n > 0);
}

/* A long line is set smaller rather than cut: it ends in a figure. */
static void draw_line(sheet *s, sheet_ink ink, sheet_place place, const char *words) {
    double wide = sheet_text_width(words, 1, place.bold);
    if (wide > 0) place.height = fmax(SMALLEST_MM, fmin(place.height, 0.999 * place.room / wide));
    if (*words) sheet_text(s, ink, place, words);
}

static void draw_caption(const plane_view *v, size_t closed, double top) {
    const char *lines[ORDER_CAPTION_LINES];
    order_figure_caption(v->plan, v->plane, closed, v->words, lines);
    sheet_place place = {
        {SIDE_MM, top - 5}, HEADING_TYPE_MM, v->sheet->width - 2 * SIDE_MM, 0, ALIGN_LEFT, true};
    draw_line(v->sheet, INK_TEXT, place, lines[0]);
    place.bold = false;
    place.height = LINE_TYPE_MM;
    for (size_t i = 1; i < ORDER_CAPTION_LINES; i++) {
        place.at.y -= 5.4;
        draw_line(v->sheet, INK_TEXT, place, lines[i]);
    }
}

bool order_figure_draw(const plan *p, const plan_plane *plane, size_t closed, say *words, sheet *out) {
    plane_view v = {.plan = p,
                    .plane = plane,
                    .order = &plane->run.orders[plane->run.drawn],
                    .words = words,
                    .sheet = out};
    size_t n;
    out->width = ORDER_FIGURE_MM;
    out->height = CAPTION_MM;
    order_strip *strips = order_strips(plane, SIDE_MM, out->width - 2 * SIDE_MM, words, &n);
    if (!strips) return false;
    for (size_t i = 0; i < n; i++) out->height += order_strip_height(&strips[i]) + GAP_MM;
    double y = out->height;
    draw_caption(&v, closed, y);
    y -= CAPTION_MM;
    for (size_t i = 0; i < n; i++) {
        order_strip_draw(&v, &strips[i], closed, y);
        y -= order_strip_height(&strips[i]) + GAP_MM;
    }
    return !out->failed && !words->failed;
}

static status check(const plan *p, size_t plane, size_t closed, fault *why) {
    if (!(plane < p->n_planes))
        return fault_set(why, E_INPUT, "plane %zu: the job has %zu crack planes", plane + 1, p->n_planes);
    const plan_plane *of = &p->planes[plane];
    const char *mark = p->survey->defects[of->group->leaks[0]].mark, *problem = plane_figure_problem(of);
    if (problem) return fault_set(why, E_STATE, "%s: no order of plugging to draw: %s", mark, problem);
    size_t last = order_figure_last(&of->run.orders[of->run.drawn]);
    if (closed > last)
        return fault_set(why, E_INPUT, "%s: step %zu of the order: its pictures are 0 to %zu", mark, closed,
                         last);
    return OK;
}

status report_order_svg(const plan *p, size_t plane, size_t closed, text *out, fault *why) {
    status code = check(p, plane, closed, why);
    if (code != OK) return code;
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    say words = {.memory = memory, .system = p->survey->site.system, .currency = p->survey->site.currency};
    sheet drawing = {.memory = memory};
    const char *lines[ORDER_CAPTION_LINES];
    bool whole = order_figure_draw(p, &p->planes[plane], closed, &words, &drawing);
    if (whole) {
        order_figure_caption(p, &p->planes[plane], closed, &words, lines);
        sheet_svg_begin(drawing.width, drawing.height, lines[0], out);
        sheet_svg(&drawing, 0, out);
        sheet_svg_end(out);
    }
    whole = whole && !words.failed && !out->failed;
    arena_free(memory);
    return whole ? OK : fault_memory(why);
}
