#include "cli/cli.h"
#include "cli/options.h"
#include "core/file.h"
#include "ops/ops.h"
#include "survey/write_csv.h"

#include <stdio.h>
#include <string.h>

static status read_format(const char *word, ops_export_format *out, fault *why) {
    for (int i = 0; word && i < EXPORT_COUNT; i++) {
        if (strcmp(word, ops_export_words[i]) != 0) continue;
        *out = (ops_export_format)i;
        return OK;
    }
    return fault_set(why, E_INPUT, "export: --as is %.60s; it must be json, csv, geojson, dxf or gauges",
                     word ? word : "missing");
}

static status give(const text *bytes, const char *file, fault *why) {
    if (file && strcmp(file, "-") != 0) return file_write(file, text_get(bytes), bytes->length, why);
    fwrite(text_get(bytes), 1, bytes->length, stdout);
    return OK;
}

int cli_export(int argc, char **argv) {
    const char *as = NULL, *units = NULL;
    bool form = false;
    const options_item items[] = {
        {"--as", "FORMAT", "json, csv, geojson, dxf, or gauges: their readings as CSV (default json)", &as,
         NULL},
        {"--template", NULL, "an empty CSV form for stations, with examples; needs no job", NULL, &form},
        {"--units", "metric|us", "units of the form (default metric)", &units, NULL},
    };
    const options_table table = {
        "export",
        "[JOB] [FILE]",
        "Writes the survey to FILE, or to standard output. What is exported imports again without a change.",
        items,
        3,
        0,
        2};
    fault why = {0};
    size_t n;
    bool done;
    text bytes = {0};
    ops_export_format format = EXPORT_JSON;
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK && units && strcmp(units, "us") != 0 && strcmp(units, "metric") != 0)
        code = fault_set(&why, E_INPUT, "export: --units is %.60s; it must be metric or us", units);
    if (code == OK && !form && n == 0)
        code = fault_set(&why, E_INPUT, "export: which job? use: stanch export JOB --as FORMAT [FILE]");
    if (code == OK && form && n > 1)
        code = fault_set(&why, E_INPUT, "export: --template takes at most a file to write to");
    if (code == OK && as) code = read_format(as, &format, &why);
    if (code == OK && form) {
        survey_write_template(units && strcmp(units, "us") == 0 ? UNITS_US : UNITS_METRIC, &bytes);
        if (bytes.failed) code = fault_memory(&why);
    } else if (code == OK)
        code = ops_export(argv[1], format, &bytes, &why);
    if (code == OK) code = give(&bytes, form ? (n > 0 ? argv[1] : NULL) : (n > 1 ? argv[2] : NULL), &why);
    text_free(&bytes);
    return code == OK ? 0 : cli_fail(&why);
}
