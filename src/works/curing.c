/* The cure in the plan: how long water must stay away from each leak, and the visits that keep it moist as tasks. */
#include "works/parts.h"

#include "core/date.h"

/* Our defaults: so far before it is due somebody may come, since an earlier film only lasts longer on top of the one before; and
 * so far behind it, since covers hold. */
enum { EARLIER_MIN = 120, LATER_MIN = 30, DAYS_LOOKED_AT = 120 };

static bool is_cured(const works_making *m, size_t leak) {
    const works_leak_tasks *of = &m->of_leak[leak];
    if (of->n == 0) return false;
    works_step last = m->made[of->fresh].step;
    return last == STEP_LAST_COAT || last == STEP_PACK || last == STEP_FIRST_COAT || last == STEP_STOPPED;
}

/* The air of a tunnel or of a place without forecast is one and the same: then every leak cures as long. */
status curing_begin(works_making *m) {
    status code =
        moist_air_make(m->s, m->out->start_on, m->options->temperature_c, m->memory, &m->air, m->why);
    if (code != OK) return code;
    m->cure_usual_min = moist_lag_min(&m->air, m->hours.stretch[0].to_min);
    for (int day = 1; day < DAYS_LOOKED_AT && !m->cure_varies; day++)
        m->cure_varies =
            moist_lag_min(&m->air, day * WORKS_DAY_MIN + m->hours.stretch[0].to_min) != m->cure_usual_min;
    return OK;
}

/* Longest cure of any that begins in a shift from `from_min` on, at the end of any hour. */
static int longest(const works_making *m, int from_min) {
    int most = 0;
    for (int at = from_min; at < from_min + DAYS_LOOKED_AT * WORKS_DAY_MIN; at += 60) {
        int lag = moist_lag_min(&m->air, at);
        if (lag > most) most = lag;
    }
    return most;
}

/* Where a cure takes longer than the plan gave it, it is given that; in the `last` round so long that nothing is left to
 * chance, since each plan shifts the leaks into other weather. */
status curing_look(works_making *m, bool last, bool *again) {
    *again = false;
    if (!m->cure_varies) return OK;
    if (!m->cure_min) m->cure_min = arena_get(m->memory, m->s->n_defects, sizeof *m->cure_min);
    if (!m->cure_min) return fault_memory(m->why);
    for (size_t i = 0; i < m->s->n_defects; i++) {
        if (!is_cured(m, i)) continue;
        const works_task *fresh = &m->out->tasks[m->of_leak[i].fresh];
        int given = m->out->tasks[m->of_leak[i].open].start_min - fresh->end_min;
        int wanted = moist_lag_min(&m->air, fresh->end_min);
        if (wanted <= given) continue;
        m->cure_min[i] = last ? longest(m, fresh->end_min) : wanted;
        *again = true;
    }
    return OK;
}

/* ---- visits ---- */

typedef struct {
    works_making *m;
    int *busy;     /* people, by step of time */
    int *last_end; /* of the visit before, one a face */
    size_t n_steps;
    int n_short, short_min; /* visits for which nobody was free, and what they take */
} visiting;

static void take(visiting *v, int from, int to, int people) {
    for (int t = from / WORKS_STEP_MIN; t < to / WORKS_STEP_MIN && (size_t)t < v->n_steps; t++)
        v->busy[t] += people;
}

static bool is_free(const visiting *v, size_t face, int from, int minutes) {
    const works_plan *p = v->m->out;
    bool shift = false;
    if (from < v->last_end[face]) return false;
    for (size_t i = 0; !shift && i < p->n_shifts; i++)
        shift = from >= p->shifts[i].from_min && from + minutes <= p->shifts[i].to_min;
    for (int t = from / WORKS_STEP_MIN; shift && t < (from + minutes) / WORKS_STEP_MIN; t++)
        if ((size_t)t < v->n_steps && v->busy[t] >= v->m->crew.all) return false;
    return shift;
}

/* When somebody is free: when it is due, else somewhat earlier, else somewhat later, else when it is due all the same. */
static int find_time(const visiting *v, const moist_visit *visit, bool *found) {
    *found = true;
    for (int off = 0; off <= EARLIER_MIN && off <= visit->at_min - v->m->now_min; off += WORKS_STEP_MIN)
        if (is_free(v, visit->face, visit->at_min - off, visit->minutes)) return visit->at_min - off;
    for (int off = WORKS_STEP_MIN; off <= LATER_MIN; off += WORKS_STEP_MIN)
        if (is_free(v, visit->face, visit->at_min + off, visit->minutes)) return visit->at_min + off;
    *found = false;
    return visit->at_min;
}

