#include "ops/again.h"

#include "core/date.h"

#include <string.h>

enum { DAY_MIN = 24 * 60, TEXT_MOST = 200 };

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
    return days > -36500 && days < 36500 ? (int)(days * DAY_MIN) : 0;
}

static bool read_task(json_in *in, size_t i, json_t *object, works_task *out) {
    const json_path list = {NULL, "tasks", 0}, at = {&list, NULL, i};
    if (!json_in_text(in, &at, object, "id", TEXT_MOST, true, &out->id)) return false;
    if (!json_in_text(in, &at, object, "step", TEXT_MOST, true, &out->step)) return false;
    double start = json_number_value(json_object_get(object, "start_min"));
    double end = json_number_value(json_object_get(object, "end_min"));
    if (!(start >= 0 && start <= end && end <= SCHEDULE_MOST_MINUTES)) return false;
    out->start_min = (int)start;
    out->end_min = (int)end;
    return true;
}

/* What a new plan needs of the old works: which task began when. A body that is damaged is no plan to follow. */
static status read_works(const survey *s, const char *body, const works_plan **out, fault *why) {
    fault_list *faults = fault_list_new();
    if (!faults) return fault_memory(why);
    json_in in = {.source = "", .faults = faults, .memory = s->memory, .system = s->site.system};
    json_t *root = json_in_parse(&in, body, strlen(body)), *tasks = json_object_get(root, "tasks");
    works_plan *old = arena_get(s->memory, 1, sizeof *old);
    size_t n = json_array_size(tasks);
    bool good = old && n > 0 && (old->tasks = arena_get(s->memory, n, sizeof *old->tasks)) != NULL;
    bool memory = old != NULL;
    int shift = good ? clock_shift(s, json_string_value(json_object_get(root, "start_on"))) : 0;
    for (size_t i = 0; good && i < n; i++) {
        good = read_task(&in, i, json_array_get(tasks, i), &old->tasks[i]);
        old->tasks[i].start_min += shift;
        old->tasks[i].end_min += shift;
        old->n_tasks = i + 1;
    }
    if (good) {
        old->start_on = s->site.work.start_on;
        *out = old;
    }
    json_decref(root);
    fault_list_free(faults);
    return memory ? OK : fault_memory(why);
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
