#include "repair/steel.h"

#include "core/limits.h"

#include <math.h>
#include <stdlib.h>

const char *const steel_remedy_words[REMEDY_COUNT] = {"chipped faces", "narrower slot", "undercut slot",
                                                      "stronger plug", "injection"};

static const double PAST_END_M = 0.450;    /* a slot goes on so far past its ends (common practice) */
static const double LEAST_WIDTH_M = 0.015; /* narrowest slot that can be packed by hand, our default */
static const double MOST_FLANK_DEG = 15;   /* the mortar can still be rammed under the lip, our default */
/* Mortar that shears through at the mouth of an undercut: cohesion 0.50 x 0.382 MPa of keyed faces at f_ck 4.5 (EN 1992-1-1
 * 6.2.5 through trade page strength.md 2). */
static const double MOUTH_SHEAR_PA = 0.19e6;
/* What the mortar bears on a flank: a third of 4.5 MPa/1.5, our default. */
static const double FLANK_BEARS_PA = 1.0e6;
/* The most that a stronger plug may be asked for: rough faces at f_ck 15 (trade page strength.md 2; factor 0.40 from memory). */
static const double STRONGEST_BOND_PA = 0.34e6;
static const double DEGREE = 3.14159265358979323846 / 180;

/* Nobody cuts finer than a millimetre: never deeper, never less than wanted. */
static double whole_mm_down(double m) {
    return floor(m * 1000 + 1e-9) / 1000;
}

static bool is_barred(survey_bar bar) {
    return bar == BAR_CROSSING || bar == BAR_ALONG;
}

static maybe allowed_at(const survey_station *st) {
    if (!is_barred(st->bar) || !st->cover_m.known) return (maybe){0};
    return (maybe){true, fmax(whole_mm_down(st->cover_m.v - STEEL_CLEAR_M), 0)};
}

typedef struct {
    const leak_water *leak;
    arena *memory;
    steel_limits *out;
    fault *why;
} looking;

static bool goes_on(const steel_stretch *last, const steel_stretch *next) {
    return last->bar == next->bar && next->bar != BAR_CROSSING && last->to_m == next->from_m &&
           last->allowed_m.known == next->allowed_m.known && last->allowed_m.v == next->allowed_m.v;
}

/* Like neighbours become one stretch; a wide bar that crosses close to its neighbour is put where it begins. */
static status add(looking *l, steel_stretch next) {
    steel_limits *out = l->out;
    if (out->n > 0 && goes_on(&out->stretches[out->n - 1], &next)) {
        out->stretches[out->n - 1].to_m = next.to_m;
        return OK;
    }
    steel_stretch *list = arena_push(l->memory, out->stretches, &out->n, sizeof *list);
    if (!list) return fault_memory(l->why);
    size_t i = out->n - 1;
    for (; i > 0 && list[i - 1].from_m > next.from_m; i--) list[i] = list[i - 1];
    list[i] = next;
    out->stretches = list;
    return OK;
}

/* The stretch that station i stands for: half the way to each neighbour, the slot's end where it has none. */
static void reach(const leak_water *leak, size_t i, double *from_m, double *to_m) {
    const survey_station *st = leak->defect->stations;
    bool line = survey_is_line(leak->defect->kind);
    double past = line ? PAST_END_M : 0;
    *from_m = i > 0 ? (st[i - 1].chainage_m + st[i].chainage_m) / 2 : -past;
    *to_m = i + 1 < leak->defect->n_stations ? (st[i].chainage_m + st[i + 1].chainage_m) / 2
                                             : leak->length_m + past;
}

static double crossing_half_m(const survey_station *st) {
    return (st->bar_diameter_m.known ? st->bar_diameter_m.v : STEEL_BAR_M) / 2 + STEEL_CROSSING_PAST_M;
}

