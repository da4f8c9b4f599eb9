/* Readings of a tank from CSV, kept as records. */
#include "ops/proof.h"

#include "core/date.h"
#include "ops/job.h"
#include "ops/wall.h"
#include "survey/flat_csv.h"
#include "survey/names.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Every import writes into the one job file and reads it first, so that all are one device; not that of `stanch record`. */
static const char DEVICE[] = "00000000-0000-4000-8000-000000000001";

enum { ID_TEXT = 37, AT_BYTES = 60 };

/* One row. Ranges as of records (record/record.c). */
typedef struct {
    const char *at;
    maybe hours, tank_water_c, pan_level_m, rain_m, level_m;
} row;

#define AT(member) .offset = offsetof(row, member)
#define RANGE(from, to) .range = {from, to, false, false}
static const survey_field columns[] = {
    {"at", FIELD_NAME, false, AT(at), .limit = AT_BYTES},
    {"hours", FIELD_MAYBE, false, AT(hours), UNITS_PLAIN, RANGE(0, 8784)}, /* a year, our default */
    {"level", FIELD_MAYBE, true, AT(level_m), UNITS_SIZE, RANGE(-100, 100)},
    {"tank_water", FIELD_MAYBE, false, AT(tank_water_c), UNITS_TEMPERATURE, RANGE(0, 60)},
    {"pan_level", FIELD_MAYBE, false, AT(pan_level_m), UNITS_SIZE, RANGE(-10, 10)},
    {"rain", FIELD_MAYBE, false, AT(rain_m), UNITS_SIZE, RANGE(0, 2)},
};
static const survey_fields row_fields = {columns, sizeof columns / sizeof *columns};

typedef struct {
    const ops_tank_readings *given;
    const ops_actor *actor;
    arena *memory;
    fault_list *faults;
    store *job;
    ops_records there;
    long long from_s; /* of hour 0 */
    names *moments;   /* of this file, to its rows */
    names *kept;      /* tank and moment of readings in the job, to there.items */
    flat_rows file;
    record *records;
    size_t n;
    bool plain; /* every cell could be read */
} taking;

/* ---- one row ---- */

static void tell(taking *t, size_t at, const char *field, const char *sentence) {
    fault_list_add(t->faults, "%s: %s %s", t->file.origins[at], field, sentence);
}

static bool row_moment(taking *t, size_t at, long long *seconds) {
    const row *r = (const row *)t->file.rows + at;
    if (!t->plain && !r->at && !r->hours.known) return false; /* told already, maybe */
    if ((r->at != NULL) == r->hours.known) {
        tell(t, at, "at",
             r->at ? "and hours both are given; give one" : "or hours is missing: when was it read?");
        return false;
    }
    if (r->hours.known) {
        if (t->given->from) {
            *seconds = t->from_s + llround(r->hours.v * 3600);
            return true;
        }
        tell(t, at, "hours", "is given, but not from when: tell the time of hour 0");
        return false;
    }
    if (record_time(r->at, seconds)) return true;
    fault_list_add(
        t->faults,
        "%s: at is \"%s\"; it must be a time in UTC from the year 2000 on, as 2026-03-01T09:30:00Z",
        t->file.origins[at], r->at);
    return false;
}

/* The same bytes for the same tank and moment: a UUID of our own making (RFC 9562, version 8) from their hash. */
static void make_id(const char *tank, const char *at, char into[ID_TEXT]) {
    char hex[HASH_TEXT], named[128];
    snprintf(named, sizeof named, "level\n%.60s\n%.20s", tank, at);
    hash_text(named, strlen(named), hex);
    snprintf(into, ID_TEXT, "%.8s-%.4s-8%.3s-8%.3s-%.12s", hex, hex + 8, hex + 12, hex + 15, hex + 18);
}

static const char *key_of(taking *t, const char *tank, const char *at) {
    return arena_print(t->memory, "%s\n%s", tank, at);
}

static const char *moment_text(taking *t, long long seconds) {
    calendar_day day = date_of_days(seconds / 86400);
    long long rest = seconds % 86400;
    return arena_print(t->memory, "%04d-%02d-%02dT%02lld:%02lld:%02lldZ", day.year, day.month, day.day,
                       rest / 3600, rest / 60 % 60, rest % 60);
}

