/* Pictures: photos that records name, pictures under faces, QR codes. */
#include "ops/photo.h"
#include "report/code.h"
#include "web/turn.h"

#include <string.h>

/* One picture at a time: each takes up to 100 MB while it is decoded. Our choice of how long one waits for another. */
enum { PICTURE_WAIT_S = 30 };

static status picture_begin(const web_request *r, turn **out, fault *why) {
    return turn_begin(r->server, WEB_KEEP_EASEL, PICTURE_WAIT_S, out, why);
}

/* ---- photos ---- */

static status send_file(const char *path, const char *type, web_response *out) {
    out->type = type;
    out->file = path;
    return OK;
}

status api_photo_add(const web_request *r, web_response *out, fault *why) {
    const char *job, *id = web_query(r, "id"), *name;
    turn *mine = NULL;
    status code = web_job_path(r, out, &job, why);
    if (code == OK && !id) code = fault_set(why, E_INPUT, "id is missing: the photo's own UUID");
    if (code == OK) code = picture_begin(r, &mine, why);
    if (code == OK) code = ops_photo_add(job, id, r->upload, r->memory, &name, why);
    turn_end(mine);
    if (code != OK) return code;
    json_out o = {.to = &out->body};
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "photo", name);
    json_out_close(&o, '}');
    return OK;
}

status api_photo(const web_request *r, web_response *out, fault *why) {
    const char *job, *path;
    status code = web_job_path(r, out, &job, why);
    if (code == OK) code = ops_photo_path(job, r->variables[1], r->memory, &path, why);
    if (code == E_STATE || code == E_INPUT) out->code = 404;
    return code == OK ? send_file(path, "image/jpeg", out) : code;
}

/* ---- under a face ---- */

/* [[x, y], ...]: four pairs of numbers from one member of the query. */
static status read_points(const web_request *r, const char *name, double into[8], fault *why) {
    const char *words = web_query(r, name);
    json_t *list = words ? json_loads(words, JSON_REJECT_DUPLICATES, NULL) : NULL;
    bool good = json_array_size(list) == 4;
    for (size_t i = 0; good && i < 8; i++) {
        const json_t *pair = json_array_get(list, i / 2), *number = json_array_get(pair, i % 2);
        good = json_array_size(pair) == 2 && json_is_number(number);
        into[i] = good ? json_number_value(number) : 0;
    }
    json_decref(list);
    return good ? OK
                : fault_set(why, E_INPUT, "%s is missing or wrong: it must be four points, [[x, y], ...]",
                            name);
}

status api_underlay_add(const web_request *r, web_response *out, fault *why) {
    const char *job;
    ops_underlay_request request = {.face = r->variables[1], .upload = r->upload};
    const ops_actor actor = {.by = r->who, .at = r->now, .through = "page"};
    long long revision = 0;
    turn *mine = NULL;
    status code = web_job_path(r, out, &job, why);
    if (code == OK) code = read_points(r, "corners", request.corners, why);
    if (code == OK) code = read_points(r, "onto", request.onto, why);
    if (code == OK) code = picture_begin(r, &mine, why);
    if (code == OK) code = ops_underlay_set(job, &request, &actor, &revision, why);
    turn_end(mine);
    if (code != OK) return code;
    json_out o = {.to = &out->body};
    json_out_open(&o, NULL, '{');
    json_out_whole(&o, "revision", revision);
    json_out_close(&o, '}');
    return OK;
}

status api_underlay(const web_request *r, web_response *out, fault *why) {
    const char *job, *path;
    turn *mine = NULL;
    status code = web_job_path(r, out, &job, why);
    if (code == OK) code = picture_begin(r, &mine, why); /* it is made when it is not there */
    if (code == OK) code = ops_underlay_path(job, r->variables[1], r->memory, &path, why);
    turn_end(mine);
    if (code == E_STATE) out->code = 404;
    return code == OK ? send_file(path, "image/jpeg", out) : code;
}

status api_code(const web_request *r, web_response *out, fault *why) {
    const char *words = web_query(r, "text");
    if (!words) return fault_set(why, E_INPUT, "text is missing: what the code says");
    out->type = "image/svg+xml";
    return code_svg(words, r->memory, &out->body, why);
}
