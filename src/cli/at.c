#include "cli/cli.h"
#include "cli/options.h"
#include "cli/planes.h"
#include "cli/today.h"
#include "cli/wrap.h"
#include "core/units.h"
#include "ops/works_at.h"

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>

enum { LINE = 600 };

static const char *text_of(const json_t *object, const char *name) {
    const char *words = json_string_value(json_object_get(object, name));
    return words ? words : "";
}

/* "3 of at most 0.30 l, each within 1.5 min, set after 2.5 min, 0.02 l left over" */
static void say_batches(const json_t *of, char into[LINE]) {
    const char *set = text_of(of, "set");
    snprintf(into, LINE, "%s of at most %s, each within %s%s%s; %s left over", text_of(of, "batches"),
             text_of(of, "size"), text_of(of, "usable"), *set ? ", set after " : "", set,
             text_of(of, "waste"));
}

static void print_batch(const json_t *row, const char *at) {
    char label[LINE], line[LINE], words[LINE + 40];
    const char *saying = text_of(row, "saying");
    snprintf(label, sizeof label, "%s, %s", text_of(row, "step"), text_of(row, "material"));
    wrap_print(stdout, "", label, 2);
    say_batches(json_object_get(row, "now"), line);
    wrap_print(stdout, "  as planned: ", line, 14);
    say_batches(json_object_get(row, "at"), line);
    snprintf(words, sizeof words, "  at %s: ", at);
    wrap_print(stdout, words, *saying ? saying : line, 14);
}

static void print_all(const json_t *root) {
    const char *at = text_of(root, "at"), *problem = text_of(root, "problem");
    char words[2 * LINE];
    size_t i;
    const json_t *row;
    json_array_foreach(json_object_get(root, "rows"), i, row) {
        snprintf(words, sizeof words, "%s; at %s: %s", text_of(row, "now"), at,
                 *problem ? "no plan" : text_of(row, "at"));
        printf("%s\n", text_of(row, "label"));
        wrap_print(stdout, "  ", words, 2);
    }
    if (*problem) wrap_print(stdout, "No plan there: ", problem, 2);
    if (json_array_size(json_object_get(root, "batches"))) printf("\nBatches\n");
    json_array_foreach(json_object_get(root, "batches"), i, row) print_batch(row, at);
    json_array_foreach(json_object_get(root, "warnings"), i, row)
        wrap_print(stdout, i == 0 ? "\n- " : "- ", json_string_value(row), 2);
}

static status print_text(const text *out, bool json, fault *why) {
    if (json) {
        printf("%s\n", text_get(out));
        return OK;
    }
    json_t *root = json_loads(text_get(out), 0, NULL);
    if (!root) return fault_memory(why);
    print_all(root);
    json_decref(root);
    return OK;
}

static status read_temperature(const char *given, units_system system, double *c, fault *why) {
    char *end;
    double shown = strtod(given, &end);
    if (end == given || *end)
        return fault_set(why, E_INPUT, "at: TEMPERATURE is %.40s; it must be a number", given);
    *c = units_to_si(UNITS_TEMPERATURE, system, shown);
    return OK;
}

int cli_at(int argc, char **argv) {
    bool json = false;
    const options_item items[] = {{"--json", NULL, "as JSON, with all texts", NULL, &json}};
    const options_table table = {
        "at",
        "JOB TEMPERATURE",
        "What the works would be with air, wall, water and mix at TEMPERATURE, in C or F as the "
        "job, beside what they are: end, service, batches, use-by. Nothing is kept.",
        items,
        1,
        2,
        2};
    fault why = {0};
    size_t n;
    bool done;
    ops_job job = {0};
    text out = {0};
    char clock[LOCAL_TEXT];
    ops_plan_request request = {0};
    works_at_request at = {.now = clock};
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = planes_read(NULL, &request, &why);
    if (code == OK) code = planes_works(NULL, clock, &request, &why);
    at.utc_offset_min = request.utc_offset_min;
    if (code == OK) code = ops_look(argv[1], &request, &job, &why);
    if (code == OK) code = read_temperature(argv[2], job.survey->site.system, &at.temperature_c, &why);
    if (code == OK) code = ops_works_at_json(argv[1], job.plan, &at, &out, &why);
    if (code == OK) code = print_text(&out, json, &why);
    text_free(&out);
    ops_job_free(&job);
    return code == OK ? 0 : cli_fail(&why);
}
