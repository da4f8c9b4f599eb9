#include "ops/try.h"

#include "ops/job.h"
#include "repair/planes.h"
#include "survey/check.h"
#include "survey/object.h"

#include <math.h>
#include <string.h>

/* ---- what is tried ---- */

static status read_defect(const ops_try_request *r, survey *s, fault_list *faults, object_any *out,
                          fault *why) {
    static const char *const known[] = {"defect"};
    json_in in = {"", faults, s->site.system, s->memory};
    json_t *root = json_in_parse(&in, r->json, r->length);
    if (root && json_in_is_object(&in, NULL, root)) {
        json_in_only(&in, NULL, root, known, 1);
        json_t *defect = json_object_get(root, "defect");
        if (!json_is_object(defect))
            json_in_fault(&in, NULL, "defect", "is missing; it must be the whole leak as in a survey");
        else
            object_read(&in, OBJECT_DEFECT, defect, out);
    }
    json_decref(root);
    return fault_list_status(faults, why);
}

/* Put it in place of the one of its mark, or at the end; its index to *at. */
static status place_defect(survey *s, const object_any *defect, size_t *at, fault *why) {
    for (*at = 0; *at < s->n_defects; (*at)++)
        if (strcmp(s->defects[*at].mark, defect->defect.mark) == 0) {
            object_put(s, OBJECT_DEFECT, *at, defect);
            return OK;
        }
    return object_append(s, OBJECT_DEFECT, defect) ? OK : fault_memory(why);
}

/* ---- who is planned with it ---- */

typedef struct {
    double u0, v0, u1, v1;
} reach;

static reach reach_of(const survey_part *part, double by_m) {
    reach r = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < part->n_points; i++) {
        const survey_point *p = &part->points[i];
        r = (reach){fmin(r.u0, p->u_m - by_m), fmin(r.v0, p->v_m - by_m), fmax(r.u1, p->u_m + by_m),
                    fmax(r.v1, p->v_m + by_m)};
    }
    return r;
}

/* May two leaks share a crack plane: does a part of one come as near a part of the other, on one face, as repair/planes.h
 * joins? By their boxes: too many rather than too few. */
static bool may_share(const survey *s, const survey_defect *a, const survey_defect *b) {
    for (size_t i = 0; i < a->n_parts; i++)
        for (size_t k = 0; k < b->n_parts; k++) {
            const survey_face *face = survey_find_face(s, a->parts[i].face);
            if (!face || strcmp(a->parts[i].face, b->parts[k].face) != 0) continue;
            reach x = reach_of(&a->parts[i], PLANES_NEAR * face->thickness_m), y = reach_of(&b->parts[k], 0);
            if (x.u0 <= y.u1 && y.u0 <= x.u1 && x.v0 <= y.v1 && y.v0 <= x.v1) return true;
        }
    return false;
}

/* Leaks reached from `at` by steps of may_share, in `taken`. */
static status find_neighbours(const survey *s, size_t at, bool *taken, fault *why) {
    size_t *open = arena_get(s->memory, s->n_defects, sizeof *open), n = 0;
    if (!open) return fault_memory(why);
    taken[at] = true;
    open[n++] = at;
    while (n > 0) {
        const survey_defect *from = &s->defects[open[--n]];
        for (size_t i = 0; i < s->n_defects; i++) {
            if (taken[i] || !may_share(s, from, &s->defects[i])) continue;
            taken[i] = true;
            open[n++] = i;
        }
    }
    return OK;
}

/* Answers about leaks that stay, and about the site. */
static status keep_answers(const survey *s, survey *part, fault *why) {
    part->n_answers = 0;
    part->answers = arena_get(s->memory, s->n_answers, sizeof *s->answers);
    if (!part->answers) return fault_memory(why);
    for (size_t i = 0; i < s->n_answers; i++) {
        const char *mark = s->answers[i].mark;
        if (strcmp(mark, "site") == 0 || survey_find_defect(part, mark))
            part->answers[part->n_answers++] = s->answers[i];
    }
    return OK;
}

/* A survey of those alone: a copy of the frame in the arena of the whole, which must outlive it. */
static status cut_down(survey *s, size_t at, survey **out, fault *why) {
    bool *taken = arena_get(s->memory, s->n_defects, sizeof *taken);
    *out = arena_get(s->memory, 1, sizeof **out);
    if (!taken || !*out) return fault_memory(why);
    status code = find_neighbours(s, at, taken, why);
    if (code != OK) return code;
    **out = *s;
    (*out)->n_defects = 0;
    (*out)->defects = arena_get(s->memory, s->n_defects, sizeof *s->defects);
    if (!(*out)->defects) return fault_memory(why);
    for (size_t i = 0; i < s->n_defects; i++)
        if (taken[i]) (*out)->defects[(*out)->n_defects++] = s->defects[i];
    return keep_answers(s, *out, why);
}

/* ---- */

static status try_it(const ops_try_request *request, ops_job *out, fault_list *faults, fault *why) {
    object_any defect = {0};
    survey *part = NULL;
    size_t at = 0;
    status code = read_defect(request, out->survey, faults, &defect, why);
    if (code == OK) code = place_defect(out->survey, &defect, &at, why);
    if (code == OK) code = cut_down(out->survey, at, &part, why);
    if (code == OK && !survey_check(part, faults)) code = fault_list_status(faults, why);
    if (code == OK)
        code = plan_make(part,
                         &(plan_options){.planes = PLANES_STEADY, .threads = 1, .only = defect.defect.mark},
                         &out->plan, why);
    return code;
}

status ops_try(const char *path, const ops_try_request *request, ops_job *out, fault_list *faults,
               fault *why) {
    store *from = NULL;
    *out = (ops_job){0};
    status code = store_open(path, true, &from, why);
    if (code == OK) code = job_load(from, &out->survey, why);
    store_close(from);
    if (code == OK) code = try_it(request, out, faults, why);
    if (code != OK) ops_job_free(out);
    return code;
}
