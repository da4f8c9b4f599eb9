/* planned.h - what handlers of a plan share: the held plan of {job} under its lock, and texts made of it once.
 *
 * Threads  a `planned` belongs to one request; between planned_hold and planned_let_go it has the plan's lock. */
#ifndef STANCH_WEB_PLANNED_H
#define STANCH_WEB_PLANNED_H

#include "ops/view.h"
#include "web/plans.h"

typedef struct {
    plans *all;
    held *plan;   /* NULL: not planned since the server began */
    bool current; /* nothing was changed since */
    ops_view view;
} planned;

/* planned_let_go is due, whatever comes back. */
status planned_hold(const web_request *r, web_response *out, planned *h, fault *why);
/* The same; E_STATE when there is no plan. */
status planned_need(const web_request *r, web_response *out, planned *h, fault *why);
void planned_let_go(planned *h);

const plan *planned_plan(const planned *h);

typedef status planned_write(const web_request *r, planned *h, text *to, fault *why);

/* The text of that name, from what is kept with the plan or made now; with its tag. `name` NULL: without memory. */
status planned_send(const web_request *r, planned *h, const char *name, planned_write *write,
                    web_response *out, fault *why);

/* No plan in memory: was there one before the server began? */
status planned_send_none(const web_request *r, web_response *out, fault *why);

#endif
