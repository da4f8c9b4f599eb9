#include "web/web.h"

status api_people(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_people_set(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_people_end(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_invite(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_sessions(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_sessions_end(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}
