/* json_in.h - reading outside JSON: strict syntax (jansson), typed fields, ranges, unknown fields named.
 *
 * A reader walks a document with a path it can print ("defects[3].stations[2].width_mm"). Every fault goes to
 * the list with source, path, value and limit, and reading goes on, so that a person sees all faults of a
 * file at once. Lengths, flows and so on come as quantities: the field's name ends in the unit of the
 * document's system
 * ("width_mm" or "width_in") and the value arrives in SI.
 * Threads  no shared state. */
#ifndef STANCH_CORE_JSON_IN_H
#define STANCH_CORE_JSON_IN_H

#include "core/fault.h"
#include "core/mem.h"
#include "core/units.h"

#include <jansson.h>

/* A number that may not have been given. `v` means something only when `known`. */
typedef struct {
    bool known;
    double v;
} maybe;

typedef struct {
    const char *source;  /* named in every fault; "" leaves it out */
    fault_list *faults;  /* receives them; owned by the caller */
    units_system system; /* which suffixes quantities carry */
    arena *memory;       /* strings read are copied here */
} json_in;

/* Where we are: a chain on the stack. The root is NULL. `name` NULL means an array element. */
typedef struct json_path {
    const struct json_path *up;
    const char *name;
    size_t index;
} json_path;

/* Both ends count in; +-HUGE_VAL where there is none. `above` / `below`: the end itself is excluded. */
typedef struct {
    double low, high;
    bool above, below;
} json_range;

/* Parse a whole text. NULL with one fault (line and column) when it is no JSON, has duplicate keys, bad
 * UTF-8, a number out of range, or anything after the value. The caller releases the value with json_decref.
 */
json_t *json_in_parse(json_in *in, const char *bytes, size_t length);

/* Append a fault about `field` (may be NULL) at `at`: "source: path.field: <sentence>". */
void json_in_fault(json_in *in, const json_path *at, const char *field, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* The path as text, e.g. "defects[3].width_mm". Returns `into`. */
char *json_in_path(const json_path *at, const char *field, char *into, size_t size);

/* True when `value` is an object; else a fault. */
bool json_in_is_object(json_in *in, const json_path *at, const json_t *value);

/* One fault for each member of `object` that is not among `known`, with the nearest right name. */
void json_in_only(json_in *in, const json_path *at, json_t *object, const char *const known[], size_t count);

/* Required number, or optional when `fallback` is not NULL (then *out = *fallback). False after a fault. */
bool json_in_number(json_in *in, const json_path *at, json_t *object, const char *field,
                    const json_range *range, const double *fallback, double *out);

/* Quantity: field "base_suffix", value and `si_range` in SI. JSON null counts as not given. A required one
 * (`required`) that is missing is a fault. False after a fault. */
bool json_in_quantity(json_in *in, const json_path *at, json_t *object, const char *base, units_quantity q,
                      const json_range *si_range, bool required, maybe *out);

/* Text of at most `limit` bytes, copied to the arena. Missing: a fault when required, else *out = NULL. */
bool json_in_text(json_in *in, const json_path *at, json_t *object, const char *field, size_t limit,
                  bool required, const char **out);

/* One of `words`; its index to *out. Missing: *out stays when not required. */
bool json_in_word(json_in *in, const json_path *at, json_t *object, const char *field,
                  const char *const words[], size_t count, bool required, int *out);

bool json_in_bool(json_in *in, const json_path *at, json_t *object, const char *field, bool fallback,
                  bool *out);

/* The member as an array; NULL when missing or null (a fault when required) or when it is no array (a fault).
 */
json_t *json_in_array(json_in *in, const json_path *at, json_t *object, const char *field, bool required);

#endif
