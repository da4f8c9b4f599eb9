#include "hydraulics/plugging_parts.h"

#include <math.h>
#include <stdlib.h>

static int by_start(const void *a, const void *b) {
    double x = ((const plane_stretch *)a)->from_m, y = ((const plane_stretch *)b)->from_m;
    return (x > y) - (x < y);
}

/* Take `away` out of the stretches: each is cut, shortened or parted. NULL without memory. */
static plane_stretch *less(plane_stretch *list, size_t *n, const plane_stretch *away, arena *memory) {
    for (size_t i = 0, before = *n; i < before; i++) {
        plane_stretch was = list[i];
        if (!(away->from_m < was.to_m && away->to_m > was.from_m)) continue;
        list[i].to_m = fmax(was.from_m, away->from_m);
        plane_stretch rest = {fmin(was.to_m, away->to_m), was.to_m};
        if (!(rest.to_m - rest.from_m > PLUGGING_TIE_M)) continue;
        plane_stretch *longer = arena_push(memory, list, n, sizeof *longer);
        if (!longer) return NULL;
        list = longer;
        list[*n - 1] = rest;
    }
    return list;
}

/* The slots of a panel in order, none on another, less what is sealed. An end of a slot within stays an end
 * of a segment: the depth may change there. False without memory. */
static bool open_stretches(const plane_panel *p, arena *memory, plane_stretch **out, size_t *n) {
    plane_stretch *list = NULL;
    *n = 0;
    for (size_t i = 0; i < p->slots_n; i++) {
        size_t own_n = 0;
        plane_stretch *own = arena_push(memory, NULL, &own_n, sizeof *own);
        if (!own) return false;
        own[0] = (plane_stretch){p->slots[i].from_m, p->slots[i].to_m};
        for (size_t k = 0; k < i + p->sealed_n && own; k++) {
            plane_stretch away =
                k < i ? (plane_stretch){p->slots[k].from_m, p->slots[k].to_m} : p->sealed[k - i];
            own = less(own, &own_n, &away, memory);
        }
        for (size_t k = 0; k < own_n && own; k++) {
            if (!(own[k].to_m - own[k].from_m > PLUGGING_TIE_M)) continue;
            plane_stretch *longer = arena_push(memory, list, n, sizeof *longer);
            if (!longer) return false;
            list = longer;
            list[*n - 1] = own[k];
        }
        if (!own) return false;
    }
    if (list) qsort(list, *n, sizeof *list, by_start);
    *out = list;
    return true;
}

static status too_many(fault *why, double segment_m) {
    return fault_set(
        why, E_INPUT,
        "segment_mm: is %.10g, which cuts the slots into more than %d segments; make it longer, or take "
        "fewer slots at a time",
        segment_m * 1e3, PLUGGING_SEGMENTS);
}

/* Ends of segments fall on whole micrometres, so that they print as a person would write them. */
static double place_m(const plane_stretch *open, double along_m) {
    return fmin(round((open->from_m + along_m) * 1e6) / 1e6, open->to_m);
}

/* Pieces of segment_m from the start, the last one shorter. */
static status divide(size_t panel, const plane_stretch *open, double segment_m, arena *memory,
                     plugging_cut *out, fault *why) {
    double length_m = open->to_m - open->from_m, pieces = fmax(1, ceil(length_m / segment_m - 1e-4));
    if (!(pieces + (double)out->n <= PLUGGING_SEGMENTS)) return too_many(why, segment_m);
    for (int i = 0; i < (int)pieces; i++) {
        bool first = i == 0, last = i + 1 == (int)pieces;
        plugging_segment *longer = arena_push(memory, out->segments, &out->n, sizeof *longer);
        if (!longer) return fault_memory(why);
        out->segments = longer;
        plane_interval on = {panel, first ? open->from_m : place_m(open, i * segment_m),
                             last ? open->to_m : place_m(open, (i + 1) * segment_m)};
        longer[out->n - 1] = (plugging_segment){on, out->chains - 1};
    }
    return OK;
}

status plugging_cut_make(const plane_input *plane, double segment_m, arena *memory, plugging_cut *out,
                         fault *why) {
    *out = (plugging_cut){0};
    for (size_t p = 0; p < plane->panels_n; p++) {
        size_t n;
        plane_stretch *open;
        if (!open_stretches(&plane->panels[p], memory, &open, &n)) return fault_memory(why);
        for (size_t i = 0; i < n; i++) {
            if (i == 0 || open[i].from_m - open[i - 1].to_m > PLUGGING_TIE_M) out->chains++;
            status code = divide(p, &open[i], segment_m, memory, out, why);
            if (code != OK) return code;
        }
    }
    return OK;
}

int plugging_cut_find(const plugging_cut *cut, const plane_spot *at) {
    for (size_t i = 0; i < cut->n; i++) {
        const plane_interval *on = &cut->segments[i].on;
        if (on->panel == at->panel && at->chainage_m >= on->from_m - PLUGGING_TIE_M &&
            at->chainage_m <= on->to_m + PLUGGING_TIE_M)
            return (int)i;
    }
    return -1;
}

/* What lies on one side of a segment in its chain. */
typedef struct {
    bool relief; /* there is one on that side */
    bool any;    /* a closed segment before the relief or the end */
    bool all;    /* all of them closed */
    bool next;   /* the very next is closed */
} neighbours;

static neighbours look(const plugging_cut *cut, const int *relief_of, const bool *closed, size_t segment,
                       int step) {
    neighbours found = {.all = true};
    int at = (int)segment + step;
    for (bool first = true; at >= 0 && at < (int)cut->n; at += step, first = false) {
        if (cut->segments[at].chain != cut->segments[segment].chain) break;
        if (relief_of[at] >= 0) {
            found.relief = true;
            break;
        }
        if (first) found.next = closed[at];
        found.any |= closed[at];
        found.all &= closed[at];
    }
    return found;
}

bool plugging_cut_may_close(const plugging_cut *cut, const int *relief_of, const bool *closed,
                            size_t segment) {
    if (closed[segment]) return false;
    if (relief_of[segment] >= 0) {
        for (size_t i = 0; i < cut->n; i++)
            if (relief_of[i] < 0 && !closed[i]) return false;
        return true;
    }
    neighbours left = look(cut, relief_of, closed, segment, -1),
               right = look(cut, relief_of, closed, segment, 1);
    if (left.relief && right.relief) return left.next || right.next || (!left.any && !right.any);
    if (left.relief) return right.all;
    if (right.relief) return left.all;
    return left.all || right.all;
}
