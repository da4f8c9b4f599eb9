/* web.h - the page's side of the server: one request in, one response out; the table of routes.
 *
 * A handler is a function of a request: it calls one op and writes the answer. It sees no socket. The server
 * (server.c) has already checked host, session, role, token, content type and size when a handler runs, and
 * turns its status into an answer: E_INPUT 422, E_STATE 409, E_FORMAT 422, E_BUSY 503, E_IO 500, E_MEMORY
 * 503, each with {"fault": sentence}; a handler that sets out->code before it fails chooses another, and one that
 * returns OK with a code and a body of its own is sent as it is. docs/page.md says what every address takes and gives.
 *
 * Long work never runs in a handler: work.h. Threads  handlers run on several threads at once; a request and
 * its response belong to one. */
#ifndef STANCH_WEB_WEB_H
#define STANCH_WEB_WEB_H

#include "core/json_out.h"
#include "ops/ops.h"

typedef enum { WEB_NOBODY, WEB_VIEWER, WEB_FOREMAN, WEB_ESTIMATOR, WEB_ROLES } web_role;
extern const char *const web_role_words[WEB_ROLES]; /* nobody viewer foreman estimator */

typedef enum { WEB_NO_BODY, WEB_JSON, WEB_UPLOAD } web_body;

typedef struct web_server web_server; /* server.c */

enum { WEB_VARIABLES = 4 };

typedef struct {
    const char *method;                   /* "GET", "POST", "PUT", "DELETE" */
    const char *variables[WEB_VARIABLES]; /* what stood for {job}, {mark} ..., decoded, valid UTF-8 */
    const char *const *query;             /* name, value, name, value ..., NULL: decoded */
    const char *body;                     /* WEB_JSON: the whole, NUL-terminated; else NULL */
    size_t length;
    const char *upload; /* WEB_UPLOAD: path of a file that goes after the answer */
    json_t *json;       /* WEB_JSON: the body read, an object; borrowed */
    const char *who;    /* name of the person, for the log; "" for nobody */
    web_role role;
    const char *session, *token; /* of this browser; "" when it has none */
    const char *cookie;          /* the secret of the session as the browser sent it; "" when it sent none */
    const char *from, *agent; /* address of the other end; what the browser calls itself, 200 bytes at most */
    const char *now;          /* "2026-03-01T09:30:00Z" */
    const char *address;      /* "https://192.0.2.7:8443": what this server is reached by */
    web_server *server;
    arena *memory; /* of the request */
} web_request;

typedef struct {
    int code;         /* 200 unless set */
    const char *type; /* "application/json" unless set */
    text body;
    const char *file;    /* instead of body: this file is sent */
    bool file_goes;      /* and removed after */
    const char *save_as; /* name of a download, or NULL */
    const char *etag;    /* quoted; the server answers 304 when the browser has it; or NULL */
    const char *
        set_cookie; /* the secret of a session: the server gives it name and attributes; "" ends it; NULL leaves it */
    int retry_s; /* Retry-After with 429 and 503; 0: none */
} web_response;

typedef status web_handler(const web_request *r, web_response *out, fault *why);

typedef struct {
    const char *method, *pattern; /* "/api/jobs/{job}/leaks/{mark}" */
    web_role least;
    web_body takes;
    size_t limit; /* bytes of the body */
    web_handler *run;
} web_route;

/* Value of a query member, or NULL. */
const char *web_query(const web_request *r, const char *name);

/* Path of the job file named {job} (variables[0]). E_STATE with code 404 in *out when there is none. */
status web_job_path(const web_request *r, web_response *out, const char **path, fault *why);

/* "not found" for what stands below a job: sets out->code to 404 and returns E_STATE. */
status web_missing(web_response *out, fault *why, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The answer of many faults, 422 unless out->code is set: {"fault","faults"}. Returns OK (the answer stands), or E_MEMORY. */
status web_faults(web_response *out, const fault_list *faults, fault *why);

/* A sentence, appended to *to, without the place of the served folder on this machine: who reads it knows jobs, not paths.
 * That of a handler's fault is told so by itself. */
void web_tell(const web_server *s, const char *sentence, text *to);

/* Names {job} of all jobs served, sorted. */
status web_jobs(const web_request *r, const char ***names, size_t *n, fault *why);

/* Where a new job of this name would lie. E_INPUT: no name for a file; E_STATE: it is there, or one file is served. */
status web_job_place(const web_request *r, const char *job, const char **path, fault *why);

/* ---- the handlers, by file ---- */
web_handler api_session, api_login, api_logout, api_join; /* api_session.c */
web_handler api_people, api_people_set, api_people_end, api_invite, api_sessions,
    api_sessions_end;                                              /* api_people.c */
web_handler api_jobs, api_jobs_new;                                /* api_jobs.c */
web_handler api_survey, api_edit, api_import, api_export, api_log; /* api_survey.c */
web_handler api_plan, api_leak, api_try, api_order_figure, api_face_figure, api_plane_figure,
    api_movement_figure, api_answer;       /* api_plan.c */
web_handler api_reading_add, api_overrule; /* api_gauge.c */
web_handler api_works, api_works_day, api_works_figure, api_works_calendar, api_works_at_start,
    api_works_at;                                                                  /* api_works.c */
web_handler api_plan_start, api_report_start, api_report, api_work, api_work_stop; /* api_work.c */
web_handler api_proof, api_built, api_tank_figure, api_revisits, api_check,
    api_handover_start; /* api_proof.c */
web_handler api_risk_start, api_risk, api_risk_figure, api_offers, api_offer_start, api_offer_pdf,
    api_offer_xlsx;                                                             /* api_offer.c */
web_handler api_rates_start, api_rates, api_rates_take;                         /* api_rates.c */
web_handler api_day, api_day_set, api_records, api_records_add;                 /* api_wall.c */
web_handler api_photo, api_photo_add, api_underlay, api_underlay_add, api_code; /* api_photo.c */

#endif
