/* plane_section.c - the plane itself: lines of equal head, slot and plugs, tube, joins, the two sides. */
#include "report/plane_heads.h"

#include <math.h>

static const double SIDE_MM = 4.2; /* a line of words over and under the plane */
static const double HATCH_MM = 1.6, SYMBOL_MM = 1.4;

static sheet_point spot(const plane_patch *p, double chainage_m, double depth_m) {
    return (sheet_point){plane_lane_x(p->lane, chainage_m), p->base + plane_mm_through(p->v, depth_m)};
}

static sheet_box box_of(const plane_patch *p, double from_m, double to_m, double deep_m) {
    sheet_point a = spot(p, from_m, 0), b = spot(p, to_m, deep_m);
    return (sheet_box){a.x, a.y, b.x - a.x, b.y - a.y};
}

/* Strokes at 45 degrees within a box, as one path. */
static void hatch(sheet *s, sheet_ink ink, sheet_box box) {
    size_t n = (size_t)fmax(0, ceil((box.width + box.height) / HATCH_MM) - 1);
    sheet_item *item = sheet_rings(s, ink, n, false);
    for (size_t i = 0; item && i < n; i++) {
        double c = HATCH_MM * (double)(i + 1); /* dx - dy along the stroke, from the upper left */
        double x0 = fmax(0, c - box.height), x1 = fmin(box.width, c);
        sheet_point *points = arena_get(s->memory, 2, sizeof *points);
        if (!points) {
            s->failed = true;
            item->n_rings = i;
            return;
        }
        points[0] = (sheet_point){box.x + x0, box.y + box.height - (c - x0)};
        points[1] = (sheet_point){box.x + x1, box.y + box.height - (c - x1)};
        item->rings[i] = (sheet_ring){points, 2};
    }
}

/* Stretches that carry no water, and the slot with its plugs in the state drawn. */
static void draw_cut(const plane_patch *p) {
    sheet *s = p->v->sheet;
    const plugging_outcome *order = p->v->order;
    for (size_t i = 1; i < p->panel->stations_n; i++) {
        const plane_station *a = &p->panel->stations[i - 1], *b = &p->panel->stations[i];
        if (a->width_m > 0 || a->width_wet_m > 0 || b->width_m > 0 || b->width_wet_m > 0) continue;
        sheet_rectangle(s, INK_CONCRETE, box_of(p, a->chainage_m, b->chainage_m, p->panel->thickness_m));
    }
    for (size_t i = 0; i < p->panel->slots_n; i++) {
        const plane_slot *slot = &p->panel->slots[i];
        sheet_rectangle(s, INK_OPENING, box_of(p, slot->from_m, slot->to_m, slot->depth_m));
    }
    for (size_t i = 0; i < p->v->plane->run.pictures[PLUGGING_PICTURES - 1].closed; i++) {
        const plane_interval *on = &order->steps[i].on;
        if (on->panel != p->lane->panel) continue;
        sheet_box box =
            box_of(p, on->from_m, on->to_m, plane_slot_depth_m(p->panel, (on->from_m + on->to_m) / 2));
        sheet_rectangle(s, INK_PLUGGED, box);
        hatch(s, INK_HATCH, box);
    }
}

/* The wet face, heavy where the water stands against it. */
static void draw_wet_face(const plane_patch *p) {
    double level = plane_level_m(&p->v->plane->group->input, p->lane->panel), t = p->panel->thickness_m;
    sheet_rectangle(p->v->sheet, INK_OUTLINE, box_of(p, p->lane->from_m, p->lane->to_m, t));
    for (size_t i = 1; i < p->panel->stations_n; i++) {
        double a = p->panel->stations[i - 1].chainage_m, b = p->panel->stations[i].chainage_m;
        double under_a = level - plane_elevation_m(p->panel, a, t),
               under_b = level - plane_elevation_m(p->panel, b, t);
        if (!(under_a > 0 || under_b > 0)) continue;
        double cross = a + (b - a) * under_a / (under_a - under_b);
        double from = under_a > 0 ? a : cross, to = under_b > 0 ? b : cross;
        sheet_line(p->v->sheet, INK_WATER_FACE, spot(p, from, t), spot(p, to, t));
    }
}

/* Holes with their tube, and the bore beside the symbol. */
static void draw_reliefs(const plane_patch *p) {
    sheet *s = p->v->sheet;
    for (size_t r = 0; r < p->v->order->reliefs_n; r++) {
        const plane_relief *relief = &p->v->order->reliefs[r].relief;
        if (relief->at.panel != p->lane->panel) continue;
        sheet_point mouth = spot(p, relief->at.chainage_m, 0),
                    end = spot(p, relief->at.chainage_m, relief->depth_m);
        double half = fmax(relief->hole_m * 500 / p->lane->scale, 0.5);
        sheet_rectangle(s, INK_RELIEF, (sheet_box){mouth.x - half, mouth.y, 2 * half, end.y - mouth.y});
        sheet_circle(s, INK_RELIEF, end, SYMBOL_MM);
        double d = SYMBOL_MM * 0.7;
        sheet_line(s, INK_RELIEF, (sheet_point){end.x - d, end.y - d}, (sheet_point){end.x + d, end.y + d});
        sheet_line(s, INK_RELIEF, (sheet_point){end.x - d, end.y + d}, (sheet_point){end.x + d, end.y - d});
        const char *words =
            say_print(p->v->words, "tube %s", say_value(p->v->words, UNITS_SIZE, relief->tube.bore_m));
        double width = sheet_text_width(words, PLANE_TEXT_MM, true) + 2;
        bool right = end.x + SYMBOL_MM + width <= p->lane->x + fmax(p->lane->width, width + SYMBOL_MM);
        double x = right ? end.x + SYMBOL_MM + 0.8 : end.x - SYMBOL_MM - 0.8;
        plane_label(
            s, INK_TEXT,
            (sheet_place){{x, end.y - 0.8}, PLANE_TEXT_MM, 0, 0, right ? ALIGN_LEFT : ALIGN_RIGHT, true},
            words);
    }
}

