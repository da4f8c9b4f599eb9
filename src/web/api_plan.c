/* The plan as it is held in memory: the whole, one leak, figures, a leak as it would be; answers to findings. */
#include "ops/history.h"
#include "ops/try.h"
#include "ops/view.h"
#include "report/report.h"
#include "web/planned.h"
#include "web/server.h"
#include "web/turn.h"

#include <stdlib.h>
#include <string.h>

/* Index of {mark} among the leaks; 404 in *out when it is not planned. */
static status find_leak(const web_request *r, web_response *out, const plan *p, size_t *at, fault *why) {
    for (*at = 0; *at < p->n_leaks; (*at)++)
        if (strcmp(p->leaks[*at].defect->mark, r->variables[1]) == 0) return OK;
    return web_missing(out, why, "no leak is marked %.60s in the plan", r->variables[1]);
}

/* ---- the whole, one leak ---- */

static status write_plan(const web_request *r, planned *h, text *to, fault *why) {
    (void)r;
    return ops_plan_view_json(planned_plan(h), &h->view, to, why);
}

static status write_leak(const web_request *r, planned *h, text *to, fault *why) {
    return ops_leak_view_json(held_job(h->plan)->plan, r->variables[1], &h->view, to, why);
}

status api_plan(const web_request *r, web_response *out, fault *why) {
    planned h;
    status code = planned_hold(r, out, &h, why);
    if (code == OK)
        code = h.plan ? planned_send(r, &h, "plan", write_plan, out, why) : planned_send_none(r, out, why);
    planned_let_go(&h);
    return code;
}

status api_leak(const web_request *r, web_response *out, fault *why) {
    planned h;
    size_t at = 0;
    status code = planned_need(r, out, &h, why);
    if (code == OK) code = find_leak(r, out, planned_plan(&h), &at, why);
    if (code == OK)
        code = planned_send(r, &h, arena_print(r->memory, "leak %s", r->variables[1]), write_leak, out, why);
    planned_let_go(&h);
    return code;
}

/* ---- figures ---- */

static status write_face(const web_request *r, planned *h, text *to, fault *why) {
    const survey *s = held_job(h->plan)->survey;
    size_t face = 0;
    while (strcmp(s->faces[face].id, r->variables[1]) != 0) face++; /* it is there: api_face_figure looked */
    return report_svg(planned_plan(h), face, to, why);
}

/* The crack plane of {mark}. */
static status find_plane(const web_request *r, web_response *out, const plan *p, size_t *plane, fault *why) {
    size_t at = 0;
    status code = find_leak(r, out, p, &at, why);
    if (code != OK) return code;
    if (!p->plane_of[at])
        return web_missing(out, why, "%.60s has no crack plane in this plan", r->variables[1]);
    *plane = (size_t)(p->plane_of[at] - p->planes);
    return OK;
}

static status write_plane(const web_request *r, planned *h, text *to, fault *why) {
    web_response unused = {0};
    size_t plane = 0;
    status code = find_plane(r, &unused, planned_plan(h), &plane, why);
    return code == OK ? report_plane_svg(planned_plan(h), plane, to, why) : code;
}

static status write_order(const web_request *r, planned *h, text *to, fault *why) {
    web_response unused = {0};
    size_t plane = 0;
    status code = find_plane(r, &unused, planned_plan(h), &plane, why);
    return code == OK
               ? report_order_svg(planned_plan(h), plane, (size_t)strtoul(r->variables[2], NULL, 10), to, why)
               : code;
}

static status write_movement(const web_request *r, planned *h, text *to, fault *why) {
    web_response unused = {0};
    size_t at = 0;
    status code = find_leak(r, &unused, planned_plan(h), &at, why);
    return code == OK
               ? report_movement_svg(planned_plan(h), at, (size_t)strtoul(r->variables[2], NULL, 10), to, why)
               : code;
}

static status send_figure(const web_request *r, planned *h, const char *name, planned_write *write,
                          web_response *out, fault *why) {
    out->type = "image/svg+xml";
    return planned_send(r, h, name, write, out, why);
}

status api_face_figure(const web_request *r, web_response *out, fault *why) {
    planned h;
    status code = planned_need(r, out, &h, why);
    if (code == OK && !survey_find_face(held_job(h.plan)->survey, r->variables[1]))
        code = web_missing(out, why, "no face is called %.60s in the plan", r->variables[1]);
    if (code == OK)
        code = send_figure(r, &h, arena_print(r->memory, "face %s", r->variables[1]), write_face, out, why);
    planned_let_go(&h);
    return code;
}

