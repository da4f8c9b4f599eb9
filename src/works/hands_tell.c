/* What the days come to: who does each task, each worker's day against its limits, what would help where one is passed. */
#include "core/date.h"
#include "works/hands_parts.h"
#include "works/parts.h"

#include <math.h>
#include <string.h>

/* ---- people ---- */

static const char *clock_of(const hands *h, int at_min) {
    long long first = 0;
    int day = at_min / WORKS_DAY_MIN, minute = at_min % WORKS_DAY_MIN;
    if (!h->plan->start_on || !date_day(h->plan->start_on, &first))
        return arena_print(h->memory, "day %d %02d:%02d", day + 1, minute / 60, minute % 60);
    calendar_day d = date_of_days(first + day);
    return arena_print(h->memory, "%04d-%02d-%02d %02d:%02d", d.year, d.month, d.day, minute / 60,
                       minute % 60);
}

static status warn(hands *h, const char *sentence, fault *why) {
    const char **list = arena_push(h->memory, h->plan->warnings, &h->plan->n_warnings, sizeof *list);
    if (!list || !sentence) return fault_memory(why);
    list[h->plan->n_warnings - 1] = sentence;
    h->plan->warnings = list;
    return OK;
}

/* The schedule counts people at each moment; who keeps a task to its end may still be wanted elsewhere meanwhile. */
static status warn_short(hands *h, const works_task *t, const int lacks[WORKER_KINDS], fault *why) {
    static const char *const who[WORKER_KINDS] = {"who may cut", "who places", "who mixes", "more"};
    const char *list = "", *from = clock_of(h, t->start_min), *to = clock_of(h, t->end_min);
    for (int k = 0; k < WORKER_KINDS && list; k++)
        if (lacks[k])
            list = arena_print(h->memory, "%s%s%d %s", list, *list ? " and " : "", lacks[k], who[k]);
    if (!list || !from || !to) return fault_memory(why);
    return warn(
        h,
        arena_print(h->memory,
                    "%s is short of hands: nobody able is free all through from %s to %s; it lacks %s", t->id,
                    from, to, list),
        why);
}

static status tell_people(hands *h, size_t task, fault *why) {
    works_task *t = &h->plan->tasks[task];
    int lacks[WORKER_KINDS] = {0}, short_of = 0;
    size_t from = h->first[task], n = h->first[task + 1] - from;
    t->workers = arena_get(h->memory, n, sizeof *t->workers);
    t->n_workers = 0;
    if (!t->workers) return fault_memory(why);
    for (size_t p = from; p < from + n; p++) {
        if (h->places[p].worker != HANDS_NOBODY) {
            t->workers[t->n_workers++] = h->places[p].worker;
        } else {
            lacks[h->places[p].skill]++;
            short_of++;
        }
    }
    return short_of && !t->done ? warn_short(h, t, lacks, why) : OK;
}

/* ---- days ---- */

/* "a chipping hammer of 16.1 m/s2 or less instead of 25": the tool that gives most of a worker's points on a day, as gentle as
 * it must be for the day to keep the action value; all tools where the others pass it alone. */
static const char *gentler_tool(const hands *h, size_t day, int worker) {
    double by_tool[EXPOSURE_TOOLS] = {0}, all = 0;
    size_t worst = 0;
    for (size_t i = h->day_from[day]; i < h->day_to[day]; i++) {
        const hands_place *p = &h->places[h->by_start[i]];
        const exposure_tool *tool = h->loads[p->task].tool;
        if (!tool || p->worker != worker) continue;
        by_tool[tool - exposure_tools] += hands_points(h, h->by_start[i]);
        all += hands_points(h, h->by_start[i]);
    }
    for (size_t k = 1; k < EXPOSURE_TOOLS; k++)
        if (by_tool[k] > by_tool[worst]) worst = k;
    double room = EXPOSURE_ACTION_POINTS - (all - by_tool[worst]), a = exposure_tools[worst].a_m_s2;
    if (!(room > 0))
        return arena_print(h->memory, "tools with %.0f %% of the vibration",
                           floor(100 * sqrt(EXPOSURE_ACTION_POINTS / all)));
    return arena_print(h->memory, "a %s of %.1f m/s2 or less instead of %g", exposure_tools[worst].tool,
                       floor(10 * a * sqrt(room / by_tool[worst])) / 10, a);
}

/* How many people of a day may hold a tool: those who cut, or all where some tool is nobody's own. */
static int holders(const hands *h, size_t day) {
    int able = 0;
    for (size_t w = 0; w < h->n_workers; w++) able += hands_able(h->s, w, WORKER_CUTTER);
    for (size_t i = h->day_from[day]; i < h->day_to[day]; i++) {
        size_t task = h->places[h->by_start[i]].task;
        if (h->loads[task].tool && h->plan->tasks[task].people[WORKER_CUTTER] == 0) return (int)h->n_workers;
    }
    return able;
}

/* Could turns bring everybody under the action value, were the work as fine as sand? */
static const char *vibration_help(const hands *h, size_t day, int worker) {
    double all = 0;
    int able = holders(h, day);
    for (size_t w = 0; w < h->n_workers; w++) all += h->sums[day * h->n_workers + w].points;
    double people = ceil(all / EXPOSURE_ACTION_POINTS * (1 - 1e-9)), days = ceil(people / fmax(1, able));
    const char *gentler = gentler_tool(h, day, worker);
    if (!gentler) return NULL;
    if (people > able)
        return arena_print(
            h->memory,
            "no turns of the %d who may hold the tool prevent it; what helps: %.0f who may, or the "
            "work on %.0f days, or %s",
            able, people, days, gentler);
    return arena_print(h->memory,
                       "no turns were found that prevent it; what helps: shorter tasks, so that hands change "
                       "more often, or two days, or %s",
                       gentler);
}

