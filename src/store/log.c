#include "store/log.h"

#include "core/json_out.h"
#include "record/chain.h"
#include "store/store_internal.h"

#include <string.h>

/* ---- one statement ---- */

typedef struct {
    store *st;
    sqlite3_stmt *s;
    int code; /* SQLITE_OK until something fails */
} asking;

static asking ask(store *st, const char *sql) {
    asking a = {.st = st};
    a.code = sqlite3_prepare_v2(st->db, sql, -1, &a.s, NULL);
    return a;
}

static void give_text(asking *a, int at, const char *value) {
    if (a->code == SQLITE_OK) a->code = sqlite3_bind_text(a->s, at, value, -1, SQLITE_STATIC);
}

static void give_whole(asking *a, int at, long long value) {
    if (a->code == SQLITE_OK) a->code = sqlite3_bind_int64(a->s, at, value);
}

/* A row is there. */
static bool next_row(asking *a) {
    if (a->code != SQLITE_OK) return false;
    int code = sqlite3_step(a->s);
    if (code != SQLITE_ROW && code != SQLITE_DONE) a->code = code;
    return code == SQLITE_ROW;
}

static bool take_text(asking *a, int column, arena *memory, const char **out) {
    *out = arena_copy(memory, (const char *)sqlite3_column_text(a->s, column));
    if (!*out) a->code = SQLITE_NOMEM;
    return *out != NULL;
}

static status end(asking *a, const char *doing, fault *why) {
    status code = a->code == SQLITE_OK ? OK : store_fault(a->st, a->code, doing, why);
    sqlite3_finalize(a->s);
    return code;
}

static status run(asking *a, fault *why) {
    next_row(a);
    return end(a, "saved", why);
}

/* "at most `most`" as SQL has it: -1 is all. */
static long long limit_of(size_t most) {
    return most > 0 ? (long long)most : -1;
}

/* ---- the log ---- */

static status insert_change(store *st, const void *data, fault *why) {
    const store_change *change = data;
    asking a = ask(st, "INSERT INTO change (at, \"by\", through, what) VALUES (?, ?, ?, ?)");
    give_text(&a, 1, change->at);
    give_text(&a, 2, change->by);
    give_text(&a, 3, change->through);
    give_text(&a, 4, change->what);
    return run(&a, why);
}

status store_log(store *st, const store_change *change, fault *why) {
    return store_transaction(st, insert_change, change, why);
}

status store_revision(store *st, long long *out, fault *why) {
    asking a = ask(st, "SELECT max(seq) FROM change"); /* NULL, read as 0, when there is none */
    *out = next_row(&a) ? sqlite3_column_int64(a.s, 0) : 0;
    return end(&a, "read", why);
}

static void take_change(asking *a, arena *memory, store_change **list, size_t *n) {
    store_change c = {.seq = sqlite3_column_int64(a->s, 0)};
    bool good = take_text(a, 1, memory, &c.at) && take_text(a, 2, memory, &c.by) &&
                take_text(a, 3, memory, &c.through) && take_text(a, 4, memory, &c.what);
    store_change *more = good ? arena_push(memory, *list, n, sizeof *more) : NULL;
    if (!more) {
        a->code = SQLITE_NOMEM;
        return;
    }
    more[*n - 1] = c;
    *list = more;
}

status store_load_log(store *st, long long before, size_t most, arena *memory, store_change **out, size_t *n,
                      fault *why) {
    *out = NULL;
    *n = 0;
    asking a = ask(st, "SELECT seq, at, \"by\", through, what FROM change"
                       " WHERE ?1 = 0 OR seq < ?1 ORDER BY seq DESC LIMIT ?2");
    give_whole(&a, 1, before);
    give_whole(&a, 2, limit_of(most));
    while (next_row(&a)) take_change(&a, memory, out, n);
    return end(&a, "read", why);
}

status store_summarise(store *st, arena *memory, store_summary *out, fault *why) {
    *out = (store_summary){0};
    asking a = ask(st, "SELECT coalesce(name, ''), units = 'us', (SELECT count(*) FROM defect),"
                       " (SELECT max(seq) FROM change) FROM site");
    if (next_row(&a) && take_text(&a, 0, memory, &out->name)) {
        out->system = sqlite3_column_int(a.s, 1) ? UNITS_US : UNITS_METRIC;
        out->leaks = (size_t)sqlite3_column_int64(a.s, 2);
        out->revision = sqlite3_column_int64(a.s, 3);
    } else if (a.code == SQLITE_OK)
        a.code = SQLITE_CORRUPT; /* a job has a site */
    return end(&a, "read", why);
}

