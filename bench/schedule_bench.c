/* schedule_bench.c - the scheduling kernel beside published figures, its speed, and a large job.
 *
 * usage: schedule_bench psplib DATA SET [SCHEDULES...]   SET j30 or j60; 1000, 5000 and 50000 unless told
 *        schedule_bench speed DATA SET                   passes of the two generators a second
 *        schedule_bench job [SCHEDULES]                  300 leaks, 3,000 tasks with lags and shifts
 * Deviations are averages in percent: j30 above the optimum, j60 above the critical path. One pass of a generator is one
 * schedule. Seed 1; seconds are processor seconds of one core. The job is invented. */
#include "../tests/patterson.h"
#include "../tests/schedule_check.h"
#include "crew/schedule_order.h"
#include "crew/schedule_place.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static void stop(const char *what) {
    fprintf(stderr, "%s\n", what);
    exit(1);
}

static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* ---- published instances ---- */

static patterson_case *read_set(const char *folder, const char *set, arena *memory, size_t *n) {
    patterson_case *cases =
        patterson_read(folder, set, strcmp(set, "j30") == 0 ? "j30_optimum" : "j60_best_known", memory, n);
    if (!cases) stop("schedule_bench: no such set in DATA/schedule");
    return cases;
}

static void run_set(const patterson_case *cases, size_t n, bool optimum, schedule_way way, long schedules) {
    static const char *const names[] = {"search", "sampling, random", "sampling, latest finish"};
    double deviation = 0, seconds = now_s(), made = 0;
    size_t best = 0, proved = 0;
    for (size_t i = 0; i < n; i++) {
        arena *memory = arena_new();
        schedule_options options = {.schedules = schedules, .seed = 1, .way = way};
        schedule_result out;
        fault why;
        if (!memory || schedule_solve(&cases[i].problem, &options, memory, &out, &why) != OK)
            stop(cases[i].name);
        if (optimum && out.makespan < cases[i].known) stop("shorter than the optimum");
        if (out.lower_bound > cases[i].known) stop("a bound above a known plan");
        char told[200];
        if (!schedule_holds(&cases[i].problem, out.start, told, sizeof told)) stop(told);
        int against = optimum ? cases[i].known : cases[i].critical_path;
        deviation += 100.0 * (out.makespan - against) / against;
        made += (double)out.schedules;
        best += out.makespan <= cases[i].known;
        proved += out.makespan == out.lower_bound;
        arena_free(memory);
    }
    seconds = now_s() - seconds;
    printf(
        "%-24s %6ld schedules: %6.3f %%, %zu of %zu at the best known, %zu proved, %.0f schedules a second\n",
        names[way], schedules, deviation / (double)n, best, n, proved, made / seconds);
    fflush(stdout);
}

static void psplib(int argc, char **argv) {
    arena *memory = arena_new();
    size_t n;
    bool optimum = strcmp(argv[3], "j30") == 0;
    patterson_case *cases = read_set(argv[2], argv[3], memory, &n);
    long given[3] = {1000, 5000, 50000}, n_given = 3;
    if (argc > 4) n_given = 0;
    for (int i = 4; i < argc && n_given < 3; i++) given[n_given++] = strtol(argv[i], NULL, 10);
    puts("published (values from memory), 1,000/5,000/50,000 schedules:");
    puts(optimum ? "  random 1.44/1.00/0.51, latest finish 0.83/0.53/0.27, genetic 0.54/0.25/0.08, hybrid "
                   "0.27/0.06/0.02"
                 : "  random 15.94/15.17/14.22, latest finish 13.96/13.53/12.97, genetic 12.68/11.89/11.23, "
                   "hybrid 11.56/11.10/10.73");
    for (int i = 0; i < n_given; i++) {
        if (given[i] <= 5000) {
            run_set(cases, n, optimum, SCHEDULE_SAMPLE_RANDOM, given[i]);
            run_set(cases, n, optimum, SCHEDULE_SAMPLE_LATEST, given[i]);
        }
        run_set(cases, n, optimum, SCHEDULE_SEARCH, given[i]);
    }
    arena_free(memory);
}

static void speed(char **argv) {
    enum { EACH = 500 };
    arena *memory = arena_new();
    size_t n;
    double seconds[2] = {0}, length[2] = {0};
    patterson_case *cases = read_set(argv[2], argv[3], memory, &n);
    for (size_t i = 0; i < n; i++) {
        model *m;
        generator g;
        order_maker maker;
        fault why;
        random_source random = {1};
        if (model_make(&cases[i].problem, memory, &m, &why) != OK || !generator_open(&g, m)) stop("model");
        int *orders = arena_get(memory, EACH * (size_t)m->n_blocks, sizeof *orders);
        if (!orders || !order_open(&maker, m, memory)) stop("memory");
        for (int k = 0; k < EACH; k++)
            order_sample(&maker, m, &random, true, orders + (size_t)k * (size_t)m->n_blocks);
        for (int way = 0; way < 2; way++) {
            double from = now_s();
            for (int k = 0; k < EACH; k++) {
                const int *order = orders + (size_t)k * (size_t)m->n_blocks;
                if ((way ? generator_parallel(&g, order) : generator_serial(&g, order)) != PLACED)
                    stop("pass");
                length[way] += g.makespan;
            }
            seconds[way] += now_s() - from;
        }
        generator_close(&g);
    }
    double passes = (double)n * EACH;
    printf("serial %.0f, parallel %.0f passes a second, ratio %.1f; mean length %.2f and %.2f\n",
           passes / seconds[0], passes / seconds[1], seconds[1] / seconds[0], length[0] / passes,
           length[1] / passes);
    arena_free(memory);
}