static status look_at_station(looking *l, size_t i) {
    const survey_station *st = &l->leak->defect->stations[i];
    steel_stretch next = {.bar = st->bar, .allowed_m = allowed_at(st)};
    if (st->bar == BAR_NONE) return OK;
    if (st->bar == BAR_NOT_SCANNED) l->out->all_scanned = false;
    reach(l->leak, i, &next.from_m, &next.to_m);
    if (st->bar == BAR_CROSSING) {
        next.from_m = st->chainage_m - crossing_half_m(st);
        next.to_m = st->chainage_m + crossing_half_m(st);
    }
    return add(l, next);
}

/* A piece of the wet length and how deep it may be cut; not known counts as nothing. */
typedef struct {
    double length_m, allowed_m;
    bool scanned;
} piece;

static double overlap_m(double a, double b, double from_m, double to_m) {
    return fmax(fmin(b, to_m) - fmax(a, from_m), 0);
}

static double wet_within_m(const leak_water *leak, double from_m, double to_m) {
    double sum = 0;
    if (!survey_is_line(leak->defect->kind)) return 1; /* a place is one piece, whatever its length */
    if (leak->n_wet == 0) return overlap_m(from_m, to_m, 0, leak->length_m);
    for (size_t i = 0; i < leak->n_wet; i++)
        sum += overlap_m(from_m, to_m, leak->wet[i].from_m, leak->wet[i].to_m);
    return sum;
}

static int deepest_first(const void *a, const void *b) {
    double x = ((const piece *)a)->allowed_m, y = ((const piece *)b)->allowed_m;
    return (x < y) - (x > y);
}

static size_t cut_in_pieces(const leak_water *leak, piece *pieces) {
    size_t n = 0;
    for (size_t i = 0; i < leak->defect->n_stations; i++) {
        const survey_station *st = &leak->defect->stations[i];
        double from, to, free_m = leak->thickness_m, here = free_m;
        maybe allowed = allowed_at(st);
        if (st->bar == BAR_NOT_SCANNED || is_barred(st->bar)) here = allowed.known ? allowed.v : 0;
        reach(leak, i, &from, &to);
        double wet = wet_within_m(leak, from, to), local = wet;
        if (st->bar == BAR_CROSSING && survey_is_line(leak->defect->kind))
            local = wet_within_m(leak, fmax(from, st->chainage_m - crossing_half_m(st)),
                                 fmin(to, st->chainage_m + crossing_half_m(st)));
        bool scanned = st->bar != BAR_NOT_SCANNED && (!is_barred(st->bar) || allowed.known);
        pieces[n++] = (piece){local, here, scanned};
        pieces[n++] = (piece){wet - local, free_m, true};
    }
    return n;
}

/* The depth that more than half of the wet length allows. */
static status find_usual(looking *l) {
    size_t n = l->leak->defect->n_stations;
    piece *pieces = arena_get(l->memory, 2 * n + 1, sizeof *pieces);
    if (!pieces) return fault_memory(l->why);
    n = cut_in_pieces(l->leak, pieces);
    double all = 0, deep = 0;
    for (size_t i = 0; i < n; i++) all += pieces[i].length_m;
    qsort(pieces, n, sizeof *pieces, deepest_first);
    for (size_t i = 0; i < n; i++) {
        if (pieces[i].scanned) deep += pieces[i].length_m;
        if (!(deep > all / 2)) continue;
        l->out->usual_m = (maybe){true, pieces[i].allowed_m};
        return OK;
    }
    return OK;
}

status steel_look(const leak_water *leak, arena *memory, steel_limits *out, fault *why) {
    looking l = {leak, memory, out, why};
    const survey_defect *d = leak->defect;
    *out = (steel_limits){.all_scanned = d->n_stations > 0};
    status code = OK;
    if (d->n_stations == 0) {
        double past = survey_is_line(d->kind) ? PAST_END_M : 0;
        return add(&l, (steel_stretch){.from_m = -past, .to_m = leak->length_m + past});
    }
    for (size_t i = 0; code == OK && i < d->n_stations; i++) code = look_at_station(&l, i);
    return code == OK ? find_usual(&l) : code;
}

