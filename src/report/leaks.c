/* leaks.c - the leaks of one face: traces by wetness, holes, areas, reliefs, and their marks. */
#include "report/frame.h"

#include <math.h>
#include <string.h>

static double part_length(const survey_part *part) {
    double sum = 0;
    for (size_t i = 1; i < part->n_points; i++) {
        sum += hypot(part->points[i].u_m - part->points[i - 1].u_m,
                     part->points[i].v_m - part->points[i - 1].v_m);
    }
    return sum;
}

static survey_point between(survey_point a, survey_point b, double t) {
    return (survey_point){a.u_m + t * (b.u_m - a.u_m), a.v_m + t * (b.v_m - a.v_m)};
}

/* The stretch from..to (along the part) as points on paper; returns how many. `into` holds n_points + 2. */
static size_t cut_stretch(const frame *f, const survey_part *part, double from, double to,
                          sheet_point *into) {
    size_t n = 0;
    double passed = 0;
    for (size_t i = 1; i < part->n_points; i++) {
        survey_point a = part->points[i - 1], b = part->points[i];
        double length = hypot(b.u_m - a.u_m, b.v_m - a.v_m), end = passed + length;
        if (length > 0 && end > from && passed < to) {
            if (n == 0) into[n++] = frame_at(f, between(a, b, fmax(0, (from - passed) / length)));
            into[n++] = frame_at(f, between(a, b, fmin(1, (to - passed) / length)));
        }
        passed = end;
    }
    return n;
}

/* By its wetness, or by what became of it. */
static sheet_ink ink_of(const frame *f, const leak_water *leak, survey_wetness word) {
    return f->look ? f->look->traces[leak - f->plan->leaks] : INK_DRY + (sheet_ink)word;
}

static void draw_stretch(frame *f, const survey_part *part, double from, double to, sheet_ink ink) {
    sheet_point *points = arena_get(f->sheet->memory, part->n_points + 2, sizeof *points);
    if (!points) {
        f->sheet->failed = true;
        return;
    }
    size_t n = cut_stretch(f, part, from, to, points);
    if (n < 2) return;
    sheet_path(f->sheet, ink, points, n, false);
    for (size_t i = 1; i < n; i++) label_ink(&f->board, points[i - 1], points[i]);
}

/* The i-th stretch that the design treats, as accept/proof counts it; false: there is no such. */
static bool treated(const repair_design *d, size_t i, double *from, double *to) {
    bool injected = method_is_injection(d->method.name);
    if (injected || (d->method.name == METHOD_FLEXIBLE && d->flexible.to_m > d->flexible.from_m)) {
        *from = injected ? d->injection.from_m : d->flexible.from_m;
        *to = injected ? d->injection.to_m : d->flexible.to_m;
        return i == 0;
    }
    if (i >= d->n_slots) return false;
    *from = d->slots[i].from_m;
    *to = d->slots[i].to_m;
    return true;
}

/* What was not treated has no part in the verdict: no metre of it was proved. Slots stand along the line. */
static void draw_built(frame *f, const leak_water *leak, const survey_part *part, double base, double end) {
    const repair_design *d = &f->plan->designs[leak - f->plan->leaks];
    sheet_ink ink = ink_of(f, leak, leak->worst);
    double at = base, from, to;
    for (size_t i = 0; ink != INK_BUILT_OPEN && treated(d, i, &from, &to); i++) {
        from = fmin(fmax(from, at), end);
        to = fmin(fmax(to, from), end);
        if (from > at) draw_stretch(f, part, at - base, from - base, INK_BUILT_OPEN);
        if (to > from) draw_stretch(f, part, from - base, to - base, ink);
        at = to;
    }
    bool whole = ink == INK_BUILT_OPEN || !treated(d, 0, &from, &to);
    if (at < end) draw_stretch(f, part, at - base, end - base, whole ? ink : INK_BUILT_OPEN);
}

/* A part of a line whose first point lies at chainage `base`. */
static void draw_line_part(frame *f, const leak_water *leak, const survey_part *part, double base) {
    const survey_defect *d = leak->defect;
    double end = base + part_length(part), from = base;
    if (f->look) {
        draw_built(f, leak, part, base, end);
        return;
    }
    if (d->n_stations == 0) {
        draw_stretch(f, part, 0, end - base, ink_of(f, leak, leak->worst));
        return;
    }
    for (size_t i = 0; i < d->n_stations; i++) {
        bool last = i + 1 == d->n_stations;
        if (!last && d->stations[i + 1].wetness == d->stations[i].wetness) continue;
        double to = last ? end : (d->stations[i].chainage_m + d->stations[i + 1].chainage_m) / 2;
        if (to > from)
            draw_stretch(f, part, from - base, fmin(to, end) - base, ink_of(f, leak, d->stations[i].wetness));
        from = fmax(from, to);
    }
}