static bool same(maybe a, maybe b) {
    return a.known == b.known && (!a.known || fabs(a.v - b.v) <= 1e-9);
}

/* A reading of that moment that the job has already: the same is passed over. */
static bool is_there(taking *t, size_t at, const record *r, const char *key) {
    char level[UNITS_SHOWN];
    size_t found = names_find(t->kept, key);
    if (found == NAMES_NONE) return false;
    const record *old = &t->there.items[found];
    if (same(old->level_m, r->level_m) && same(old->pan_level_m, r->pan_level_m) &&
        same(old->rain_m, r->rain_m) && same(old->tank_water_c, r->tank_water_c))
        return true;
    fault_list_add(t->faults,
                   "%s: tank %s has a reading of %s already, with other values (record %lld, level %s); a "
                   "record is put right "
                   "by a correction",
                   t->file.origins[at], r->tank, r->at, old->seq,
                   units_show(UNITS_SIZE, t->there.system, old->level_m.v, 4, level));
    return true;
}

/* By the rules of records, as one that a phone sends. */
static void check(taking *t, size_t at, const record *r) {
    json_in in = {.source = t->file.origins[at], .faults = t->faults, .memory = t->memory};
    text body = {0};
    record_write_body(r, &body);
    json_t *object = body.failed ? NULL : json_in_parse(&in, text_get(&body), body.length);
    if (object)
        record_read(&in, NULL, object, t->actor->at, &t->records[t->n]);
    else
        fault_list_memory(t->faults);
    json_decref(object);
    text_free(&body);
    t->n++;
}

static bool take_row(taking *t, size_t at) {
    const row *from = (const row *)t->file.rows + at;
    char id[ID_TEXT];
    long long seconds;
    if (!row_moment(t, at, &seconds)) return true;
    const char *moment = moment_text(t, seconds), *key = moment ? key_of(t, t->given->tank, moment) : NULL;
    if (!key) return false;
    size_t twice = names_find(t->moments, moment);
    if (twice != NAMES_NONE) {
        fault_list_add(t->faults, "%s: its time, %s, stands in another row too (%s)", t->file.origins[at],
                       moment, t->file.origins[twice]);
        return true;
    }
    make_id(t->given->tank, moment, id);
    record r = {.mark = "site",
                .what = RECORD_LEVEL,
                .at = moment,
                .by = t->given->by,
                .device = DEVICE,
                .seen = t->there.n ? (double)t->there.items[t->there.n - 1].seq : 0,
                .tank = t->given->tank,
                .level_m = from->level_m,
                .pan_level_m = from->pan_level_m,
                .rain_m = from->rain_m,
                .tank_water_c = from->tank_water_c};
    r.id = arena_copy(t->memory, id);
    if (!r.id || !names_put(t->moments, moment, at)) return false;
    if (t->plain && !is_there(t, at, &r, key)) check(t, at, &r);
    return true;
}

/* ---- the call ---- */

static status find_tank(taking *t, fault *why) {
    survey *s = NULL;
    status code = store_load(t->job, &s, why);
    if (code == OK && !survey_find_tank(s, t->given->tank)) {
        const char **ids = arena_get(t->memory, s->n_tanks, sizeof *ids);
        for (size_t i = 0; ids && i < s->n_tanks; i++) ids[i] = s->tanks[i].id;
        int near = ids ? text_nearest(t->given->tank, ids, s->n_tanks) : -1;
        if (s->n_tanks == 0)
            code = fault_set(why, E_INPUT,
                             "the job has no tank; a tank comes in with the survey (docs/files.md)");
        else
            code = fault_set(why, E_INPUT, "the job has no tank %.60s; %s %s", t->given->tank,
                             near >= 0 ? "did you mean" : "its first is", s->tanks[near >= 0 ? near : 0].id);
    }
    survey_free(s);
    return code;
}

