#include "survey/check.h"

#include "survey/checker.h"
#include "survey/trace.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

void checker_tell(checker *c, const char *origin, const char *format, ...) {
    char sentence[500];
    va_list args;
    va_start(args, format);
    vsnprintf(sentence, sizeof sentence, format, args);
    va_end(args);
    fault_list_add(c->faults, "%s%s%s", origin ? origin : "", origin ? ": " : "", sentence);
}

size_t checker_face(checker *c, const char *origin, const char *what, const char *id) {
    size_t at = id ? names_find(c->faces, id) : NAMES_NONE;
    if (at == NAMES_NONE)
        checker_tell(c, origin, "%s names the face \"%s\", which is not in the job", what, id ? id : "");
    return at;
}

char *checker_length(const checker *c, double m, char into[UNITS_SHOWN]) {
    return units_show(UNITS_LENGTH, c->s->site.system, m, 3, into);
}

char *checker_size(const checker *c, double m, char into[UNITS_SHOWN]) {
    return units_show(UNITS_SIZE, c->s->site.system, m, c->s->site.system == UNITS_US ? 2 : 1, into);
}

static double segment_distance_m(survey_point a, survey_point b, survey_point p) {
    double du = b.u_m - a.u_m, dv = b.v_m - a.v_m, square = du * du + dv * dv;
    double t = square > 0 ? ((p.u_m - a.u_m) * du + (p.v_m - a.v_m) * dv) / square : 0;
    t = fmin(fmax(t, 0), 1);
    return hypot(a.u_m + t * du - p.u_m, a.v_m + t * dv - p.v_m);
}

double checker_ring_distance_m(face_run ring, survey_point p) {
    double nearest = HUGE_VAL;
    for (size_t i = 0; i < ring.n; i++)
        nearest = fmin(nearest, segment_distance_m(ring.points[i], ring.points[(i + 1) % ring.n], p));
    return nearest;
}

/* Only levels that were given can contradict each other; the design level is else the full retained height.
 */
static void check_levels(checker *c, const char *origin, const char *of, const survey_level *today,
                         const survey_level *design) {
    char low[UNITS_SHOWN], high[UNITS_SHOWN];
    if (!today->level_m.known || !design->level_m.known || design->level_m.v >= today->level_m.v) return;
    checker_tell(c, origin, "%s: the design water level %s lies below today's %s; it must be at least that",
                 of, checker_length(c, design->level_m.v, low), checker_length(c, today->level_m.v, high));
}

static void check_site(checker *c) {
    const survey_site *site = &c->s->site;
    double lowest_m = HUGE_VAL;
    char top[UNITS_SHOWN], low[UNITS_SHOWN];
    check_levels(c, NULL, "site", &site->today, &site->design);
    checker_weather(c);
    checker_work(c);
    for (size_t i = 0; i < c->s->n_faces; i++) {
        const survey_face *f = &c->s->faces[i];
        for (size_t k = 0; k < f->outline.n_points; k++)
            lowest_m = fmin(lowest_m, survey_elevation_m(f, f->outline.points[k]));
    }
    if (site->retained_top_m.known && isfinite(lowest_m) && !(site->retained_top_m.v >= lowest_m))
        checker_tell(c, NULL, "site: the retained top %s lies below the lowest point of all faces, %s",
                     checker_length(c, site->retained_top_m.v, top), checker_length(c, lowest_m, low));
}

static bool make_shape(checker *c, const survey_face *f, face_shape *out) {
    face_run *openings = arena_get(c->scratch, f->n_openings, sizeof *openings);
    if (!openings) return false;
    for (size_t i = 0; i < f->n_openings; i++)
        openings[i] = (face_run){f->openings[i].points, f->openings[i].n_points};
    *out = (face_shape){f->id, {f->outline.points, f->outline.n_points}, openings, f->n_openings};
    return true;
}

