/* record_list.h - the records of a job in 80 columns. Threads  called from main only. */
#ifndef STANCH_CLI_RECORD_LIST_H
#define STANCH_CLI_RECORD_LIST_H

#include "ops/wall.h"

/* Print the records of a job, or (mark not NULL) of one leak, and the conflicts among them that are open. */
status record_list_print(const char *path, const char *mark, arena *memory, fault *why);

#endif
