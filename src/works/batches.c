#include "works/batches.h"

#include "takeoff/left.h"

#include <limits.h>
#include <math.h>

static const double ROUNDING = 1e-9;    /* of a count of marks: a volume of exactly n marks is n marks */
static const double SLACK_S = 1e-6;     /* more than ROUNDING leaves of a minute */
static const double MOST_MARKS = 1e6;   /* of one mix: it catches a slipped comma */
static const double HALF_TUB_MARKS = 5; /* less than half a tub is measured with the cup, our default */

takeoff_mix batches_mix(const takeoff_leak *leak, takeoff_step step) {
    if (step != MIX_COUNT) return leak->mixes[step];
    const takeoff_fill *fill = &leak->fill;
    return (takeoff_mix){.material = fill->material,
                         .volume_m3 = fill->volume_m3,
                         .usable_s = fill->usable_s > 0 ? fill->usable_s : HUGE_VAL,
                         .batches = fill->batches,
                         .batch_volume_m3 = fill->batch_volume_m3};
}

/* Loose powder of a mix by volume; of what holds none the mix itself: what is measured. */
static double measured_m3(const takeoff_mix *mix) {
    return mix->powder_kg > 0 ? mix->powder_kg / mix->material->bulk_kg_m3.v : mix->volume_m3;
}

/* Batches of a mix measured in marks of one tub. */
typedef struct {
    double mark_m3, marks; /* mixed volume of one; in all */
    double most;           /* that a batch may have; below 1: none can be placed in time */
    int n;
} marking;

static marking mark_with(double tub_m3, const takeoff_mix *mix, double limit_m3) {
    marking m = {0};
    m.mark_m3 = mix->volume_m3 / measured_m3(mix) * tub_m3 / WORKS_TUB_PARTS;
    m.marks = fmax(ceil(mix->volume_m3 / m.mark_m3 - ROUNDING), 1);
    m.most = fmin(floor(limit_m3 / m.mark_m3 + ROUNDING), m.marks);
    m.n = m.most >= 1 ? left_batches(m.marks, m.most) : INT_MAX;
    return m;
}

status batches_size(const takeoff_mix *mix, double place_m3_min, double usable_s, works_batching *out,
                    fault *why) {
    *out = (works_batching){0};
    if (!mix->material || !(mix->volume_m3 > 0) || !(place_m3_min > 0) || !(usable_s > 0))
        return fault_set(why, E_INPUT,
                         "batches: volume %g m3, placing %g m3/min, usable for %g s; each must be above 0",
                         mix->volume_m3, place_m3_min, usable_s);
    double limit_m3 = place_m3_min * usable_s / 60 * TAKEOFF_USED_PART;
    marking tub = mark_with(WORKS_TUB_M3, mix, limit_m3), cup = mark_with(WORKS_CUP_M3, mix, limit_m3);
    /* The coarse marks only where they cost no batch more. */
    bool by_tub = tub.n <= cup.n && tub.most >= HALF_TUB_MARKS;
    const marking *m = by_tub ? &tub : &cup;
    if (!(m->most >= 1))
        return fault_set(why, E_INPUT,
                         "%s: can be used for %.0f s at this temperature, too short to place one mark of a "
                         "measuring cup; cool the mix or take a slower material",
                         mix->material->name, usable_s);
    if (!(m->marks <= MOST_MARKS))
        return fault_set(why, E_INPUT, "%s: %g marks of a measuring tub are needed; at most %g can be",
                         mix->material->name, m->marks, MOST_MARKS);
    *out = (works_batching){.needed_m3 = mix->volume_m3,
                            .mixed_m3 = m->marks * m->mark_m3,
                            .n = m->n,
                            .marks = (int)m->marks / m->n,
                            .larger = (int)m->marks % m->n,
                            .mark_m3 = m->mark_m3,
                            .tub_m3 = by_tub ? WORKS_TUB_M3 : WORKS_CUP_M3,
                            .place_m3_min = place_m3_min,
                            .usable_s = usable_s};
    out->minutes = batches_minutes(out, 0, out->n);
    return OK;
}

/* Mixed in the batches before `at`. */
static double mixed_before_m3(const works_batching *b, int at) {
    return ((double)at * b->marks + (at < b->larger ? at : b->larger)) * b->mark_m3;
}

static double placed_m3(const works_batching *b, int at) {
    return fmin(mixed_before_m3(b, at + 1), b->needed_m3) - mixed_before_m3(b, at);
}

static double seconds(const works_batching *b, int first, int n) {
    double m3 = fmin(mixed_before_m3(b, first + n), b->needed_m3) - mixed_before_m3(b, first);
    return n > 0 ? m3 / b->place_m3_min * 60 + (n - 1) * WORKS_MIX_S : 0;
}

int batches_minutes(const works_batching *sizes, int first, int n) {
    return (int)ceil(seconds(sizes, first, n) / 60 - ROUNDING);
}

