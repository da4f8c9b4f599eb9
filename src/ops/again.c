#include "ops/again.h"

#include "core/date.h"
#include "survey/names.h"

#include <string.h>

enum { TEXT_MOST = 200 };

static bool is_of_time(const record *r) {
    return r->what == RECORD_START || r->what == RECORD_FINISH || r->what == RECORD_HOLD;
}

static status load_records(store *from, const survey *s, works_past *past, bool *begun, fault *why) {
    store_record *list;
    size_t n;
    status code = store_load_records(from, 0, 0, s->memory, &list, &n, why);
    record *records = code == OK ? arena_get(s->memory, n, sizeof *records) : NULL;
    if (code == OK && !records) return fault_memory(why);
    for (size_t i = 0; code == OK && i < n; i++) {
        code = record_read_body(list[i].body, s->memory, &records[i], why);
        *begun |= code == OK && is_of_time(&records[i]);
    }
    past->records = records;
    past->n_records = n;
    return code;
}

/* Minutes by which the clock of the stored works runs behind that of the new: their first days may differ. */
static int clock_shift(const survey *s, const char *start_on) {
    long long was, is;
    if (!date_day(start_on, &was) || !date_day(s->site.work.start_on, &is)) return 0;
    long long days = was - is;
    return days > -36500 && days < 36500 ? (int)(days * WORKS_DAY_MIN) : 0;
}

typedef struct {
    json_in in;
    names *workers; /* of the old works */
    works_plan *old;
    int shift_min;
    bool no_memory;
} reading;

/* Names that the list of workers does not have are let go. */
static void read_workers_of(reading *r, json_t *list, works_task *out) {
    size_t n = json_array_size(list);
    out->workers = arena_get(r->in.memory, n, sizeof *out->workers);
    if (!out->workers) r->no_memory = true;
    for (size_t i = 0; out->workers && i < n; i++) {
        const char *name = json_string_value(json_array_get(list, i));
        size_t at = name ? names_find(r->workers, name) : NAMES_NONE;
        if (at != NAMES_NONE) out->workers[out->n_workers++] = (int)at;
    }
}

static void read_workers(reading *r, json_t *list) {
    size_t n = json_array_size(list);
    r->old->workers = arena_get(r->in.memory, n, sizeof *r->old->workers);
    for (size_t i = 0; r->old->workers && i < n; i++) {
        const char *name = json_string_value(json_array_get(list, i));
        const char *copy = name ? arena_copy(r->in.memory, name) : "";
        if (!copy || !names_put(r->workers, copy, i)) {
            r->no_memory = true;
            return;
        }
        r->old->workers[r->old->n_workers++] = copy;
    }
    if (!r->old->workers) r->no_memory = true;
}

static bool read_task(reading *r, size_t i, json_t *object, works_task *out) {
    json_in *in = &r->in;
    const json_path list = {NULL, "tasks", 0}, at = {&list, NULL, i};
    if (!json_in_text(in, &at, object, "id", TEXT_MOST, true, &out->id)) return false;
    if (!json_in_text(in, &at, object, "step", TEXT_MOST, true, &out->step)) return false;
    double start = json_number_value(json_object_get(object, "start_min"));
    double end = json_number_value(json_object_get(object, "end_min"));
    if (!(start >= 0 && start <= end && end <= SCHEDULE_MOST_MINUTES)) return false;
    out->start_min = (int)start + r->shift_min;
    out->end_min = (int)end + r->shift_min;
    read_workers_of(r, json_object_get(object, "workers"), out);
    return !r->no_memory;
}

/* True when all of it is sound. */
static bool read_body(reading *r, const survey *s, json_t *root) {
    json_t *tasks = json_object_get(root, "tasks");
    size_t n = json_array_size(tasks);
    works_plan *old = r->old;
    if (n == 0) return false;
    r->shift_min = clock_shift(s, json_string_value(json_object_get(root, "start_on")));
    read_workers(r, json_object_get(root, "workers"));
    old->start_on = s->site.work.start_on;
    old->tasks = arena_get(s->memory, n, sizeof *old->tasks);
    if (!old->tasks) r->no_memory = true;
    while (!r->no_memory && old->n_tasks < n) {
        if (!read_task(r, old->n_tasks, json_array_get(tasks, old->n_tasks), &old->tasks[old->n_tasks]))
            return false;
        old->n_tasks++;
    }
    return !r->no_memory;
}

/* What a new plan needs of the old works: which task began when, and whose it was. A body that is damaged is no plan to follow. */
static status read_works(const survey *s, const char *body, const works_plan **out, fault *why) {
    fault_list *faults = fault_list_new();
    reading r = {.in = {.source = "", .faults = faults, .memory = s->memory, .system = s->site.system},
                 .workers = names_new(),
                 .old = arena_get(s->memory, 1, sizeof *r.old)};
    r.no_memory = !faults || !r.workers || !r.old;
    json_t *root = r.no_memory ? NULL : json_in_parse(&r.in, body, strlen(body));
    if (root && read_body(&r, s, root)) *out = r.old;
    json_decref(root);
    names_free(r.workers);
    fault_list_free(faults);
    return r.no_memory ? fault_memory(why) : OK;
}

status again_load(store *from, const survey *s, const ops_plan_request *request, const works_past **out,
                  fault *why) {
    *out = NULL;
    if (!request->works || !request->now) return OK;
    works_past *past = arena_get(s->memory, 1, sizeof *past);
    if (!past) return fault_memory(why);
    past->now = request->now;
    past->utc_offset_min = request->utc_offset_min;
    bool begun = false, found = false;
    store_result result;
    status code = load_records(from, s, past, &begun, why);
    if (code != OK || !begun) return code;
    code = store_load_result(from, "works", "", s->memory, &result, &found, why);
    if (code == OK && found) code = read_works(s, result.body, &past->before, why);
    if (code == OK) *out = past;
    return code;
}
