/* actor.h - who runs the command, and when, for the job's log: the login name of the system and the clock (or
 * SOURCE_DATE_EPOCH, as today.h).
 *
 * Threads  called from main only. */
#ifndef STANCH_CLI_ACTOR_H
#define STANCH_CLI_ACTOR_H

#include "cli/today.h"
#include "ops/ops.h"

typedef struct {
    char by[80], at[NOW_TEXT];
} actor_texts;

/* *out borrows `texts`. A user without a name is "unknown". E_INPUT when the clock does not tell a date. */
status actor_read(actor_texts *texts, ops_actor *out, fault *why);

#endif
