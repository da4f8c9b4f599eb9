#include "ops/job.h"

#include "survey/write_csv.h"
#include "survey/write_dxf.h"
#include "survey/write_gauges.h"
#include "survey/write_geojson.h"
#include "survey/write_json.h"

const char *const ops_export_words[EXPORT_COUNT] = {"json", "csv", "geojson", "dxf", "gauges"};

status ops_export(const char *path, ops_export_format format, text *out, fault *why) {
    store *job = NULL;
    survey *s = NULL;
    status code = store_open(path, true, &job, why);
    if (code == OK) code = job_load(job, &s, why);
    store_close(job);
    if (code != OK) return code;
    switch (format) {
    case EXPORT_JSON: survey_write_json(s, out); break;
    case EXPORT_CSV: survey_write_csv(s, out); break;
    case EXPORT_GEOJSON: survey_write_geojson(s, out); break;
    case EXPORT_DXF: survey_write_dxf(s, out); break;
    case EXPORT_GAUGES: survey_write_gauges(s, out); break;
    case EXPORT_COUNT: break;
    }
    survey_free(s);
    return out->failed ? fault_memory(why) : OK;
}