static const char *vibration_said(const hands *h, size_t day, const works_day_exposure *e) {
    const char *help = vibration_help(h, day, e->worker);
    if (!help) return NULL;
    return e->over_limit ? arena_print(h->memory,
                                       "Vibration: %.0f points pass the limit value of %g: not to be worked "
                                       "so; %s. ",
                                       e->vibration_points, EXPOSURE_LIMIT_POINTS, help)
                         : arena_print(h->memory, "Vibration: %.0f points pass the action value of %g; %s. ",
                                       e->vibration_points, EXPOSURE_ACTION_POINTS, help);
}

static const char *noise_said(const hands *h, const works_day_exposure *e) {
    double criterion = exposure_noise_rules[NOISE_NIOSH].criterion_dba;
    return arena_print(
        h->memory,
        "Noise: %.0f dBA over 8 h pass %g; hearing protection of %.0f dB or more at the ear, or a "
        "quieter tool. ",
        e->noise_twa_dba, criterion, ceil(e->noise_twa_dba - criterion));
}

static const char *silica_said(const hands *h, const works_day_exposure *e) {
    if (!e->respirator_apf)
        return arena_print(h->memory, "Silica: %.0f min pass 4 h; Table 1 asks for no respirator even so. ",
                           e->silica_min);
    return arena_print(h->memory, "Silica: %.0f min pass 4 h; a respirator of APF %d. ", e->silica_min,
                       e->respirator_apf);
}

/* What is passed and what would help; NULL in *sentence where nothing is. */
static status say(hands *h, size_t day, works_day_exposure *e, fault *why) {
    bool shaken = exposure_passes(e->vibration_points, EXPOSURE_ACTION_POINTS),
         loud = exposure_passes(e->noise_dose_percent, 100),
         dusty = exposure_passes(e->silica_min, EXPOSURE_SILICA_MIN);
    e->over_action = shaken || loud || dusty;
    e->over_limit = exposure_passes(e->vibration_points, EXPOSURE_LIMIT_POINTS);
    if (!e->over_action) return OK;
    const char *v = shaken ? vibration_said(h, day, e) : "", *n = loud ? noise_said(h, e) : "",
               *s = dusty ? silica_said(h, e) : "";
    char *all = v && n && s ? arena_print(h->memory, "%s%s%s", v, n, s) : NULL;
    if (!all) return fault_memory(why);
    all[strlen(all) - 1] = '\0'; /* the space after the last */
    e->sentence = all;
    return OK;
}

static int respirator(const hands *h, size_t day, size_t worker, double silica_min) {
    int most = 0;
    for (size_t i = h->day_from[day]; i < h->day_to[day]; i++) {
        const hands_place *p = &h->places[h->by_start[i]];
        const hands_load *load = &h->loads[p->task];
        if (p->worker != (int)worker || !load->tool) continue;
        int apf = exposure_apf(load->tool->row, h->s->site.enclosed, silica_min);
        if (apf > most) most = apf;
    }
    return most;
}

static status tell_day(hands *h, size_t day, size_t worker, fault *why) {
    const hands_day *sum = &h->sums[day * h->n_workers + worker];
    if (!(sum->silica_min > 0.5)) return OK; /* whole minutes: below it only rounding is left */
    works_day_exposure e = {.day = h->days[day],
                            .worker = (int)worker,
                            .vibration_points = fmax(0, sum->points),
                            .noise_dose_percent = sum->dose_percent,
                            .silica_min = sum->silica_min};
    e.a8_m_s2 = exposure_a8_m_s2(e.vibration_points);
    e.noise_twa_dba = exposure_twa_dba(NOISE_NIOSH, e.noise_dose_percent);
    e.respirator_apf = respirator(h, day, worker, e.silica_min);
    status code = say(h, day, &e, why);
    if (code != OK) return code;
    works_day_exposure *list = arena_push(h->memory, h->plan->exposures, &h->plan->n_exposures, sizeof *list);
    if (!list) return fault_memory(why);
    list[h->plan->n_exposures - 1] = e;
    h->plan->exposures = list;
    return OK;
}

/* One sentence for the plan; each day has its own. */
static status warn_limit(hands *h, fault *why) {
    size_t n = 0;
    int last = -1;
    for (size_t i = 0; i < h->plan->n_exposures; i++) {
        const works_day_exposure *e = &h->plan->exposures[i];
        if (!e->over_limit || e->day == last) continue;
        last = e->day;
        n++;
    }
    if (n == 0) return OK;
    return warn(
        h,
        arena_print(h->memory,
                    "On %zu day%s somebody's vibration passes the limit value of %g points (5 m/s2): not "
                    "to be worked so; see hands and lungs",
                    n, n == 1 ? "" : "s", EXPOSURE_LIMIT_POINTS),
        why);
}

/* Moving hands to and fro has left rounding in the sums. */
static void sum_again(hands *h) {
    for (size_t i = 0; i < h->n_days * h->n_workers; i++) h->sums[i] = (hands_day){0};
    for (size_t t = 0; t < h->plan->n_tasks; t++) hands_count(h, t, 1);
}

status hands_tell(hands *h, fault *why) {
    status code = OK;
    h->plan->exposures = NULL;
    h->plan->n_exposures = 0;
    sum_again(h);
    for (size_t t = 0; code == OK && t < h->plan->n_tasks; t++) code = tell_people(h, t, why);
    for (size_t d = 0; code == OK && d < h->n_days; d++)
        for (size_t w = 0; code == OK && w < h->n_workers; w++) code = tell_day(h, d, w, why);
    return code == OK ? warn_limit(h, why) : code;
}
