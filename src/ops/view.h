/* view.h - a finished plan as the page shows it: texts made here, so that page, terminal and PDF say the same; docs/page.md,
 * "plan" and "leak".
 *
 * Texts in the units of the job; "" where there is no such figure; hours and cost of a leak without a design are null.
 * On a fault *out may hold a piece of it. E_FORMAT: `changes` is no JSON list.
 * Threads  a plan is only read: several may view one plan at once, each into a text of its own. */
#ifndef STANCH_OPS_VIEW_H
#define STANCH_OPS_VIEW_H

#include "ops/ops.h"

typedef struct {
    const char *job;    /* name of the file, as in addresses */
    long long revision; /* of the job when it was planned */
    bool current;       /* nothing was changed since */
    const char
        *changes; /* since the plan before: a JSON list of {"mark","label","before","after"}; NULL: none */
} ops_view;

/* The whole plan, one object appended to *out. */
status ops_plan_view_json(const plan *p, const ops_view *view, text *out, fault *why);

/* One leak. E_STATE: no such mark, with the nearest. */
status ops_leak_view_json(const plan *p, const char *mark, const ops_view *view, text *out, fault *why);

#endif
