#include "ops/day_sheet.h"

#include "core/file.h"
#include "report/gantt.h"

#include <string.h>

/* First and last day that are asked for. */
static status find_days(const plan *p, const char *word, say *words, int days[2], fault *why) {
    if (!p->works || p->works->n_tasks == 0)
        return fault_set(why, E_STATE, "there are no works to show: %s",
                         p->works_problem ? p->works_problem : "no leak has work that takes time");
    if (strcmp(word, "all") == 0) {
        days[0] = 0;
        days[1] = works_day_of(p->works->makespan_min);
        return OK;
    }
    int day = 0;
    status code = day_sheet_find(p->works, word, words, &day, why);
    days[0] = days[1] = day;
    return code;
}

static status make_sheets(const plan *p, const int days[2], say *words, ops_works_day_result *out,
                          fault *why) {
    day_sheet *all = NULL;
    status code = OK;
    for (int day = days[0]; code == OK && day <= days[1]; day++) {
        if (!day_sheet_worked(p->works, day)) continue;
        day_sheet *grown = arena_push(p->memory, all, &out->n, sizeof *grown);
        if (!grown) return fault_memory(why);
        all = grown;
        code = day_sheet_make(p, p->works, day, words, &all[out->n - 1], why);
    }
    out->days = all;
    return code;
}

static status write(const char *path, text *bytes, status code, fault *why) {
    if (code == OK) code = file_write(path, text_get(bytes), bytes->length, why);
    text_free(bytes);
    return code;
}

status ops_works_day(const ops_job *job, const ops_works_day_request *request, ops_works_day_result *out,
                     fault *why) {
    const plan *p = job->plan;
    const report_options options = {request->today, STANCH_VERSION, request->link};
    say words = {
        .memory = p->memory, .system = job->survey->site.system, .currency = job->survey->site.currency};
    int days[2] = {0, 0};
    *out = (ops_works_day_result){0};
    status code = find_days(p, request->day, &words, days, why);
    if (code == OK) code = make_sheets(p, days, &words, out, why);
    if (code == OK && request->pdf) {
        text pdf = {0};
        code = write(request->pdf, &pdf, report_day_pdf(p, p->works, &options, days, &pdf, why), why);
    }
    if (code == OK && request->svg) {
        text svg = {0};
        int day = days[0] == days[1] ? days[0] : GANTT_ALL_DAYS;
        code = write(request->svg, &svg, gantt_svg(job->survey, p->works, GANTT_PEOPLE, day, &svg, why), why);
    }
    return code;
}