static bool index_there(taking *t) {
    bool good = t->moments && t->kept;
    for (size_t i = 0; good && i < t->there.n; i++) {
        const record *r = &t->there.items[i];
        if (r->what != RECORD_LEVEL || !r->tank) continue;
        const char *key = key_of(t, r->tank, r->at);
        good = key && names_put(t->kept, key, i);
    }
    return good;
}

/* So that a file far too long is refused before it is read: rows, and as many lines again for what is empty or a comment. */
static bool is_far_too_long(const ops_tank_readings *g) {
    size_t lines = 0;
    for (const char *at = g->csv, *end = at + g->length;
         at < end && (at = memchr(at, '\n', (size_t)(end - at))) != NULL; at++)
        lines++;
    return lines > 2 * (size_t)WATERTEST_READINGS_MOST;
}

static status read_rows(taking *t, fault *why) {
    const ops_tank_readings *g = t->given;
    if (is_far_too_long(g))
        return fault_set(why, E_INPUT, "%s: has more than %d lines; at most %d readings are taken", g->name,
                         2 * WATERTEST_READINGS_MOST, WATERTEST_READINGS_MOST);
    t->plain =
        flat_csv_read(g->name, g->csv, g->length, row_fields, sizeof(row), t->memory, &t->file, t->faults);
    if (!t->plain && t->file.n == 0)
        return fault_list_status(t->faults, why); /* nothing below a heading that is known */
    if (t->file.n == 0) return fault_set(why, E_INPUT, "%s: has no reading below its heading", g->name);
    if (t->file.n > WATERTEST_READINGS_MOST)
        return fault_set(why, E_INPUT, "%s: has %zu readings; at most %d are taken", g->name, t->file.n,
                         WATERTEST_READINGS_MOST);
    t->records = arena_get(t->memory, t->file.n, sizeof *t->records);
    t->moments = names_new();
    t->kept = names_new();
    bool good = t->records && index_there(t);
    for (size_t i = 0; good && i < t->file.n; i++) good = take_row(t, i);
    return good ? fault_list_status(t->faults, why) : fault_memory(why);
}

static status keep(taking *t, fault *why) {
    status code = OK;
    for (size_t i = 0; code == OK && i < t->n; i++) {
        text body = {0};
        long long seq;
        bool already;
        record_write_body(&t->records[i], &body);
        const store_record one = {.id = t->records[i].id,
                                  .mark = t->records[i].mark,
                                  .body = text_get(&body),
                                  .received_at = t->actor->at,
                                  .received_by = t->actor->by};
        code = body.failed ? fault_memory(why) : store_add_record(t->job, &one, &seq, &already, why);
        text_free(&body);
    }
    return code;
}

static status check_given(taking *t, fault *why) {
    const ops_tank_readings *g = t->given;
    long long clock;
    const char *objection = g->by && *g->by ? survey_text_objection(g->by) : "is not given";
    if (objection) return fault_set(why, E_INPUT, "by, who read the tank, %s", objection);
    if (!record_time(t->actor->at, &clock))
        return fault_set(why, E_INPUT, "the clock says %.40s; set it first", t->actor->at);
    if (g->from && !record_time(g->from, &t->from_s))
        return fault_set(
            why, E_INPUT,
            "from is \"%.40s\"; it must be a time in UTC from the year 2000 on, as 2026-03-01T09:30:00Z",
            g->from);
    return OK;
}

status ops_tank_import(const char *path, const ops_tank_readings *readings, const ops_actor *actor,
                       fault_list *faults, size_t *kept, fault *why) {
    taking t = {.given = readings, .actor = actor, .faults = faults, .memory = arena_new()};
    *kept = 0;
    if (!t.memory) return fault_memory(why);
    status code = check_given(&t, why);
    if (code == OK) code = store_open(path, false, &t.job, why);
    if (code == OK) code = store_begin(t.job, why);
    if (code == OK) code = find_tank(&t, why);
    if (code == OK) code = ops_records_load(path, t.memory, &t.there, why);
    if (code == OK) code = read_rows(&t, why);
    if (code == OK) code = keep(&t, why);
    if (code == OK) code = store_commit(t.job, why);
    store_close(t.job);
    if (code == OK) *kept = t.n;
    names_free(t.moments);
    names_free(t.kept);
    arena_free(t.memory);
    return code;
}
