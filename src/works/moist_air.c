/* The air of a job hour by hour, from what its site knows of it. */
#include "core/date.h"
#include "works/moist_parts.h"

#include <math.h>

enum { DAY_H = 24, HOUR_AT = 11 /* in YYYY-MM-DDTHH:00 */ };

typedef struct {
    const survey_site *site;
    maybe temperature_c;
    arena *memory;
    moist_air *out;
    long long forecast_h; /* hours since 1970 of its first; of no use unless `forecast` */
    bool forecast, year;  /* that can be placed on the clock */
    cure_hour steady;     /* where there is neither */
    bool steady_known;
    fault *why;
} airing;

static status warn(const airing *a, const char *sentence) {
    return moist_add_text(a->memory, &a->out->warnings, &a->out->n_warnings, sentence, a->why);
}

static bool read_hour(const char *from, long long *hour) {
    calendar_day day;
    if (!from || !date_read(from, &day) || from[HOUR_AT - 1] != 'T') return false;
    int tens = from[HOUR_AT] - '0', ones = from[HOUR_AT] ? from[HOUR_AT + 1] - '0' : -1;
    if (tens < 0 || tens > 2 || ones < 0 || ones > 9 || 10 * tens + ones >= DAY_H) return false;
    *hour = date_days(day) * DAY_H + 10 * tens + ones;
    return true;
}

static status place(airing *a, const char *start_on) {
    const survey_site *site = a->site;
    a->out->dated = start_on != NULL;
    if (start_on && !date_day(start_on, &a->out->first_day))
        return fault_set(a->why, E_INPUT, "work: start_on is \"%.40s\"; it must be a day as YYYY-MM-DD",
                         start_on);
    bool outside = a->out->dated && !site->still_air;
    a->forecast = outside && site->forecast.n > 0;
    a->year = outside && (site->n_year == SURVEY_YEAR_HOURS || site->n_typical == SURVEY_YEAR_DAYS);
    if (a->forecast && !read_hour(site->forecast.from, &a->forecast_h))
        return fault_set(a->why, E_INPUT,
                         "site: forecast from \"%.40s\"; it must be an hour as YYYY-MM-DDTHH:00",
                         site->forecast.from ? site->forecast.from : "");
    return OK;
}

/* Constant air, and what must be said of it. */
static void settle(airing *a) {
    const survey_site *site = a->site;
    bool weather = a->forecast || a->year;
    a->steady =
        (cure_hour){site->air_c.known ? site->air_c.v : MOIST_AIR_C, 0,
                    site->humidity_percent.known ? site->humidity_percent.v / 100 : MOIST_HUMIDITY, 0};
    a->steady_known = !a->forecast || site->air_c.known || a->temperature_c.known;
    a->out->known = weather || (site->air_c.known && site->humidity_percent.known);
}

static cure_hour hour_of(const survey_weather *w) {
    return (cure_hour){w->air_c, 0, w->humidity_percent / 100, w->wind_km_h * SURVEY_WIND_LOW};
}

/* False where nothing is known of the hour `at` of the clock, which may lie before its 0. */
static bool air_at(const airing *a, int at, cure_hour *out) {
    const survey_site *site = a->site;
    long long hour = a->out->first_day * DAY_H + at;
    if (a->forecast && hour >= a->forecast_h && hour - a->forecast_h < (long long)site->forecast.n) {
        *out = hour_of(&site->forecast.hours[hour - a->forecast_h]);
        return true;
    }
    *out = a->steady;
    if (!a->year) return a->steady_known;
    long long day = hour >= 0 ? hour / DAY_H : (hour + 1) / DAY_H - 1;
    int of_year = date_of_year(date_of_days(day));
    if (site->n_year == SURVEY_YEAR_HOURS)
        *out = hour_of(&site->year[of_year * DAY_H + (int)(hour - day * DAY_H)]);
    else
        out->air_c = site->typical_c[of_year];
    return true;
}

/* The hours before the forecast begins, where nothing else is known of them. */
static bool before_forecast(const airing *a, int at) {
    return a->forecast && a->out->first_day * DAY_H + at < a->forecast_h;
}

/* The wall follows the mean of the air in the 24 h that end with the hour. */
typedef struct {
    double of[DAY_H], sum;
    int n, next;
} day_mean;

