#include "ops/job.h"
#include "ops/wall.h"

#include "survey/names.h"

#include <stdio.h>
#include <string.h>

/* ---- the list of a day ---- */

static status check_date(const char *date, fault *why) {
    char moment[32];
    long long seconds;
    snprintf(moment, sizeof moment, "%.20sT00:00:00Z", date ? date : "");
    if (date && strlen(date) == 10 && record_time(moment, &seconds)) return OK;
    return fault_set(why, E_INPUT, "the date is \"%.40s\"; it must be a day as YYYY-MM-DD, from 2000 on",
                     date ? date : "");
}

static status check_marks(const survey *s, const ops_day_list *list, fault *why) {
    names *there = names_new(), *taken = names_new();
    bool good = there && taken;
    status code = OK;
    for (size_t i = 0; good && i < s->n_defects; i++) good = names_put(there, s->defects[i].mark, i);
    for (size_t i = 0; good && code == OK && i < list->n; i++) {
        const char *mark = list->marks[i];
        if (names_find(there, mark) == NAMES_NONE)
            code = fault_set(why, E_INPUT, "marks[%zu]: no leak is marked %.60s", i, mark);
        else if (names_find(taken, mark) != NAMES_NONE)
            code = fault_set(why, E_INPUT, "marks[%zu]: %.60s stands twice", i, mark);
        else
            good = names_put(taken, mark, i);
    }
    names_free(there);
    names_free(taken);
    return good ? code : fault_memory(why);
}

status ops_day_set(const char *path, const ops_day_list *list, const ops_actor *actor, long long *revision,
                   fault *why) {
    store *job = NULL;
    survey *s = NULL;
    *revision = 0;
    status code = check_date(list->date, why);
    if (code == OK) code = store_open(path, false, &job, why);
    if (code == OK) code = store_begin(job, why);
    if (code == OK) code = store_load(job, &s, why);
    if (code == OK) code = check_marks(s, list, why);
    if (code == OK) code = store_set_day(job, list->date, list->marks, list->n, why);
    if (code == OK)
        code = job_log(job, actor, why, "day %s: %zu leak%s", list->date, list->n, list->n == 1 ? "" : "s");
    if (code == OK) code = store_revision(job, revision, why);
    if (code == OK) code = store_commit(job, why);
    survey_free(s);
    store_close(job);
    return code;
}

/* ---- what a day is made from ---- */

static bool is_proved(const record *r) {
    if (r->what == RECORD_FINISH && !r->step) return true; /* the leak as a whole */
    return (r->what == RECORD_FINISH || r->what == RECORD_HOLD) && r->step && strcmp(r->step, "prove") == 0;
}

/* A tick about which a correction was written does not count; so the leak shows again, and no harm is done. */
static status find_done(const ops_records *all, arena *memory, ops_day *day, fault *why) {
    names *corrected = names_new(), *done = names_new();
    bool good = corrected && done;
    for (size_t i = 0; good && i < all->n; i++)
        if (all->items[i].what == RECORD_CORRECTION) good = names_put(corrected, all->items[i].about, i);
    for (size_t i = 0; good && i < all->n; i++) {
        const record *r = &all->items[i];
        if (!is_proved(r) || names_find(corrected, r->id) != NAMES_NONE ||
            names_find(done, r->mark) != NAMES_NONE)
            continue;
        const char **marks = arena_push(memory, day->done, &day->n_done, sizeof *marks);
        good = marks && names_put(done, r->mark, i);
        if (!marks) break;
        day->done = marks;
        marks[day->n_done - 1] = r->mark;
    }
    names_free(corrected);
    names_free(done);
    return good ? OK : fault_memory(why);
}

status ops_day_load(const char *path, arena *memory, ops_day *day, fault *why) {
    store *job = NULL;
    ops_records all = {0};
    day->marks = day->done = NULL;
    day->n_marks = day->n_done = 0;
    status code = check_date(day->date, why);
    if (code == OK) code = store_open(path, true, &job, why);
    if (code == OK) code = store_revision(job, &day->revision, why);
    if (code == OK) code = store_load_day(job, day->date, memory, &day->marks, &day->n_marks, why);
    store_close(job);
    if (code == OK && day->n_marks == 0) code = ops_records_load(path, memory, &all, why);
    return code == OK ? find_done(&all, memory, day, why) : code;
}
