/* Who does each task, at random: nobody in two places at once, skills, against all ways, large plans; twice the same. */
#include "../near.h"
#include "hands_job.h"

#include <inttypes.h>
#include <string.h>

static uint64_t next_random(uint64_t *seed) {
    *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407); /* Knuth, MMIX */
    return *seed >> 33;
}

static int below(uint64_t *seed, int n) {
    return (int)(next_random(seed) % (uint64_t)n);
}

/* Everybody cuts or places, some do both, some mix: what a crew looks like. */
static void random_crew(hands_job *j, uint64_t *seed) {
    for (size_t w = 0; w < j->plan.n_workers; w++) {
        j->workers[w].cuts = w % 2 || below(seed, 2);
        j->workers[w].places = w % 2 == 0 || below(seed, 2);
        j->workers[w].mixes = w % 3 == 0 || below(seed, 2);
    }
}

static void random_people(hands_job *j, uint64_t *seed) {
    for (size_t w = 0; w < j->plan.n_workers; w++) {
        j->workers[w].cuts = below(seed, 3) != 0;
        j->workers[w].places = below(seed, 2);
        j->workers[w].mixes = below(seed, 2);
    }
}

static void random_task(hands_job *j, uint64_t *seed, int leaks, int day) {
    int from = 420 + 5 * below(seed, 80), minutes = 5 * (1 + below(seed, 24));
    size_t leak = (size_t)below(seed, leaks);
    bool cuts = below(seed, 2);
    works_task *t =
        hands_job_add(j, cuts ? "cut" : "plug", leak, day * 1440 + from, day * 1440 + from + minutes);
    if (cuts) t->people[WORKER_CUTTER] = 1;
    if (!cuts) t->people[WORKER_PLACER] = t->people[WORKER_MIXER] = 1;
    if (cuts && below(seed, 3) == 0) t->people[WORKER_ANY] = 1;
}

/* All ways to fill all places: the least worst day, HUGE_VAL where no way fills all. */
typedef struct {
    hands_job *j;
    int teams[HANDS_JOB_TASKS][4];
    double least;
} slow;

static bool busy(const slow *b, size_t task, int worker) {
    const works_task *t = &b->j->tasks[task];
    for (size_t i = 0; i <= task; i++) {
        const works_task *o = &b->j->tasks[i];
        if (i != task && (o->end_min <= t->start_min || t->end_min <= o->start_min)) continue;
        for (size_t k = 0; k < o->n_workers; k++)
            if (o->workers[k] == worker) return true;
    }
    return false;
}

static void try_all(slow *b, size_t task) {
    hands_job *j = b->j;
    if (task == j->plan.n_tasks) {
        double worst = 0;
        for (int w = 0; w < (int)j->plan.n_workers; w++) worst = fmax(worst, hands_job_points_of(j, w, 0));
        b->least = fmin(b->least, worst);
        return;
    }
    works_task *t = &j->tasks[task];
    if ((int)t->n_workers == hands_job_wanted(t)) {
        try_all(b, task + 1);
        return;
    }
    int kind = 0, before = 0;
    while (before + t->people[kind] <= (int)t->n_workers) before += t->people[kind++];
    for (int w = 0; w < (int)j->plan.n_workers; w++) {
        if (!hands_job_able(j, w, kind) || busy(b, task, w)) continue;
        t->workers[t->n_workers++] = w;
        try_all(b, task);
        t->n_workers--;
    }
}

static double by_brute_force(hands_job *j) {
    static slow b;
    b = (slow){.j = j, .least = HUGE_VAL};
    for (size_t t = 0; t < j->plan.n_tasks; t++) {
        j->tasks[t].workers = b.teams[t];
        j->tasks[t].n_workers = 0;
    }
    try_all(&b, 0);
    for (size_t t = 0; t < j->plan.n_tasks; t++) {
        j->tasks[t].workers = NULL;
        j->tasks[t].n_workers = 0;
    }
    return b.least;
}