/* A hole: at least 1 mm on paper; a pipe has a cross. */
static void draw_hole(frame *f, const leak_water *leak, const survey_part *part) {
    const survey_defect *d = leak->defect;
    sheet_point at = frame_at(f, part->points[0]);
    double radius = fmax(1, d->diameter_m.known ? d->diameter_m.v * 500 / f->scale : 0);
    sheet_circle(f->sheet, ink_of(f, leak, leak->worst), at, radius);
    if (d->kind == KIND_PENETRATION) {
        double arm = radius + 0.8;
        sheet_line(f->sheet, INK_DIMENSION, (sheet_point){at.x - arm, at.y}, (sheet_point){at.x + arm, at.y});
        sheet_line(f->sheet, INK_DIMENSION, (sheet_point){at.x, at.y - arm}, (sheet_point){at.x, at.y + arm});
    }
    label_ink(&f->board, (sheet_point){at.x - radius, at.y}, (sheet_point){at.x + radius, at.y});
    label_ink(&f->board, (sheet_point){at.x, at.y - radius}, (sheet_point){at.x, at.y + radius});
}

static void draw_area(frame *f, const leak_water *leak, const survey_part *part) {
    survey_ring ring = {part->points, part->n_points};
    frame_rings(f, ink_of(f, leak, leak->worst), &ring, 1);
    for (size_t i = 0; i < part->n_points; i++) {
        label_ink(&f->board, frame_at(f, part->points[i]),
                  frame_at(f, part->points[(i + 1) % part->n_points]));
    }
}

static void draw_relief(frame *f, const survey_defect *d, const design_relief *relief) {
    trace_place place;
    if (!relief->wanted || !trace_at(f->plan->survey, d, relief->at_m, &place) || place.face != f->face)
        return;
    sheet_point at = frame_at(f, place.at);
    double radius = 1.5, arm = radius * 0.7071;
    sheet_circle(f->sheet, INK_RELIEF, at, radius);
    sheet_line(f->sheet, INK_RELIEF, (sheet_point){at.x - arm, at.y - arm},
               (sheet_point){at.x + arm, at.y + arm});
    sheet_line(f->sheet, INK_RELIEF, (sheet_point){at.x - arm, at.y + arm},
               (sheet_point){at.x + arm, at.y - arm});
    label_keep(&f->board, (sheet_box){at.x - radius, at.y - radius, 2 * radius, 2 * radius});
}

static void draw_part(frame *f, const leak_water *leak, const survey_part *part, double base) {
    if (part->n_points == 0) return;
    if (survey_is_line(leak->defect->kind))
        draw_line_part(f, leak, part, base);
    else if (leak->defect->kind == KIND_HONEYCOMB)
        draw_area(f, leak, part);
    else
        draw_hole(f, leak, part);
}

void frame_leaks(frame *f) {
    for (size_t i = 0; i < f->plan->n_leaks; i++) {
        const survey_defect *d = f->plan->leaks[i].defect;
        if (!frame_has(d, f->face)) continue;
        double base = 0;
        f->sheet->mark = d->mark;
        for (size_t k = 0; k < d->n_parts; k++) {
            const survey_part *part = &d->parts[k];
            if (strcmp(part->face, f->face->id) == 0) draw_part(f, &f->plan->leaks[i], part, base);
            base += part_length(part);
        }
    }
    for (size_t i = 0; i < f->plan->n_leaks; i++) {
        f->sheet->mark = f->plan->leaks[i].defect->mark;
        if (!f->look) draw_relief(f, f->plan->leaks[i].defect, &f->plan->designs[i].relief);
    }
    f->sheet->mark = NULL;
}

