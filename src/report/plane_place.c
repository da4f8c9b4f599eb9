/* plane_place.c - what a person calls the panels of a plane and their ends; figures of flow. */
#include "report/plane_view.h"

#include <math.h>

const survey_defect *plane_defect(const plan *p, const plan_plane *of, size_t panel) {
    return &p->survey->defects[of->group->owners[panel].defect];
}

static const survey_part *part_of(const plan *p, const plan_plane *of, size_t panel) {
    return &plane_defect(p, of, panel)->parts[of->group->owners[panel].part];
}

static const survey_face *face_of(const plan *p, const plan_plane *of, size_t panel) {
    return survey_find_face(p->survey, part_of(p, of, panel)->face);
}

const char *plane_face(const plan *p, const plan_plane *of, size_t panel) {
    const survey_face *face = face_of(p, of, panel);
    return face && face->name ? face->name : part_of(p, of, panel)->face;
}

const char *plane_end(const plan *p, const plan_plane *of, size_t panel, bool last) {
    const survey_part *part = part_of(p, of, panel);
    if (part->n_points < 2) return last ? "end" : "start"; /* the gap round a hole, unrolled */
    const survey_point *a = &part->points[last ? part->n_points - 1 : 0];
    const survey_point *b = &part->points[last ? 0 : part->n_points - 1];
    double right = a->u_m - b->u_m, up = a->v_m - b->v_m;
    if (fabs(right) >= fabs(up)) return right > 0 ? "right end" : "left end";
    const survey_face *face = face_of(p, of, panel);
    if (face && face->lie != LIE_WALL) return up > 0 ? "far end" : "near end";
    return up > 0 ? "upper end" : "lower end";
}

const char *plane_flow_unit(const say *w) {
    return w->system == UNITS_US ? "gal/min per ft" : "l/min per m";
}

double plane_flow_shown(const say *w, double flow_m2_s) {
    return units_from_si(UNITS_FLOW, w->system, flow_m2_s) / units_from_si(UNITS_LENGTH, w->system, 1);
}

const char *plane_say_flow(say *w, double flow_m2_s) {
    double shown = plane_flow_shown(w, flow_m2_s);
    int decimals = fabs(shown) >= 99.95 ? 0 : fabs(shown) >= 9.995 ? 1 : 2;
    return say_print(w, "%s\u00a0%s", say_plain(w, shown, decimals), plane_flow_unit(w));
}

bool plane_label(sheet *s, sheet_ink ink, sheet_place place, const char *words) {
    double width = sheet_text_width(words, place.height, place.bold) + 0.8;
    double left = place.align == ALIGN_LEFT ? 0.4 : place.align == ALIGN_MIDDLE ? width / 2 : width - 0.4;
    sheet_box box = {place.at.x - left, place.at.y - 0.3 * place.height, width, 1.3 * place.height};
    for (size_t i = 0; i < s->n_labels; i++) {
        const sheet_box *o = &s->labels[i];
        if (box.x < o->x + o->width && o->x < box.x + box.width && box.y < o->y + o->height &&
            o->y < box.y + box.height)
            return false;
    }
    sheet_box *labels = arena_push(s->memory, s->labels, &s->n_labels, sizeof *labels);
    if (!labels) {
        s->failed = true;
        return false;
    }
    s->labels = labels;
    labels[s->n_labels - 1] = box;
    sheet_rectangle(s, INK_PATCH, box);
    sheet_text(s, ink, place, words);
    return true;
}
