/* options.h - a command's options and operands, from one table that also makes its help.
 * Threads  no shared state. */
#ifndef STANCH_CLI_OPTIONS_H
#define STANCH_CLI_OPTIONS_H

#include "core/fault.h"

typedef struct {
    const char *name;  /* "--as" */
    const char *value; /* "FORMAT": takes a value; NULL: a switch */
    const char *help;
    const char **text; /* receives the value */
    bool *given;       /* receives a switch */
} options_item;

typedef struct {
    const char *command, *operands, *about; /* for --help */
    const options_item *items;
    size_t n_items;
    size_t least, most; /* operands */
} options_table;

/* Read argv (argv[0] is the command). Operands are moved to the front of `argv` from 1 on and counted in *n.
 * "--" ends options; "-" and numbers ("-0.3") are operands. *done is true after --help, which was printed. E_INPUT names what is
 * wrong, with the nearest right option. */
status options_read(const options_table *table, int argc, char **argv, size_t *n, bool *done, fault *why);

#endif
