/* When a repair may take water, and how often somebody must look at one. */
#include "survey/work.h"
#include "works/moist_parts.h"

#include <math.h>

enum { HOUR_MIN = 60, DAY_H = 24, DAY_MIN = DAY_H * HOUR_MIN };
enum { ROUND_DAYS = 3, ROUND_STEP_S = 15 * 60 }; /* days looked at; rounded down to a quarter of an hour */

int moist_up_min(double minutes) {
    return (int)ceil(minutes / WORKS_STEP_MIN - 1e-9) * WORKS_STEP_MIN;
}

/* An hour of a cure that begins at a minute: the weather of the clock's hour in which its middle lies. */
size_t moist_clock_hour(int begin_min, size_t hour) {
    return (size_t)(begin_min + HOUR_MIN / 2) / HOUR_MIN + hour;
}

/* Hours of air from a beginning on, at most those that a cure is followed. */
static size_t hours_from(const moist_air *air, int begin_min) {
    size_t first = moist_clock_hour(begin_min, 0), most = (size_t)MOIST_LONGEST_DAYS * DAY_H;
    size_t there = first < air->n_hours ? air->n_hours - first : 0;
    return there < most ? there : most;
}

double moist_open_after_min(const moist_air *air, int begin_min) {
    size_t n = hours_from(air, begin_min);
    double hours = n > 0 ? cure_open_after_h(&air->hours[moist_clock_hour(begin_min, 0)], n) : HUGE_VAL;
    return hours < HUGE_VAL ? moist_up_min(hours * HOUR_MIN) : HUGE_VAL;
}

bool moist_air_ends(const moist_air *air, int begin_min) {
    return hours_from(air, begin_min) < (size_t)MOIST_LONGEST_DAYS * DAY_H;
}

int moist_lag_min(const moist_air *air, int begin_min) {
    double minutes = moist_open_after_min(air, begin_min);
    if (minutes < HUGE_VAL) return (int)minutes;
    /* Not within the hours that are known, be they more than CURE_DAYS. */
    return (int)fmax(CURE_DAYS * DAY_MIN, (double)hours_from(air, begin_min) * HOUR_MIN);
}

double moist_film_kg_m2(survey_lie lie) {
    return lie == LIE_FLOOR ? EVAPORATION_FILM_FLOOR_KG_M2 : EVAPORATION_FILM_WALL_KG_M2;
}

/* The fastest drying in the working hours of the first days, kg/(m2 h). */
static double fastest(const moist_air *air) {
    work_shift shift = work_shift_of(&air->s->site);
    double most = 0;
    for (size_t i = 0; i < ROUND_DAYS * DAY_H && i < air->n_hours; i++) {
        double of_day = (double)(i % DAY_H), rate;
        const cure_hour *h = &air->hours[i];
        evaporation_weather w = {fmax(h->concrete_c, EVAPORATION_COLDEST_C),
                                 fmax(h->air_c, EVAPORATION_COLDEST_C), h->humidity, h->wind_km_h};
        if (of_day + 1 <= shift.from_h || of_day >= shift.to_h) continue;
        if (evaporation_rate(&w, &rate, NULL) == OK && rate > most) most = rate;
    }
    return most;
}

moist_round moist_round_of(const moist_air *air, survey_lie lie) {
    static const char *const under[] = {NULL, "held wet cloth", "held wet cloth and a sheet"};
    double rate = fastest(air), shortest_h = (double)MOIST_SHORTEST_MIN / HOUR_MIN;
    double lasts_h[] = {moist_film_kg_m2(lie) / rate, MOIST_CLOTH_KG_M2 / rate,
                        CURE_LOOK_H}; /* or for ever */
    int cover = COVER_NONE;
    while (cover < COVER_SHEET && lasts_h[cover] < shortest_h) cover++;
    double seconds = fmin(lasts_h[cover], CURE_LOOK_H) * HOUR_MIN * 60;
    return (moist_round){floor(seconds / ROUND_STEP_S) * ROUND_STEP_S, under[cover],
                         air->known && air->n_hours > 0};
}
