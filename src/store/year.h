/* year.h - the hours of a typical year in the job file: one value (schema.c, typical_hours).
 *
 * A row an hour would be written again with every save of the job, a quarter of a megabyte each time; one value is compared and
 * left alone when it is the same.   Threads  no shared state. */
#ifndef STANCH_STORE_YEAR_H
#define STANCH_STORE_YEAR_H

#include "store/store.h"

/* Within the transaction of a save. Without a year, what is there is removed. */
status year_save(store *st, const survey *s, fault *why);

/* Into s->site; none there: none. E_FORMAT when it holds what no year has. */
status year_load(store *st, survey *s, fault *why);

#endif
