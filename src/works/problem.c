/* The schedule of the tasks: people and plant as resources, shifts as calendars, faces in turn. */
#include "works/rest.h"

#include <math.h>
#include <string.h>

enum {
    RESOURCES_MOST = WORKS_GROUPS + PLANT_COUNT,
    DAYS_MORE = 30,        /* for the waits at the end of each turn */
    SCHEDULES_MOST = 2000, /* our default: more hardly ever ends a job of this trade sooner */
    SCHEDULES_LEAST = 20,
    TASKS_SCHEDULES = 2000000 /* passes x tasks: under 10 s on one core (bench/works_bench.c) */
};

/* A resource: a set of skills (0: everybody), or a kind of plant. */
typedef struct {
    bool plant;
    unsigned set;
    schedule_resource is;
} resource;

typedef struct {
    works_making *m;
    resource resources[RESOURCES_MOST];
    size_t n_resources;
    double *turns; /* rising, each once */
    size_t n_turns;
    schedule_calendar calendars[HOURS_KINDS];
    schedule_task *tasks; /* those of the plan, then one milestone a turn */
    size_t n_tasks;
    past_plan past; /* where options->past is given */
} making;

/* ---- resources ---- */

static int need_of(const resource *r, const works_task *t) {
    if (r->plant) return (t->plant & PLANT_BIT(r->set)) != 0;
    int n = r->set ? 0 : t->people[WORKER_ANY];
    for (int k = 0; k < WORKS_SKILLS; k++)
        if (r->set == 0 || r->set & 1u << k) n += t->people[k];
    return n;
}

/* A set says nothing that a larger set with no more people does not say. */
static bool is_idle(const works_crew *c, unsigned set) {
    if (c->able[set] == c->all) return true;
    for (unsigned other = 1; other < WORKS_GROUPS; other++)
        if (other != set && (other & set) == set && c->able[other] == c->able[set]) return true;
    return false;
}

static void add_resource(making *k, bool plant, unsigned set, const char *name, int capacity) {
    if (capacity > SCHEDULE_MOST_CAPACITY) capacity = SCHEDULE_MOST_CAPACITY;
    k->resources[k->n_resources++] = (resource){plant, set, {name, capacity}};
}

/* Every task wants somebody: plant for as many as there are people is never short. */
static void find_resources(making *k) {
    static const char *const names[WORKS_GROUPS] = {
        "people", "cutters",         "placers",         "cutters, placers",
        "mixers", "cutters, mixers", "placers, mixers", "cutters, placers, mixers"};
    const works_crew *c = &k->m->crew;
    unsigned plant = 0;
    add_resource(k, false, 0, names[0], c->all);
    for (unsigned set = 1; set < WORKS_GROUPS; set++)
        if (!is_idle(c, set)) add_resource(k, false, set, names[set], c->able[set]);
    for (size_t t = 0; t < k->m->out->n_tasks; t++) plant |= k->m->out->tasks[t].plant;
    for (unsigned p = 0; p < PLANT_COUNT; p++)
        if (plant & PLANT_BIT(p) && c->plant[p] < c->all)
            add_resource(k, true, p, survey_plant_words[p], c->plant[p]);
}

/* ---- faces in turn ---- */

/* A face without a turn comes after the others. */
static double turn_of(const works_making *m, size_t leak) {
    maybe turn = m->s->faces[m->of_leak[leak].face].turn;
    return turn.known ? turn.v : HUGE_VAL;
}

static size_t place_of(const making *k, double turn) {
    size_t at = 0;
    while (at < k->n_turns && k->turns[at] < turn) at++;
    return at;
}

static status find_turns(making *k) {
    const works_making *m = k->m;
    k->turns = arena_get(m->memory, m->s->n_faces + 1, sizeof *k->turns);
    if (!k->turns) return fault_memory(m->why);
    for (size_t i = 0; i < m->s->n_defects; i++) {
        if (m->of_leak[i].n == 0) continue;
        double turn = turn_of(m, i);
        size_t at = place_of(k, turn);
        if (at < k->n_turns && !(k->turns[at] > turn)) continue;
        memmove(k->turns + at + 1, k->turns + at, (k->n_turns - at) * sizeof *k->turns);
        k->turns[at] = turn;
        k->n_turns++;
    }
    return OK;
}

/* The milestone of a turn comes after whatever was placed fresh in it; a leak of the next turn begins after that. */
static status add_milestones(making *k) {
    const works_making *m = k->m;
    size_t n = m->out->n_tasks, turns = k->n_turns > 1 ? k->n_turns - 1 : 0;
    schedule_after **after = arena_get(m->memory, turns, sizeof(schedule_after *));
    int *nothing = arena_get(m->memory, k->n_resources, sizeof *nothing);
    if (!after || !nothing) return fault_memory(m->why);
    for (size_t t = 0; t < turns; t++) {
        after[t] = arena_get(m->memory, m->s->n_defects + 1, sizeof *after[t]);
        if (!after[t]) return fault_memory(m->why);
        k->tasks[n + t] = (schedule_task){
            .id = "turn of faces", .needs = nothing, .after = after[t], .calendar = SCHEDULE_ALWAYS};
        if (t > 0) after[t][k->tasks[n + t].n_after++] = (schedule_after){n + t - 1, 0, SCHEDULE_NO_LIMIT};
    }
    for (size_t i = 0; i < m->s->n_defects; i++) {
        if (m->of_leak[i].n == 0) continue;
        size_t t = place_of(k, turn_of(m, i));
        if (t < turns)
            after[t][k->tasks[n + t].n_after++] = (schedule_after){m->of_leak[i].fresh, 0, SCHEDULE_NO_LIMIT};
    }
    k->n_tasks = n + turns;
    return OK;
}