/* What the remedies are worked out from. */
typedef struct {
    double load_pa, width_m, bond_pa, allowed_m; /* load: SF p */
} advising;

static double depth_for(const advising *x, double width_m, double bond_pa) {
    return plug_depth_m(x->load_pa, plug_area_per_perimeter_m(PLUG_SLOT, width_m, 0), bond_pa, 1);
}

static bool is_enough(const advising *x, double depth_m) {
    return depth_m <= x->allowed_m * (1 + 1e-12);
}

/* d = SF p b/(2 tau): a slot half as wide wants half the depth. A wider one wants more, so it is never offered. */
static steel_advice narrower(const advising *x) {
    double fits = x->load_pa > 0 ? 2 * x->bond_pa * x->allowed_m / x->load_pa : x->width_m;
    double width = fmin(fmax(whole_mm_down(fits), LEAST_WIDTH_M), x->width_m);
    double depth = depth_for(x, width, x->bond_pa);
    return (steel_advice){REMEDY_NARROWER, is_enough(x, depth), depth, width};
}

double steel_undercut_bond_pa(double load_pa, double bond_pa, double degrees) {
    double gain = fmax(FLANK_BEARS_PA - load_pa, 0) * tan(degrees * DEGREE);
    return fmin(bond_pa + gain, fmax(MOUTH_SHEAR_PA, bond_pa));
}

static double undercut_depth(const advising *x, double degrees) {
    return depth_for(x, x->width_m, steel_undercut_bond_pa(x->load_pa, x->bond_pa, degrees));
}

static steel_advice undercut(const advising *x) {
    double degrees = 1;
    while (degrees < MOST_FLANK_DEG && !is_enough(x, undercut_depth(x, degrees))) degrees++;
    double depth = undercut_depth(x, degrees);
    return (steel_advice){REMEDY_UNDERCUT, is_enough(x, depth), depth, degrees};
}

static steel_advice stronger(const advising *x) {
    if (!(x->allowed_m > 0)) return (steel_advice){.name = REMEDY_STRONGER};
    double bond = x->load_pa * x->width_m / (2 * x->allowed_m);
    return (steel_advice){REMEDY_STRONGER, bond <= STRONGEST_BOND_PA, x->allowed_m, bond};
}

status steel_advise(double pressure_pa, double slot_width_m, plug_faces faces, double safety_factor,
                    double allowed_m, steel_advice advice[REMEDY_COUNT], fault *why) {
    for (int i = 0; i < REMEDY_COUNT; i++) advice[i] = (steel_advice){.name = (steel_remedy)i};
    const limits_item limits[] = {
        {"pressure_pa", pressure_pa, 0, 100e6, false},
        {"slot_width_m", slot_width_m, PLUG_SMALLEST_M, PLUG_LARGEST_M, false},
        {"safety_factor", safety_factor, 1, 100, false},
        {"allowed_m", allowed_m, 0, PLUG_LARGEST_M, false},
    };
    status code = limits_check(limits, sizeof limits / sizeof *limits, why);
    if (code != OK) return code;
    advising x = {safety_factor * pressure_pa, slot_width_m, plug_bond_pa(faces), allowed_m};
    double chipped = depth_for(&x, slot_width_m, PLUG_BOND_CHIPPED_PA);
    advice[REMEDY_CHIPPED] = (steel_advice){REMEDY_CHIPPED, is_enough(&x, chipped), chipped, 0};
    advice[REMEDY_NARROWER] = narrower(&x);
    advice[REMEDY_UNDERCUT] = undercut(&x);
    advice[REMEDY_STRONGER] = stronger(&x);
    advice[REMEDY_INJECT] = (steel_advice){REMEDY_INJECT, true, 0, 0};
    return OK;
}
