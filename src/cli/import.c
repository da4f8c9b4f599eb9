#include "cli/actor.h"
#include "cli/cli.h"
#include "cli/options.h"
#include "cli/wrap.h"
#include "core/text.h"

#include <stdint.h>
#include <stdio.h>

static int print_faults(const fault_list *faults, const fault *why) {
    if (fault_list_count(faults) < 2) return cli_fail(why);
    for (size_t i = 0; i < fault_list_kept(faults); i++)
        fprintf(stderr, "stanch: %s\n", fault_list_text(faults, i));
    size_t hidden = fault_list_count(faults) - fault_list_kept(faults);
    if (hidden > 0) fprintf(stderr, "stanch: and %zu more\n", hidden);
    fprintf(stderr, "stanch: %zu faults; nothing was changed\n", fault_list_count(faults));
    return fault_exit(why->code);
}

static status import_files(char **argv, size_t n, fault_list *faults, ops_import_result *result, fault *why) {
    actor_texts texts;
    ops_actor actor;
    status code = actor_read(&texts, &actor, why);
    const char **files = mem_zero(n, sizeof *files);
    if (code == OK && !files) code = fault_memory(why);
    for (size_t i = 1; files && i < n; i++) files[i - 1] = argv[i + 1];
    const ops_import_request request = {.files = files, .n = n - 1};
    if (code == OK) code = ops_import(argv[1], &request, &actor, faults, result, why);
    mem_free(files);
    return code;
}

static void add_count(text *to, const char *before, size_t n, const char *one) {
    text_print(to, "%s%zu %s%s", before, n, one, n == 1 ? "" : "s");
}

static void print_result(const char *job, const ops_import_result *r) {
    text said = {0};
    add_count(&said, "", r->faces, "face");
    add_count(&said, ", ", r->defects, "leak");
    add_count(&said, ", ", r->stations, "station");
    add_count(&said, ", ", r->flows, "flow reading");
    add_count(&said, ", ", r->readings, "gauge reading");
    if (r->tanks) add_count(&said, ", ", r->tanks, "tank");
    text_add(&said, ".");
    const struct {
        size_t n;
        const char *one;
    } changed[] = {{r->rates, "rate"}, {r->prices, "price"}, {r->materials, "material"}};
    const char *before = " New or changed: ";
    for (size_t i = 0; i < sizeof changed / sizeof *changed; i++) {
        if (!changed[i].n) continue;
        add_count(&said, before, changed[i].n, changed[i].one);
        before = ", ";
    }
    if (*before == ',') text_add(&said, ".");
    text_print(&said, " Next: stanch plan %s", job);
    text label = {0};
    text_print(&label, "%s: ", job);
    wrap_print(stdout, text_get(&label), text_get(&said), 2);
    text_free(&label);
    text_free(&said);
}

int cli_import(int argc, char **argv) {
    const options_table table = {
        "import",
        "JOB FILE...",
        "Merges survey JSON (.json), GeoJSON in face metres (.geojson), CSV (.csv) and the "
        "typical year of a weather station (.epw) into the job: faces by id, "
        "leaks by mark. A CSV holds stations, readings of gauges "
        "(mark,gauge,on,width_mm,temperature_c), a log of the air (on,air_c) or a forecast "
        "(hour,air_c,humidity_percent,wind_km_h): its heading "
        "tells which; readings and days are added to those of the job, a forecast replaces the last. All or "
        "nothing: with any fault in any "
        "file the job stays as "
        "it was, and every fault is listed.",
        NULL,
        0,
        2,
        SIZE_MAX};
    fault why = {0};
    size_t n;
    bool done;
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code != OK) return cli_fail(&why);
    if (done) return 0;
    fault_list *faults = fault_list_new();
    if (!faults) {
        fault_memory(&why);
        return cli_fail(&why);
    }
    ops_import_result result = {0};
    code = import_files(argv, n, faults, &result, &why);
    int exit_code = 0;
    if (code != OK)
        exit_code = print_faults(faults, &why);
    else
        print_result(argv[1], &result);
    fault_list_free(faults);
    return exit_code;
}
