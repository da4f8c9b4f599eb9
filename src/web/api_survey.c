#include "ops/edit.h"
#include "ops/history.h"
#include "web/surveys.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static ops_actor actor_of(const web_request *r) {
    return (ops_actor){r->who, r->now, "page"};
}

/* ---- reading ---- */

/* Of revision and content: a copy put back in place of a job may count to the same number. */
static status tag(const web_request *r, web_response *out, long long revision, fault *why) {
    char hash[HASH_TEXT];
    hash_text(out->body.bytes, out->body.length, hash);
    out->etag = arena_print(r->memory, "\"%lld-%.16s\"", revision, hash);
    return out->etag ? OK : fault_memory(why);
}

status api_survey(const web_request *r, web_response *out, fault *why) {
    const char *path;
    long long revision = 0;
    status code = web_job_path(r, out, &path, why);
    if (code == OK) code = surveys_write(r->server, path, &revision, &out->body, why);
    return code == OK ? tag(r, out, revision, why) : code;
}

status api_export(const web_request *r, web_response *out, fault *why) {
    static const char *const types[EXPORT_COUNT] = {"application/json", "text/csv; charset=utf-8",
                                                    "application/geo+json", "image/vnd.dxf",
                                                    "text/csv; charset=utf-8"};
    const char *path, *as = web_query(r, "as");
    int format = 0;
    while (as && format < EXPORT_COUNT && strcmp(ops_export_words[format], as) != 0) format++;
    if (format == EXPORT_COUNT)
        return fault_set(why, E_INPUT, "as is \"%.40s\"; it must be json, csv, geojson, dxf or gauges", as);
    status code = web_job_path(r, out, &path, why);
    if (code == OK) code = ops_export(path, (ops_export_format)format, &out->body, why);
    if (code != OK) return code;
    out->type = types[format];
    out->save_as = arena_print(r->memory, format == EXPORT_GAUGES ? "%s-%s.csv" : "%s.%s", r->variables[0],
                               ops_export_words[format]);
    return out->save_as ? OK : fault_memory(why);
}

/* A whole number of 0 or more. */
static bool read_whole(const char *given, long long *out) {
    char *end = NULL;
    if (given[0] < '0' || given[0] > '9') return false;
    errno = 0;
    *out = strtoll(given, &end, 10);
    return errno == 0 && *end == '\0';
}

status api_log(const web_request *r, web_response *out, fault *why) {
    const char *path, *given = web_query(r, "before");
    long long before = 0;
    if (given && !read_whole(given, &before))
        return fault_set(why, E_INPUT, "before is \"%.40s\"; it must be the number of a change", given);
    status code = web_job_path(r, out, &path, why);
    return code == OK ? ops_log_json(path, before, &out->body, why) : code;
}

/* ---- edits ---- */

static status answer_conflict(const ops_edit_result *result, web_response *out, fault *why) {
    json_out o = {.to = &out->body};
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "fault", why->text);
    json_out_json(&o, "conflict", &result->now);
    json_out_close(&o, '}');
    out->code = 409;
    return out->body.failed ? fault_memory(why) : OK;
}

status api_edit(const web_request *r, web_response *out, fault *why) {
    const ops_actor actor = actor_of(r);
    const ops_edit_request request = {r->body, r->length};
    const char *path;
    ops_edit_result result = {0};
    status code = web_job_path(r, out, &path, why);
    if (code != OK) return code;
    fault_list *faults = fault_list_new();
    if (!faults) return fault_memory(why);
    code = ops_edit(path, &request, &actor, &result, faults, why);
    if (code == OK)
        text_print(&out->body, "{\"revision\": %lld, \"hashes\": %s}", result.revision,
                   text_get(&result.hashes));
    else if (result.conflict)
        code = answer_conflict(&result, out, why);
    else if (code == E_INPUT && fault_list_count(faults) > 0)
        code = web_faults(out, faults, why);
    ops_edit_result_free(&result);
    fault_list_free(faults);
    return code;
}

/* ---- imports ---- */

enum { FILE_NAME_BYTES = 200 };

/* The file's name without folders, as some browsers send them; NULL when it is no kind of file that is taken in. */
static const char *file_name(const char *given) {
    static const char *const endings[] = {".json", ".geojson", ".csv", ".tsv", ".epw"};
    if (!given) return NULL;
    for (const char *c = given; *c; c++)
        if (*c == '/' || *c == '\\') given = c + 1;
    size_t n = strlen(given);
    if (n > FILE_NAME_BYTES) return NULL;
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
        size_t ending = strlen(endings[i]);
        if (n > ending && strcasecmp(given + n - ending, endings[i]) == 0) return given;
    }
    return NULL;
}

static void write_import(const ops_import_result *result, long long revision, text *to) {
    json_out o = {.to = to};
    json_out_open(&o, NULL, '{');
    json_out_whole(&o, "revision", revision);
    json_out_whole(&o, "faces", (long long)result->faces);
    json_out_whole(&o, "defects", (long long)result->defects);
    json_out_whole(&o, "stations", (long long)result->stations);
    json_out_whole(&o, "flows", (long long)result->flows);
    json_out_whole(&o, "readings", (long long)result->readings);
    json_out_close(&o, '}');
}

status api_import(const web_request *r, web_response *out, fault *why) {
    const ops_actor actor = actor_of(r);
    const char *path, *given = web_query(r, "name"), *name = file_name(given);
    const ops_import_request request = {.files = &r->upload, .names = &name, .n = 1};
    ops_import_result result = {0};
    long long revision = 0;
    if (!name)
        return fault_set(
            why, E_INPUT,
            "the file is called \"%.100s\"; its name must end in .json, .geojson, .csv, .tsv or .epw",
            given ? given : "");
    status code = web_job_path(r, out, &path, why);
    if (code != OK) return code;
    fault_list *faults = fault_list_new();
    if (!faults) return fault_memory(why);
    code = ops_import(path, &request, &actor, faults, &result, why);
    if (code == OK) {
        code = ops_revision(path, &revision, why);
        write_import(&result, revision, &out->body);
    } else if (code == E_INPUT && fault_list_count(faults) > 0)
        code = web_faults(out, faults, why);
    fault_list_free(faults);
    return code;
}
