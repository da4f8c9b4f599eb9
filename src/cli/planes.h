/* planes.h - the option --planes on|off and the number of threads, for the commands that plan.
 * Threads  no shared state. */
#ifndef STANCH_CLI_PLANES_H
#define STANCH_CLI_PLANES_H

#include "cli/today.h"
#include "ops/ops.h"

#define PLANES_OPTION(text)                                                                                  \
    { "--planes", "on|off", "the water in the crack planes (default on)", &(text), NULL }

/* The planes of a job are spread over threads of our own; BLAS and CHOLMOD must not start theirs beside them. Before any
 * plan, since they look once. */
void planes_one_thread(void);

/* E_INPUT when the word is neither. NULL: on. Threads: the processors that this process may use. */
status planes_read(const char *word, ops_plan_request *out, fault *why);

/* Ask for the works as well, from `now` (--now) on, or by the clock when it is NULL; `clock` must live as long as *out.
 * E_INPUT when `now` is no moment. */
status planes_works(const char *now, char clock[LOCAL_TEXT], ops_plan_request *out, fault *why);

#endif