/* "cure N 2026-03-05 10:00", or "cure N day 4 10:00" without a first day. */
static const char *visit_id(const works_making *m, size_t face, int at) {
    const char *name = m->s->faces[face].id;
    int day = at / WORKS_DAY_MIN, hour = at % WORKS_DAY_MIN / 60, minute = at % 60;
    if (!m->air.dated) return arena_print(m->memory, "cure %s day %d %02d:%02d", name, day + 1, hour, minute);
    calendar_day date = date_of_days(m->air.first_day + day);
    return arena_print(m->memory, "cure %s %04d-%02d-%02d %02d:%02d", name, date.year, date.month, date.day,
                       hour, minute);
}

static status add_visit(visiting *v, const moist_visit *visit) {
    works_making *m = v->m;
    works_task *tasks = arena_push(m->memory, m->out->tasks, &m->out->n_tasks, sizeof *tasks);
    if (!tasks) return fault_memory(m->why);
    m->out->tasks = tasks;
    bool found;
    int at = find_time(v, visit, &found);
    if (found) take(v, at, at + visit->minutes, 1);
    v->last_end[visit->face] = at + visit->minutes;
    v->n_short += !found;
    v->short_min += found ? 0 : visit->minutes;
    works_task *t = &tasks[m->out->n_tasks - 1];
    *t = (works_task){.id = visit_id(m, visit->face, at),
                      .title = visit->sentence,
                      .step = "mist",
                      .leak = SIZE_MAX,
                      .face = visit->face,
                      .part = 1,
                      .parts = 1,
                      .minutes = visit->minutes,
                      .people = {[WORKER_ANY] = found},
                      .start_min = at,
                      .end_min = at + visit->minutes};
    return t->id ? OK : fault_memory(m->why);
}

static status add_visits(works_making *m, const moist_plan *moist) {
    visiting v = {.m = m};
    works_plan *out = m->out;
    int end = out->n_shifts ? out->shifts[out->n_shifts - 1].to_min : 0;
    v.n_steps = (size_t)end / WORKS_STEP_MIN + 1;
    v.busy = arena_get(m->memory, v.n_steps, sizeof *v.busy);
    v.last_end = arena_get(m->memory, m->s->n_faces, sizeof *v.last_end);
    if (!v.busy || !v.last_end) return fault_memory(m->why);
    for (size_t i = 0; i < out->n_tasks; i++) {
        int people = 0;
        for (int k = 0; k < WORKER_KINDS; k++) people += out->tasks[i].people[k];
        if (!out->tasks[i].done) take(&v, out->tasks[i].start_min, out->tasks[i].end_min, people);
    }
    status code = OK;
    for (size_t i = 0; code == OK && i < moist->n_visits; i++)
        if (moist->visits[i].at_min >= m->now_min) code = add_visit(&v, &moist->visits[i]);
    if (code != OK || v.n_short == 0) return code;
    return works_warn(
        m, arena_print(m->memory,
                       "%d of %zu curing visits fall while everybody is at work: somebody leaves his "
                       "work for them, %d minutes in all.",
                       v.n_short, moist->n_visits, v.short_min));
}

status curing_add(works_making *m) {
    moist_plan moist;
    size_t n = 0;
    moist_cure *cures = arena_get(m->memory, m->s->n_defects, sizeof *cures);
    if (!cures) return fault_memory(m->why);
    for (size_t i = 0; i < m->s->n_defects; i++)
        if (is_cured(m, i))
            cures[n++] = (moist_cure){i, m->of_leak[i].face, m->out->tasks[m->of_leak[i].fresh].end_min};
    if (n == 0) return OK;
    status code =
        moist_visits(&m->air, cures, n, m->out->shifts, m->out->n_shifts, m->memory, &moist, m->why);
    if (code == OK) code = add_visits(m, &moist);
    for (size_t i = 0; code == OK && i < moist.n_warnings; i++) code = works_warn(m, moist.warnings[i]);
    for (size_t i = 0; code == OK && i < moist.n_alarms; i++) code = works_warn(m, moist.alarms[i].sentence);
    return code;
}
