/* Who does what when: the works of the held plan, one day of them, as bars, as a calendar, at another temperature. */
#include "core/units.h"
#include "ops/history.h"
#include "ops/view_works.h"
#include "ops/works_at.h"
#include "report/day_sheet.h"
#include "report/gantt.h"
#include "report/ical.h"
#include "web/errand.h"
#include "web/planned.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static status write_works(const web_request *r, planned *h, text *to, fault *why) {
    (void)r;
    return ops_works_view_json(planned_plan(h), &h->view, to, why);
}

status api_works(const web_request *r, web_response *out, fault *why) {
    planned h;
    status code = planned_hold(r, out, &h, why);
    if (code == OK)
        code = h.plan ? planned_send(r, &h, "works", write_works, out, why) : planned_send_none(r, out, why);
    planned_let_go(&h);
    return code;
}

/* The plan with its works. E_STATE when there are none. */
static status need_works(const web_request *r, web_response *out, planned *h, fault *why) {
    status code = planned_need(r, out, h, why);
    if (code != OK) return code;
    const plan *p = planned_plan(h);
    if (p->works && p->works->n_tasks > 0) return OK;
    return fault_set(why, E_STATE, "no works are planned: %s",
                     p->works_problem ? p->works_problem : "no leak can be worked on yet");
}

static status find_day(const web_request *r, web_response *out, const plan *p, const char *word, int *day,
                       fault *why) {
    say words = {.memory = r->memory, .system = p->survey->site.system};
    status code = day_sheet_find(p->works, word, &words, day, why);
    if (code == E_INPUT || code == E_STATE) out->code = 404;
    return code;
}

/* ---- a day ---- */

static status write_day(const web_request *r, planned *h, text *to, fault *why) {
    return ops_day_view_json(planned_plan(h), r->variables[1], &h->view, to, why);
}

status api_works_day(const web_request *r, web_response *out, fault *why) {
    planned h;
    int day;
    status code = need_works(r, out, &h, why);
    if (code == OK) code = find_day(r, out, planned_plan(&h), r->variables[1], &day, why);
    if (code == OK)
        code = planned_send(r, &h, arena_print(r->memory, "works day %d", day), write_day, out, why);
    planned_let_go(&h);
    return code;
}

/* ---- as bars ---- */

/* Which form and which day the query asks for. */
static status read_figure(const web_request *r, web_response *out, const plan *p, gantt_form *form, int *day,
                          fault *why) {
    const char *word = web_query(r, "form"), *on = web_query(r, "day");
    *day = GANTT_ALL_DAYS;
    *form = word && strcmp(word, "people") == 0 ? GANTT_PEOPLE : GANTT_LEAKS;
    if (word && *form == GANTT_LEAKS && strcmp(word, "leaks") != 0)
        return fault_set(why, E_INPUT, "form is \"%.40s\"; it must be leaks or people", word);
    return on ? find_day(r, out, p, on, day, why) : OK;
}

static status write_bars(const web_request *r, planned *h, text *to, fault *why) {
    web_response unused = {0};
    gantt_form form;
    int day;
    const plan *p = planned_plan(h);
    status code = read_figure(r, &unused, p, &form, &day, why);
    return code == OK ? gantt_svg(p->survey, p->works, form, day, to, why) : code;
}

status api_works_figure(const web_request *r, web_response *out, fault *why) {
    planned h;
    gantt_form form;
    int day;
    status code = need_works(r, out, &h, why);
    if (code == OK) code = read_figure(r, out, planned_plan(&h), &form, &day, why);
    out->type = code == OK ? "image/svg+xml" : out->type;
    if (code == OK)
        code = planned_send(r, &h, arena_print(r->memory, "works bars %d %d", (int)form, day), write_bars,
                            out, why);
    planned_let_go(&h);
    return code;
}

/* ---- as a calendar ---- */

status api_works_calendar(const web_request *r, web_response *out, fault *why) {
    planned h;
    const ical_options options = {arena_print(r->memory, "%.10s", r->now), STANCH_VERSION, r->variables[0]};
    if (!options.date) return fault_memory(why);
    status code = need_works(r, out, &h, why);
    if (code == OK)
        code = report_ical(planned_plan(&h)->survey, planned_plan(&h)->works, &options, &out->body, why);
    planned_let_go(&h);
    if (code != OK) return code;
    out->type = "text/calendar; charset=utf-8";
    out->save_as = arena_print(r->memory, "%s-works.ics", r->variables[0]);
    return out->save_as ? OK : fault_memory(why);
}