/* ---- records ---- */

typedef struct {
    const store_record *record;
    long long *seq;
    bool *already;
} adding;

/* The record with this id, if it is there; with another body it is another record under a used id. */
static status find_record(store *st, const adding *add, fault *why) {
    asking a = ask(st, "SELECT seq, body FROM record WHERE id = ?");
    bool same = true;
    give_text(&a, 1, add->record->id);
    if (next_row(&a)) {
        const char *body = (const char *)sqlite3_column_text(a.s, 1);
        *add->already = true;
        *add->seq = sqlite3_column_int64(a.s, 0);
        same = body && strcmp(body, add->record->body) == 0;
        if (!body) a.code = SQLITE_NOMEM;
    }
    status code = end(&a, "read", why);
    if (code == OK && !same)
        code = fault_set(why, E_STATE,
                         "record %.40s: another record with this id is there already; a correction is a new "
                         "record",
                         add->record->id);
    return code;
}

static status insert_record(store *st, const void *data, fault *why) {
    const adding *add = data;
    const store_record *r = add->record;
    status code = find_record(st, add, why);
    if (code != OK || *add->already) return code;
    char hash[HASH_TEXT];
    long long seq = 0;
    code = store_chain_next(st, &seq, hash, why);
    if (code != OK) return code;
    const chain_link link = {seq, r->id, r->mark, r->body, r->received_at, r->received_by};
    asking a = ask(st, "INSERT INTO record (seq, id, mark, body, received_at, received_by, hash)"
                       " VALUES (?, ?, ?, ?, ?, ?, ?)");
    const char *const texts[] = {r->id,          r->mark,        r->body,
                                 r->received_at, r->received_by, chain_hash(hash, &link, hash)};
    give_whole(&a, 1, seq);
    for (int i = 0; i < 6; i++) give_text(&a, i + 2, texts[i]);
    code = run(&a, why);
    if (code == OK) *add->seq = seq;
    return code;
}

status store_add_record(store *st, const store_record *record, long long *seq, bool *already, fault *why) {
    const adding add = {record, seq, already};
    *seq = 0;
    *already = false;
    return store_transaction(st, insert_record, &add, why);
}

static void take_record(asking *a, arena *memory, store_record **list, size_t *n) {
    store_record r = {.seq = sqlite3_column_int64(a->s, 0)};
    bool good = take_text(a, 1, memory, &r.id) && take_text(a, 2, memory, &r.mark) &&
                take_text(a, 3, memory, &r.body) && take_text(a, 4, memory, &r.received_at) &&
                take_text(a, 5, memory, &r.received_by);
    store_record *more = good ? arena_push(memory, *list, n, sizeof *more) : NULL;
    if (!more) {
        a->code = SQLITE_NOMEM;
        return;
    }
    more[*n - 1] = r;
    *list = more;
}

status store_load_records(store *st, long long after, size_t most, arena *memory, store_record **out,
                          size_t *n, fault *why) {
    *out = NULL;
    *n = 0;
    asking a = ask(st, "SELECT seq, id, mark, body, received_at, received_by FROM record"
                       " WHERE seq > ? ORDER BY seq LIMIT ?");
    give_whole(&a, 1, after);
    give_whole(&a, 2, limit_of(most));
    while (next_row(&a)) take_record(&a, memory, out, n);
    return end(&a, "read", why);
}

/* ---- days ---- */

typedef struct {
    const char *date;
    const char *const *marks;
    size_t n;
} day_list;

static status write_day(store *st, const void *data, fault *why) {
    const day_list *day = data;
    asking empty = ask(st, "DELETE FROM day WHERE date = ?");
    give_text(&empty, 1, day->date);
    status code = run(&empty, why);
    if (code != OK) return code;
    asking a = ask(st, "INSERT INTO day (date, seq, mark) VALUES (?, ?, ?)");
    for (size_t i = 0; i < day->n && a.code == SQLITE_OK; i++) {
        give_text(&a, 1, day->date);
        give_whole(&a, 2, (long long)i);
        give_text(&a, 3, day->marks[i]);
        next_row(&a);
        if (a.code == SQLITE_OK) a.code = sqlite3_reset(a.s);
    }
    return end(&a, "saved", why);
}

