#include "report/elevation.h"

#include "report/frame.h"

#include <math.h>
#include <string.h>

/* Room round the outline, mm: fold names and dimensions to the left and below, water levels to the right,
 * caption and marks above. */
static const double LEFT = 17, RIGHT_WALL = 34, RIGHT = 10, BELOW = 24, ABOVE_MARKS = 8, CAPTION_LINES = 7.5;
static const double LEAST_WIDTH = 88;

/* Scales of the usual rulers; a sheet with few leaks need not be larger than `few`. */
static const double metric_scales[] = {25, 50, 75, 100, 125, 200, 250, 500, 1000, 2000, 5000, 10000, 20000};
static const double us_scales[] = {24, 48, 96, 120, 192, 240, 360, 480, 600, 1200, 2400, 6000, 12000, 24000};
enum { FEW_LEAKS = 4 };

void frame_bounds(const survey_face *face, survey_point *low, survey_point *high) {
    *low = *high = face->outline.n_points ? face->outline.points[0] : (survey_point){0, 0};
    for (size_t i = 1; i < face->outline.n_points; i++) {
        survey_point at = face->outline.points[i];
        *low = (survey_point){fmin(low->u_m, at.u_m), fmin(low->v_m, at.v_m)};
        *high = (survey_point){fmax(high->u_m, at.u_m), fmax(high->v_m, at.v_m)};
    }
}

sheet_point frame_at(const frame *f, survey_point at) {
    double mm = 1000 / f->scale;
    return (sheet_point){f->box.x + (at.u_m - f->low.u_m) * mm, f->box.y + (at.v_m - f->low.v_m) * mm};
}

bool frame_has(const survey_defect *d, const survey_face *face) {
    for (size_t i = 0; i < d->n_parts; i++) {
        if (strcmp(d->parts[i].face, face->id) == 0) return true;
    }
    return false;
}

static const char *name_of(const survey_face *face) {
    return face->name ? face->name : face->id;
}

void elevation_size(const plan *p, size_t face, double scale, double *width_mm, double *height_mm) {
    const survey_face *of = &p->survey->faces[face];
    survey_point low, high;
    frame_bounds(of, &low, &high);
    double mm = 1000 / scale, right = of->lie == LIE_WALL ? RIGHT_WALL : RIGHT;
    *width_mm = fmax(LEFT + (high.u_m - low.u_m) * mm + right, LEAST_WIDTH);
    sheet_place title = {.height = FRAME_TITLE_MM, .room = *width_mm - 4, .bold = true};
    double name = 1.35 * FRAME_TITLE_MM * (double)sheet_paragraph_lines(title, 2, name_of(of));
    *height_mm = BELOW + (high.v_m - low.v_m) * mm + ABOVE_MARKS + CAPTION_LINES + name;
}

static size_t leaks_on(const plan *p, const survey_face *face) {
    size_t n = 0;
    for (size_t i = 0; i < p->survey->n_defects; i++) n += frame_has(&p->survey->defects[i], face);
    return n;
}

double elevation_scale(const plan *p, size_t face, double width_mm, double height_mm) {
    bool us = p->survey->site.system == UNITS_US;
    const double *scales = us ? us_scales : metric_scales;
    size_t n = us ? sizeof us_scales / sizeof *us_scales : sizeof metric_scales / sizeof *metric_scales;
    size_t from = leaks_on(p, &p->survey->faces[face]) <= FEW_LEAKS ? 1 : 0;
    for (size_t i = from; i < n; i++) {
        double width, height;
        elevation_size(p, face, scales[i], &width, &height);
        if (width <= width_mm && height <= height_mm) return scales[i];
    }
    return scales[n - 1];
}

void frame_rings(const frame *f, sheet_ink ink, const survey_ring *rings, size_t n) {
    sheet_item *item = sheet_rings(f->sheet, ink, n, true);
    if (!item) return;
    for (size_t i = 0; i < n; i++) {
        sheet_point *points = arena_get(f->sheet->memory, rings[i].n_points, sizeof *points);
        if (!points) {
            f->sheet->failed = true;
            return;
        }
        for (size_t k = 0; k < rings[i].n_points; k++) points[k] = frame_at(f, rings[i].points[k]);
        item->rings[i] = (sheet_ring){points, rings[i].n_points};
    }
}

static void draw_outlines(const frame *f, sheet_ink ink, const takeoff_outline *outlines, size_t n) {
    for (size_t i = 0; i < n; i++) {
        if (outlines[i].face == f->index) frame_rings(f, ink, outlines[i].rings, outlines[i].n_rings);
    }
}

/* An opening with its diagonals and, where there is room, its size. */
static void draw_opening(frame *f, const survey_ring *opening) {
    frame_rings(f, INK_OPENING, opening, 1);
    survey_face shape = {.outline = *opening};
    survey_point low, high;
    frame_bounds(&shape, &low, &high);
    sheet_point a = frame_at(f, low), b = frame_at(f, high);
    sheet_line(f->sheet, INK_DIMENSION, a, b);
    sheet_line(f->sheet, INK_DIMENSION, (sheet_point){a.x, b.y}, (sheet_point){b.x, a.y});
    const char *size = say_print(f->words, "%s × %s", say_length(f->words, high.u_m - low.u_m),
                                 say_length(f->words, high.v_m - low.v_m));
    double width = sheet_text_width(size, 2, false) + 1;
    if (b.x - a.x < width + 2 || b.y - a.y < 8) return;
    sheet_box box = {(a.x + b.x - width) / 2, a.y + 1, width, 3};
    sheet_place place = {{(a.x + b.x) / 2, a.y + 1.8}, 2, 0, 0, ALIGN_MIDDLE, false};
    sheet_text(f->sheet, INK_TEXT_SOFT, place, size);
    label_take(&f->board, box);
}

static bool open_frame(const plan *p, size_t face, double scale, say *words, sheet *out, frame *f) {
    *f = (frame){.plan = p,
                 .face = &p->survey->faces[face],
                 .index = face,
                 .scale = scale,
                 .sheet = out,
                 .words = words};
    elevation_size(p, face, scale, &out->width, &out->height);
    frame_bounds(f->face, &f->low, &f->high);
    double mm = 1000 / scale;
    f->box = (sheet_box){LEFT, BELOW, (f->high.u_m - f->low.u_m) * mm, (f->high.v_m - f->low.v_m) * mm};
    out->scale = scale;
    out->u0_m = f->low.u_m - LEFT / mm;
    out->v0_m = f->low.v_m - BELOW / mm;
    return label_board_new(out->memory, out->width, out->height, &f->board);
}

void elevation_draw(const plan *p, size_t face, double scale, say *words, sheet *out) {
    elevation_draw_built(p, face, scale, NULL, words, out);
}

void elevation_draw_built(const plan *p, size_t face, double scale, const elevation_look *look, say *words,
                          sheet *out) {
    frame f;
    if (!open_frame(p, face, scale, words, out, &f)) {
        out->failed = true;
        return;
    }
    f.look = look;
    frame_rings(&f, INK_FACE, &f.face->outline, 1);
    if (!look || !look->bare) {
        draw_outlines(&f, INK_COAT, p->takeoff.coats, p->takeoff.n_coats);
        draw_outlines(&f, INK_SLOT, p->takeoff.slots, p->takeoff.n_slots);
    }
    for (size_t i = 0; i < f.face->n_openings; i++) draw_opening(&f, &f.face->openings[i]);
    frame_around(&f);
    frame_leaks(&f);
    frame_marks(&f);
}