/* ---- at another temperature ---- */

/* A tenth of a degree, as it was given: so there is an end to what is kept. */
static const char *at_name(arena *memory, units_system system, double shown) {
    return arena_print(memory, "works at %.1f %s", shown, units_suffix(UNITS_TEMPERATURE, system));
}

/* What was given: in Celsius, and the name under which the answer is kept. */
typedef struct {
    double c;
    const char *name;
} asked;

static status read_asked(const web_request *r, units_system system, double shown, asked *out, fault *why) {
    double tenth = round(shown * 10) / 10;
    if (!(fabs(tenth) < 1000)) return fault_set(why, E_INPUT, "the temperature is no number of degrees");
    out->c = units_to_si(UNITS_TEMPERATURE, system, tenth);
    out->name = at_name(r->memory, system, tenth);
    return out->name ? OK : fault_memory(why);
}

static status read_query(const web_request *r, asked *out, fault *why) {
    const char *c = web_query(r, "temperature_c"), *f = web_query(r, "temperature_f"), *word = c ? c : f;
    char *end = NULL;
    bool plain = word && *word && strspn(word, "0123456789.-") == strlen(word);
    double shown = plain ? strtod(word, &end) : 0;
    if (!plain || *end || (c && f))
        return fault_set(why, E_INPUT,
                         "one of temperature_c and temperature_f is needed, a number of degrees");
    return read_asked(r, c ? UNITS_METRIC : UNITS_US, shown, out, why);
}

static status read_body(const web_request *r, asked *out, fault *why) {
    const json_t *c = json_object_get(r->json, "temperature_c"),
                 *f = json_object_get(r->json, "temperature_f");
    if (json_object_size(r->json) != 1 || !json_is_number(c ? c : f))
        return fault_set(why, E_INPUT,
                         "one of temperature_c and temperature_f is needed, a number of degrees");
    return read_asked(r, c ? UNITS_METRIC : UNITS_US, json_number_value(c ? c : f), out, why);
}

/* With the held plan, but without its lock: it is only read, and others are answered meanwhile. */
static status make_at(const errand *e, const held *of, work *self, text *made, fault *why) {
    errand_clock clock;
    status code = errand_tell_clock(e, &clock, why);
    const works_at_request request = {e->temperature_c, clock.now, clock.utc_offset_min, work_stopping(self)};
    return code == OK ? ops_works_at_json(e->path, held_job(of)->plan, &request, made, why) : code;
}

static status run_at(void *data, work *self, fault *why) {
    const errand *e = data;
    plans *all = plans_of(e->server);
    held *of = all ? plans_hold(all, e->path) : NULL;
    text made = {0};
    if (!of) return fault_set(why, E_STATE, "the job is not planned yet: plan it first");
    work_progress(self, 0.1, "who does what when at that temperature");
    status code = make_at(e, of, self, &made, why);
    if (code == OK) code = errand_keep(e, of, e->name, text_get(&made), why);
    text_free(&made);
    plans_let_go(all, of);
    return code;
}

status api_works_at_start(const web_request *r, web_response *out, fault *why) {
    planned h;
    asked at = {0};
    const char *path;
    status code = read_body(r, &at, why);
    if (code == OK) code = web_job_path(r, out, &path, why);
    if (code != OK) return code;
    code = need_works(r, out, &h, why);
    if (code == OK) code = works_at_check(planned_plan(&h)->survey, at.c, why);
    planned_let_go(&h);
    if (code != OK) return code;
    errand *e = errand_make(r, path, at.name);
    if (e) e->temperature_c = at.c;
    return errand_start(r, at.name, run_at, e, out, why);
}

/* Only what is there: making it is the queue's. */
status api_works_at(const web_request *r, web_response *out, fault *why) {
    planned h;
    asked at = {0};
    status code = read_query(r, &at, why);
    if (code != OK) return code;
    code = need_works(r, out, &h, why);
    const char *kept = code == OK ? held_text(h.plan, at.name, h.current) : NULL;
    if (code == OK) text_add(&out->body, kept ? kept : "{\"state\": \"none\"}");
    planned_let_go(&h);
    return code;
}