/* ---- a large job ---- */

enum {
    LEAKS = 300,
    STEPS = 10,
    CUTTER = 0,
    PLACER,
    MIXER,
    COMPRESSOR,
    LIFT,
    VACUUM,
    PEOPLE,
    KINDS,
    DAYS = 600
};

typedef struct {
    const char *name;
    int least, most; /* minutes, of 5 */
    int needs[KINDS];
    int min_lag, max_lag; /* after the one before */
    bool any_time;        /* runs by itself, nights too */
} step;

/* cutter, placer, mixer, compressor, lift, vacuum, people; the lift for every third leak only */
static const step chain[STEPS] = {
    {"cut", 60, 180, {1, 0, 0, 0, 1, 1, 1}, 0, SCHEDULE_NO_LIMIT, false},
    {"wash", 15, 30, {0, 0, 0, 1, 1, 0, 1}, 0, SCHEDULE_NO_LIMIT, false},
    {"soak", 240, 240, {0, 0, 0, 0, 0, 0, 0}, 0, 60, true},
    {"plug", 15, 45, {0, 1, 1, 0, 1, 0, 2}, 0, 960, false},
    {"coat", 10, 20, {0, 1, 1, 0, 1, 0, 1}, 10, 240, false},
    {"pack", 20, 60, {0, 1, 0, 0, 1, 0, 2}, 0, 0, false},
    {"mist", 5, 5, {0, 0, 0, 0, 1, 0, 1}, 30, 1440, false},
    {"last coat", 10, 20, {0, 1, 1, 0, 1, 0, 1}, 0, 30, false},
    {"cure", 2880, 2880, {0, 0, 0, 0, 0, 0, 0}, 0, SCHEDULE_NO_LIMIT, true},
    {"prove", 15, 15, {0, 0, 0, 0, 0, 0, 1}, 0, SCHEDULE_NO_LIMIT, false},
};
static const schedule_resource kinds[KINDS] = {{"cutter", 2}, {"placer", 2}, {"mixer", 1}, {"compressor", 1},
                                               {"lift", 1},   {"vacuum", 2}, {"people", 6}};

static size_t make_shifts(schedule_window *to) {
    size_t n = 0;
    for (int day = 0; day < DAYS; day++) {
        if (day % 7 >= 5) continue;
        to[n++] = (schedule_window){day * 1440, day * 1440 + 240};
        to[n++] = (schedule_window){day * 1440 + 270, day * 1440 + 510};
    }
    return n;
}

static void make_tasks(schedule_task *tasks, arena *memory) {
    random_source random = {1};
    for (int leak = 0; leak < LEAKS; leak++)
        for (int i = 0; i < STEPS; i++) {
            const step *s = &chain[i];
            int *needs = arena_get(memory, KINDS, sizeof *needs);
            schedule_after *after = arena_get(memory, 1, sizeof *after);
            char *id = arena_print(memory, "%s %d", s->name, leak + 1);
            if (!needs || !after || !id) stop("memory");
            memcpy(needs, s->needs, sizeof s->needs);
            if (leak % 3) needs[LIFT] = 0;
            *after = (schedule_after){(size_t)(leak * STEPS + i - 1), s->min_lag, s->max_lag};
            tasks[leak * STEPS + i] =
                (schedule_task){.id = id,
                                .minutes = s->least + 5 * random_below(&random, (s->most - s->least) / 5 + 1),
                                .needs = needs,
                                .after = after,
                                .n_after = i > 0,
                                .calendar = s->any_time ? SCHEDULE_ALWAYS : 0};
        }
}

static void job(long schedules) {
    static schedule_window windows[2 * DAYS];
    static schedule_task tasks[LEAKS * STEPS];
    arena *memory = arena_new();
    schedule_calendar calendar = {windows, make_shifts(windows)};
    schedule_problem problem = {kinds, KINDS, tasks, LEAKS * STEPS, &calendar, 1};
    schedule_options options = {.schedules = schedules, .seed = 1};
    schedule_result out;
    fault why = {0};
    char told[200];
    make_tasks(tasks, memory);
    double from = now_s();
    if (schedule_solve(&problem, &options, memory, &out, &why) != OK) stop(why.text);
    double seconds = now_s() - from;
    if (!schedule_holds(&problem, out.start, told, sizeof told)) stop(told);
    printf("%d leaks, %d tasks: %.2f s, %ld schedules (%.0f a second); %d minutes (%.1f days), bound %d, gap "
           "%.2f %%\n",
           LEAKS, LEAKS * STEPS, seconds, out.schedules, (double)out.schedules / seconds, out.makespan,
           out.makespan / 1440.0, out.lower_bound,
           100.0 * (out.makespan - out.lower_bound) / out.lower_bound);
    arena_free(memory);
}

int main(int argc, char **argv) {
    if (argc > 3 && strcmp(argv[1], "psplib") == 0)
        psplib(argc, argv);
    else if (argc > 3 && strcmp(argv[1], "speed") == 0)
        speed(argv);
    else if (argc > 1 && strcmp(argv[1], "job") == 0)
        job(argc > 2 ? strtol(argv[2], NULL, 10) : 5000);
    else
        stop("usage: schedule_bench psplib DATA SET [SCHEDULES...] | speed DATA SET | job [SCHEDULES]");
    return 0;
}