int batches_fit(const works_batching *sizes, int first, int minutes) {
    int n = 0;
    while (first + n < sizes->n && batches_minutes(sizes, first, n + 1) <= minutes) n++;
    return n;
}

static works_batch make_batch(const takeoff_mix *mix, const works_batching *b, takeoff_step step, int at) {
    int marks = b->marks + (at < b->larger);
    double part = marks * b->mark_m3 / mix->volume_m3; /* of the whole mix; above 1 where one mark is more */
    return (works_batch){.step = step,
                         .material = mix->material,
                         .volume_m3 = marks * b->mark_m3,
                         .powder_kg = mix->powder_kg * part,
                         .water_m3 = mix->water_m3 * part,
                         .tub_m3 = b->tub_m3,
                         .powder_tubs = (double)marks / WORKS_TUB_PARTS,
                         .water_tubs = mix->water_m3 * part / b->tub_m3,
                         .placed_m3 = placed_m3(b, at),
                         .usable_s = b->usable_s};
}

static int whole_minute(double s) {
    return s / 60 < INT_MAX ? (int)floor(s / 60 + ROUNDING) : INT_MAX;
}

status batches_list(const takeoff_mix *mix, const works_batching *sizes, const works_stint *stint,
                    arena *memory, works_batch **list, fault *why) {
    *list = NULL;
    if (stint->first < 0 || stint->n < 0 || stint->n > sizes->n - stint->first)
        return fault_set(why, E_INPUT, "batches: %d from number %d on are asked for; there are %d", stint->n,
                         stint->first + 1, sizes->n);
    works_batch *batches = arena_get(memory, (size_t)stint->n, sizeof *batches);
    if (!batches) return fault_memory(why);
    double at_s = stint->start_min * 60.0;
    for (int i = 0; i < stint->n; i++) {
        works_batch *b = &batches[i];
        *b = make_batch(mix, sizes, stint->step, stint->first + i);
        double placed_s = at_s + b->placed_m3 / sizes->place_m3_min * 60;
        if (!(placed_s <= stint->until_min * 60.0 + SLACK_S))
            return fault_set(why, E_STATE,
                             "%s: batch %d of %d would be placed %.0f s after the break at minute %d begins",
                             mix->material->name, stint->first + i + 1, sizes->n,
                             placed_s - stint->until_min * 60.0, stint->until_min);
        b->mixed_min = whole_minute(at_s);
        b->placed_min = whole_minute(placed_s);
        b->use_by_min = whole_minute(at_s + b->usable_s);
        at_s = placed_s + WORKS_MIX_S;
    }
    *list = batches;
    return OK;
}

/* The sentence where a material may not be placed at a temperature; "" where it may; NULL without memory. */
static const char *told_at(const survey *s, const survey_material *m, double c, arena *memory) {
    bool cold = m->lowest_c.known && c < m->lowest_c.v, hot = m->highest_c.known && c > m->highest_c.v;
    char limit[UNITS_SHOWN], here[UNITS_SHOWN];
    if (!cold && !hot) return "";
    units_show(UNITS_TEMPERATURE, s->site.system, cold ? m->lowest_c.v : m->highest_c.v, 1, limit);
    units_show(UNITS_TEMPERATURE, s->site.system, c, 1, here);
    return arena_print(memory, "%s may not be placed %s %s: here it is %s.", m->name,
                       cold ? "below" : "above", limit, here);
}

/* As the takeoff times a mix (rule 12), with everything at one temperature. */
static status time_at(const survey_material *m, takeoff_step step, works_batches_at *out, fault *why) {
    double pot_s;
    status code = takeoff_times(m, out->temperature_c, &pot_s, &out->set_s, why);
    if (code != OK) return code;
    bool unknown = step == MIX_COUNT && !m->pot_life_s.known;
    out->usable_s = unknown ? HUGE_VAL : step == MIX_PLUG ? fmin(pot_s, out->set_s) : pot_s;
    return OK;
}

status batches_at(const survey *s, const takeoff_leak *leak, takeoff_step step, double temperature_c,
                  arena *memory, works_batches_at *out, fault *why) {
    takeoff_mix mix = batches_mix(leak, step);
    works_batching sizes;
    *out = (works_batches_at){.temperature_c = temperature_c};
    if (!mix.material || !(mix.volume_m3 > 0)) return OK;
    const char *told = told_at(s, mix.material, temperature_c, memory);
    if (!told) return fault_memory(why);
    if (*told) {
        out->told = told;
        return OK;
    }
    status code = time_at(mix.material, step, out, why);
    if (code == OK)
        code = batches_size(&mix, takeoff_place_m3_min(s, leak, step), out->usable_s, &sizes, why);
    if (code != OK) return code;
    out->batches = sizes.n;
    out->batch_m3 = (sizes.marks + (sizes.larger > 0)) * sizes.mark_m3;
    out->waste_m3 = sizes.mixed_m3 - sizes.needed_m3;
    return OK;
}