status api_plane_figure(const web_request *r, web_response *out, fault *why) {
    planned h;
    size_t plane = 0;
    status code = planned_need(r, out, &h, why);
    if (code == OK) code = find_plane(r, out, planned_plan(&h), &plane, why);
    if (code == OK)
        code = send_figure(r, &h, arena_print(r->memory, "plane %zu", plane), write_plane, out, why);
    planned_let_go(&h);
    return code;
}

/* A step of an order, a gauge of a leak: digits only, few enough for any. */
static bool is_count(const char *word) {
    size_t length = strlen(word);
    return length >= 1 && length <= 4 && strspn(word, "0123456789") == length;
}

status api_order_figure(const web_request *r, web_response *out, fault *why) {
    planned h;
    size_t plane = 0;
    if (!is_count(r->variables[2]))
        return web_missing(out, why, "%.40s is no number of a step", r->variables[2]);
    status code = planned_need(r, out, &h, why);
    if (code == OK) code = find_plane(r, out, planned_plan(&h), &plane, why);
    if (code == OK)
        code = send_figure(r, &h,
                           arena_print(r->memory, "order %zu %lu", plane, strtoul(r->variables[2], NULL, 10)),
                           write_order, out, why);
    if (code == E_INPUT) out->code = 404; /* more steps than there are */
    planned_let_go(&h);
    return code;
}

status api_movement_figure(const web_request *r, web_response *out, fault *why) {
    planned h;
    size_t at = 0;
    if (!is_count(r->variables[2]))
        return web_missing(out, why, "%.40s is no number of a gauge", r->variables[2]);
    status code = planned_need(r, out, &h, why);
    if (code == OK) code = find_leak(r, out, planned_plan(&h), &at, why);
    if (code == OK)
        code = send_figure(r, &h,
                           arena_print(r->memory, "movement %zu %lu", at, strtoul(r->variables[2], NULL, 10)),
                           write_movement, out, why);
    if (code == E_INPUT) out->code = 404; /* fewer gauges than that */
    planned_let_go(&h);
    return code;
}

/* ---- as it would be; answers ---- */

/* One leak at a time is tried: a long one takes 150 MB for two seconds. Our choice of how long one waits for another. */
enum { TRY_WAIT_S = 10 };

static status try_it(const web_request *r, const char *path, ops_job *out, fault_list *faults, fault *why) {
    turn *mine;
    status code = turn_begin(r->server, WEB_KEEP_TRYING, TRY_WAIT_S, &mine, why);
    if (code == OK) code = ops_try(path, &(ops_try_request){r->body, r->length}, out, faults, why);
    turn_end(mine);
    return code;
}

status api_try(const web_request *r, web_response *out, fault *why) {
    const char *path, *mark = json_string_value(json_object_get(json_object_get(r->json, "defect"), "mark"));
    ops_job tried = {0};
    fault_list *faults = fault_list_new();
    if (!faults) return fault_memory(why);
    status code = web_job_path(r, out, &path, why);
    if (code == OK) code = try_it(r, path, &tried, faults, why);
    if (code == OK) {
        const ops_view view = {.job = r->variables[0], .current = true};
        code = ops_leak_view_json(tried.plan, mark ? mark : "", &view, &out->body, why);
    }
    ops_job_free(&tried);
    if (code == E_INPUT && fault_list_count(faults) > 0) code = web_faults(out, faults, why);
    fault_list_free(faults);
    return code;
}

status api_answer(const web_request *r, web_response *out, fault *why) {
    static const char *const known[] = {"mark", "finding", "by", "what"};
    const ops_actor actor = {r->who, r->now, "page"};
    const char *path;
    ops_answer_request request = {.on = arena_print(r->memory, "%.10s", r->now)};
    json_in in = {.source = "", .faults = fault_list_new(), .memory = r->memory};
    long long revision = 0;
    if (!in.faults || !request.on) return fault_memory(why);
    status code = web_job_path(r, out, &path, why);
    if (code == OK) {
        json_in_only(&in, NULL, r->json, known, 4);
        json_in_text(&in, NULL, r->json, "mark", 200, true, &request.mark);
        json_in_text(&in, NULL, r->json, "finding", 100, true, &request.finding);
        json_in_text(&in, NULL, r->json, "by", 200, true, &request.by);
        json_in_text(&in, NULL, r->json, "what", 2000, true, &request.what);
        code = fault_list_status(in.faults, why);
    }
    fault_list_free(in.faults);
    if (code == OK) code = ops_answer(path, &request, &actor, why);
    if (code == OK) code = ops_revision(path, &revision, why);
    if (code == OK) text_print(&out->body, "{\"revision\": %lld}", revision);
    return code;
}