/* Where a leader points: the wettest station on this part, else its middle; the middle of an area. */
static sheet_point anchor_of(const frame *f, const survey_defect *d, const survey_part *part, double base) {
    if (!survey_is_line(d->kind)) {
        survey_point sum = {0, 0};
        for (size_t i = 0; i < part->n_points; i++) {
            sum.u_m += part->points[i].u_m / (double)part->n_points;
            sum.v_m += part->points[i].v_m / (double)part->n_points;
        }
        return frame_at(f, sum);
    }
    double length = part_length(part), at = length / 2;
    int worst = -1;
    for (size_t i = 0; i < d->n_stations; i++) {
        double along = d->stations[i].chainage_m - base;
        if (!(along >= 0 && along <= length) || (int)d->stations[i].wetness <= worst) continue;
        worst = (int)d->stations[i].wetness;
        at = along;
    }
    double passed = 0;
    for (size_t i = 1; i < part->n_points; i++) {
        survey_point a = part->points[i - 1], b = part->points[i];
        double piece = hypot(b.u_m - a.u_m, b.v_m - a.v_m);
        if (piece > 0 && at <= passed + piece) return frame_at(f, between(a, b, (at - passed) / piece));
        passed += piece;
    }
    return frame_at(f, part->points[part->n_points - 1]);
}

static bool find_room(frame *f, sheet_point anchor, const char *words, sheet_box *box, sheet_point *foot) {
    enum { LONGEST_MM = 45 };
    double width = fmin(sheet_text_width(words, FRAME_MARK_MM, true), LONGEST_MM) + 1.6;
    return label_find(&f->board, anchor, width, FRAME_MARK_MM + 1.4, box, foot);
}

static void put_mark(frame *f, size_t leak, sheet_point anchor) {
    const survey_defect *d = f->plan->leaks[leak].defect;
    sheet *s = f->sheet;
    sheet_ink ink = f->look                                      ? f->look->boxes[leak]
                    : finding_stops(&f->plan->findings, d->mark) ? INK_LABEL_STOP
                                                                 : INK_LABEL;
    const char *words = f->look ? f->look->words[leak] : d->mark;
    sheet_box box;
    sheet_point foot;
    bool found = find_room(f, anchor, words, &box, &foot);
    if (!found && words != d->mark) found = find_room(f, anchor, words = d->mark, &box, &foot);
    if (!found) {
        s->n_unplaced++;
        return;
    }
    sheet_box *labels = arena_push(s->memory, s->labels, &s->n_labels, sizeof *labels);
    if (!labels) {
        s->failed = true;
        return;
    }
    s->labels = labels;
    labels[s->n_labels - 1] = box;
    sheet_line(s, INK_LEADER, anchor, foot);
    sheet_rectangle(s, ink, box);
    sheet_place place = {
        {box.x + box.width / 2, box.y + 0.95}, FRAME_MARK_MM, box.width - 1.4, 0, ALIGN_MIDDLE, true};
    sheet_text(s, INK_TEXT, place, words);
}

/* The first part of a defect on this face and the chainage where it begins; NULL when there is none. */
static const survey_part *part_here(const frame *f, const survey_defect *d, double *base) {
    *base = 0;
    for (size_t k = 0; k < d->n_parts; k++) {
        if (strcmp(d->parts[k].face, f->face->id) == 0 && d->parts[k].n_points) return &d->parts[k];
        *base += part_length(&d->parts[k]);
    }
    return NULL;
}

/* All anchors are kept free first: a mark may not hide what a later one points at. */
void frame_marks(frame *f) {
    for (int placing = 0; placing < 2; placing++) {
        for (size_t i = 0; i < f->plan->n_leaks; i++) {
            const survey_defect *d = f->plan->leaks[i].defect;
            double base;
            const survey_part *part = part_here(f, d, &base);
            if (!part) continue;
            sheet_point at = anchor_of(f, d, part, base);
            f->sheet->mark = d->mark;
            if (placing)
                put_mark(f, i, at);
            else
                label_keep(&f->board, (sheet_box){at.x - 0.7, at.y - 0.7, 1.4, 1.4});
        }
    }
    f->sheet->mark = NULL;
    if (f->sheet->n_unplaced == 0) return;
    const char *note = say_print(f->words, "%zu mark%s found no room at this scale.", f->sheet->n_unplaced,
                                 f->sheet->n_unplaced == 1 ? "" : "s");
    sheet_place place = {{2, 1}, FRAME_TEXT_MM, f->sheet->width - 4, 0, ALIGN_LEFT, true};
    sheet_text(f->sheet, INK_TEXT, place, note);
}
