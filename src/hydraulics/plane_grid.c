#include "hydraulics/plane_parts.h"

#include <math.h>
#include <string.h>

bool plane_inside(double at_m, double from_m, double to_m) {
    return at_m > from_m + PLANE_SNAP_M && at_m < to_m - PLANE_SNAP_M;
}

int plane_find_line(const double *lines, int n, double at_m) {
    int low = 0, high = n;
    while (high - low > 1) {
        int middle = (low + high) / 2;
        if (lines[middle] <= at_m)
            low = middle;
        else
            high = middle;
    }
    return at_m - lines[low] <= lines[high] - at_m ? low : high;
}

/* Mark the cells between two chainages and down to a depth. */
static void cut(const plane_grid *g, plane_cells *c, const plane_slot *away, int kind) {
    int from = plane_find_line(g->x_m, g->nx, away->from_m), to = plane_find_line(g->x_m, g->nx, away->to_m);
    int deep = plane_find_line(g->y_m, g->ny, away->depth_m);
    for (int i = from; i < to; i++)
        for (int j = 0; j < deep; j++) c->kind[(size_t)i * (size_t)g->ny + (size_t)j] = kind;
}

static void cut_away(const plane_input *in, size_t panel, const plane_grid *g, plane_cells *c) {
    const plane_panel *p = &in->panels[panel];
    for (size_t i = 0; i < p->slots_n; i++) cut(g, c, &p->slots[i], CELL_SLOT);
    for (size_t i = 0; i < in->reliefs_n; i++) {
        const plane_relief *r = &in->reliefs[i];
        plane_slot hole = {r->at.chainage_m - r->hole_m / 2, r->at.chainage_m + r->hole_m / 2, r->depth_m};
        if (r->at.panel == panel) cut(g, c, &hole, (int)i);
    }
}

static void seal(const plane_panel *p, const plane_grid *g, bool *sealed) {
    for (size_t i = 0; i < p->sealed_n; i++) {
        int to = plane_find_line(g->x_m, g->nx, p->sealed[i].to_m);
        for (int k = plane_find_line(g->x_m, g->nx, p->sealed[i].from_m); k < to; k++) sealed[k] = true;
    }
}

static void part(const plane_panel *p, const plane_grid *g, unsigned char *parted) {
    size_t ny = (size_t)g->ny;
    for (size_t b = 0; b < p->barriers_n; b++) {
        int i = plane_find_line(g->x_m, g->nx, p->barriers[b].chainage_m);
        int to = plane_find_line(g->y_m, g->ny, p->barriers[b].to_depth_m);
        for (int j = plane_find_line(g->y_m, g->ny, p->barriers[b].from_depth_m); j < to && i < g->nx; j++)
            parted[(size_t)i * ny + (size_t)j] |= 1;
    }
    if (!p->cutoff_depth_m.known) return;
    size_t line = (size_t)plane_find_line(g->y_m, g->ny, p->cutoff_depth_m.v);
    for (size_t i = 0; i < (size_t)g->nx; i++) {
        double middle_m = (g->x_m[i] + g->x_m[i + 1]) / 2;
        bool open = false;
        for (size_t k = 0; k < p->cutoff_open_n; k++)
            open |= middle_m > p->cutoff_open[k].from_m && middle_m < p->cutoff_open[k].to_m;
        if (!open) parted[i * ny + line] |= 2;
    }
}

status plane_cells_mark(const plane_mesh *m, size_t panel, bool uncut, arena *memory, plane_cells *out,
                        fault *why) {
    const plane_grid *g = &m->grids[panel];
    size_t cells = (size_t)g->nx * (size_t)g->ny;
    out->kind = arena_get(memory, cells, sizeof *out->kind);
    out->sealed = arena_get(memory, (size_t)g->nx, sizeof *out->sealed);
    out->parted = arena_get(memory, cells, sizeof *out->parted);
    if (!out->kind || !out->sealed || !out->parted) return fault_memory(why);
    for (size_t i = 0; i < cells; i++) out->kind[i] = CELL_WALL;
    if (!uncut) {
        cut_away(m->in, panel, g, out);
        seal(&m->in->panels[panel], g, out->sealed);
    }
    part(&m->in->panels[panel], g, out->parted);
    return OK;
}
