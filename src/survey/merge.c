#include "survey/merge.h"

#include "survey/fields.h"

#include <string.h>

static bool remember(merger *m, int list, const char *name, size_t at) {
    return name && names_put(m->before[list], name, at);
}

static bool remember_all(merger *m) {
    const survey *s = m->into;
    bool good = true;
    for (size_t i = 0; i < s->n_faces && good; i++) good = remember(m, MERGE_FACES, s->faces[i].id, i);
    for (size_t i = 0; i < s->n_defects && good; i++)
        good = remember(m, MERGE_DEFECTS, s->defects[i].mark, i);
    for (size_t i = 0; i < s->n_materials && good; i++)
        good = remember(m, MERGE_MATERIALS, s->materials[i].id, i);
    for (size_t i = 0; i < s->n_rates && good; i++) good = remember(m, MERGE_RATES, s->rates[i].id, i);
    for (size_t i = 0; i < s->n_prices && good; i++) good = remember(m, MERGE_PRICES, s->prices[i].id, i);
    for (size_t i = 0; i < s->n_tanks && good; i++) good = remember(m, MERGE_TANKS, s->tanks[i].id, i);
    return good;
}

bool merge_begin(merger *m, survey *into, json_in *in) {
    *m = (merger){.into = into, .in = in};
    bool good = true;
    for (int i = 0; i < MERGE_LISTS; i++) {
        m->before[i] = names_new();
        m->here[i] = names_new();
        good = good && m->before[i] && m->here[i];
    }
    if (good && remember_all(m)) return true;
    fault_list_memory(in->faults);
    return false;
}

void merge_end(merger *m) {
    for (int i = 0; i < MERGE_LISTS; i++) {
        names_free(m->before[i]);
        names_free(m->here[i]);
    }
}

const char *merge_origin(json_in *in, const json_path *at) {
    char path[200];
    json_in_path(at, NULL, path, sizeof path);
    const char *origin =
        arena_print(in->memory, "%s%s%s", in->source, *in->source && *path ? ": " : "", path);
    if (!origin) fault_list_memory(in->faults);
    return origin;
}

/* Where an object of this name goes: *where below `n` replaces, equal to `n` appends. */
static bool find_place(merger *m, int list, const json_path *at, const char *name, size_t n, size_t *where) {
    if (names_find(m->here[list], name) != NAMES_NONE) {
        json_in_fault(m->in, at, NULL, "\"%s\" stands twice in this file", name);
        return false;
    }
    *where = names_find(m->before[list], name);
    if (*where == NAMES_NONE) *where = n;
    if (names_put(m->here[list], name, *where) && names_put(m->before[list], name, *where)) return true;
    fault_list_memory(m->in->faults);
    return false;
}

/* The array with room at `where`, or NULL with the loss noted. */
static void *make_room(merger *m, void *array, size_t *n, size_t where, size_t size) {
    void *same = array;
    if (where == *n) same = arena_push(m->into->memory, array, n, size);
    if (!same) fault_list_memory(m->in->faults);
    return same;
}

void merge_face(merger *m, const json_path *at, survey_face *object) {
    size_t where;
    survey *s = m->into;
    if (!find_place(m, MERGE_FACES, at, object->id, s->n_faces, &where)) return;
    survey_face *faces = make_room(m, s->faces, &s->n_faces, where, sizeof *faces);
    if (!faces) return;
    if (!object->origin) object->origin = merge_origin(m->in, at);
    s->faces = faces;
    faces[where] = *object;
}

void merge_defect(merger *m, const json_path *at, survey_defect *object) {
    size_t where;
    survey *s = m->into;
    if (!find_place(m, MERGE_DEFECTS, at, object->mark, s->n_defects, &where)) return;
    survey_defect *defects = make_room(m, s->defects, &s->n_defects, where, sizeof *defects);
    if (!defects) return;
    if (!object->origin) object->origin = merge_origin(m->in, at);
    s->defects = defects;
    defects[where] = *object;
}

void merge_material(merger *m, const json_path *at, survey_material *object) {
    size_t where;
    survey *s = m->into;
    if (!find_place(m, MERGE_MATERIALS, at, object->id, s->n_materials, &where)) return;
    survey_material *materials = make_room(m, s->materials, &s->n_materials, where, sizeof *materials);
    if (!materials) return;
    object->origin = merge_origin(m->in, at);
    s->materials = materials;
    materials[where] = *object;
}

typedef struct {
    double value;
    maybe *low, *high;
} ranged;

