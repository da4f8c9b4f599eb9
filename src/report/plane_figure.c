#include "report/plane_heads.h"
#include "report/plane_notes.h"

#include <math.h>

static const double HEAD_MM = 5, LINE_MM = 3.2;
enum { FLOW_STEPS = 4 };

const char *plane_figure_problem(const plan_plane *plane) {
    if (plane->problem) return plane->problem;
    return plane->run.orders[plane->run.drawn].steps_n ? NULL : "there is no slot to plug";
}

/* Round steps in the units of the job. */
static bool choose_steps(plane_view *v) {
    units_system in = v->words->system;
    double head = units_from_si(UNITS_LENGTH, in, plane_most_head_m(v->plane));
    v->head_step_m = head > 0 ? units_to_si(UNITS_LENGTH, in, contour_step(head, PLANE_HEAD_LINES)) : 1;
    double most, limit = PLUGGING_WASHOUT_M2_S;
    if (!plane_most_flow(v->plane, v->words->memory, &most)) return false;
    if (!(most > 0) || (limit > most && limit < 1.3 * most)) most = 1.05 * limit;
    double one = plane_flow_shown(v->words, 1);
    v->flow_top_m2_s = FLOW_STEPS * contour_step(most * one, FLOW_STEPS) / one;
    return true;
}

/* Lanes whose scale is not the common one say so. */
static const char *say_scales(const plane_view *v) {
    const char *along = say_scale(v->words, v->scale), *through = say_scale(v->words, v->depth_scale);
    bool own = false;
    for (size_t k = 0; k < v->n_lanes; k++) own = own || v->lanes[k].scale != v->scale;
    return say_print(v->words, "Scale along %s, through %s (stretched %s times)%s.", along, through,
                     say_plain(v->words, v->scale / v->depth_scale, 1),
                     own ? "; short panels larger along" : "");
}

static double draw_heading(plane_view *v) {
    say *w = v->words;
    double room = v->sheet->width;
    const char *title = say_print(w, "Order of plugging: %s", plane_marks(v->plan, v->plane, w));
    sheet_text(v->sheet, INK_TEXT, (sheet_place){{0, -3.6}, 3.4, room, 0, ALIGN_LEFT, true}, title);
    const char *note =
        say_print(w,
                  "Close the boxes in the order of their numbers. The plane is laid flat, as it is before "
                  "the last plug. "
                  "Thin lines: %s that water would rise above the dry face there. Hatched: plugged. %s",
                  w->system == UNITS_US ? "feet" : "metres", say_scales(v));
    sheet_place place = {{0, -HEAD_MM - 2.6}, PLANE_TEXT_MM, room, 0, ALIGN_LEFT, false};
    return HEAD_MM + 1 + sheet_paragraph(v->sheet, INK_TEXT_SOFT, place, 3, note);
}

double plane_draw_titles(plane_view *v, double top) {
    for (size_t k = 0; k < v->n_lanes; k++) {
        const plane_lane *lane = &v->lanes[k];
        double next = k + 1 < v->n_lanes ? v->lanes[k + 1].x - 1.5 : v->sheet->width;
        const char *mark = plane_defect(v->plan, v->plane, lane->panel)->mark;
        v->sheet->mark = mark;
        sheet_place place = {{lane->x, top - 3}, PLANE_TITLE_MM, next - lane->x, 0, ALIGN_LEFT, true};
        sheet_text(v->sheet, INK_TEXT, place, mark);
        place.at.y -= LINE_MM;
        place.height = PLANE_TEXT_MM;
        place.bold = false;
        sheet_text(v->sheet, INK_TEXT_SOFT, place, plane_face(v->plan, v->plane, lane->panel));
        v->sheet->mark = NULL;
    }
    return 3 + LINE_MM + 1;
}

static void draw_strip(plane_view *v, bool first) {
    double y = 0;
    if (first) y -= draw_heading(v);
    y -= plane_draw_titles(v, y);
    y -= plane_draw_plane(v, y);
    y -= plane_draw_order(v, y);
    y -= plane_draw_chainage(v, y);
    y -= plane_draw_flow(v, y);
    sheet_settle(v->sheet, -y);
}

static sheet *add_sheet(plane_figure *out, double width_mm, arena *memory) {
    sheet *sheets = arena_push(memory, out->sheets, &out->n, sizeof *sheets);
    if (!sheets) return NULL;
    out->sheets = sheets;
    sheet *s = &sheets[out->n - 1];
    s->memory = memory;
    s->width = width_mm;
    return s;
}

bool plane_figure_draw(const plan *p, const plan_plane *plane, double width_mm, say *words,
                       plane_figure *out) {
    const plane_input *in = &plane->group->input;
    arena *memory = words->memory;
    plane_view v = {.plan = p, .plane = plane, .order = &plane->run.orders[plane->run.drawn], .words = words};
    *out = (plane_figure){0};
    v.scale = plane_scale_along(in, width_mm);
    v.depth_scale = plane_scale_through(in);
    if (!choose_steps(&v)) return false;
    for (size_t next = 0; next < in->panels_n;) {
        bool first = next == 0;
        v.lanes = plane_lanes(in, v.scale, &next, &v.n_lanes, memory);
        v.sheet = add_sheet(out, width_mm, memory);
        if (!v.lanes || !v.sheet) return false;
        v.sheet->scale = v.scale;
        draw_strip(&v, first);
        if (v.sheet->failed) return false;
    }
    v.sheet = add_sheet(out, width_mm, memory);
    if (!v.sheet) return false;
    double used = plane_draw_notes(&v);
    sheet_settle(v.sheet, used);
    return !v.sheet->failed && !words->failed;
}
