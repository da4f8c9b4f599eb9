/* surveys.h - the survey of a job as text, kept while the job is at the same revision.
 * Threads  every call from any thread. */
#ifndef STANCH_WEB_SURVEYS_H
#define STANCH_WEB_SURVEYS_H

#include "web/server.h"

enum { SURVEYS_KEPT = 4 };
#define SURVEYS_LONGEST ((size_t)8 * 1024 * 1024) /* bytes of one that is kept */

/* Append {"revision","survey","hashes"} of the job at `path`, kept or made now. */
status surveys_write(web_server *s, const char *path, long long *revision, text *to, fault *why);

#endif
