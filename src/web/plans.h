/* plans.h - finished plans held in memory, so that a page is answered without planning again.
 *
 * A held plan is read by many at once and goes when the last lets go of it; of each job the newest is held, of at most
 * PLANS_HELD jobs, those asked for last. Texts made of it are kept with it.
 * Light plans  without crack planes, for the day at the wall: made when asked for and the survey has changed, by one thread
 *   while the others wait for it. They stand beside the full ones.
 * Threads  every call from any thread; the texts of a held plan between held_lock and held_unlock. */
#ifndef STANCH_WEB_PLANS_H
#define STANCH_WEB_PLANS_H

#include "web/server.h"

enum { PLANS_HELD = 4 };

typedef struct plans plans;
typedef struct held held;

plans *plans_of(web_server *s); /* NULL without memory */

/* Keep a finished plan of the job at `path` (*job becomes the holder's and {0}); `changes`: as ops_view, copied, may be NULL.
 * E_MEMORY: nothing is kept, the job stays the caller's. */
status plans_put(plans *all, const char *path, ops_job *job, long long revision, const char *changes,
                 fault *why);

/* A plan of the job as it is now: the full one when that is current, else a light one. plans_let_go is due. */
status plans_light(plans *all, const char *path, long long revision, held **out, fault *why);

/* The held plan of a job, or NULL. plans_let_go is due. */
held *plans_hold(plans *all, const char *path);
void plans_let_go(plans *all, held *it); /* NULL is fine */

/* Was the survey changed since, the job being at `revision` now? Looked up once a revision; with the lock. */
status held_current(held *it, long long revision, bool *current, fault *why);

const ops_job *held_job(const held *it);
long long held_revision(const held *it);
const char *held_changes(const held *it); /* NULL: none */
void held_lock(held *it);
void held_unlock(held *it);

/* A text kept with the plan under a name ("plan", "leak N1"), with the lock; NULL when there is none. Those kept while the
 * plan was current are dropped when it is not. What is kept again under a name takes the place of what was. */
const char *held_text(held *it, const char *name, bool current);
status held_keep_text(held *it, const char *name, bool current, const char *words, fault *why);

#endif
