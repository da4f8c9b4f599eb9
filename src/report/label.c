#include "report/label.h"

#include <math.h>

enum { FREE = 0, INKED = 1, LED = 2, TAKEN = 4, KEPT = 8 };
static const double INK_COST_MM = 0.6;    /* a cell of trace hidden costs as much as so much more leader */
static const double LEADER_COST_MM = 3.0; /* a leader crossed */
static const double NEAREST_MM = 2.5, FARTHEST_MM = 60, STEP_MM = 1.5, AT_ANCHOR_MM = 2.2;
enum { DIRECTIONS = 24 };

bool label_board_new(arena *memory, double width_mm, double height_mm, label_board *out) {
    *out = (label_board){NULL, (size_t)ceil(width_mm), (size_t)ceil(height_mm)};
    out->cells = arena_get(memory, out->rows, out->columns);
    return out->cells != NULL;
}

/* Cells that a box touches, held on the board; false when part of it lies outside. */
typedef struct {
    size_t left, right, bottom, top; /* right and top excluded */
} cells;

static size_t hold(double at, size_t limit) {
    return !(at > 0) ? 0 : at >= (double)limit ? limit : (size_t)at;
}

static bool cells_of(const label_board *b, sheet_box box, cells *out) {
    *out = (cells){hold(floor(box.x), b->columns), hold(ceil(box.x + box.width), b->columns),
                   hold(floor(box.y), b->rows), hold(ceil(box.y + box.height), b->rows)};
    return box.x >= 0 && box.y >= 0 && box.x + box.width <= (double)b->columns &&
           box.y + box.height <= (double)b->rows;
}

static void mark_box(label_board *board, sheet_box box, unsigned char how) {
    cells c;
    cells_of(board, box, &c);
    for (size_t y = c.bottom; y < c.top; y++)
        for (size_t x = c.left; x < c.right; x++) board->cells[y * board->columns + x] |= how;
}

void label_take(label_board *board, sheet_box box) {
    mark_box(board, box, TAKEN);
}

void label_keep(label_board *board, sheet_box box) {
    mark_box(board, box, KEPT);
}

static unsigned char *cell_at(label_board *b, double x, double y) {
    if (!(x >= 0 && y >= 0 && x < (double)b->columns && y < (double)b->rows)) return NULL;
    return &b->cells[(size_t)y * b->columns + (size_t)x];
}

static void mark_line(label_board *b, sheet_point from, sheet_point to, unsigned char how) {
    double length = hypot(to.x - from.x, to.y - from.y);
    if (!(length < 1e4)) return;
    int steps = (int)ceil(length * 2) + 1;
    for (int i = 0; i <= steps; i++) {
        double t = (double)i / steps;
        unsigned char *cell = cell_at(b, from.x + t * (to.x - from.x), from.y + t * (to.y - from.y));
        if (cell) *cell |= how;
    }
}

void label_ink(label_board *board, sheet_point from, sheet_point to) {
    mark_line(board, from, to, INKED);
}

/* Cost of hiding what lies under a box; HUGE_VAL when it may not stand there. */
static double box_cost(const label_board *b, sheet_box box) {
    cells c;
    if (!cells_of(b, box, &c)) return HUGE_VAL;
    double cost = 0;
    for (size_t y = c.bottom; y < c.top; y++) {
        for (size_t x = c.left; x < c.right; x++) {
            unsigned char cell = b->cells[y * b->columns + x];
            if (cell & (TAKEN | KEPT)) return HUGE_VAL;
            cost += (cell & INKED ? INK_COST_MM : 0) + (cell & LED ? LEADER_COST_MM : 0);
        }
    }
    return cost;
}

/* Cost of the leader: crossing another costs, crossing a label is not done. */
static double leader_cost(label_board *b, sheet_point from, sheet_point to) {
    double length = hypot(to.x - from.x, to.y - from.y), cost = length;
    int steps = (int)ceil(length * 2) + 1;
    for (int i = 0; i < steps; i++) {
        double t = (double)i / steps;
        const unsigned char *cell = cell_at(b, from.x + t * (to.x - from.x), from.y + t * (to.y - from.y));
        bool begins = t * length < AT_ANCHOR_MM; /* an edge's name may lie where the leak is */
        if (!cell || (*cell & TAKEN && !begins)) return HUGE_VAL;
        if (*cell & LED) cost += LEADER_COST_MM / 2;
    }
    return cost;
}

/* The box whose nearest edge or corner lies `reach` from the anchor in a direction, and the point where they
 * meet. */
static sheet_box box_toward(sheet_point anchor, double angle, double reach, double width, double height,
                            sheet_point *foot) {
    double dx = cos(angle), dy = sin(angle);
    *foot = (sheet_point){anchor.x + reach * dx, anchor.y + reach * dy};
    double left = dx > 0.35 ? 0 : dx < -0.35 ? width : width / 2;
    double down = dy > 0.35 ? 0 : dy < -0.35 ? height : height / 2;
    return (sheet_box){foot->x - left, foot->y - down, width, height};
}

bool label_find(label_board *board, sheet_point anchor, double width_mm, double height_mm, sheet_box *out,
                sheet_point *foot) {
    double best = HUGE_VAL;
    for (double reach = NEAREST_MM; reach <= FARTHEST_MM && reach < best; reach += STEP_MM) {
        for (int i = 0; i < DIRECTIONS; i++) {
            sheet_point end;
            /* From the upper right, where a reader looks first. */
            double angle = 0.7854 + 6.283185307179586 * i / DIRECTIONS;
            sheet_box box = box_toward(anchor, angle, reach, width_mm, height_mm, &end);
            double cost = box_cost(board, box);
            if (cost < best) cost += leader_cost(board, anchor, end);
            if (!(cost < best)) continue;
            best = cost;
            *out = box;
            *foot = end;
        }
    }
    if (!(best < HUGE_VAL)) return false;
    label_take(board, *out);
    mark_line(board, anchor, *foot, LED);
    return true;
}
