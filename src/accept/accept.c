#include "accept/accept.h"

#include "accept/current.h"
#include "core/date.h"

#include <string.h>

typedef struct {
    const plan *p;
    arena *memory;
    accept_job *out;
    fault *why;
    const record **levels; /* of all tanks, by time */
    size_t n_levels;
} judging;

/* ---- tanks ---- */

/* Standing full from the end of the day on which it was filled (our default) to the first reading. */
static maybe soaked_hours(const survey_tank *tank, long long first_s) {
    long long day;
    if (!date_day(tank->filled_on, &day)) return (maybe){false, 0};
    long long full_s = (day + 1) * 86400;
    return (maybe){true, first_s > full_s ? (double)(first_s - full_s) / 3600 : 0};
}

/* Readings as hours from the first; those of the pan apart; rain where any was told. */
typedef struct {
    watertest_reading *level, *pan;
    double *rain;
    size_t n_pan;
    bool rained;
    long long first_s;
} series;

static bool make_series(const judging *j, const accept_tank *t, series *s) {
    *s = (series){.level = arena_get(j->memory, t->n_readings, sizeof *s->level),
                  .pan = arena_get(j->memory, t->n_readings, sizeof *s->pan),
                  .rain = arena_get(j->memory, t->n_readings, sizeof *s->rain)};
    if (!s->level || !s->pan || !s->rain) return false;
    for (size_t i = 0; i < t->n_readings; i++) {
        const record *r = t->readings[i];
        long long at_s = 0;
        record_time(r->at, &at_s);
        if (i == 0) s->first_s = at_s;
        double hours = (double)(at_s - s->first_s) / 3600;
        s->level[i] = (watertest_reading){hours, r->level_m.v, r->tank_water_c};
        if (r->pan_level_m.known)
            s->pan[s->n_pan++] = (watertest_reading){hours, r->pan_level_m.v, {false, 0}};
        if (i > 0 && r->rain_m.known) s->rain[i] = r->rain_m.v;
        s->rained = s->rained || (i > 0 && r->rain_m.known);
    }
    return true;
}

static status judge_tank(const judging *j, accept_tank *t) {
    fault said = {0};
    series s;
    if (t->n_readings < 2) {
        t->problem =
            t->n_readings ? "There is one reading; a test needs two at least." : "There are no readings.";
        return OK;
    }
    if (!make_series(j, t, &s)) return fault_memory(j->why);
    t->input = (watertest_input){.capacity_m3 = t->tank->capacity_m3,
                                 .plan_area_m2 = t->tank->plan_area_m2,
                                 .depth_m = t->tank->depth_m,
                                 .wetted_area_m2 = t->tank->wetted_area_m2,
                                 .readings = s.level,
                                 .n_readings = t->n_readings,
                                 .pan = s.n_pan ? s.pan : NULL,
                                 .n_pan = s.n_pan,
                                 .pan_factor = t->tank->pan_factor.known ? t->tank->pan_factor.v : 1,
                                 .pan_kind = t->tank->pan,
                                 .rain = s.rained ? s.rain : NULL,
                                 .criterion = t->tank->criterion,
                                 .soaked_hours = soaked_hours(t->tank, s.first_s),
                                 .system = j->p->survey->site.system};
    status code = watertest_judge(&t->input, j->memory, &t->result, &said);
    t->judged = code == OK;
    if (code != E_INPUT) return code == OK ? OK : fault_set(j->why, code, "%s", said.text);
    t->problem = arena_print(j->memory, "It cannot be judged: %s.", said.text);
    return t->problem ? OK : fault_memory(j->why);
}

static status judge_tanks(const judging *j) {
    const survey *s = j->p->survey;
    status code = OK;
    j->out->tanks = arena_get(j->memory, s->n_tanks, sizeof *j->out->tanks);
    if (!j->out->tanks) return fault_memory(j->why);
    for (size_t i = 0; code == OK && i < s->n_tanks; i++) {
        accept_tank *t = &j->out->tanks[j->out->n_tanks++];
        *t = (accept_tank){.tank = &s->tanks[i], .rule = watertest_find_rule(s->tanks[i].criterion)};
        t->readings = arena_get(j->memory, j->n_levels, sizeof *t->readings);
        if (!t->readings) return fault_memory(j->why);
        for (size_t k = 0; k < j->n_levels; k++)
            if (j->levels[k]->tank && j->levels[k]->level_m.known &&
                strcmp(j->levels[k]->tank, t->tank->id) == 0)
                t->readings[t->n_readings++] = j->levels[k];
        code = judge_tank(j, t);
    }
    return code;
}

/* ---- the job ---- */

static void add_flows(accept_job *out) {
    for (size_t i = 0; i < out->n_leaks; i++) {
        const proof_leak *leak = &out->leaks[i];
        out->counts[leak->verdict]++;
        if (!leak->saved_m3_s.known) continue;
        out->n_flows++;
        out->before_m3_s = (maybe){true, out->before_m3_s.v + leak->before_m3_s.v};
        out->saved_m3_s = (maybe){true, out->saved_m3_s.v + leak->saved_m3_s.v};
    }
}

