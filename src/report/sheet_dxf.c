/* sheet_dxf.c - a sheet as DXF entities at true size, one layer an ink. */
#include "report/sheet_out.h"

#include "survey/dxf.h"

#include <string.h>

void sheet_dxf_begin(text *to) {
    dxf_layer layers[INK_COUNT];
    size_t n = 0;
    for (size_t i = 0; i < INK_COUNT; i++) {
        bool known = i == INK_BLANK;
        for (size_t k = 0; k < n; k++) known = known || strcmp(layers[k].name, sheet_inks[i].layer) == 0;
        if (!known)
            layers[n++] =
                (dxf_layer){sheet_inks[i].layer, sheet_inks[i].dxf_colour, sheet_inks[i].dash_mm[0] > 0};
    }
    dxf_begin(to, layers, n);
}

typedef struct {
    const sheet *sheet;
    double shift_m, per_m;
    text *to;
} placing;

static dxf_point at(const placing *p, sheet_point from) {
    double m = p->sheet->scale / 1000;
    return (dxf_point){(p->sheet->u0_m + p->shift_m + from.x * m) * p->per_m,
                       (p->sheet->v0_m + from.y * m) * p->per_m};
}

static void path(const placing *p, const sheet_item *item) {
    const char *layer = sheet_inks[item->ink].layer;
    for (size_t r = 0; r < item->n_rings; r++) {
        const sheet_ring *ring = &item->rings[r];
        dxf_point *points = mem_get(ring->n, sizeof *points);
        if (!points) {
            p->to->failed = true;
            return;
        }
        for (size_t i = 0; i < ring->n; i++) points[i] = at(p, ring->points[i]);
        if (ring->n == 2 && !item->closed)
            dxf_line(p->to, layer, points[0], points[1]);
        else
            dxf_polyline(p->to, layer, points, ring->n, item->closed);
        mem_free(points);
    }
}

/* R12 text is set from its left foot; middle and right are moved by the width the sheet reckons with. */
static void words(const placing *p, const sheet_item *item) {
    double back = item->align == ALIGN_LEFT ? 0 : sheet_text_width(item->words, item->height, item->bold);
    if (item->align == ALIGN_MIDDLE) back /= 2;
    sheet_point foot = item->at;
    if (item->angle_deg != 0)
        foot.y -= back; /* only upright texts are turned, by 90 degrees */
    else
        foot.x -= back;
    double height = item->height * 0.72 * p->sheet->scale / 1000 * p->per_m; /* capitals, not the body */
    dxf_text(p->to, sheet_inks[item->ink].layer, at(p, foot), height, item->angle_deg, item->words);
}

void sheet_dxf(const sheet *s, double shift_m, double per_m, text *to) {
    placing p = {s, shift_m, per_m, to};
    for (size_t i = 0; i < s->n_items; i++) {
        const sheet_item *item = &s->items[i];
        if (item->ink == INK_BLANK) continue; /* white on white; black to a plotter */
        if (item->kind == ITEM_PATH) path(&p, item);
        if (item->kind == ITEM_TEXT) words(&p, item);
        if (item->kind == ITEM_CIRCLE)
            dxf_circle(to, sheet_inks[item->ink].layer, at(&p, item->at),
                       item->radius * s->scale / 1000 * per_m);
    }
}