/* The same letter at both ends of a join. */
static void draw_joins(const plane_patch *p) {
    const plane_input *in = &p->v->plane->group->input;
    for (size_t i = 0; i < in->joins_n; i++)
        for (int end = 0; end < 2; end++) {
            const plane_spot *at = end ? &in->joins[i].b : &in->joins[i].a;
            if (at->panel != p->lane->panel) continue;
            sheet_point foot = spot(p, at->chainage_m, 0),
                        top = spot(p, at->chainage_m, p->panel->thickness_m);
            sheet_line(p->v->sheet, INK_FOLD, foot, top);
            const char *letter =
                i < 26 ? say_print(p->v->words, "%c", (int)('A' + i)) : say_print(p->v->words, "J%zu", i + 1);
            double in_from_edge =
                fmin(fmax(top.x, p->lane->x + 1.6), p->lane->x + fmax(p->lane->width, 4) - 1.6);
            sheet_place place = {{in_from_edge, top.y - 3}, PLANE_TEXT_MM, 0, 0, ALIGN_MIDDLE, true};
            plane_label(p->v->sheet, INK_FOLD, place, letter);
        }
}

/* The level when it is the same for the whole strip. */
static const char *wet_words(plane_view *v) {
    const plane_input *in = &v->plane->group->input;
    double level = plane_level_m(in, v->lanes[0].panel);
    bool same = true;
    for (size_t k = 1; k < v->n_lanes; k++) same = same && plane_level_m(in, v->lanes[k].panel) == level;
    if (!same) return "WET SIDE, heavy line where water stands today";
    return say_print(v->words, "WET SIDE: water today up to %s, heavy line where it stands",
                     say_level(v->words, level));
}

/* What the two sides are; the kind of face when it is the same for the whole strip. */
static void name_sides(plane_view *v, double wet, double dry) {
    static const char *const sides[] = {[PLANE_WALL] = "DRY SIDE, you stand here: face of the wall",
                                        [PLANE_FLOOR] = "DRY SIDE, you stand here: top of the floor",
                                        [PLANE_SOFFIT] = "DRY SIDE, you stand here: underside of the slab"};
    const plane_panel *panels = v->plane->group->input.panels;
    bool same = true;
    for (size_t k = 1; k < v->n_lanes; k++)
        same = same && panels[v->lanes[k].panel].lie == panels[v->lanes[0].panel].lie;
    double room = v->sheet->width - PLANE_MARGIN_MM;
    sheet_place place = {{PLANE_MARGIN_MM, wet + 1}, PLANE_TEXT_MM, room, 0, ALIGN_LEFT, true};
    sheet_text(v->sheet, INK_TEXT, place, wet_words(v));
    place.at.y = dry - 3;
    sheet_text(v->sheet, INK_TEXT, place,
               same ? sides[panels[v->lanes[0].panel].lie] : "DRY SIDE, you stand here");
}

/* Depths at the left of the first lane. */
static void draw_depths(plane_view *v, double base) {
    say *w = v->words;
    double t = v->plane->group->input.panels[v->lanes[0].panel].thickness_m;
    double shown = units_from_si(UNITS_SIZE, w->system, t), step = contour_step(shown, 4);
    for (int i = 0; i * step <= shown * (1 + 1e-9); i++) {
        double y = base + plane_mm_through(v, units_to_si(UNITS_SIZE, w->system, i * step));
        sheet_line(v->sheet, INK_DIMENSION, (sheet_point){PLANE_MARGIN_MM - 1, y},
                   (sheet_point){PLANE_MARGIN_MM, y});
        sheet_place place = {
            {PLANE_MARGIN_MM - 1.5, y - 0.7}, PLANE_TEXT_MM, PLANE_MARGIN_MM - 5, 0, ALIGN_RIGHT, false};
        sheet_text(v->sheet, INK_TEXT_SOFT, place, say_number(w, UNITS_PLAIN, i * step));
    }
    double high = plane_mm_through(v, t);
    sheet_place side = {{3.2, base + high / 2}, PLANE_TEXT_MM, fmax(high, 16), 90, ALIGN_MIDDLE, false};
    sheet_text(v->sheet, INK_TEXT_SOFT, side, say_print(w, "depth, %s", say_unit(w, UNITS_SIZE)));
}

double plane_draw_plane(plane_view *v, double top) {
    const plane_input *in = &v->plane->group->input;
    double thickest = 0;
    for (size_t k = 0; k < v->n_lanes; k++)
        thickest = fmax(thickest, in->panels[v->lanes[k].panel].thickness_m);
    double high = plane_mm_through(v, thickest), base = top - SIDE_MM - high;
    for (size_t k = 0; k < v->n_lanes; k++) {
        plane_patch p = {v, &v->lanes[k], &in->panels[v->lanes[k].panel], base};
        contour_set sets[PLANE_HEAD_LINES] = {{0}};
        sheet_rectangle(v->sheet, INK_PLANE, box_of(&p, p.lane->from_m, p.lane->to_m, p.panel->thickness_m));
        plane_trace_heads(&p, sets);
        draw_cut(&p);
        draw_wet_face(&p);
        draw_joins(&p);
        draw_reliefs(&p);
        plane_name_heads(&p, sets);
    }
    draw_depths(v, base);
    name_sides(v, top - SIDE_MM, base);
    return SIDE_MM + high + SIDE_MM;
}
