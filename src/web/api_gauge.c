/* One reading of a gauge; a person's choice of method against the table: each a change of one leak. */
#include "ops/gauge.h"
#include "web/web.h"

#include <math.h>

/* Longer than the survey takes: what is too long is told by its check, in its words. */
enum { WORD_BYTES = 200, TEXT_BYTES = 8000 };

/* A number that may be null or left out. */
static void read_maybe(json_in *in, json_t *from, const char *field, maybe *out) {
    static const json_range any = {-HUGE_VAL, HUGE_VAL, true, true};
    const json_t *value = json_object_get(from, field);
    if (!value || json_is_null(value)) return;
    out->known = json_in_number(in, NULL, from, field, &any, NULL, &out->v);
}

/* The units are told by the name that the width has. */
static status read_gauge(const web_request *r, units_system *system, ops_gauge *out, fault *why) {
    bool us = json_object_get(r->json, "width_in") != NULL;
    const char *width = us ? "width_in" : "width_mm", *temperature = us ? "temperature_f" : "temperature_c";
    const char *const known[] = {"mark", "gauge", "on", width, temperature};
    static const json_range any = {-HUGE_VAL, HUGE_VAL, true, true};
    json_in in = {.source = "", .faults = fault_list_new(), .memory = r->memory};
    if (!in.faults) return fault_memory(why);
    json_in_only(&in, NULL, r->json, known, sizeof known / sizeof *known);
    json_in_text(&in, NULL, r->json, "mark", WORD_BYTES, true, &out->mark);
    if (!json_is_null(json_object_get(r->json, "gauge")))
        json_in_text(&in, NULL, r->json, "gauge", WORD_BYTES, false, &out->gauge);
    json_in_text(&in, NULL, r->json, "on", WORD_BYTES, true, &out->on);
    json_in_number(&in, NULL, r->json, width, &any, NULL, &out->width);
    read_maybe(&in, r->json, temperature, &out->temperature);
    *system = us ? UNITS_US : UNITS_METRIC;
    out->system = system;
    status code = fault_list_status(in.faults, why);
    fault_list_free(in.faults);
    return code;
}

static status read_overrule(const web_request *r, ops_overrule_request *out, fault *why) {
    static const char *const known[] = {"mark", "method", "by", "why"};
    json_in in = {.source = "", .faults = fault_list_new(), .memory = r->memory};
    if (!in.faults) return fault_memory(why);
    bool withdrawn = json_is_null(json_object_get(r->json, "method"));
    json_in_only(&in, NULL, r->json, known, sizeof known / sizeof *known);
    json_in_text(&in, NULL, r->json, "mark", WORD_BYTES, true, &out->mark);
    json_in_text(&in, NULL, r->json, "by", WORD_BYTES, true, &out->by);
    if (!withdrawn) json_in_text(&in, NULL, r->json, "method", WORD_BYTES, true, &out->method);
    json_in_text(&in, NULL, r->json, "why", TEXT_BYTES, !withdrawn, &out->why);
    status code = fault_list_status(in.faults, why);
    fault_list_free(in.faults);
    return code;
}

/* As an edit answers, with the hash of the one leak. */
static status answer(const char *mark, const ops_leak_change *change, web_response *out, fault *why) {
    json_out o = {.to = &out->body};
    json_out_open(&o, NULL, '{');
    json_out_whole(&o, "revision", change->revision);
    json_out_open(&o, "hashes", '{');
    json_out_open(&o, "defects", '{');
    json_out_text(&o, mark, change->hash);
    for (int i = 0; i < 3; i++) json_out_close(&o, '}');
    return out->body.failed ? fault_memory(why) : OK;
}

status api_reading_add(const web_request *r, web_response *out, fault *why) {
    const ops_actor actor = {r->who, r->now, "page"};
    const char *path;
    units_system system;
    ops_gauge reading = {0};
    ops_leak_change change;
    status code = web_job_path(r, out, &path, why);
    if (code == OK) code = read_gauge(r, &system, &reading, why);
    if (code == OK) code = ops_gauge_add(path, &reading, &actor, &change, why);
    return code == OK ? answer(reading.mark, &change, out, why) : code;
}

status api_overrule(const web_request *r, web_response *out, fault *why) {
    const ops_actor actor = {r->who, r->now, "page"};
    const char *path;
    ops_overrule_request request = {.on = arena_print(r->memory, "%.10s", r->now)};
    ops_leak_change change;
    if (!request.on) return fault_memory(why);
    status code = web_job_path(r, out, &path, why);
    if (code == OK) code = read_overrule(r, &request, why);
    if (code == OK) code = ops_overrule(path, &request, &actor, &change, why);
    return code == OK ? answer(request.mark, &change, out, why) : code;
}
