#include "ops/job.h"

#include "core/file.h"
#include "survey/check.h"
#include "survey/read_csv.h"
#include "survey/read_geojson.h"
#include "survey/read_json.h"

#include <string.h>
#include <strings.h>

static bool ends_in(const char *path, const char *ending) {
    size_t a = strlen(path), b = strlen(ending);
    return a >= b && strcasecmp(path + a - b, ending) == 0;
}

/* A .json file may hold GeoJSON: its root says so. */
static bool is_feature_collection(const char *bytes, size_t length) {
    json_t *root = json_loadb(bytes, length, JSON_REJECT_DUPLICATES, NULL);
    const char *type = json_string_value(json_object_get(root, "type"));
    bool found = type && strcmp(type, "FeatureCollection") == 0;
    json_decref(root);
    return found;
}

static void read_one(survey *into, const char *path, const char *bytes, size_t length, fault_list *faults) {
    if (ends_in(path, ".csv") || ends_in(path, ".tsv") || ends_in(path, ".txt"))
        survey_read_csv(into, path, bytes, length, faults);
    else if (ends_in(path, ".geojson") || (ends_in(path, ".json") && is_feature_collection(bytes, length)))
        survey_read_geojson(into, path, bytes, length, faults);
    else if (ends_in(path, ".json") || strcmp(path, "-") == 0)
        survey_read_json(into, path, bytes, length, faults);
    else
        fault_list_add(faults, "%s: what kind of file is it? Its name must end in .json, .geojson or .csv",
                       path);
}

static status read_files(survey *into, const char *const files[], size_t n, fault_list *faults, fault *why) {
    for (size_t i = 0; i < n; i++) {
        char *bytes = NULL;
        size_t length = 0;
        status code = file_read(files[i], &bytes, &length, why);
        if (code != OK) return code;
        read_one(into, files[i], bytes, length, faults);
        mem_free(bytes);
    }
    if (fault_list_count(faults) == 0) survey_check(into, faults);
    return fault_list_status(faults, why);
}

static void count(const survey *s, ops_import_result *out) {
    *out = (ops_import_result){.faces = s->n_faces, .defects = s->n_defects};
    for (size_t i = 0; i < s->n_defects; i++) {
        out->stations += s->defects[i].n_stations;
        out->flows += s->defects[i].n_flows;
    }
}

status ops_import(const char *path, const char *const files[], size_t n, fault_list *faults,
                  ops_import_result *out, fault *why) {
    store *job = NULL;
    survey *s = NULL;
    *out = (ops_import_result){0};
    status code = store_open(path, false, &job, why);
    if (code == OK)
        code = store_begin(job, why); /* the load too: nobody may change the job between it and the save */
    if (code == OK) code = job_load(job, &s, why);
    if (code == OK) code = read_files(s, files, n, faults, why);
    if (code == OK) code = store_save(job, s, why);
    if (code == OK) code = store_commit(job, why);
    if (code == OK) count(s, out);
    survey_free(s);
    store_close(job); /* rolls back what was not committed */
    return code;
}
