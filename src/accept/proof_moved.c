#include "accept/proof_parts.h"
#include "survey/names.h"

#include <math.h>
#include <string.h>

#define FOLD_STEP_M 0.1 /* our default: the distance is wanted to a tenth of PROOF_NEAR_M */
enum { FOLD_STEPS_MOST = 1000 };

/* ---- how far apart ---- */

static double dot(survey_point a, survey_point b) {
    return a.u_m * b.u_m + a.v_m * b.v_m;
}

static survey_point minus(survey_point a, survey_point b) {
    return (survey_point){a.u_m - b.u_m, a.v_m - b.v_m};
}

static survey_point between(survey_point a, survey_point b, double part) {
    return (survey_point){a.u_m + part * (b.u_m - a.u_m), a.v_m + part * (b.v_m - a.v_m)};
}

static double to_segment(survey_point from, survey_point a, survey_point b) {
    survey_point along = minus(b, a);
    double length2 = dot(along, along);
    double part = length2 > 0 ? dot(minus(from, a), along) / length2 : 0;
    survey_point off = minus(from, between(a, b, fmin(1, fmax(0, part))));
    return sqrt(dot(off, off));
}

static double to_part(survey_point from, const survey_part *part) {
    double least = part->n_points == 1 ? to_segment(from, part->points[0], part->points[0]) : HUGE_VAL;
    for (size_t i = 0; i + 1 < part->n_points; i++)
        least = fmin(least, to_segment(from, part->points[i], part->points[i + 1]));
    return least;
}

/* Whether p and q lie on different sides of a-b. */
static bool parts_them(survey_point a, survey_point b, survey_point p, survey_point q) {
    survey_point along = minus(b, a), to_p = minus(p, a), to_q = minus(q, a);
    double side_p = along.u_m * to_p.v_m - along.v_m * to_p.u_m;
    double side_q = along.u_m * to_q.v_m - along.v_m * to_q.u_m;
    return (side_p < 0 && side_q > 0) || (side_p > 0 && side_q < 0);
}

static bool cross(const survey_part *a, const survey_part *b) {
    for (size_t i = 0; i + 1 < a->n_points; i++)
        for (size_t k = 0; k + 1 < b->n_points; k++)
            if (parts_them(a->points[i], a->points[i + 1], b->points[k], b->points[k + 1]) &&
                parts_them(b->points[k], b->points[k + 1], a->points[i], a->points[i + 1]))
                return true;
    return false;
}

/* Of two lines that do not cross the least distance is at an end or a corner of one. */
static double on_face(const survey_part *a, const survey_part *b) {
    double least = cross(a, b) ? 0 : HUGE_VAL;
    for (size_t i = 0; i < a->n_points; i++) least = fmin(least, to_part(a->points[i], b));
    for (size_t i = 0; i < b->n_points; i++) least = fmin(least, to_part(b->points[i], a));
    return least;
}

/* To a point of the fold on one face, and on from there on the other. */
static double over_fold(const survey_fold *f, const survey_part *a, const survey_part *b) {
    survey_point along = minus(f->a[1], f->a[0]);
    double least = HUGE_VAL, steps = ceil(sqrt(dot(along, along)) / FOLD_STEP_M);
    int n = steps < FOLD_STEPS_MOST ? (int)steps : FOLD_STEPS_MOST;
    for (int i = 0; i <= n; i++) {
        double part = n > 0 ? (double)i / n : 0;
        least = fmin(least, to_part(between(f->a[0], f->a[1], part), a) +
                                to_part(between(f->b[0], f->b[1], part), b));
    }
    return least;
}

static double of_parts(const survey *s, const survey_part *a, const survey_part *b) {
    double least = strcmp(a->face, b->face) == 0 ? on_face(a, b) : HUGE_VAL;
    for (size_t i = 0; i < s->n_folds; i++) {
        const survey_fold *f = &s->folds[i];
        if (strcmp(f->face_a, a->face) == 0 && strcmp(f->face_b, b->face) == 0)
            least = fmin(least, over_fold(f, a, b));
        if (strcmp(f->face_a, b->face) == 0 && strcmp(f->face_b, a->face) == 0)
            least = fmin(least, over_fold(f, b, a));
    }
    return least;
}

double proof_distance_m(const survey *s, const survey_defect *a, const survey_defect *b) {
    double least = HUGE_VAL;
    for (size_t i = 0; i < a->n_parts; i++)
        for (size_t k = 0; k < b->n_parts; k++) least = fmin(least, of_parts(s, &a->parts[i], &b->parts[k]));
    return least;
}

/* ---- which repair sent the water here ---- */

/* The nearest leak on which something had been placed by the day this one was found; n_leaks: none near enough. Dates are
 * all in one form: their order is that of the texts. */
static size_t nearest_repair(const proving *m, size_t found) {
    const survey_defect *d = m->p->leaks[found].defect;
    size_t best = m->p->n_leaks;
    double best_m = PROOF_NEAR_M;
    for (size_t i = 0; i < m->p->n_leaks; i++) {
        const char *placed_on = m->leaks[i].placed_on;
        if (i == found || !placed_on || strcmp(d->found_on, placed_on) < 0) continue;
        double far_m = proof_distance_m(m->p->survey, d, m->p->leaks[i].defect);
        if (!(far_m <= best_m) || (far_m == best_m && best < m->p->n_leaks)) continue;
        best = i;
        best_m = far_m;
    }
    return best;
}

static bool tie(const proving *m, size_t from, size_t to) {
    proof_leak *repair = &m->leaks[from];
    const char **list = arena_push(m->memory, repair->moved_to, &repair->n_moved_to, sizeof *list);
    if (!list) return false;
    repair->moved_to = list;
    list[repair->n_moved_to - 1] = m->leaks[to].mark;
    return true;
}

status proof_find_moved(const proving *m, fault *why) {
    names *marks = names_new();
    bool good = marks != NULL;
    for (size_t i = 0; good && i < m->p->n_leaks; i++) good = names_put(marks, m->leaks[i].mark, i);
    for (size_t i = 0; good && i < m->p->n_leaks; i++) {
        const survey_defect *d = m->p->leaks[i].defect;
        size_t from = m->p->n_leaks;
        if (d->moved_from)
            from = names_find(marks, d->moved_from);
        else if (d->found_on)
            from = nearest_repair(m, i);
        m->leaks[i].moved_from = d->moved_from;
        if (from >= m->p->n_leaks) continue; /* none, or a mark that is not in the job */
        m->leaks[i].moved_from = m->leaks[from].mark;
        m->leaks[i].moved_is_hint = d->moved_from == NULL;
        good = tie(m, from, i);
    }
    names_free(marks);
    return good ? OK : fault_memory(why);
}
