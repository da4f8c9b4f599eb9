#include "web/web.h"

status api_plan(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_plan_start(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_leak(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_try(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_order_figure(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_face_figure(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_plane_figure(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_answer(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_report_start(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_report(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_work(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_work_stop(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}
