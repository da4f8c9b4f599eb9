#include "patterson.h"

#include <stdio.h>
#include <string.h>

enum { MOST_CASES = 1000, MOST_TASKS = 200, MOST_RESOURCES = 8 };

typedef struct {
    FILE *from;
    int n, resources;
    int duration[MOST_TASKS], need[MOST_TASKS][MOST_RESOURCES], capacity[MOST_RESOURCES];
    int n_before[MOST_TASKS], before[MOST_TASKS][MOST_TASKS];
} sheet;

static bool number(sheet *s, int low, int high, int *out) {
    return fscanf(s->from, "%d", out) == 1 && *out >= low && *out <= high;
}

static bool read_task(sheet *s, int t) {
    int followers, to;
    if (!number(s, 0, 1000, &s->duration[t])) return false;
    for (int r = 0; r < s->resources; r++)
        if (!number(s, 0, 1000, &s->need[t][r])) return false;
    if (!number(s, 0, MOST_TASKS, &followers)) return false;
    for (int i = 0; i < followers; i++) {
        if (!number(s, t + 2, s->n, &to)) return false;
        s->before[to - 1][s->n_before[to - 1]++] = t;
    }
    return true;
}

static bool read_sheet(sheet *s) {
    FILE *from = s->from;
    *s = (sheet){.from = from};
    if (!number(s, 1, MOST_TASKS, &s->n) || !number(s, 0, MOST_RESOURCES, &s->resources)) return false;
    for (int r = 0; r < s->resources; r++)
        if (!number(s, 0, 1000, &s->capacity[r])) return false;
    for (int t = 0; t < s->n; t++)
        if (!read_task(s, t)) return false;
    return true;
}

static bool keep(const sheet *s, arena *memory, patterson_case *to) {
    size_t n = (size_t)s->n, m = (size_t)s->resources;
    schedule_resource *resources = arena_get(memory, m, sizeof *resources);
    schedule_task *tasks = arena_get(memory, n, sizeof *tasks);
    int end[MOST_TASKS] = {0};
    if (!resources || !tasks) return false;
    for (size_t r = 0; r < m; r++) resources[r] = (schedule_resource){"R", s->capacity[r]};
    for (size_t t = 0; t < n; t++) {
        int *needs = arena_get(memory, m, sizeof *needs);
        schedule_after *after = arena_get(memory, (size_t)s->n_before[t], sizeof *after);
        char *id = arena_print(memory, "%zu", t + 1);
        if (!needs || !after || !id) return false;
        memcpy(needs, s->need[t], m * sizeof *needs);
        for (int a = 0; a < s->n_before[t]; a++) {
            after[a] = (schedule_after){(size_t)s->before[t][a], 0, SCHEDULE_NO_LIMIT};
            if (end[after[a].task] > end[t]) end[t] = end[after[a].task];
        }
        end[t] += s->duration[t];
        if (end[t] > to->critical_path) to->critical_path = end[t];
        tasks[t] = (schedule_task){.id = id,
                                   .minutes = s->duration[t],
                                   .needs = needs,
                                   .after = after,
                                   .n_after = (size_t)s->n_before[t],
                                   .calendar = SCHEDULE_ALWAYS};
    }
    to->problem = (schedule_problem){.resources = resources, .n_resources = m, .tasks = tasks, .n_tasks = n};
    return true;
}

static FILE *unpack(const char *folder, const char *set, const char *how) {
    char command[1200];
    if (strchr(folder, '\'') || strlen(folder) > 1000) return NULL;
    snprintf(command, sizeof command, "tar -%sf '%s/schedule/%s.tar.gz' --wildcards '*.rcp' 2>&1", how,
             folder, set);
    return popen(command, "r");
}

/* "j30/j30_44_4.rcp" becomes "j30_44_4". */
static bool read_names(FILE *from, patterson_case *cases, size_t *n) {
    char line[200];
    while (from && fgets(line, sizeof line, from)) {
        char *name = strrchr(line, '/'), *end = strstr(line, ".rcp");
        name = name ? name + 1 : line;
        if (!end || *n == MOST_CASES || end - name >= (long)sizeof cases->name) return false;
        memcpy(cases[*n].name, name, (size_t)(end - name));
        (*n)++;
    }
    return from && *n > 0;
}

static bool read_known(const char *folder, const char *table, patterson_case *cases, size_t n) {
    char path[1200], line[200];
    size_t found = 0;
    snprintf(path, sizeof path, "%s/schedule/%s.csv", folder, table);
    FILE *from = fopen(path, "r");
    while (from && fgets(line, sizeof line, from)) {
        char name[32];
        int known;
        if (sscanf(line, "%31[^,],%d", name, &known) != 2) continue;
        for (size_t i = 0; i < n; i++)
            if (strcmp(cases[i].name, name) == 0) {
                cases[i].known = known;
                found++;
            }
    }
    if (from) fclose(from);
    return found == n;
}

patterson_case *patterson_read(const char *folder, const char *set, const char *table, arena *memory,
                               size_t *n) {
    static sheet s; /* too large for the stack */
    patterson_case *cases = arena_get(memory, MOST_CASES, sizeof *cases);
    *n = 0;
    FILE *names = unpack(folder, set, "tz");
    bool good = cases && read_names(names, cases, n) && read_known(folder, table, cases, *n);
    if (names) good &= pclose(names) == 0;
    if (!good) return NULL;
    s.from = unpack(folder, set, "xOz"); /* one after the other: each says how long it is */
    if (!s.from) return NULL;
    for (size_t i = 0; good && i < *n; i++) good = read_sheet(&s) && keep(&s, memory, &cases[i]);
    good &= pclose(s.from) == 0;
    return good ? cases : NULL;
}
