#include "ops/job.h"

#include "core/file.h"
#include "survey/check.h"
#include "survey/fields.h"
#include "survey/read_epw.h"
#include "survey/read_geojson.h"
#include "survey/read_json.h"
#include "survey/read_table.h"

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

static void read_one(survey *into, const char *name, const char *bytes, size_t length, fault_list *faults) {
    if (ends_in(name, ".csv") || ends_in(name, ".tsv") || ends_in(name, ".txt"))
        survey_read_table(into, name, bytes, length, faults);
    else if (ends_in(name, ".epw"))
        survey_read_epw(into, name, bytes, length, faults);
    else if (ends_in(name, ".geojson") || (ends_in(name, ".json") && is_feature_collection(bytes, length)))
        survey_read_geojson(into, name, bytes, length, faults);
    else if (ends_in(name, ".json") || strcmp(name, "-") == 0)
        survey_read_json(into, name, bytes, length, faults);
    else
        fault_list_add(
            faults, "%s: what kind of file is it? Its name must end in .json, .geojson, .csv or .epw", name);
}

static const char *name_of(const ops_import_request *r, size_t i) {
    return r->names ? r->names[i] : r->files[i];
}

static status read_file(survey *into, const ops_import_request *r, size_t i, fault_list *faults, fault *why) {
    char *bytes = NULL;
    size_t length = 0;
    if (r->texts) {
        read_one(into, name_of(r, i), r->texts[i], strlen(r->texts[i]), faults);
        return OK;
    }
    status code = file_read(r->files[i], &bytes, &length, why);
    if (code == OK) read_one(into, name_of(r, i), bytes, length, faults);
    mem_free(bytes);
    return code;
}

static status read_files(survey *into, const ops_import_request *r, fault_list *faults, fault *why) {
    for (size_t i = 0; i < r->n; i++) {
        status code = read_file(into, r, i, faults, why);
        if (code != OK) return code;
    }
    if (fault_list_count(faults) == 0) survey_check(into, faults);
    return fault_list_status(faults, why);
}

/* Rates, prices and materials as they were: a merge puts a new one in the place of the old, or behind all. */
typedef struct {
    survey_rate *rates;
    survey_price *prices;
    survey_material *materials;
    size_t n_rates, n_prices, n_materials;
} catalogue;

static void *copy_of(survey *s, const void *from, size_t n, size_t size) {
    void *to = arena_get(s->memory, n + 1, size); /* an empty list has its place too */
    if (to && n) memcpy(to, from, n * size);
    return to;
}

static status remember(survey *s, catalogue *was, fault *why) {
    *was = (catalogue){copy_of(s, s->rates, s->n_rates, sizeof *s->rates),
                       copy_of(s, s->prices, s->n_prices, sizeof *s->prices),
                       copy_of(s, s->materials, s->n_materials, sizeof *s->materials),
                       s->n_rates,
                       s->n_prices,
                       s->n_materials};
    return was->rates && was->prices && was->materials ? OK : fault_memory(why);
}

static void count_changed(const survey *s, const catalogue *was, ops_import_result *out) {
    for (size_t i = 0; i < s->n_rates; i++)
        out->rates +=
            i >= was->n_rates || !survey_fields_equal(survey_rate_fields, &was->rates[i], &s->rates[i]);
    for (size_t i = 0; i < s->n_prices; i++)
        out->prices +=
            i >= was->n_prices || !survey_fields_equal(survey_price_fields, &was->prices[i], &s->prices[i]);
    for (size_t i = 0; i < s->n_materials; i++)
        out->materials += i >= was->n_materials ||
                          !survey_fields_equal(survey_material_fields, &was->materials[i], &s->materials[i]);
}

static void count(const survey *s, const catalogue *was, ops_import_result *out) {
    *out = (ops_import_result){.faces = s->n_faces, .defects = s->n_defects, .tanks = s->n_tanks};
    count_changed(s, was, out);
    for (size_t i = 0; i < s->n_defects; i++) {
        out->stations += s->defects[i].n_stations;
        out->flows += s->defects[i].n_flows;
        out->readings += s->defects[i].n_readings;
    }
}

/* "walls.csv, floor.json and 3 more": without their folders. */
static void add_names(const ops_import_request *r, text *to) {
    const size_t most = 4;
    for (size_t i = 0; i < r->n && i < most; i++) {
        const char *slash = strrchr(name_of(r, i), '/');
        text_print(to, "%s%s", i ? ", " : "", slash ? slash + 1 : name_of(r, i));
    }
    if (r->n > most) text_print(to, " and %zu more", r->n - most);
}

static status log_import(store *job, const ops_import_request *r, const ops_actor *actor,
                         const ops_import_result *now, fault *why) {
    text names = {0};
    add_names(r, &names);
    status code = names.failed ? fault_memory(why)
                               : job_log(job, actor, why, "import %s: %zu faces, %zu leaks in the job",
                                         text_get(&names), now->faces, now->defects);
    text_free(&names);
    return code;
}

status ops_import(const char *path, const ops_import_request *request, const ops_actor *actor,
                  fault_list *faults, ops_import_result *out, fault *why) {
    store *job = NULL;
    survey *s = NULL;
    catalogue was = {0};
    *out = (ops_import_result){0};
    status code = store_open(path, false, &job, why);
    if (code == OK)
        code = store_begin(job, why); /* the load too: nobody may change the job between it and the save */
    if (code == OK) code = job_load(job, &s, why);
    if (code == OK) code = remember(s, &was, why);
    if (code == OK) code = read_files(s, request, faults, why);
    if (code == OK) code = store_save(job, s, why);
    if (code == OK) count(s, &was, out);
    if (code == OK) code = log_import(job, request, actor, out, why);
    if (code == OK) code = store_commit(job, why);
    survey_free(s);
    store_close(job); /* rolls back what was not committed */
    return code;
}