/* A new value without a range: the one that it had moves along in proportion, so that a price changed is a price with a risk still. */
static void move_range(ranged from, ranged to) {
    if (to.low->known || to.high->known || !from.low->known || !from.high->known || !(from.value > 0)) return;
    bool same = from.value == to.value; /* to the last bit */
    *to.low = (maybe){true, same ? from.low->v : from.low->v / from.value * to.value};
    *to.high = (maybe){true, same ? from.high->v : from.high->v / from.value * to.value};
}

/* What a new value is of, where it does not say so itself: as it was. */
static void keep_words(const char *const was[2], const char **label, const char **unit) {
    if (!*label) *label = was[0];
    if (!*unit) *unit = was[1];
}

/* A price that a file brings is the firm's own: the shipped label without its "(invented)". */
static const char *own_label(merger *m, const char *shipped) {
    static const char mark[] = " (invented)";
    const char *ending = shipped ? strstr(shipped, mark) : NULL;
    if (!ending || ending[sizeof mark - 1]) return shipped;
    const char *own = arena_print(m->into->memory, "%.*s", (int)(ending - shipped), shipped);
    if (!own) fault_list_memory(m->in->faults);
    return own;
}

void merge_rate(merger *m, const json_path *at, survey_rate *object) {
    size_t where;
    survey *s = m->into;
    if (!find_place(m, MERGE_RATES, at, object->id, s->n_rates, &where)) return;
    survey_rate *rates = make_room(m, s->rates, &s->n_rates, where, sizeof *rates);
    if (!rates) return;
    survey_rate *at_place = &rates[where];
    move_range((ranged){at_place->value, &at_place->low, &at_place->high},
               (ranged){object->value, &object->low, &object->high});
    keep_words((const char *[]){at_place->label, at_place->unit}, &object->label, &object->unit);
    s->rates = rates;
    *at_place = *object;
}

void merge_price(merger *m, const json_path *at, survey_price *object) {
    size_t where;
    survey *s = m->into;
    if (!find_place(m, MERGE_PRICES, at, object->id, s->n_prices, &where)) return;
    survey_price *prices = make_room(m, s->prices, &s->n_prices, where, sizeof *prices);
    if (!prices) return;
    survey_price *at_place = &prices[where];
    move_range((ranged){at_place->price, &at_place->low, &at_place->high},
               (ranged){object->price, &object->low, &object->high});
    if (!object->label) object->label = own_label(m, at_place->label);
    keep_words((const char *[]){NULL, at_place->unit}, &object->label, &object->unit);
    s->prices = prices;
    *at_place = *object;
}

void merge_tank(merger *m, const json_path *at, survey_tank *object) {
    size_t where;
    survey *s = m->into;
    if (!find_place(m, MERGE_TANKS, at, object->id, s->n_tanks, &where)) return;
    survey_tank *tanks = make_room(m, s->tanks, &s->n_tanks, where, sizeof *tanks);
    if (!tanks) return;
    object->origin = merge_origin(m->in, at);
    s->tanks = tanks;
    tanks[where] = *object;
}

static bool same_point(survey_point a, survey_point b) {
    return a.u_m == b.u_m && a.v_m == b.v_m;
}

static bool same_fold(const survey_fold *x, const survey_fold *y) {
    return survey_text_equal(x->face_a, y->face_a) && survey_text_equal(x->face_b, y->face_b) &&
           same_point(x->a[0], y->a[0]) && same_point(x->a[1], y->a[1]) && same_point(x->b[0], y->b[0]) &&
           same_point(x->b[1], y->b[1]);
}

void merge_fold(merger *m, const json_path *at, survey_fold *object) {
    survey *s = m->into;
    for (size_t i = 0; i < s->n_folds; i++)
        if (same_fold(&s->folds[i], object)) return;
    survey_fold *folds = make_room(m, s->folds, &s->n_folds, s->n_folds, sizeof *folds);
    if (!folds) return;
    object->origin = merge_origin(m->in, at);
    s->folds = folds;
    folds[s->n_folds - 1] = *object;
}

void merge_answer(merger *m, survey_answer *object) {
    survey *s = m->into;
    for (size_t i = 0; i < s->n_answers; i++)
        if (survey_fields_equal(survey_answer_fields, &s->answers[i], object)) return;
    survey_answer *answers = make_room(m, s->answers, &s->n_answers, s->n_answers, sizeof *answers);
    if (!answers) return;
    s->answers = answers;
    answers[s->n_answers - 1] = *object;
}
