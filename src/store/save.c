/* Writing a survey: every table is emptied and filled again, children first and last. With prepared
 * statements that is quicker than finding out what differs, and leaves nothing behind by construction. */
#include "store/rows.h"
#include "store/store_internal.h"
#include "store/year.h"

typedef struct {
    store *st;
    sqlite3_stmt *insert[ROW_SHAPES];
    status code;
    fault *why;
} saving;

static bool prepare_one(saving *w, int shape) {
    text sql = {0};
    rows_insert_sql(&row_shapes[shape], &sql);
    int code =
        sql.failed ? SQLITE_NOMEM : sqlite3_prepare_v2(w->st->db, sql.bytes, -1, &w->insert[shape], NULL);
    text_free(&sql);
    if (code != SQLITE_OK) w->code = store_fault(w->st, code, "saved", w->why);
    return code == SQLITE_OK;
}

static bool empty_one(saving *w, int shape) {
    text sql = {0};
    text_print(&sql, "DELETE FROM \"%s\"", row_shapes[shape].table);
    int code = sql.failed ? SQLITE_NOMEM : sqlite3_exec(w->st->db, sql.bytes, NULL, NULL, NULL);
    text_free(&sql);
    if (code != SQLITE_OK) w->code = store_fault(w->st, code, "saved", w->why);
    return code == SQLITE_OK;
}

/* Does nothing after a fault, so that callers need not ask each time. */
static void put(saving *w, int shape, long long key0, long long key1, long long key2, const void *object) {
    const long long keys[ROW_KEYS_MOST] = {key0, key1, key2};
    if (w->code != OK) return;
    int code = rows_insert(w->insert[shape], &row_shapes[shape], keys, object);
    if (code != SQLITE_OK) w->code = store_fault(w->st, code, "saved", w->why);
}

static void put_list(saving *w, int shape, long long parent, const void *array, size_t n, size_t size) {
    for (size_t i = 0; i < n && w->code == OK; i++)
        put(w, shape, parent, (long long)i, 0, (const char *)array + i * size);
}

/* Lists whose only key is their place. */
static void put_places(saving *w, int shape, const void *array, size_t n, size_t size) {
    for (size_t i = 0; i < n && w->code == OK; i++)
        put(w, shape, (long long)i, 0, 0, (const char *)array + i * size);
}

static void put_points(saving *w, int shape, long long parent, long long run, const survey_point *points,
                       size_t n) {
    for (size_t i = 0; i < n && w->code == OK; i++) put(w, shape, parent, run, (long long)i, &points[i]);
}

static void put_face(saving *w, const survey_face *f, long long place) {
    put(w, ROW_FACE, place, 0, 0, f);
    put_points(w, ROW_FACE_POINT, place, 0, f->outline.points, f->outline.n_points);
    for (size_t i = 0; i < f->n_openings; i++)
        put_points(w, ROW_FACE_POINT, place, (long long)i + 1, f->openings[i].points,
                   f->openings[i].n_points);
}

static void put_defect(saving *w, const survey_defect *d, long long place) {
    put(w, ROW_DEFECT, place, 0, 0, d);
    for (int sign = 0; sign < SIGN_COUNT; sign++)
        if (d->signs & SIGN_BIT(sign)) put(w, ROW_SIGN, place, sign, 0, &sign);
    for (int method = 0; method < METHOD_COUNT; method++)
        if (d->excluded & METHOD_BIT(method)) put(w, ROW_EXCLUDED, place, method, 0, &method);
    for (size_t i = 0; i < d->n_parts; i++) {
        put(w, ROW_PART, place, (long long)i, 0, &d->parts[i]);
        put_points(w, ROW_PART_POINT, place, (long long)i, d->parts[i].points, d->parts[i].n_points);
    }
    put_list(w, ROW_STATION, place, d->stations, d->n_stations, sizeof *d->stations);
    put_list(w, ROW_FLOW, place, d->flows, d->n_flows, sizeof *d->flows);
    put_list(w, ROW_READING, place, d->readings, d->n_readings, sizeof *d->readings);
    put_list(w, ROW_OPEN, place, d->opens, d->n_opens, sizeof *d->opens);
    put_list(w, ROW_NOTE, place, d->notes, d->n_notes, sizeof *d->notes);
    put_list(w, ROW_PHOTO, place, d->photos, d->n_photos, sizeof *d->photos);
}

static void put_work(saving *w, const survey_work *work) {
    for (int day = 0; day < SURVEY_WEEK_DAYS; day++)
        if (work->days >> day & 1u) put(w, ROW_WORK_DAY, day, 0, 0, &day);
    put_places(w, ROW_HOLIDAY, work->holidays, work->n_holidays, sizeof *work->holidays);
    put_places(w, ROW_WORKER, work->workers, work->n_workers, sizeof *work->workers);
}

static void put_site(saving *w, const survey_site *site) {
    put(w, ROW_SITE, 1, 0, 0, site);
    for (int method = 0; method < METHOD_COUNT; method++)
        if (site->excluded & METHOD_BIT(method)) put(w, ROW_SITE_EXCLUDED, method, 0, 0, &method);
    put_places(w, ROW_AIR, site->air, site->n_air, sizeof *site->air);
    put_places(w, ROW_TYPICAL, site->typical_c, site->n_typical, sizeof *site->typical_c);
    put_work(w, &site->work);
    put_places(w, ROW_FORECAST_HOUR, site->forecast.hours, site->forecast.n, sizeof *site->forecast.hours);
}

static void put_all(saving *w, const survey *s) {
    put_site(w, &s->site);
    for (size_t i = 0; i < s->n_faces; i++) put_face(w, &s->faces[i], (long long)i);
    put_places(w, ROW_FOLD, s->folds, s->n_folds, sizeof *s->folds);
    for (size_t i = 0; i < s->n_defects && w->code == OK; i++) put_defect(w, &s->defects[i], (long long)i);
    for (size_t i = 0; i < s->n_materials; i++) {
        const survey_material *m = &s->materials[i];
        put(w, ROW_MATERIAL, (long long)i, 0, 0, m);
        put_list(w, ROW_PACK, (long long)i, m->packs, m->n_packs, sizeof *m->packs);
    }
    put_places(w, ROW_RATE, s->rates, s->n_rates, sizeof *s->rates);
    put_places(w, ROW_PRICE, s->prices, s->n_prices, sizeof *s->prices);
    put_places(w, ROW_ANSWER, s->answers, s->n_answers, sizeof *s->answers);
    put_places(w, ROW_TANK, s->tanks, s->n_tanks, sizeof *s->tanks);
}

status store_write_survey(store *st, const void *data, fault *why) {
    saving w = {.st = st, .code = OK, .why = why};
    bool good = true;
    for (int i = ROW_SHAPES; i-- > 0 && good;) good = empty_one(&w, i);
    for (int i = 0; i < ROW_SHAPES && good; i++) good = prepare_one(&w, i);
    if (good) put_all(&w, data);
    if (w.code == OK) w.code = year_save(st, data, why);
    for (int i = 0; i < ROW_SHAPES; i++) sqlite3_finalize(w.insert[i]);
    return w.code;
}

status store_save(store *st, const survey *s, fault *why) {
    return store_transaction(st, store_write_survey, s, why);
}
