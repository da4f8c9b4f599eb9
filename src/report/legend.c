/* legend.c - what each ink of an elevation means, and the key plan of a step card. */
#include "report/frame.h"

#include <math.h>
#include <string.h>

typedef struct {
    sheet_ink ink;
    const char *words;
} entry;
static const entry entries[] = {
    {INK_DRY, "dry"},
    {INK_DAMP, "damp"},
    {INK_SEEP, "seep"},
    {INK_DRIP, "drip"},
    {INK_RUN, "run"},
    {INK_JET, "jet"},
    {INK_SLOT, "slot to cut"},
    {INK_COAT, "coat band"},
    {INK_RELIEF, "relief hole"},
    {INK_FOLD, "fold to next face"},
    {INK_TODAY, "water today"},
    {INK_DESIGN, "design water"},
    {INK_OPENING, "opening"},
    {INK_LABEL, "mark of a leak"},
    {INK_LABEL_STOP, "mark under a STOP"},
};
static const entry built_entries[] = {
    {INK_BUILT_KEPT, "kept: proved dry"},
    {INK_BUILT_BROKEN, "broken: fails its class"},
    {INK_BUILT_NOT_PROVEN, "not proven"},
    {INK_BUILT_OPEN, "open: not treated"},
    {INK_LABEL_KEPT, "mark: kept"},
    {INK_LABEL_BROKEN, "mark: broken"},
    {INK_LABEL_NOT_PROVEN, "mark: not proven"},
    {INK_LABEL_OPEN, "mark: open"},
    {INK_SLOT, "slot, as planned"},
    {INK_COAT, "coat band, as planned"},
    {INK_FOLD, "fold to next face"},
    {INK_TODAY, "water at the survey"},
    {INK_DESIGN, "design water"},
    {INK_OPENING, "opening"},
};
static const double CELL_MM = 42, ROW_MM = 4.6, SAMPLE_MM = 9;

static void draw_sample(sheet *s, sheet_ink ink, double x, double y) {
    sheet_box box = {x, y - 1, SAMPLE_MM, 2.4};
    sheet_point middle = {x + SAMPLE_MM / 2, y + 0.2};
    switch ((int)ink) {
    case INK_SLOT:
    case INK_COAT:
    case INK_OPENING: sheet_rectangle(s, ink, box); break;
    case INK_RELIEF:
        sheet_circle(s, ink, middle, 1.5);
        sheet_line(s, ink, (sheet_point){middle.x - 1, middle.y - 1},
                   (sheet_point){middle.x + 1, middle.y + 1});
        sheet_line(s, ink, (sheet_point){middle.x - 1, middle.y + 1},
                   (sheet_point){middle.x + 1, middle.y - 1});
        break;
    case INK_LABEL:
    case INK_LABEL_KEPT:
    case INK_LABEL_BROKEN:
    case INK_LABEL_NOT_PROVEN:
    case INK_LABEL_OPEN:
    case INK_LABEL_STOP:
        sheet_rectangle(s, ink, box);
        sheet_text(s, INK_TEXT, (sheet_place){{middle.x, y - 0.6}, 2, 0, 0, ALIGN_MIDDLE, true}, "A1");
        break;
    default: sheet_line(s, ink, (sheet_point){x, y + 0.2}, (sheet_point){x + SAMPLE_MM, y + 0.2}); break;
    }
}

static void draw_legend(const entry *list, size_t n, double width_mm, sheet *out) {
    size_t columns = (size_t)fmax(1, floor(width_mm / CELL_MM));
    size_t rows = (n + columns - 1) / columns;
    out->width = width_mm;
    out->height = (double)rows * ROW_MM + 1;
    out->scale = 1000;
    for (size_t i = 0; i < n; i++) {
        double x = 1 + CELL_MM * (double)(i % columns),
               y = out->height - ROW_MM * (double)(i / columns + 1) + 1.4;
        draw_sample(out, list[i].ink, x, y);
        sheet_place place = {
            {x + SAMPLE_MM + 1.5, y - 0.6}, FRAME_TEXT_MM, CELL_MM - SAMPLE_MM - 2, 0, ALIGN_LEFT, false};
        sheet_text(out, INK_TEXT_SOFT, place, list[i].words);
    }
}

void elevation_legend(double width_mm, sheet *out) {
    draw_legend(entries, sizeof entries / sizeof *entries, width_mm, out);
}

void elevation_legend_built(double width_mm, sheet *out) {
    draw_legend(built_entries, sizeof built_entries / sizeof *built_entries, width_mm, out);
}

/* The leak alone, in one heavy ink. */
static void draw_here(const frame *f, const survey_defect *d) {
    for (size_t i = 0; i < d->n_parts; i++) {
        const survey_part *part = &d->parts[i];
        if (strcmp(part->face, f->face->id) != 0 || part->n_points == 0) continue;
        if (part->n_points == 1) {
            sheet_circle(f->sheet, INK_HERE, frame_at(f, part->points[0]), 1);
            continue;
        }
        survey_ring ring = {part->points, part->n_points};
        frame_rings(f, INK_HERE, &ring, 1);
        if (f->sheet->n_items) f->sheet->items[f->sheet->n_items - 1].closed = d->kind == KIND_HONEYCOMB;
    }
}

void elevation_key(const plan *p, size_t face, size_t leak, double width_mm, double height_mm, sheet *out) {
    frame f = {.plan = p, .face = &p->survey->faces[face], .index = face, .sheet = out};
    frame_bounds(f.face, &f.low, &f.high);
    double width_m = fmax(f.high.u_m - f.low.u_m, 1e-3), height_m = fmax(f.high.v_m - f.low.v_m, 1e-3);
    f.scale = fmax(width_m * 1000 / (width_mm - 2), height_m * 1000 / (height_mm - 2));
    f.box = (sheet_box){1, 1, width_m * 1000 / f.scale, height_m * 1000 / f.scale};
    out->width = f.box.width + 2;
    out->height = f.box.height + 2;
    out->scale = f.scale;
    frame_rings(&f, INK_FACE, &f.face->outline, 1);
    for (size_t i = 0; i < f.face->n_openings; i++) frame_rings(&f, INK_OPENING, &f.face->openings[i], 1);
    draw_here(&f, p->leaks[leak].defect);
}
