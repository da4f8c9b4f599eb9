#include "web/web.h"

status api_day(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_day_set(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_records(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_records_add(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}