static void check_face(checker *c, size_t at) {
    const survey_face *f = &c->s->faces[at];
    fault why = {OK, ""};
    char of[80];
    if (!make_shape(c, f, &c->shapes[at])) {
        fault_list_memory(c->faults);
        return;
    }
    status code = face_check(&c->shapes[at], &why);
    if (code == E_MEMORY)
        fault_list_memory(c->faults);
    else if (code != OK)
        checker_tell(c, f->origin, "%s", why.text);
    c->sound[at] = code == OK;
    if (f->turn.known && f->turn.v != floor(f->turn.v))
        checker_tell(c, f->origin, "face %.60s: turn is %g; it must be a whole number", f->id, f->turn.v);
    const survey_level *today = f->today.level_m.known ? &f->today : &c->s->site.today;
    const survey_level *design = f->design.level_m.known ? &f->design : &c->s->site.design;
    snprintf(of, sizeof of, "face %.60s", f->id);
    if (today == &f->today || design == &f->design) check_levels(c, f->origin, of, today, design);
}

static double edge_length_m(const survey_point e[2]) {
    return hypot(e[1].u_m - e[0].u_m, e[1].v_m - e[0].v_m);
}

static void check_edge(checker *c, const survey_fold *f, const char *face, const survey_point edge[2]) {
    char far[UNITS_SHOWN];
    size_t at = checker_face(c, f->origin, "the fold", face);
    if (at == NAMES_NONE) return;
    for (int i = 0; i < 2; i++) {
        double off_m = checker_ring_distance_m(c->shapes[at].outline, edge[i]);
        if (!(off_m <= CHECK_FOLD_M))
            checker_tell(c, f->origin,
                         "end %d of the fold lies %s off the outline of face %s; at most 1 mm (0.04 in)",
                         i + 1, checker_size(c, off_m, far), face);
    }
}

static void check_fold(checker *c, const survey_fold *f) {
    char a[UNITS_SHOWN], b[UNITS_SHOWN];
    double length_a_m = edge_length_m(f->a), length_b_m = edge_length_m(f->b);
    check_edge(c, f, f->face_a, f->a);
    check_edge(c, f, f->face_b, f->b);
    if (f->face_a && f->face_b && strcmp(f->face_a, f->face_b) == 0)
        checker_tell(c, f->origin, "the fold joins face %s to itself", f->face_a);
    if (!(length_a_m > 0) || !(length_b_m > 0))
        checker_tell(c, f->origin, "an edge of the fold %s-%s has no length", f->face_a, f->face_b);
    else if (!(fabs(length_a_m - length_b_m) <= CHECK_FOLD_M))
        checker_tell(
            c, f->origin, "the edges of the fold %s-%s are %s and %s long; they may differ by 1 mm (0.04 in)",
            f->face_a, f->face_b, checker_length(c, length_a_m, a), checker_length(c, length_b_m, b));
}

static void check_packs(checker *c, const survey_material *m, bool powder) {
    for (size_t i = 0; i < m->n_packs; i++) {
        const survey_pack *p = &m->packs[i];
        bool mass = p->size_kg > 0, volume = p->size_m3.known && p->size_m3.v > 0;
        if (mass == volume)
            checker_tell(c, m->origin,
                         "material %s: pack %zu must have one size, by mass or by volume, above 0", m->id,
                         i + 1);
        else if (powder && volume)
            checker_tell(c, m->origin, "material %s: pack %zu is sized by volume; a powder is sold by mass",
                         m->id, i + 1);
        else if (!powder && mass && !m->density_kg_m3.known)
            checker_tell(c, m->origin, "material %s: pack %zu is sized by mass, so the density must be given",
                         m->id, i + 1);
        if (!(p->price >= 0))
            checker_tell(c, m->origin, "material %s: the price of pack %zu is negative", m->id, i + 1);
    }
}

static void check_material(checker *c, const survey_material *m) {
    const bool powder = m->role == ROLE_PLUG || m->role == ROLE_SLURRY || m->role == ROLE_PACK;
    const struct {
        const char *name;
        bool needed;
        maybe value;
    } members[] = {
        {"bulk", powder, m->bulk_kg_m3},           {"particle", powder, m->particle_kg_m3},
        {"parts_powder", powder, m->parts_powder}, {"parts_water", powder, m->parts_water},
        {"pot_life", powder, m->pot_life_s},       {"coverage", m->role == ROLE_SLURRY, m->coverage_kg_m2},
    };
    for (size_t i = 0; i < sizeof members / sizeof *members; i++)
        if (members[i].needed && !members[i].value.known)
            checker_tell(c, m->origin, "material %s: %s is missing; a %s needs it", m->id, members[i].name,
                         survey_role_words[m->role]);
    if (m->bulk_kg_m3.known && m->particle_kg_m3.known && !(m->particle_kg_m3.v > m->bulk_kg_m3.v))
        checker_tell(c, m->origin, "material %s: the particle density must be above the bulk density", m->id);
    if (m->lowest_c.known && m->highest_c.known && !(m->highest_c.v > m->lowest_c.v))
        checker_tell(c, m->origin, "material %s: highest temperature must be above lowest", m->id);
    if (m->role != ROLE_RESIN && m->resin != RESIN_NONE)
        checker_tell(c, m->origin, "material %s: resin is %s, but its role is %s; only a resin has a family",
                     m->id, survey_resin_words[m->resin], survey_role_words[m->role]);
    if (m->role != ROLE_SEALANT && m->movement_percent.known)
        checker_tell(c, m->origin,
                     "material %s: has movement_percent, but its role is %s; only a sealant moves", m->id,
                     survey_role_words[m->role]);
    check_packs(c, m, powder);
}