typedef struct {
    size_t failed, undecided, passed;
} tank_counts;

static tank_counts count_tanks(const accept_job *out) {
    tank_counts c = {0};
    for (size_t i = 0; i < out->n_tanks; i++) {
        const accept_tank *t = &out->tanks[i];
        if (!t->judged || t->result.verdict == WATERTEST_UNDECIDED)
            c.undecided++;
        else if (t->result.verdict == WATERTEST_FAIL)
            c.failed++;
        else
            c.passed++;
    }
    return c;
}

/* "3 leaks and 1 tank" */
static const char *so_many(const judging *j, size_t leaks, size_t tanks) {
    const char *said = leaks ? arena_print(j->memory, "%zu leak%s", leaks, leaks == 1 ? "" : "s") : "";
    if (!tanks || !said) return said;
    return arena_print(j->memory, "%s%s%zu tank%s", said, leaks ? " and " : "", tanks, tanks == 1 ? "" : "s");
}

/* What the worst of the verdicts leaves unsaid: " 2 leaks are not proven. No work is recorded on 3 leaks." */
static const char *say_rest(const judging *j, tank_counts tanks) {
    const accept_job *out = j->out;
    const size_t *n = out->counts, waiting = n[PROOF_NOT_PROVEN] + tanks.undecided;
    const char *unproven = so_many(j, n[PROOF_NOT_PROVEN], tanks.undecided),
               *open = so_many(j, n[PROOF_OPEN], 0);
    if (!unproven || !open) return NULL;
    bool waits = out->verdict == PROOF_BROKEN && waiting > 0;
    const char *more =
        waits ? arena_print(j->memory, " %s %s not proven.", unproven, waiting == 1 ? "is" : "are") : "";
    if (!more || !n[PROOF_OPEN]) return more;
    return arena_print(j->memory, "%s No work is recorded on %s.", more, open);
}

static const char *say_job(const judging *j, tank_counts tanks) {
    accept_job *out = j->out;
    const size_t *n = out->counts;
    const char *name = tightness_name(out->class_id);
    if (out->n_leaks + out->n_tanks == 0) return "There is neither a leak nor a tank to prove.";
    const char *rest = say_rest(j, tanks);
    if (!rest) return NULL;
    switch (out->verdict) {
    case PROOF_BROKEN:
        return arena_print(j->memory, "Not tight: %s do%s not keep what is asked.%s",
                           so_many(j, n[PROOF_BROKEN], tanks.failed),
                           n[PROOF_BROKEN] + tanks.failed == 1 ? "es" : "", rest);
    case PROOF_NOT_PROVEN:
        return arena_print(j->memory, "Not proven, which is not dry: %s still to be tested.%s",
                           so_many(j, n[PROOF_NOT_PROVEN], tanks.undecided), rest);
    case PROOF_OPEN:
        return arena_print(j->memory, "Open: no work is recorded on %s.", so_many(j, n[PROOF_OPEN], 0));
    case PROOF_KEPT:
    case PROOF_VERDICTS: break;
    }
    if (out->n_leaks == 0) return "Every tank passes its test.";
    return arena_print(j->memory, "Proved: every treated %s keeps %s%s.",
                       j->p->survey->site.system == UNITS_US ? "foot" : "metre", name,
                       out->n_tanks ? ", and every tank passes its test" : "");
}

static void find_verdict(accept_job *out, tank_counts tanks) {
    const size_t *n = out->counts;
    out->verdict = n[PROOF_BROKEN] + tanks.failed                      ? PROOF_BROKEN
                   : n[PROOF_NOT_PROVEN] + tanks.undecided             ? PROOF_NOT_PROVEN
                   : n[PROOF_OPEN] || (!out->n_leaks && !out->n_tanks) ? PROOF_OPEN
                                                                       : PROOF_KEPT;
}

static status judge(const judging *j, const record *records, size_t n, const char *today) {
    accept_job *out = j->out;
    status code = proof_judge(j->p, records, n, j->memory, &out->leaks, j->why);
    if (code != OK) return code;
    out->n_leaks = j->p->n_leaks;
    add_flows(out);
    code = judge_tanks(j);
    if (code == OK)
        code = revisit_list(j->p, out->leaks, today, j->memory, &out->revisits, &out->n_revisits, j->why);
    if (code != OK) return code;
    tank_counts tanks = count_tanks(out);
    find_verdict(out, tanks);
    out->sentence = say_job(j, tanks);
    return out->sentence ? OK : fault_memory(j->why);
}

status accept_judge(const plan *p, const record *records, size_t n, const char *today, arena *memory,
                    accept_job *out, fault *why) {
    judging j = {.p = p, .memory = memory, .out = out, .why = why};
    *out = (accept_job){.agreed = p->survey->site.tightness, .class_id = proof_class(p->survey)};
    status code = current_records(records, n, RECORD_BIT(RECORD_LEVEL), memory, &j.levels, &j.n_levels, why);
    return code == OK ? judge(&j, records, n, today) : code;
}
