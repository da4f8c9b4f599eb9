#include "web/web.h"

status api_survey(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_edit(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_import(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_export(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_log(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}
