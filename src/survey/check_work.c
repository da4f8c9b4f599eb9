/* When and by whom a site is worked on: what can never be planned is told when it comes in. */
#include "survey/checker.h"
#include "survey/fields.h"
#include "survey/work.h"

#include <math.h>
#include <string.h>

#define SAME_H 1e-9 /* rounding of hours typed with decimals */

static void check_dates(checker *c, const survey_work *w) {
    if (w->start_on && w->back_on && strcmp(w->back_on, w->start_on) < 0)
        checker_tell(c, NULL, "site: back in service on %s is before the first day of work, %s", w->back_on,
                     w->start_on);
    for (size_t i = 1; i < w->n_holidays; i++)
        if (strcmp(w->holidays[i - 1], w->holidays[i]) >= 0)
            checker_tell(c, NULL, "site: the holiday %s stands twice or out of order", w->holidays[i]);
}

static void check_hours(checker *c) {
    const survey_site *site = &c->s->site;
    work_shift s = work_shift_of(site);
    if (!(s.to_h <= 24 + SAME_H)) {
        checker_tell(
            c, NULL,
            "site: the shift of %g h begins at %g h and has a break of %g h; it must end by 24 h, not "
            "at %g h",
            site->shift_h, s.from_h, s.break_to_h - s.break_from_h, s.to_h);
        return; /* what follows is said against a shift of the day */
    }
    if (!(s.break_from_h > s.from_h && s.break_to_h < s.to_h + SAME_H))
        checker_tell(c, NULL, "site: the break from %g h to %g h is not within the shift, %g h to %g h",
                     s.break_from_h, s.break_to_h, s.from_h, s.to_h);
    if (!(s.noise_from_h < s.noise_to_h))
        checker_tell(c, NULL, "site: noisy work is allowed from %g h to %g h; the end must be later",
                     s.noise_from_h, s.noise_to_h);
    else if (!(s.noise_from_h < s.to_h && s.noise_to_h > s.from_h))
        checker_tell(c, NULL,
                     "site: noisy work is allowed from %g h to %g h, outside the shift, %g h to %g h",
                     s.noise_from_h, s.noise_to_h, s.from_h, s.to_h);
}

static void check_plant(checker *c, const survey_work *w) {
    for (int i = 0; i < PLANT_COUNT; i++)
        if (w->plant[i].known && w->plant[i].v != floor(w->plant[i].v))
            checker_tell(c, NULL, "site: plant, %s is %g; it must be a whole number", survey_plant_words[i],
                         w->plant[i].v);
}

static void check_names(checker *c, const survey_work *w) {
    names *seen = names_new();
    for (size_t i = 0; i < w->n_workers && seen; i++) {
        const char *name = w->workers[i].name;
        if (!name || !*name)
            checker_tell(c, NULL, "site: worker %zu has no name", i + 1);
        else if (names_find(seen, name) != NAMES_NONE)
            checker_tell(c, NULL, "site: worker \"%s\" stands twice", name);
        else if (!names_put(seen, name, i))
            fault_list_memory(c->faults);
    }
    if (!seen) fault_list_memory(c->faults);
    names_free(seen);
}

static void check_workers(checker *c, const survey_work *w) {
    bool cuts = false, places = false, mixes = false;
    if (w->n_workers == 0) return; /* people who can do everything */
    if (w->n_workers > WORK_WORKERS_MOST)
        checker_tell(c, NULL, "site: has %zu workers; at most %d", w->n_workers, WORK_WORKERS_MOST);
    check_names(c, w);
    for (size_t i = 0; i < w->n_workers; i++) {
        cuts = cuts || w->workers[i].cuts;
        places = places || w->workers[i].places;
        mixes = mixes || w->workers[i].mixes;
    }
    if (!cuts) checker_tell(c, NULL, "site: no worker cuts; at least one must");
    if (!places) checker_tell(c, NULL, "site: no worker places; at least one must");
    if (!mixes) checker_tell(c, NULL, "site: no worker mixes; at least one must");
}

static void check_hourly(checker *c, const survey_site *site) {
    if ((site->forecast.from != NULL) != (site->forecast.n > 0) || site->forecast.n > WORK_FORECAST_MOST_H)
        checker_tell(c, NULL, "site: the forecast has %zu hours %s; it needs 1 to %d and its first hour",
                     site->forecast.n, site->forecast.from ? "and a first one" : "and no first one",
                     WORK_FORECAST_MOST_H);
    if (site->n_year != 0 && site->n_year != SURVEY_YEAR_HOURS)
        checker_tell(c, NULL, "site: the typical year has %zu hours; it must have %d", site->n_year,
                     SURVEY_YEAR_HOURS);
}

void checker_work(checker *c) {
    const survey_site *site = &c->s->site;
    check_dates(c, &site->work);
    check_hours(c);
    check_plant(c, &site->work);
    check_workers(c, &site->work);
    check_hourly(c, site);
}