/* Where a way exists that fills all places one is found; the worst day is the least one, or nearly. */
static void against_brute_force(void **state) {
    (void)state;
    uint64_t seed = 20250301;
    int possible = 0, unfilled = 0, equal = 0, passed = 0;
    double worst_ratio = 1;
    print_message("seed %" PRIu64 "\n", seed);
    for (int run = 0; run < 1500; run++) {
        static hands_job j;
        hands_job_begin(&j, 2 + below(&seed, 3), 3);
        random_people(&j, &seed);
        j.defects[0].slot_faces = below(&seed, 4) == 0 ? SLOT_CHIPPED : SLOT_SAWN;
        int n = 3 + below(&seed, 4);
        for (int i = 0; i < n; i++) random_task(&j, &seed, 3, 0);
        double least = by_brute_force(&j), worst = 0;
        hands_job_assign(&j);
        hands_job_check_people(&j);
        hands_job_check_days(&j);
        bool full = true;
        for (size_t t = 0; t < j.plan.n_tasks; t++)
            full &= (int)j.tasks[t].n_workers == hands_job_wanted(&j.tasks[t]);
        if (isfinite(least)) {
            possible++;
            unfilled += !full;
            for (int w = 0; w < (int)j.plan.n_workers; w++)
                worst = fmax(worst, hands_job_points_of(&j, w, 0));
            double ratio = fmax(worst, 100) / fmax(least, 100);
            if (full) {
                assert_true(ratio > 1 - 1e-9);
                equal += ratio < 1 + 1e-9;
                passed += worst > 100.0001 && least < 100.0001;
                worst_ratio = fmax(worst_ratio, ratio);
            }
        } else {
            assert_false(full);
        }
        hands_job_end(&j);
    }
    print_message("%d possible, %d left short, %d least, worst ratio %.3f, %d pass that need not\n", possible,
                  unfilled, equal, worst_ratio, passed);
    assert_int_equal(unfilled, 0);
    assert_true(equal >= possible * 99 / 100);
    assert_true(worst_ratio < 4.0 / 3);
}

/* Tasks laid out so that a way exists: each has a team that is able and free from its start to its end. */
static void laid_out(hands_job *j, uint64_t *seed, int leaks, int days) {
    for (int day = 0; day < days; day++) {
        int until[HANDS_JOB_WORKERS] = {0};
        for (int at = 420; at < 900 && j->plan.n_tasks < HANDS_JOB_TASKS; at += 5) {
            int kinds[2][2] = {{WORKER_CUTTER, WORKER_ANY}, {WORKER_PLACER, WORKER_MIXER}};
            const int *kind = kinds[below(seed, 2)];
            int a = below(seed, (int)j->plan.n_workers), b = below(seed, (int)j->plan.n_workers);
            int minutes = 5 * (1 + below(seed, 18));
            if (a == b || until[a] > at || until[b] > at || !hands_job_able(j, a, kind[0]) ||
                !hands_job_able(j, b, kind[1]))
                continue;
            works_task *t =
                hands_job_add(j, kind[0] == WORKER_CUTTER ? "cut" : "plug", (size_t)below(seed, leaks),
                              day * 1440 + at, day * 1440 + at + minutes);
            t->people[kind[0]] = t->people[kind[1]] = 1;
            until[a] = until[b] = at + minutes;
        }
    }
}

static int left_short(const hands_job *j) {
    int n = 0;
    for (size_t t = 0; t < j->plan.n_tasks; t++)
        n += (int)j->tasks[t].n_workers < hands_job_wanted(&j->tasks[t]);
    return n;
}

/* Never double-booked, skills kept, all filled where that can be; twice the same. */
static void large_plans(void **state) {
    (void)state;
    uint64_t seed = 7;
    int lost = 0, tasks = 0;
    print_message("seed %" PRIu64 "\n", seed);
    for (int run = 0; run < 12; run++) {
        static hands_job j, again;
        int leaks = 20 + below(&seed, 50);
        hands_job_begin(&j, 3 + below(&seed, 6), leaks);
        random_crew(&j, &seed);
        laid_out(&j, &seed, leaks, 1 + below(&seed, 12));
        again = j;
        again.memory = arena_new();
        again.plan.tasks = again.tasks;
        hands_job_assign(&j);
        hands_job_assign(&again);
        hands_job_check_people(&j);
        hands_job_check_days(&j);
        for (size_t t = 0; t < j.plan.n_tasks; t++)
            assert_memory_equal(j.tasks[t].workers, again.tasks[t].workers,
                                j.tasks[t].n_workers * sizeof(int));
        lost += left_short(&j);
        tasks += (int)j.plan.n_tasks;
        hands_job_end(&again);
        hands_job_end(&j);
    }
    print_message("%d of %d tasks left short\n", lost, tasks);
    assert_true(lost * 1000 <= tasks);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(against_brute_force),
        cmocka_unit_test(large_plans),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
