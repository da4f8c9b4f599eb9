/* drawings.c - SVG of one face, DXF of all. */
#include "report/elevation.h"
#include "report/plane_figure.h"
#include "report/report.h"
#include "report/sheet_out.h"
#include "survey/dxf.h"

/* A4 across, less its margins: what an SVG is composed for. */
static const double ROOM_WIDTH_MM = 273, ROOM_HEIGHT_MM = 160, GAP_MM = 2;

static say say_for(const plan *p, arena *memory) {
    return (say){.memory = memory, .system = p->survey->site.system, .currency = p->survey->site.currency};
}

status report_svg(const plan *p, size_t face, text *out, fault *why) {
    if (!(face < p->survey->n_faces))
        return fault_set(why, E_INPUT, "face %zu: the job has %zu faces", face + 1, p->survey->n_faces);
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    say words = say_for(p, memory);
    sheet drawing = {.memory = memory}, legend = {.memory = memory};
    elevation_draw(p, face, elevation_scale(p, face, ROOM_WIDTH_MM, ROOM_HEIGHT_MM), &words, &drawing);
    elevation_legend(drawing.width, &legend);
    const survey_face *of = &p->survey->faces[face];
    sheet_svg_begin(drawing.width, drawing.height + GAP_MM + legend.height, of->name ? of->name : of->id,
                    out);
    sheet_svg(&drawing, 0, out);
    sheet_svg(&legend, drawing.height + GAP_MM, out);
    sheet_svg_end(out);
    bool whole = !drawing.failed && !legend.failed && !words.failed && !out->failed;
    arena_free(memory);
    return whole ? OK : fault_memory(why);
}

status report_plane_svg(const plan *p, size_t plane, text *out, fault *why) {
    if (!(plane < p->n_planes))
        return fault_set(why, E_INPUT, "plane %zu: the job has %zu crack planes", plane + 1, p->n_planes);
    const char *mark = p->survey->defects[p->planes[plane].group->leaks[0]].mark;
    const char *problem = plane_figure_problem(&p->planes[plane]);
    if (problem) return fault_set(why, E_STATE, "%s: no order of plugging to draw: %s", mark, problem);
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    say words = say_for(p, memory);
    plane_figure figure;
    bool whole = plane_figure_draw(p, &p->planes[plane], PLANE_FIGURE_MM, &words, &figure);
    double height = 0;
    for (size_t i = 0; whole && i < figure.n; i++) height += figure.sheets[i].height + GAP_MM;
    const char *title = say_print(&words, "Order of plugging: %s", mark);
    if (whole) sheet_svg_begin(PLANE_FIGURE_MM, height, title, out);
    double y = 0;
    for (size_t i = 0; whole && i < figure.n; y += figure.sheets[i++].height + GAP_MM)
        sheet_svg(&figure.sheets[i], y, out);
    if (whole) sheet_svg_end(out);
    whole = whole && !words.failed && !out->failed;
    arena_free(memory);
    return whole ? OK : fault_memory(why);
}

/* One face, moved right to stand beside the one before; *shift_m moves on. False without memory. */
static bool add_face(const plan *p, size_t face, double per_m, double *shift_m, text *out) {
    arena *memory = arena_new();
    if (!memory) return false;
    say words = say_for(p, memory);
    sheet drawing = {.memory = memory};
    elevation_draw(p, face, elevation_scale(p, face, ROOM_WIDTH_MM, ROOM_HEIGHT_MM), &words, &drawing);
    double m = drawing.scale / 1000;
    sheet_dxf(&drawing, *shift_m - drawing.u0_m, per_m, out);
    *shift_m += drawing.width * m + 10 * m;
    bool whole = !drawing.failed && !words.failed;
    arena_free(memory);
    return whole;
}

status report_dxf(const plan *p, text *out, fault *why) {
    double per_m = units_from_si(UNITS_SIZE, p->survey->site.system, 1), shift_m = 0;
    sheet_dxf_begin(out);
    for (size_t i = 0; i < p->survey->n_faces; i++) {
        if (!add_face(p, i, per_m, &shift_m, out)) return fault_memory(why);
    }
    dxf_end(out);
    return out->failed ? fault_memory(why) : OK;
}
