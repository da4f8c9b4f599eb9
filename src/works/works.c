#include "works/parts.h"

#include "crew/settime.h"

#include <math.h>

enum { ROUNDS = 3 };                                      /* of planning with the weather, our default */
static const double SET_J_MOL = 40000, LABORATORY_C = 20; /* as takeoff.h scales pot lives; our default */

status works_warn(works_making *m, const char *sentence) {
    const char **list = arena_push(m->memory, m->out->warnings, &m->out->n_warnings, sizeof *list);
    if (!list || !sentence) return fault_memory(m->why);
    list[m->out->n_warnings - 1] = sentence;
    m->out->warnings = list;
    return OK;
}

static int whole_steps_down(double minutes) {
    return (int)floor(minutes / WORKS_STEP_MIN + 1e-9) * WORKS_STEP_MIN;
}

/* How long a coat stays tacky, at the temperature asked for. */
static status read_tack(works_making *m) {
    settime_result tacky = {.minutes = WORKS_TACKY_MIN};
    maybe at = m->options->temperature_c;
    if (at.known) {
        status code = settime_at(WORKS_TACKY_MIN, LABORATORY_C, at.v, SET_J_MOL, &tacky, m->why);
        if (code != OK) return code;
    }
    m->tacky_min = whole_steps_down(tacky.minutes);
    return OK;
}

/* Leaks of one plane one after another; not against the turns of their faces. */
static status tie_planes(works_making *m) {
    const size_t *order = m->options->after_leak;
    for (size_t i = 0; order && i < m->s->n_defects; i++) {
        if (order[i] >= m->s->n_defects || m->of_leak[i].plug == SIZE_MAX) continue;
        const works_leak_tasks *before = &m->of_leak[order[i]];
        if (before->plug == SIZE_MAX) continue;
        maybe mine = m->s->faces[m->of_leak[i].face].turn, its = m->s->faces[before->face].turn;
        if ((its.known ? its.v : HUGE_VAL) > (mine.known ? mine.v : HUGE_VAL)) {
            status code = works_warn(
                m,
                arena_print(m->memory,
                            "%s is plugged before %s: the turns of their faces are against the drawn order",
                            m->leaks[i].defect->mark, m->leaks[order[i]].defect->mark));
            if (code != OK) return code;
            continue;
        }
        tasks_tie(m, m->of_leak[i].plug, before->shut, 0, SCHEDULE_NO_LIMIT);
    }
    return OK;
}

static status make_tasks(works_making *m) {
    status code = OK;
    m->out->tasks = NULL;
    m->made = NULL;
    m->out->n_tasks = m->n_made = m->out->n_warnings = 0;
    m->out->warnings = NULL;
    for (size_t i = 0; code == OK && i < m->s->n_defects; i++) code = tasks_of_leak(m, i);
    return code == OK ? tie_planes(m) : code;
}

/* Weather decides how long a repair cures, and the plan in which weather that is: planned again until it fits. */
static status plan_tasks(works_making *m) {
    bool again = true;
    status code = OK;
    for (int round = 1; code == OK && again; round++) {
        code = make_tasks(m);
        if (code == OK) code = problem_solve(m, m->cure_varies ? ROUNDS : 1);
        if (code == OK && round <= ROUNDS) code = curing_look(m, round == ROUNDS, &again);
        if (round > ROUNDS) again = false;
    }
    return code;
}

status works_make(const works_stages *job, const works_options *options, arena *memory, works_plan *out,
                  fault *why) {
    const survey *s = job->s;
    works_making m = {.s = s,
                      .leaks = job->leaks,
                      .designs = job->designs,
                      .takeoff = job->takeoff,
                      .price = job->price,
                      .options = options,
                      .memory = memory,
                      .out = out,
                      .why = why};
    *out = (works_plan){.start_on = s->site.work.start_on, .back_min = -1};
    m.of_leak = arena_get(memory, s->n_defects, sizeof *m.of_leak);
    if (!m.of_leak) return fault_memory(why);
    crews_count(s, &m.crew);
    status code = hours_read(s, memory, &m.hours, why);
    if (code == OK) code = read_tack(&m);
    if (code == OK) code = curing_begin(&m);
    if (code == OK) code = plan_tasks(&m);
    if (code == OK) code = filled_plan(&m);
    if (code == OK) code = curing_add(&m);
    if (code == OK) code = filled_keep_workers(&m);
    return code == OK ? hands_assign(s, job->designs, out, memory, why) : code;
}
