#include "store/rows.h"
#include "store/store_internal.h"
#include "store/year.h"

#include <string.h>

/* Parents are read before their children, so a child finds its parent by its keys. */
typedef struct {
    store *st;
    survey *s;
    status code;
    fault *why;
} loading;

/* Room for the row with these keys in the survey; NULL when it has no place (damage) or without memory. */
typedef void *row_place(loading *l, const long long *keys);

static void lose(loading *l) {
    l->code = fault_memory(l->why);
}

static void *push(loading *l, void *list, size_t *n, size_t size) {
    void *more = arena_push(l->s->memory, list, n, size);
    if (!more) lose(l);
    return more;
}

/* Append to a list and give the new element. The macro keeps the type of the list. */
#define PUSH(l, list, n)                                                                                     \
    ((list) = push_keep((l), (list), &(n), sizeof *(list)), (l)->code == OK ? &(list)[(n)-1] : NULL)

static void *push_keep(loading *l, void *list, size_t *n, size_t size) {
    void *more = push(l, list, n, size);
    return more ? more : list;
}

static survey_defect *defect_of(loading *l, const long long *keys) {
    return keys[0] >= 0 && (size_t)keys[0] < l->s->n_defects ? &l->s->defects[keys[0]] : NULL;
}

static void *place_site(loading *l, const long long *keys) {
    (void)keys;
    return &l->s->site;
}

static void *place_air(loading *l, const long long *keys) {
    (void)keys;
    return PUSH(l, l->s->site.air, l->s->site.n_air);
}

static void *place_typical(loading *l, const long long *keys) {
    survey_site *site = &l->s->site;
    return keys[0] == (long long)site->n_typical ? PUSH(l, site->typical_c, site->n_typical) : NULL;
}

static void *place_holiday(loading *l, const long long *keys) {
    survey_work *work = &l->s->site.work;
    (void)keys;
    return PUSH(l, work->holidays, work->n_holidays);
}

static void *place_worker(loading *l, const long long *keys) {
    survey_work *work = &l->s->site.work;
    (void)keys;
    return PUSH(l, work->workers, work->n_workers);
}

static void *place_forecast_hour(loading *l, const long long *keys) {
    survey_forecast *forecast = &l->s->site.forecast;
    return keys[0] == (long long)forecast->n ? PUSH(l, forecast->hours, forecast->n) : NULL;
}

static void *place_face(loading *l, const long long *keys) {
    (void)keys;
    survey_face *f = PUSH(l, l->s->faces, l->s->n_faces);
    if (f) f->origin = "job";
    return f;
}

static void *place_face_point(loading *l, const long long *keys) {
    if (keys[0] < 0 || (size_t)keys[0] >= l->s->n_faces || keys[1] < 0) return NULL;
    survey_face *f = &l->s->faces[keys[0]];
    if (keys[1] == 0) return PUSH(l, f->outline.points, f->outline.n_points);
    if ((size_t)keys[1] == f->n_openings + 1 && !PUSH(l, f->openings, f->n_openings)) return NULL;
    if ((size_t)keys[1] != f->n_openings) return NULL;
    survey_ring *ring = &f->openings[f->n_openings - 1];
    return PUSH(l, ring->points, ring->n_points);
}

static void *place_fold(loading *l, const long long *keys) {
    (void)keys;
    survey_fold *f = PUSH(l, l->s->folds, l->s->n_folds);
    if (f) f->origin = "job";
    return f;
}

static void *place_defect(loading *l, const long long *keys) {
    (void)keys;
    survey_defect *d = PUSH(l, l->s->defects, l->s->n_defects);
    if (d) d->origin = "job";
    return d;
}

static void *place_part(loading *l, const long long *keys) {
    survey_defect *d = defect_of(l, keys);
    return d ? PUSH(l, d->parts, d->n_parts) : NULL;
}

static void *place_part_point(loading *l, const long long *keys) {
    survey_defect *d = defect_of(l, keys);
    if (!d || keys[1] < 0 || (size_t)keys[1] >= d->n_parts) return NULL;
    survey_part *p = &d->parts[keys[1]];
    return PUSH(l, p->points, p->n_points);
}

static void *place_station(loading *l, const long long *keys) {
    survey_defect *d = defect_of(l, keys);
    return d ? PUSH(l, d->stations, d->n_stations) : NULL;
}

static void *place_flow(loading *l, const long long *keys) {
    survey_defect *d = defect_of(l, keys);
    return d ? PUSH(l, d->flows, d->n_flows) : NULL;
}

static void *place_reading(loading *l, const long long *keys) {
    survey_defect *d = defect_of(l, keys);
    return d ? PUSH(l, d->readings, d->n_readings) : NULL;
}

static void *place_open(loading *l, const long long *keys) {
    survey_defect *d = defect_of(l, keys);
    return d ? PUSH(l, d->opens, d->n_opens) : NULL;
}

static void *place_note(loading *l, const long long *keys) {
    survey_defect *d = defect_of(l, keys);
    return d ? PUSH(l, d->notes, d->n_notes) : NULL;
}

static void *place_photo(loading *l, const long long *keys) {
    survey_defect *d = defect_of(l, keys);
    return d ? PUSH(l, d->photos, d->n_photos) : NULL;
}

