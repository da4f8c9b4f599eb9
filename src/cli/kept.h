/* kept.h - documents that a job keeps as they were printed: offers and handovers, listed and named by number.
 *
 * Errors  as ops/offer.h.   Threads  no shared state. */
#ifndef STANCH_CLI_KEPT_H
#define STANCH_CLI_KEPT_H

#include "core/fault.h"

/* Print those of `kind` ("offer", "handover"), a line each. */
status kept_print(const char *job, const char *kind, fault *why);

/* The number in the word behind --again; E_INPUT where it is none, E_STATE where the job keeps none of `kind` under it. */
status kept_number(const char *job, const char *word, const char *kind, long long *number, fault *why);

#endif
