#include "ops/wall.h"
#include "web/plans.h"

static ops_actor actor_of(const web_request *r) {
    return (ops_actor){.by = r->who, .at = r->now, .through = "page"};
}

/* ---- the day ---- */

static status write_day(const web_request *r, const char *path, const ops_day *day, text *to, fault *why) {
    plans *all = plans_of(r->server);
    held *planned = NULL;
    status code = all ? plans_light(all, path, day->revision, &planned, why) : fault_memory(why);
    if (code == OK) code = ops_day_json(held_job(planned)->plan, day, to, why);
    if (planned) plans_let_go(all, planned);
    return code;
}

status api_day(const web_request *r, web_response *out, fault *why) {
    const char *path, *date = web_query(r, "date");
    status code = web_job_path(r, out, &path, why);
    if (code != OK) return code;
    ops_day day = {.date = date ? date : arena_print(r->memory, "%.10s", r->now),
                   .job = r->variables[0],
                   .address = r->address,
                   .made = r->now};
    if (!day.date) return fault_memory(why);
    code = ops_day_load(path, r->memory, &day, why);
    return code == OK ? write_day(r, path, &day, &out->body, why) : code;
}

/* {"date", "marks"}; the marks are borrowed from the body. */
static status read_day(const web_request *r, ops_day_list *list, fault *why) {
    static const char *const known[] = {"date", "marks"};
    json_in in = {.source = "", .faults = fault_list_new(), .memory = r->memory};
    if (!in.faults) return fault_memory(why);
    json_in_only(&in, NULL, r->json, known, 2);
    json_in_text(&in, NULL, r->json, "date", 10, true, &list->date);
    json_t *marks = json_in_array(&in, NULL, r->json, "marks", true);
    list->n = json_array_size(marks);
    const char **words = arena_get(r->memory, list->n, sizeof *words);
    for (size_t i = 0; words && i < list->n; i++) {
        words[i] = json_string_value(json_array_get(marks, i));
        if (!words[i])
            json_in_fault(&in, NULL, "marks", "number %zu is no text; it must be the mark of a leak", i);
    }
    list->marks = words;
    if (!words) fault_list_memory(in.faults);
    status code = fault_list_status(in.faults, why);
    fault_list_free(in.faults);
    return code;
}

status api_day_set(const web_request *r, web_response *out, fault *why) {
    const ops_actor actor = actor_of(r);
    const char *path;
    ops_day_list list = {0};
    long long revision = 0;
    status code = web_job_path(r, out, &path, why);
    if (code == OK) code = read_day(r, &list, why);
    if (code == OK) code = ops_day_set(path, &list, &actor, &revision, why);
    if (code == OK) text_print(&out->body, "{\"revision\": %lld}", revision);
    return code;
}

/* ---- records ---- */

/* A whole number from 0 that a phone may have had from us. */
static status read_after(const web_request *r, long long *after, fault *why) {
    const char *given = web_query(r, "after");
    double value = 0;
    *after = 0;
    if (given && (!text_to_number(given, &value) || !(value >= 0 && value <= 9007199254740992.0))) /* 2^53 */
        return fault_set(why, E_INPUT, "after is \"%.40s\"; it must be the number of a record, from 0",
                         given);
    *after = (long long)value;
    return OK;
}

status api_records(const web_request *r, web_response *out, fault *why) {
    const char *path;
    long long after;
    status code = web_job_path(r, out, &path, why);
    if (code == OK) code = read_after(r, &after, why);
    return code == OK ? ops_records_json(path, after, &out->body, why) : code;
}

static void write_results(json_out *o, const ops_record_results *got) {
    json_out_open(o, NULL, '{');
    json_out_open(o, "results", '[');
    for (size_t i = 0; i < got->n; i++) {
        const ops_record_result *one = &got->items[i];
        json_out_open(o, NULL, '{');
        json_out_text(o, "id", one->id);
        json_out_text(o, "state", ops_record_state_words[one->state]);
        if (one->fault)
            json_out_text(o, "fault", one->fault);
        else
            json_out_whole(o, "seq", one->seq);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
    json_out_whole(o, "last", got->last);
    json_out_close(o, '}');
}

status api_records_add(const web_request *r, web_response *out, fault *why) {
    const ops_actor actor = actor_of(r);
    const char *path;
    ops_record_results got;
    json_out o = {.to = &out->body};
    status code = web_job_path(r, out, &path, why);
    if (code == OK) code = ops_record(path, r->body, &actor, r->memory, &got, why);
    if (code == OK) write_results(&o, &got);
    return code == OK && out->body.failed ? fault_memory(why) : code;
}
