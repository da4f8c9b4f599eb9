/* Any bytes as a table of a tank's readings: no crash; a table that is refused keeps nothing and says why, one that is taken adds
 * nothing when it comes again. */
#include "accept/watertest.h"
#include "ops/proof.h"
#include "store/store.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

enum { LONGEST = 20000 };

static void make_job(const char *path) {
    survey_tank tank = {.id = "T1",
                        .name = "tank",
                        .capacity_m3 = 200,
                        .plan_area_m2 = 50,
                        .depth_m = 4,
                        .criterion = CRITERION_AWWA_D110};
    fault why = {0};
    survey *s = survey_new();
    if (!s) abort();
    s->tanks = &tank;
    s->n_tanks = 1;
    if (store_create(path, s, &why) != OK) abort();
    survey_free(s);
}

static status take(const char *path, const char *csv, size_t length, size_t *kept) {
    static const ops_actor actor = {"N. N.", "2026-04-30T12:00:00Z", "command"};
    const ops_tank_readings readings = {"T1", "N. N.", "2026-04-01T08:00:00Z", "tank.csv", csv, length};
    fault_list *faults = fault_list_new();
    fault why = {0};
    status code = ops_tank_import(path, &readings, &actor, faults, kept, &why);
    if (code != OK && (*kept > 0 || !*why.text)) abort();
    fault_list_free(faults);
    return code;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    static const char *const ends[] = {"", "-wal", "-shm"};
    char folder[] = "/dev/shm/stanch-fuzz-XXXXXX", path[64], name[80];
    size_t kept = 0;
    if (access("/dev/shm", W_OK) != 0)
        memcpy(folder, "/tmp/stanch-fuzz-XXXXXX", sizeof "/tmp/stanch-fuzz-XXXXXX");
    if (length > LONGEST || !mkdtemp(folder)) return 0;
    snprintf(path, sizeof path, "%s/a.stanch", folder);
    char *csv = malloc(length + 1);
    if (!csv) abort();
    if (length > 0) memcpy(csv, bytes, length);
    csv[length] = '\0';
    make_job(path);
    if (take(path, csv, length, &kept) == OK && (take(path, csv, length, &kept) != OK || kept != 0)) abort();
    free(csv);
    for (int i = 0; i < 3; i++) {
        snprintf(name, sizeof name, "%s%s", path, ends[i]);
        unlink(name);
    }
    rmdir(folder);
    return 0;
}
