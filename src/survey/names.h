/* names.h - where a name stands in a list: a hash table from text to index, for jobs of ten thousand leaks.
 * The texts are borrowed and must outlive the table. Threads  a table belongs to one thread. */
#ifndef STANCH_SURVEY_NAMES_H
#define STANCH_SURVEY_NAMES_H

#include <stdbool.h>
#include <stddef.h>

typedef struct names names;

#define NAMES_NONE ((size_t)-1)

names *names_new(void);      /* NULL without memory */
void names_free(names *set); /* NULL is fine */

/* Remember `at` for `name`; a name already there keeps its first place. False without memory. */
bool names_put(names *set, const char *name, size_t at);

/* The place of `name`, or NAMES_NONE. */
size_t names_find(const names *set, const char *name);

#endif
