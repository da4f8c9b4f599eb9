#include "report/contour.h"

#include <math.h>
#include <string.h>

/* A line crosses sides of cells. Each side has a number, 2 k for the one to the right of grid point k and
 * 2 k + 1 for the one above it; at most two pieces of a line meet there. */
typedef struct {
    const contour_grid *grid;
    double level;
    arena *memory;
    size_t (*next)[2]; /* sides reached from a side; NONE */
    bool *seen;
    sheet_point *points; /* of the line being walked */
    contour_set *out;
} tracing;
static const size_t NONE = (size_t)-1;

static double value(const contour_grid *g, size_t i, size_t j) {
    return g->value[i + g->nx * j];
}

static void connect(tracing *t, size_t a, size_t b) {
    t->next[a][t->next[a][0] != NONE] = b;
    t->next[b][t->next[b][0] != NONE] = a;
}

/* Corners are numbered round the cell from (i, j); side s runs from corner s to the next. */
static void cross_cell(tracing *t, size_t i, size_t j) {
    const contour_grid *g = t->grid;
    size_t k = i + g->nx * j;
    const double corner[4] = {value(g, i, j), value(g, i + 1, j), value(g, i + 1, j + 1), value(g, i, j + 1)};
    const size_t side[4] = {2 * k, 2 * (k + 1) + 1, 2 * (k + g->nx), 2 * k + 1};
    double mean = (corner[0] + corner[1] + corner[2] + corner[3]) / 4;
    if (!isfinite(mean)) return;
    size_t cut[4], n = 0;
    for (size_t s = 0; s < 4; s++)
        if ((corner[s] >= t->level) != (corner[(s + 1) % 4] >= t->level)) cut[n++] = side[s];
    if (n == 2) connect(t, cut[0], cut[1]);
    if (n != 4) return;
    /* The middle belongs to corner 0 and 2, or to 1 and 3: cut off the others. */
    bool with_first = (mean >= t->level) == (corner[0] >= t->level);
    connect(t, cut[0], cut[with_first ? 1 : 3]);
    connect(t, cut[2], cut[with_first ? 3 : 1]);
}

static sheet_point point_on(const tracing *t, size_t side) {
    size_t k = side / 2, i = k % t->grid->nx, j = k / t->grid->nx;
    bool up = side % 2;
    double a = value(t->grid, i, j), b = value(t->grid, i + !up, j + up), at = (t->level - a) / (b - a);
    return (sheet_point){(double)i + (up ? 0 : at), (double)j + (up ? at : 0)};
}

/* Walk from a side to the end of its line, or round it. */
static bool walk(tracing *t, size_t from) {
    size_t n = 0, at = from, before = NONE;
    while (at != NONE && !t->seen[at]) {
        t->seen[at] = true;
        t->points[n++] = point_on(t, at);
        size_t to = t->next[at][0] != before ? t->next[at][0] : t->next[at][1];
        before = at;
        at = to;
    }
    if (at == from) t->points[n++] = t->points[0];
    sheet_ring *lines = arena_push(t->memory, t->out->lines, &t->out->n, sizeof *lines);
    sheet_point *copy = arena_get(t->memory, n, sizeof *copy);
    if (!lines || !copy) return false;
    t->out->lines = lines;
    memcpy(copy, t->points, n * sizeof *copy);
    lines[t->out->n - 1] = (sheet_ring){copy, n};
    return true;
}

bool contour_trace(const contour_grid *grid, double level, arena *memory, contour_set *out) {
    size_t sides = 2 * grid->nx * grid->ny;
    *out = (contour_set){0};
    tracing t = {.grid = grid, .level = level, .memory = memory, .out = out};
    t.next = arena_get(memory, sides, sizeof *t.next);
    t.seen = arena_get(memory, sides, sizeof *t.seen);
    t.points = arena_get(memory, sides + 1, sizeof *t.points);
    if (!t.next || !t.seen || !t.points) return false;
    for (size_t s = 0; s < sides; s++) t.next[s][0] = t.next[s][1] = NONE;
    for (size_t j = 0; j + 1 < grid->ny; j++)
        for (size_t i = 0; i + 1 < grid->nx; i++) cross_cell(&t, i, j);
    for (int closed = 0; closed < 2; closed++)
        for (size_t s = 0; s < sides; s++) {
            bool starts = t.next[s][0] != NONE && (closed || t.next[s][1] == NONE);
            if (starts && !t.seen[s] && !walk(&t, s)) return false;
        }
    return true;
}

double contour_step(double span, size_t most) {
    static const double of_ten[] = {1, 2, 2.5, 5, 10};
    double least = span / (double)most, ten = pow(10, floor(log10(least)));
    for (size_t i = 0; i < sizeof of_ten / sizeof *of_ten; i++)
        if (of_ten[i] * ten >= least * (1 - 1e-9)) return of_ten[i] * ten;
    return 10 * ten;
}

/* What a hole beside values would have: the mean of the straight lines that run into it. */
static double reach_in(const contour_grid *g, size_t i, size_t j) {
    static const int step[4][2] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
    double sum = 0, n = 0;
    for (int s = 0; s < 4; s++) {
        long nx = (long)g->nx, ny = (long)g->ny, a = (long)i + step[s][0], b = (long)j + step[s][1];
        if (a < 0 || b < 0 || a >= nx || b >= ny) continue;
        double near = g->value[a + nx * b], far = (double)NAN;
        if (!isfinite(near)) continue;
        a += step[s][0];
        b += step[s][1];
        if (a >= 0 && b >= 0 && a < nx && b < ny) far = g->value[a + nx * b];
        sum += isfinite(far) ? 2 * near - far : near;
        n++;
    }
    return sum / n; /* NAN where no neighbour has a value */
}

double *contour_fill_edge(const contour_grid *grid, arena *memory) {
    double *filled = arena_get(memory, grid->nx * grid->ny, sizeof *filled);
    for (size_t j = 0; filled && j < grid->ny; j++)
        for (size_t i = 0; i < grid->nx; i++) {
            double own = value(grid, i, j);
            filled[i + grid->nx * j] = isfinite(own) ? own : reach_in(grid, i, j);
        }
    return filled;
}