static void *place_material(loading *l, const long long *keys) {
    (void)keys;
    survey_material *m = PUSH(l, l->s->materials, l->s->n_materials);
    if (m) m->origin = "job";
    return m;
}

static void *place_pack(loading *l, const long long *keys) {
    if (keys[0] < 0 || (size_t)keys[0] >= l->s->n_materials) return NULL;
    survey_material *m = &l->s->materials[keys[0]];
    return PUSH(l, m->packs, m->n_packs);
}

static void *place_rate(loading *l, const long long *keys) {
    (void)keys;
    return PUSH(l, l->s->rates, l->s->n_rates);
}

static void *place_price(loading *l, const long long *keys) {
    (void)keys;
    return PUSH(l, l->s->prices, l->s->n_prices);
}

static void *place_answer(loading *l, const long long *keys) {
    (void)keys;
    return PUSH(l, l->s->answers, l->s->n_answers);
}

static void *place_tank(loading *l, const long long *keys) {
    (void)keys;
    survey_tank *t = PUSH(l, l->s->tanks, l->s->n_tanks);
    if (t) t->origin = "job";
    return t;
}

/* Without a place: rows of one word, which belong to a set. */
static row_place *const places[ROW_SHAPES] = {
    [ROW_SITE] = place_site,         [ROW_AIR] = place_air,
    [ROW_TYPICAL] = place_typical,   [ROW_HOLIDAY] = place_holiday,
    [ROW_WORKER] = place_worker,     [ROW_FORECAST_HOUR] = place_forecast_hour,
    [ROW_FACE] = place_face,         [ROW_FACE_POINT] = place_face_point,
    [ROW_FOLD] = place_fold,         [ROW_DEFECT] = place_defect,
    [ROW_PART] = place_part,         [ROW_PART_POINT] = place_part_point,
    [ROW_STATION] = place_station,   [ROW_FLOW] = place_flow,
    [ROW_READING] = place_reading,   [ROW_OPEN] = place_open,
    [ROW_NOTE] = place_note,         [ROW_PHOTO] = place_photo,
    [ROW_MATERIAL] = place_material, [ROW_PACK] = place_pack,
    [ROW_RATE] = place_rate,         [ROW_PRICE] = place_price,
    [ROW_ANSWER] = place_answer,     [ROW_TANK] = place_tank,
};

static void fault_damage(loading *l, int shape) {
    l->code = fault_set(l->why, E_FORMAT,
                        "%s: is damaged: a row of the table %s does not fit; restore it from a copy",
                        l->st->path, row_shapes[shape].table);
}

/* The set that a row of a word belongs to; NULL where the row has no place. */
static unsigned *set_of(loading *l, int shape, const long long *keys) {
    if (shape == ROW_SITE_EXCLUDED) return &l->s->site.excluded;
    if (shape == ROW_WORK_DAY) return &l->s->site.work.days;
    survey_defect *d = defect_of(l, keys);
    return !d ? NULL : shape == ROW_SIGN ? &d->signs : &d->excluded;
}

static void take_row(loading *l, int shape, sqlite3_stmt *row) {
    long long keys[ROW_KEYS_MOST] = {0};
    int word = 0;
    unsigned *set = NULL;
    void *into;
    for (int i = 0; i < row_shapes[shape].n_keys; i++) keys[i] = sqlite3_column_int64(row, i);
    if (places[shape])
        into = places[shape](l, keys);
    else {
        set = set_of(l, shape, keys);
        into = set ? &word : NULL;
    }
    if (l->code != OK) return;
    status read = into ? rows_read(row, &row_shapes[shape], l->s->memory, into) : E_FORMAT;
    if (read == E_MEMORY)
        lose(l);
    else if (read != OK)
        fault_damage(l, shape);
    else if (set)
        *set |= 1u << word;
}

static void load_table(loading *l, int shape) {
    text sql = {0};
    sqlite3_stmt *rows = NULL;
    rows_select_sql(&row_shapes[shape], &sql);
    int code = sql.failed ? SQLITE_NOMEM : sqlite3_prepare_v2(l->st->db, sql.bytes, -1, &rows, NULL);
    while (code == SQLITE_OK || code == SQLITE_ROW) {
        code = sqlite3_step(rows);
        if (code != SQLITE_ROW) break;
        take_row(l, shape, rows);
        if (l->code != OK) break;
    }
    if (l->code == OK && code != SQLITE_DONE) l->code = store_fault(l->st, code, "read", l->why);
    sqlite3_finalize(rows);
    text_free(&sql);
}

/* One read transaction (or the one that is open), so that what is loaded was one state of the job even while
 * another process saves. */
status store_load(store *st, survey **out, fault *why) {
    *out = NULL;
    loading l = {.st = st, .s = survey_new(), .code = OK, .why = why};
    if (!l.s) return fault_memory(why);
    bool joins = store_in_transaction(st);
    if (!joins) l.code = store_exec(st, "BEGIN", "read", why);
    for (int i = 0; i < ROW_SHAPES && l.code == OK; i++) load_table(&l, i);
    if (l.code == OK) l.code = year_load(st, l.s, why);
    if (!joins && store_in_transaction(st)) sqlite3_exec(st->db, "ROLLBACK", NULL, NULL, NULL);
    if (l.code == OK) {
        *out = l.s;
        return OK;
    }
    survey_free(l.s);
    return l.code;
}
