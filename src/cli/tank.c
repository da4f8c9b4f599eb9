#include "cli/actor.h"
#include "cli/cli.h"
#include "cli/options.h"
#include "core/file.h"
#include "core/mem.h"
#include "ops/proof.h"

#include <stdio.h>

static int print_faults(const fault_list *faults, const fault *why) {
    if (fault_list_count(faults) < 2) return cli_fail(why);
    for (size_t i = 0; i < fault_list_kept(faults); i++)
        fprintf(stderr, "stanch: %s\n", fault_list_text(faults, i));
    size_t hidden = fault_list_count(faults) - fault_list_kept(faults);
    if (hidden > 0) fprintf(stderr, "stanch: and %zu more\n", hidden);
    fprintf(stderr, "stanch: %zu faults; no reading was kept\n", fault_list_count(faults));
    return fault_exit(why->code);
}

static status take(char **operands, ops_tank_readings *readings, fault_list *faults, size_t *kept,
                   fault *why) {
    char *bytes = NULL;
    actor_texts texts;
    ops_actor actor;
    if (!readings->by) return fault_set(why, E_INPUT, "tank: --by NAME is missing: who read the levels?");
    status code = file_read(operands[2], &bytes, &readings->length, why);
    if (code == OK) code = actor_read(&texts, &actor, why);
    readings->tank = operands[1];
    readings->name = operands[2];
    readings->csv = bytes;
    if (code == OK) code = ops_tank_import(operands[0], readings, &actor, faults, kept, why);
    mem_free(bytes);
    return code;
}

int cli_tank(int argc, char **argv) {
    ops_tank_readings readings = {0};
    const options_item items[] = {
        {"--by", "NAME", "who read it: a person's name", &readings.by, NULL},
        {"--from", "TIME", "of hour 0 where the file has hours, in UTC, as 2026-03-01T09:30:00Z",
         &readings.from, NULL},
    };
    const options_table table = {
        "tank",
        "JOB TANK FILE.csv",
        "Keeps the readings of a tank's test as records: one a row, with at (UTC) or hours, "
        "level_mm, tank_water_c, pan_level_mm, rain_mm (in US units level_in, tank_water_f "
        "...); rain is that since the row before. The same file again adds nothing. All or "
        "nothing: every fault is listed. What they say: stanch accept JOB.",
        items,
        2,
        3,
        3};
    fault why = {0};
    size_t n, kept = 0;
    bool done;
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code != OK) return cli_fail(&why);
    fault_list *faults = fault_list_new();
    code = faults ? take(argv + 1, &readings, faults, &kept, &why) : fault_memory(&why);
    int exit_code = code == OK || !faults ? 0 : print_faults(faults, &why);
    if (!faults) exit_code = cli_fail(&why);
    fault_list_free(faults);
    if (code == OK)
        printf("tank %s: %zu reading%s kept%s. Next: stanch accept %s\n", argv[2], kept, kept == 1 ? "" : "s",
               kept ? "" : ", all were there", argv[1]);
    return exit_code;
}