/* Names that stand twice. `name_at` is where the text lies in an element. */
static void check_twice(checker *c, const char *what, const void *array, size_t n, size_t size,
                        size_t name_at) {
    names *seen = names_new();
    for (size_t i = 0; i < n && seen; i++) {
        const char *name;
        memcpy(&name, (const char *)array + i * size + name_at, sizeof name);
        if (!name || !*name)
            checker_tell(c, NULL, "%s %zu has no name", what, i + 1);
        else if (names_find(seen, name) != NAMES_NONE)
            checker_tell(c, NULL, "%s \"%s\" stands twice", what, name);
        else if (!names_put(seen, name, i))
            fault_list_memory(c->faults);
    }
    if (!seen) fault_list_memory(c->faults);
    names_free(seen);
}

static void check_names(checker *c) {
    const survey *s = c->s;
    check_twice(c, "face", s->faces, s->n_faces, sizeof *s->faces, offsetof(survey_face, id));
    check_twice(c, "defect", s->defects, s->n_defects, sizeof *s->defects, offsetof(survey_defect, mark));
    check_twice(c, "material", s->materials, s->n_materials, sizeof *s->materials,
                offsetof(survey_material, id));
    check_twice(c, "rate", s->rates, s->n_rates, sizeof *s->rates, offsetof(survey_rate, id));
    check_twice(c, "price", s->prices, s->n_prices, sizeof *s->prices, offsetof(survey_price, id));
    check_twice(c, "tank", s->tanks, s->n_tanks, sizeof *s->tanks, offsetof(survey_tank, id));
}

static void check_answer(checker *c, size_t at) {
    const survey_answer *a = &c->s->answers[at];
    if (strcmp(a->mark, "site") != 0 && !survey_find_defect(c->s, a->mark))
        checker_tell(c, NULL, "answers[%zu] names the mark \"%s\", which is not in the job", at, a->mark);
}

static bool begin(checker *c) {
    const survey *s = c->s;
    c->scratch = arena_new();
    c->faces = names_new();
    c->shapes = c->scratch ? arena_get(c->scratch, s->n_faces, sizeof *c->shapes) : NULL;
    c->sound = c->scratch ? arena_get(c->scratch, s->n_faces, sizeof *c->sound) : NULL;
    bool good = c->faces && c->shapes && c->sound;
    for (size_t i = 0; i < s->n_faces && good; i++)
        good = s->faces[i].id && names_put(c->faces, s->faces[i].id, i);
    return good;
}

bool survey_check(const survey *s, fault_list *faults) {
    checker c = {.s = s, .faults = faults};
    size_t before = fault_list_count(faults);
    if (begin(&c)) {
        check_names(&c);
        check_site(&c);
        for (size_t i = 0; i < s->n_faces; i++) check_face(&c, i);
        for (size_t i = 0; i < s->n_folds; i++) check_fold(&c, &s->folds[i]);
        for (size_t i = 0; i < s->n_defects; i++) checker_defect(&c, &s->defects[i]);
        for (size_t i = 0; i < s->n_materials; i++) check_material(&c, &s->materials[i]);
        for (size_t i = 0; i < s->n_answers; i++) check_answer(&c, i);
        for (size_t i = 0; i < s->n_defects; i++) checker_moved(&c, &s->defects[i]);
        checker_tanks(&c);
        checker_ranges(&c);
    } else
        fault_list_memory(faults);
    names_free(c.faces);
    arena_free(c.scratch);
    return fault_list_count(faults) == before;
}
