#include "ops/gauge.h"
#include "cli/actor.h"
#include "cli/cli.h"
#include "cli/options.h"
#include "core/text.h"

#include <stdio.h>

static status read_number(const char *name, const char *given, double *out, fault *why) {
    if (text_to_number(given, out)) return OK;
    return fault_set(why, E_INPUT, "gauge: %s is %.40s; it must be a number", name, given);
}

static status run(char **operands, ops_gauge *reading, const char *temperature, const char *by, fault *why) {
    actor_texts texts;
    ops_actor actor;
    ops_leak_change now;
    status code = read_number("WIDTH", operands[2], &reading->width, why);
    reading->temperature.known = temperature != NULL;
    if (code == OK && temperature)
        code = read_number("--temperature", temperature, &reading->temperature.v, why);
    if (code == OK) code = actor_read(&texts, &actor, why);
    if (code != OK) return code;
    if (by) actor.by = by;
    reading->mark = operands[1];
    code = ops_gauge_add(operands[0], reading, &actor, &now, why);
    if (code != OK) return code;
    printf("%s on %s: %s. Next: stanch plan %s\n", reading->mark, reading->on,
           now.changed ? "kept" : "was there already", operands[0]);
    return OK;
}

int cli_gauge(int argc, char **argv) {
    ops_gauge reading = {0};
    const char *date = NULL, *temperature = NULL, *by = NULL;
    const options_item items[] = {
        {"--on", "YYYY-MM-DD", "when it was read (default today)", &date, NULL},
        {"--gauge", "NAME", "which gauge, where the leak has several", &reading.gauge, NULL},
        {"--temperature", "DEGREES", "of the concrete; without it the log of the air is needed", &temperature,
         NULL},
        {"--by", "NAME", "who read it (default: the login name)", &by, NULL},
    };
    const options_table table = {
        "gauge",
        "JOB MARK WIDTH",
        "Keeps one reading of a gauge across a crack, in the units of the job: mm and C, or in "
        "and F; e.g. stanch gauge cellar.stanch C1 0.42 --temperature 11.5. Many readings: stanch import "
        "takes a CSV. What they say about the movement stands in the next plan.",
        items,
        4,
        3,
        3};
    fault why = {0};
    size_t n;
    bool done;
    char today[TODAY_TEXT];
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = today_read(date, today, &why);
    reading.on = today;
    if (code == OK) code = run(argv + 1, &reading, temperature, by, &why);
    return code == OK ? 0 : cli_fail(&why);
}
