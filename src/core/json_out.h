/* json_out.h - writing JSON as it goes, into a text: the same members give the same bytes.
 *
 * Numbers are written as the shortest decimal that reads back exactly (jansson can only print a fixed
 * precision). Values that are not finite are our own mistake and an assert. With `indent` 0 everything is on
 * one line. Threads  no shared state. */
#ifndef STANCH_CORE_JSON_OUT_H
#define STANCH_CORE_JSON_OUT_H

#include "core/json_in.h"
#include "core/text.h"
#include "core/units.h"

enum { JSON_OUT_DEPTH = 32 };

typedef struct {
    text *to;
    int indent;       /* spaces a level; 0: one line */
    int compact_from; /* levels at this depth or deeper go on one line; 0: none */
    int depth;
    bool has_member[JSON_OUT_DEPTH];
    units_system system; /* for json_out_quantity */
} json_out;

/* `name` is the member's name inside an object and NULL inside a list or at the root. */
void json_out_open(json_out *o, const char *name, char bracket); /* '{' or '[' */
void json_out_close(json_out *o, char bracket);                  /* '}' or ']' */
void json_out_number(json_out *o, const char *name, double value);
void json_out_whole(json_out *o, const char *name, long long value);
void json_out_text(json_out *o, const char *name, const char *value); /* NULL writes null; UTF-8 */
void json_out_bool(json_out *o, const char *name, bool value);
void json_out_null(json_out *o, const char *name);
void json_out_json(json_out *o, const char *name, const text *value); /* JSON already, written as it is */

/* Member "base_suffix" in the writer's system, exact both ways. */
void json_out_quantity(json_out *o, const char *base, units_quantity q, double si);
/* The same; nothing is written when the value is not known. */
void json_out_maybe(json_out *o, const char *base, units_quantity q, maybe value);

#endif