/* ---- tasks ---- */

/* A leak's first task with the milestone before it; the plan's own lags do not have milestones. */
static status copy_task(making *k, size_t at) {
    const works_making *m = k->m;
    const works_task *t = &m->out->tasks[at];
    int *needs = arena_get(m->memory, k->n_resources, sizeof *needs);
    schedule_after *after = arena_get(m->memory, t->n_after + 1, sizeof *after);
    if (!needs || !after) return fault_memory(m->why);
    for (size_t r = 0; r < k->n_resources; r++) needs[r] = need_of(&k->resources[r], t);
    if (t->n_after) memcpy(after, t->after, t->n_after * sizeof *after);
    size_t n = t->n_after, turn = place_of(k, turn_of(m, t->leak));
    if (m->of_leak[t->leak].first == at && turn > 0)
        after[n++] = (schedule_after){m->out->n_tasks + turn - 1, 0, SCHEDULE_NO_LIMIT};
    bool quiet = !t->noisy || !m->hours.noise_limited; /* one calendar where it can be: the bound is closer */
    int calendar = t->minutes == 0 ? SCHEDULE_ALWAYS : quiet ? HOURS_USUAL : HOURS_NOISY;
    k->tasks[at] = (schedule_task){t->id, t->minutes, needs, after, n, calendar, 0};
    return OK;
}

static status copy_tasks(making *k) {
    const works_making *m = k->m;
    k->tasks = arena_get(m->memory, m->out->n_tasks + k->n_turns + 1, sizeof *k->tasks); /* one more: now */
    if (!k->tasks) return fault_memory(m->why);
    status code = OK;
    for (size_t t = 0; code == OK && t < m->out->n_tasks; t++) code = copy_task(k, t);
    if (code == OK) code = add_milestones(k);
    if (code != OK || !m->options->past) return code;
    k->n_tasks++;
    code = past_look(m, &k->past);
    k->m->now_min = k->past.now_min;
    return code;
}

/* Any order of the tasks fits when each has a day of its own and each turn the time that its cure takes. */
static status make_calendars(making *k) {
    const works_making *m = k->m;
    long days =
        (long)m->out->n_tasks + (long)(k->n_turns + 1) * (DAYS_MORE + m->cure_usual_min / WORKS_DAY_MIN);
    int n = hours_days_for(&m->hours, days + k->past.now_min / WORKS_DAY_MIN);
    status code = OK;
    for (int kind = 0; code == OK && kind < HOURS_KINDS; kind++)
        code = hours_windows(&m->hours, (works_hours_kind)kind, n, m->memory, &k->calendars[kind], m->why);
    return code;
}

static long budget(const works_making *m, size_t n_tasks, int rounds) {
    long n = TASKS_SCHEDULES / (long)n_tasks / rounds;
    if (m->options->schedules > 0) return m->options->schedules;
    return n > SCHEDULES_MOST ? SCHEDULES_MOST : n < SCHEDULES_LEAST ? SCHEDULES_LEAST : n;
}

static status tell_times(const making *k, const schedule_result *found) {
    works_plan *out = k->m->out;
    int begin = k->calendars[HOURS_USUAL].n ? k->calendars[HOURS_USUAL].windows[0].from : 0;
    for (size_t t = 0; t < out->n_tasks; t++) {
        out->tasks[t].start_min = found->start[t];
        out->tasks[t].end_min = found->start[t] + k->tasks[t].minutes;
    }
    out->makespan_min = found->makespan;
    out->lower_bound_min = found->lower_bound;
    status code = k->m->options->past ? rest_tell(k->m, &k->past) : OK;
    out->schedules += found->schedules;
    int least = out->lower_bound_min - begin; /* from the first shift on */
    out->gap_percent = least > 0 ? 100.0 * (out->makespan_min - out->lower_bound_min) / least : 0;
    return code;
}

status problem_solve(works_making *m, int rounds) {
    making k = {.m = m};
    if (m->out->n_tasks == 0) return OK;
    find_resources(&k);
    status code = find_turns(&k);
    if (code == OK) code = copy_tasks(&k);
    if (code == OK) code = make_calendars(&k);
    schedule_resource *resources = arena_get(m->memory, k.n_resources, sizeof *resources);
    if (code != OK) return code;
    if (!resources) return fault_memory(m->why);
    for (size_t r = 0; r < k.n_resources; r++) resources[r] = k.resources[r].is;
    const schedule_problem problem = {resources, k.n_resources, k.tasks, k.n_tasks, k.calendars, HOURS_KINDS};
    const schedule_options options = {.schedules = budget(m, k.n_tasks, rounds),
                                      .seed = m->options->seed,
                                      .way = SCHEDULE_SEARCH,
                                      .stop = m->options->stop};
    schedule_result found;
    code = m->options->past ? rest_solve(m, &k.past, &problem, &options, &found)
                            : schedule_solve(&problem, &options, m->memory, &found, m->why);
    return code == OK ? tell_times(&k, &found) : code;
}
