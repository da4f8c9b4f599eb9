/* wrap.h - sentences in 80 columns. Threads  no shared state. */
#ifndef STANCH_CLI_WRAP_H
#define STANCH_CLI_WRAP_H

#include <stdio.h>

enum { WRAP_COLUMNS = 79 };

/* `label`, then `sentence` wrapped at blanks; further lines are indented by `indent`. Ends with a newline. */
void wrap_print(FILE *to, const char *label, const char *sentence, int indent);

/* Columns that a UTF-8 text takes, counting a character as one. */
int wrap_width(const char *text);

/* `text` cut or padded to exactly `columns`. */
void wrap_cell(FILE *to, const char *text, int columns);

#endif
