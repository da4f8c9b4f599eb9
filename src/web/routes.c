/* The table of contents of the server; docs/page.md says what each address takes and gives. */
#include "web/route.h"

enum { KB = 1024, MB = 1024 * KB };

const web_route web_routes[] = {
    /* who */
    {"GET", "/api/session", WEB_NOBODY, WEB_NO_BODY, 0, api_session},
    {"POST", "/api/login", WEB_NOBODY, WEB_JSON, 4 * KB, api_login},
    {"POST", "/api/logout", WEB_VIEWER, WEB_JSON, 4 * KB, api_logout},
    {"POST", "/api/join", WEB_NOBODY, WEB_JSON, 4 * KB, api_join},
    {"GET", "/api/people", WEB_ESTIMATOR, WEB_NO_BODY, 0, api_people},
    {"POST", "/api/people/invite", WEB_ESTIMATOR, WEB_JSON, 4 * KB, api_invite},
    {"PUT", "/api/people/{name}", WEB_ESTIMATOR, WEB_JSON, 4 * KB, api_people_set},
    {"DELETE", "/api/people/{name}", WEB_ESTIMATOR, WEB_NO_BODY, 0, api_people_end},
    {"GET", "/api/sessions", WEB_VIEWER, WEB_NO_BODY, 0, api_sessions},
    {"DELETE", "/api/sessions/{id}", WEB_VIEWER, WEB_NO_BODY, 0, api_sessions_end},

    /* jobs and survey */
    {"GET", "/api/jobs", WEB_VIEWER, WEB_NO_BODY, 0, api_jobs},
    {"POST", "/api/jobs", WEB_ESTIMATOR, WEB_JSON, 4 * KB, api_jobs_new},
    {"GET", "/api/jobs/{job}/survey", WEB_VIEWER, WEB_NO_BODY, 0, api_survey},
    {"POST", "/api/jobs/{job}/edit", WEB_ESTIMATOR, WEB_JSON, 4 * MB, api_edit},
    {"POST", "/api/jobs/{job}/import", WEB_ESTIMATOR, WEB_UPLOAD, 64 * MB, api_import},
    {"GET", "/api/jobs/{job}/export", WEB_VIEWER, WEB_NO_BODY, 0, api_export},
    {"GET", "/api/jobs/{job}/log", WEB_VIEWER, WEB_NO_BODY, 0, api_log},

    /* plan */
    {"GET", "/api/jobs/{job}/plan", WEB_VIEWER, WEB_NO_BODY, 0, api_plan},
    {"POST", "/api/jobs/{job}/plan", WEB_FOREMAN, WEB_JSON, 4 * KB, api_plan_start},
    {"GET", "/api/jobs/{job}/leaks/{mark}", WEB_VIEWER, WEB_NO_BODY, 0, api_leak},
    {"POST", "/api/jobs/{job}/try", WEB_VIEWER, WEB_JSON, 256 * KB, api_try},
    {"GET", "/api/jobs/{job}/leaks/{mark}/order/{n}.svg", WEB_VIEWER, WEB_NO_BODY, 0, api_order_figure},
    {"GET", "/api/jobs/{job}/leaks/{mark}/plane.svg", WEB_VIEWER, WEB_NO_BODY, 0, api_plane_figure},
    {"GET", "/api/jobs/{job}/leaks/{mark}/movement/{n}.svg", WEB_VIEWER, WEB_NO_BODY, 0, api_movement_figure},
    {"GET", "/api/jobs/{job}/faces/{face}.svg", WEB_VIEWER, WEB_NO_BODY, 0, api_face_figure},
    {"POST", "/api/jobs/{job}/readings", WEB_FOREMAN, WEB_JSON, 4 * KB, api_reading_add},
    {"POST", "/api/jobs/{job}/overrule", WEB_ESTIMATOR, WEB_JSON, 16 * KB, api_overrule},
    {"POST", "/api/jobs/{job}/answer", WEB_ESTIMATOR, WEB_JSON, 16 * KB, api_answer},
    {"POST", "/api/jobs/{job}/report", WEB_VIEWER, WEB_JSON, 4 * KB, api_report_start},
    {"GET", "/api/jobs/{job}/report/{file}", WEB_VIEWER, WEB_NO_BODY, 0, api_report},
    {"GET", "/api/work/{n}", WEB_VIEWER, WEB_NO_BODY, 0, api_work},
    {"DELETE", "/api/work/{n}", WEB_VIEWER, WEB_NO_BODY, 0, api_work_stop},

    /* works */
    {"GET", "/api/jobs/{job}/works", WEB_VIEWER, WEB_NO_BODY, 0, api_works},
    {"GET", "/api/jobs/{job}/works.svg", WEB_VIEWER, WEB_NO_BODY, 0, api_works_figure},
    {"GET", "/api/jobs/{job}/works.ics", WEB_VIEWER, WEB_NO_BODY, 0, api_works_calendar},
    {"GET", "/api/jobs/{job}/works/day/{day}", WEB_VIEWER, WEB_NO_BODY, 0, api_works_day},
    {"POST", "/api/jobs/{job}/works/at", WEB_VIEWER, WEB_JSON, 4 * KB, api_works_at_start},
    {"GET", "/api/jobs/{job}/works/at", WEB_VIEWER, WEB_NO_BODY, 0, api_works_at},

    /* proof, as built, offer, rates */
    {"GET", "/api/jobs/{job}/proof", WEB_VIEWER, WEB_NO_BODY, 0, api_proof},
    {"GET", "/api/jobs/{job}/built", WEB_VIEWER, WEB_NO_BODY, 0, api_built},
    {"GET", "/api/jobs/{job}/tanks/{tank}.svg", WEB_VIEWER, WEB_NO_BODY, 0, api_tank_figure},
    {"GET", "/api/jobs/{job}/revisits.ics", WEB_VIEWER, WEB_NO_BODY, 0, api_revisits},
    {"GET", "/api/jobs/{job}/check", WEB_VIEWER, WEB_NO_BODY, 0, api_check},
    {"POST", "/api/jobs/{job}/handover", WEB_ESTIMATOR, WEB_JSON, 4 * KB, api_handover_start},
    {"POST", "/api/jobs/{job}/risk", WEB_VIEWER, WEB_JSON, 4 * KB, api_risk_start},
    {"GET", "/api/jobs/{job}/risk", WEB_VIEWER, WEB_NO_BODY, 0, api_risk},
    {"GET", "/api/jobs/{job}/risk.svg", WEB_VIEWER, WEB_NO_BODY, 0, api_risk_figure},
    {"GET", "/api/jobs/{job}/offers", WEB_VIEWER, WEB_NO_BODY, 0, api_offers},
    {"POST", "/api/jobs/{job}/offers", WEB_ESTIMATOR, WEB_JSON, 4 * KB, api_offer_start},
    {"GET", "/api/jobs/{job}/offers/{number}.pdf", WEB_VIEWER, WEB_NO_BODY, 0, api_offer_pdf},
    {"GET", "/api/jobs/{job}/offers/{number}.xlsx", WEB_VIEWER, WEB_NO_BODY, 0, api_offer_xlsx},
    {"POST", "/api/rates", WEB_ESTIMATOR, WEB_JSON, 4 * KB, api_rates_start},
    {"GET", "/api/rates", WEB_ESTIMATOR, WEB_NO_BODY, 0, api_rates},
    {"POST", "/api/jobs/{job}/rates", WEB_ESTIMATOR, WEB_JSON, 64 * KB, api_rates_take},

    /* at the wall */
    {"GET", "/api/jobs/{job}/day", WEB_VIEWER, WEB_NO_BODY, 0, api_day},
    {"PUT", "/api/jobs/{job}/day", WEB_ESTIMATOR, WEB_JSON, 64 * KB, api_day_set},
    {"GET", "/api/jobs/{job}/records", WEB_VIEWER, WEB_NO_BODY, 0, api_records},
    {"POST", "/api/jobs/{job}/records", WEB_FOREMAN, WEB_JSON, 4 * MB, api_records_add},
    {"POST", "/api/jobs/{job}/photos", WEB_FOREMAN, WEB_UPLOAD, 24 * MB, api_photo_add},
    {"GET", "/api/jobs/{job}/photos/{photo}", WEB_VIEWER, WEB_NO_BODY, 0, api_photo},
    {"POST", "/api/jobs/{job}/faces/{face}/underlay", WEB_ESTIMATOR, WEB_UPLOAD, 48 * MB, api_underlay_add},
    {"GET", "/api/jobs/{job}/faces/{face}/underlay.jpg", WEB_VIEWER, WEB_NO_BODY, 0, api_underlay},
    {"GET", "/api/code", WEB_VIEWER, WEB_NO_BODY, 0, api_code},
};

const size_t web_n_routes = sizeof web_routes / sizeof *web_routes;