static double mean_with(day_mean *m, double air_c) {
    if (m->n == DAY_H)
        m->sum -= m->of[m->next];
    else
        m->n++;
    m->of[m->next] = air_c;
    m->sum += air_c;
    m->next = (m->next + 1) % DAY_H;
    return m->sum / m->n;
}

static status fill(airing *a) {
    enum { MOST = MOIST_HORIZON_DAYS * DAY_H };
    moist_air *out = a->out;
    day_mean mean = {{0}, 0, 0, 0};
    out->hours = arena_get(a->memory, MOST, sizeof *out->hours);
    if (!out->hours) return fault_memory(a->why);
    for (int at = 1 - DAY_H; at < MOST; at++) {
        cure_hour hour;
        bool known = air_at(a, at, &hour);
        if (!known && at < 0) continue;
        if (!known && !before_forecast(a, at)) return OK;
        if (a->temperature_c.known) hour.air_c = a->temperature_c.v;
        double lagged = mean_with(&mean, hour.air_c);
        hour.concrete_c = a->temperature_c.known  ? a->temperature_c.v
                          : a->site->wall_c.known ? a->site->wall_c.v
                                                  : lagged;
        if (at >= 0) out->hours[out->n_hours++] = hour;
    }
    return OK;
}

static const char *shown_c(const airing *a, double c, char into[UNITS_SHOWN]) {
    return units_show(UNITS_TEMPERATURE, a->site->system, c, 0, into);
}

static status tell_steady(const airing *a) {
    const survey_site *site = a->site;
    char c[UNITS_SHOWN];
    if (a->forecast || a->year) return OK;
    if (!site->air_c.known && !a->temperature_c.known)
        return warn(a,
                    arena_print(a->memory,
                                "The air at the repairs is not known: %s, %.0f %% humidity and no wind are "
                                "taken for the cure (our defaults). Give the site's air or its weather.",
                                shown_c(a, MOIST_AIR_C, c), a->steady.humidity * 100));
    if (!site->humidity_percent.known)
        return warn(a, arena_print(a->memory,
                                   "The humidity at the repairs is not known: %.0f %% is taken for the cure "
                                   "(our default).",
                                   MOIST_HUMIDITY * 100));
    return OK;
}

static status tell_forecast(const airing *a) {
    if (!a->forecast) return OK;
    long long begins = a->forecast_h - a->out->first_day * DAY_H,
              ends = begins + (long long)a->site->forecast.n;
    char c[UNITS_SHOWN];
    if (begins > 0 && !a->year && !a->steady_known) {
        status code =
            warn(a, arena_print(a->memory,
                                "The forecast begins %s: until then %s, %.0f %% humidity and no wind "
                                "are taken for the cure (our defaults).",
                                moist_clock(a->out, begins * 60, a->memory), shown_c(a, MOIST_AIR_C, c),
                                a->steady.humidity * 100));
        if (code != OK) return code;
    }
    if (a->year || a->steady_known) return OK;
    return warn(a,
                arena_print(a->memory, "The forecast ends %s: the weather of a cure beyond it is not known.",
                            moist_clock(a->out, ends * 60, a->memory)));
}

static status tell_rest(const airing *a) {
    const survey_site *site = a->site;
    bool given = site->forecast.n > 0 || site->n_year > 0;
    if (given && !a->out->dated && !site->still_air)
        return warn(a, "Without a first day of work the weather given has no place: the site's air is taken "
                       "for the cure.");
    if (a->year && !a->temperature_c.known)
        return warn(a, a->forecast
                           ? "Beyond the forecast the cure is planned with a typical year: its alarms "
                             "tell what is usual, not what will come."
                           : "The cure is planned with a typical year: its alarms tell what is usual, "
                             "not what will come. A forecast typed in tells more.");
    return OK;
}

status moist_air_make(const survey *s, const char *start_on, maybe temperature_c, arena *memory,
                      moist_air *out, fault *why) {
    airing a = {.site = &s->site, .temperature_c = temperature_c, .memory = memory, .out = out, .why = why};
    *out = (moist_air){.s = s};
    status code = place(&a, start_on);
    if (code != OK) return code;
    settle(&a);
    code = fill(&a);
    if (code == OK) code = tell_rest(&a);
    if (code == OK) code = tell_forecast(&a);
    return code == OK ? tell_steady(&a) : code;
}
