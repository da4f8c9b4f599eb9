/* work.h - what takes longer than a request may: one queue, one worker thread, looked at and stopped by number.
 *
 * A work is started by a handler and runs later, one after another (the PDF's libraries want one at a time). Starting what
 * is waiting or running already gives the number of that one. The last WORK_KEPT are remembered.
 * Threads  every call from any thread; `run` is called on the worker's. */
#ifndef STANCH_WEB_WORK_H
#define STANCH_WEB_WORK_H

#include "web/server.h"

#include <stdatomic.h>

enum { WORK_KEPT = 64, WORK_WAITING_MOST = 16 };

typedef enum { WORK_WAITING, WORK_RUNNING, WORK_DONE, WORK_FAILED, WORK_STOPPED, WORK_STATES } work_state;
extern const char *const work_state_words[WORK_STATES]; /* waiting running done failed stopped */

typedef struct works works;
typedef struct work work;

/* What a work does: it looks at work_stopping often and tells work_progress how far it is. */
typedef status work_run(void *data, work *self, fault *why);

typedef struct {
    const char *what, *job; /* "plan", name of the job */
    work_run *run;
    void *data;              /* the work's from now on, also when it cannot be started */
    void (*end)(void *data); /* after the run, or instead of it */
} work_order;

works *works_of(web_server *s); /* NULL without memory */

/* E_BUSY: too many are waiting; E_MEMORY. */
status works_start(works *all, const work_order *order, long long *number, fault *why);

typedef struct {
    const char *what, *job, *saying, *fault; /* in the caller's arena; fault NULL unless failed */
    work_state state;
    double part; /* 0 to 1 */
} work_view;

/* False when there is none of that number (any more). E_MEMORY shows as false too. */
bool works_look(works *all, long long number, arena *memory, work_view *out);

/* Ask it to stop: one that waits does not begin, one that runs ends soon. False when there is none. */
bool works_stop(works *all, long long number);

const atomic_bool *work_stopping(const work *self);
void work_progress(void *self, double part,
                   const char *saying); /* of the shape that ops_plan_request wants */

#endif
