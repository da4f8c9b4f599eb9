#include "report/movement_figure.h"

#include "report/movement_view.h"
#include "report/report.h"
#include "report/sheet_out.h"

static const double GAP = 0.8; /* heights of type */
enum { LINES = 16 };

static double draw_heading(movement_view *v, const char *title) {
    sheet_place place = {{0, -1.35 * v->type}, 1.35 * v->type, v->sheet->width, 0, ALIGN_LEFT, true};
    double y = sheet_paragraph(v->sheet, INK_TEXT, place, 2, title);
    place.height = 1.15 * v->type;
    place.at.y = -y - 1.2 * v->type;
    y += sheet_paragraph(v->sheet, INK_TEXT, place, 2, movement_verdict_said(v)) + 0.2 * v->type;
    place.bold = false;
    place.height = v->type;
    place.at.y = -y - 1.1 * v->type;
    y += sheet_paragraph(v->sheet, INK_TEXT, place, LINES, movement_said(v));
    return y + GAP * v->type;
}

bool movement_figure_draw(const char *mark, const diagnosis_gauge *gauge, movement_figure_size size,
                          say *words, sheet *out) {
    movement_view v = {.gauge = gauge, .words = words, .sheet = out, .type = size.type_mm};
    out->width = size.width_mm;
    if (!movement_prepare(&v)) return false;
    double y = -draw_heading(&v, movement_figure_title(mark, gauge, words));
    y -= movement_draw_time(&v, y);
    y -= movement_draw_legend(&v, y);
    if (gauge->fit.fitted) y -= movement_draw_wall(&v, y);
    sheet_settle(out, -y);
    return !out->failed && !words->failed;
}

static status check(const plan *p, size_t leak, size_t gauge, fault *why) {
    if (!(leak < p->n_leaks))
        return fault_set(why, E_INPUT, "leak %zu: the job has %zu leaks", leak + 1, p->n_leaks);
    const diagnosis *of = &p->diagnoses[leak];
    if (!(gauge < of->n_gauges))
        return fault_set(why, E_INPUT, "%s: gauge %zu: the leak has %zu gauges, counted from 0",
                         p->leaks[leak].defect->mark, gauge, of->n_gauges);
    return OK;
}

status report_movement_svg(const plan *p, size_t leak, size_t gauge, text *out, fault *why) {
    status code = check(p, leak, gauge, why);
    if (code != OK) return code;
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    const char *mark = p->leaks[leak].defect->mark;
    const diagnosis_gauge *of = &p->diagnoses[leak].gauges[gauge];
    say words = {.memory = memory, .system = p->survey->site.system, .currency = p->survey->site.currency};
    sheet drawing = {.memory = memory};
    bool whole = movement_figure_draw(mark, of, MOVEMENT_FIGURE_FILE, &words, &drawing);
    if (whole) {
        sheet_svg_begin(drawing.width, drawing.height, movement_figure_title(mark, of, &words), out);
        sheet_svg(&drawing, 0, out);
        sheet_svg_end(out);
    }
    whole = whole && !words.failed && !out->failed;
    arena_free(memory);
    return whole ? OK : fault_memory(why);
}