status store_set_day(store *st, const char *date, const char *const marks[], size_t n, fault *why) {
    const day_list day = {date, marks, n};
    return store_transaction(st, write_day, &day, why);
}

/* One more name: a mark, or the id of a face. */
static void take_name(asking *a, arena *memory, const char ***names, size_t *n) {
    const char *name = NULL;
    const char **more = take_text(a, 0, memory, &name) ? arena_push(memory, *names, n, sizeof *more) : NULL;
    if (!more) {
        a->code = SQLITE_NOMEM;
        return;
    }
    more[*n - 1] = name;
    *names = more;
}

status store_load_day(store *st, const char *date, arena *memory, const char ***marks, size_t *n,
                      fault *why) {
    *marks = NULL;
    *n = 0;
    asking a = ask(st, "SELECT mark FROM day WHERE date = ? ORDER BY seq");
    give_text(&a, 1, date);
    while (next_row(&a)) take_name(&a, memory, marks, n);
    return end(&a, "read", why);
}

/* ---- underlays ---- */

enum { UNDERLAY_NUMBERS = 8 };

static void write_numbers(text *to, const double numbers[UNDERLAY_NUMBERS]) {
    json_out o = {.to = to};
    json_out_open(&o, NULL, '[');
    for (int i = 0; i < UNDERLAY_NUMBERS; i++) json_out_number(&o, NULL, numbers[i]);
    json_out_close(&o, ']');
}

static status write_underlay(store *st, const void *data, fault *why) {
    const store_underlay *u = data;
    text corners = {0}, onto = {0};
    write_numbers(&corners, u->corners);
    write_numbers(&onto, u->onto_m);
    status code = E_MEMORY;
    if (corners.failed || onto.failed)
        fault_memory(why);
    else {
        asking a =
            ask(st, "INSERT INTO underlay (face, file, corners, onto_m) VALUES (?, ?, ?, ?)"
                    " ON CONFLICT (face) DO UPDATE SET file = excluded.file, corners = excluded.corners,"
                    " onto_m = excluded.onto_m");
        const char *const texts[] = {u->face, u->file, corners.bytes, onto.bytes};
        for (int i = 0; i < 4; i++) give_text(&a, i + 1, texts[i]);
        code = run(&a, why);
    }
    text_free(&corners);
    text_free(&onto);
    return code;
}

status store_set_underlay(store *st, const store_underlay *underlay, fault *why) {
    return store_transaction(st, write_underlay, underlay, why);
}

static bool take_numbers(asking *a, int column, double into[UNDERLAY_NUMBERS]) {
    const char *given = (const char *)sqlite3_column_text(a->s, column);
    json_t *list = given ? json_loads(given, JSON_DECODE_ANY, NULL) : NULL;
    bool good = json_array_size(list) == UNDERLAY_NUMBERS;
    for (size_t i = 0; i < UNDERLAY_NUMBERS && good; i++) {
        good = json_is_number(json_array_get(list, i));
        into[i] = json_number_value(json_array_get(list, i));
    }
    json_decref(list);
    if (!given) a->code = SQLITE_NOMEM;
    if (given && !good) a->code = SQLITE_CORRUPT;
    return a->code == SQLITE_OK;
}

status store_load_underlay(store *st, const char *face, arena *memory, store_underlay *out, bool *found,
                           fault *why) {
    *found = false;
    *out = (store_underlay){0};
    asking a = ask(st, "SELECT face, file, corners, onto_m FROM underlay WHERE face = ?");
    give_text(&a, 1, face);
    if (next_row(&a))
        *found = take_text(&a, 0, memory, &out->face) && take_text(&a, 1, memory, &out->file) &&
                 take_numbers(&a, 2, out->corners) && take_numbers(&a, 3, out->onto_m);
    status code = end(&a, "read", why);
    if (code != OK) *out = (store_underlay){0};
    return code;
}

status store_list_underlays(store *st, arena *memory, const char ***faces, size_t *n, fault *why) {
    *faces = NULL;
    *n = 0;
    asking a = ask(st, "SELECT face FROM underlay ORDER BY face");
    while (next_row(&a)) take_name(&a, memory, faces, n);
    return end(&a, "read", why);
}
