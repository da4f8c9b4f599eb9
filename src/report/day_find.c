/* day_find.c - which day of the works is meant. */
#include "report/day_sheet.h"

#include <stdlib.h>
#include <string.h>

bool day_sheet_worked(const works_plan *works, int day) {
    for (size_t i = 0; i < works->n_tasks; i++)
        if (works_day_of(works->tasks[i].start_min) == day && works->tasks[i].minutes > 0) return true;
    return false;
}

static status no_work(const works_plan *works, int day, say *w, fault *why) {
    const char *said = works_said_day(w, works, day, DAY_FULL);
    int last = works_day_of(works->makespan_min);
    for (int next = day < 0 ? 0 : day + 1; next <= last; next++)
        if (day_sheet_worked(works, next))
            return fault_set(why, E_STATE, "no work on %s; the next day with work is %s", said,
                             works_said_day(w, works, next, DAY_FULL));
    return fault_set(why, E_STATE, "no work on %s; the works end on %s", said,
                     works_said_day(w, works, last, DAY_FULL));
}

/* At most six digits, from 1 on. */
static bool read_number(const char *word, int *day) {
    size_t n = strspn(word, "0123456789");
    if (n == 0 || n > 6 || word[n]) return false;
    *day = atoi(word) - 1;
    return *day >= 0;
}

status day_sheet_find(const works_plan *works, const char *word, say *words, int *day, fault *why) {
    long long at, first;
    *day = 0;
    if (!read_number(word, day)) {
        if (!date_day(word, &at))
            return fault_set(
                why, E_INPUT,
                "the day is \"%.40s\"; it must be a date as YYYY-MM-DD or the number of a day, from 1 on",
                word);
        if (!works->start_on || !date_day(works->start_on, &first))
            return fault_set(why, E_STATE,
                             "the works have no first day: name a day by its number, from 1 on");
        if (at - first < -10000 || at - first > 100000) /* farther than any works */
            return fault_set(why, E_STATE, "no work on %s: the works begin on %s", word, works->start_on);
        *day = (int)(at - first);
    }
    return day_sheet_worked(works, *day) ? OK : no_work(works, *day, words, why);
}
