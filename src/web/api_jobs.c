#include "web/web.h"

status api_jobs(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}

status api_jobs_new(const web_request *r, web_response *out, fault *why) {
    (void)r;
    out->code = 501;
    return fault_set(why, E_STATE, "not built yet");
}
