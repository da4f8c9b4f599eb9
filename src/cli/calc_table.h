/* calc_table.h - one row a calculation: what it reads, how it is explained, what runs it.
 *
 * To add a calculation: write its fields, a run function and a `const calc_row`, and name it in calc_rows.c.
 * Units  numbers arrive in SI by the field's quantity; ranges and defaults are written as a user types them.
 * Threads  rows are constant; a calc_run belongs to one thread. */
#ifndef STANCH_CLI_CALC_TABLE_H
#define STANCH_CLI_CALC_TABLE_H

#include "core/json_in.h"
#include "core/json_out.h"

typedef enum {
    CALC_NUMBER,
    CALC_WORD,    /* one of `words` */
    CALC_TEXT,    /* of at most `range.high` bytes */
    CALC_NUMBERS, /* list of numbers */
    CALC_MATRIX,  /* list of rows of numbers, all as long as `columns`, or as the first when that is 0 */
    CALC_OBJECT,  /* one object of `fields` */
    CALC_OBJECTS, /* list of objects of `fields` */
    CALC_CUSTOM   /* `read` takes it */
} calc_kind;

typedef struct calc_value calc_value;
typedef struct calc_field {
    const char *name; /* with its unit */
    calc_kind kind;
    bool required;
    bool or_null;            /* null counts as left out */
    units_quantity quantity; /* UNITS_PLAIN: the number arrives as typed */
    const char *unit;        /* as --explain shows it where `quantity` has no symbol */
    json_range range;        /* of each number, as typed */
    const char *origin;      /* where the default comes from; NULL: there is no default */
    double fallback;         /* as typed; of a word its index */
    const char *const *words;
    size_t words_count;
    const struct calc_field *fields;
    size_t fields_count, columns;
    size_t least, most; /* elements of a list; most 0: CALC_MOST */
    bool (*read)(json_in *in, const json_path *at, json_t *value, calc_value *out); /* false after a fault */
    const char *shape; /* of a custom field, for --explain: "[[u, v], ...]" */
    const char *text;
} calc_field;

/* clang-format off */
#define CALC_FROM(low, high) { (low), (high), false, false }
#define CALC_ABOVE(low, high) { (low), (high), true, false }
/* clang-format on */
#define CALC_COUNT(array) (sizeof(array) / sizeof(array)[0])
enum { CALC_MOST = 100000 };

typedef struct {
    const calc_field *fields;
    size_t fields_count;
    calc_value *values; /* one for each field */
} calc_object;

struct calc_value {
    bool given;    /* in the input */
    double number; /* SI */
    int word;
    const char *text;
    double *numbers;       /* NUMBERS: count; MATRIX: count x columns, row after row */
    size_t count, columns; /* elements of any list */
    calc_object *objects;  /* OBJECTS: count; OBJECT: one */
    void *custom;
};

typedef struct {
    const calc_object *in;
    arena *memory;
    json_out *out;
    fault *why;
    const char **warnings, **basis;
    size_t n_warnings, n_basis;
    status code; /* first fault met while writing */
} calc_run;

typedef struct {
    const char *name, *summary, *model, *equation;
    const char *const *sources; /* stand in every result's basis */
    size_t sources_count;
    const calc_field *fields;
    size_t fields_count;
    const char *example; /* JSON */
    status (*run)(calc_run *r);
} calc_row;

extern const calc_row *const calc_rows[]; /* in the order of --list */
extern const size_t calc_rows_count;

/* Read a whole document by a row's fields. False after faults, which are in `in`. */
bool calc_read(json_in *in, const calc_row *row, const char *bytes, size_t length, calc_object *out);

/* For custom fields: a list at `at` by the kind (NUMBERS, MATRIX, OBJECTS), range and sizes of `f`. */
bool calc_read_list(json_in *in, const json_path *at, json_t *list, const calc_field *f, calc_value *out);

/* A field of an object by name, which must be one of its fields. */
const calc_value *calc_get(const calc_object *o, const char *name);
double calc_number(const calc_object *o, const char *name);
bool calc_given(const calc_object *o, const char *name);

/* E_INPUT about a field, "field: sentence". */
status calc_refuse(calc_run *r, const char *field, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* Exactly one of `names` must be given: its index to *which. */
status calc_one_of(calc_run *r, const char *const names[], size_t count, size_t *which);
/* None of `names` may be given, because `reason`. */
status calc_none_of(calc_run *r, const char *const names[], size_t count, const char *reason);

/* Write a number in the metric unit of its quantity. One that is not finite becomes the run's E_INPUT. */
void calc_put(calc_run *r, const char *name, units_quantity q, double si);
/* One more sentence for "warnings", one more source for "basis". */
void calc_warn(calc_run *r, const char *format, ...) __attribute__((format(printf, 2, 3)));
void calc_base(calc_run *r, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Run a row on what was read: the whole JSON document to `to`. */
status calc_compute(const calc_row *row, const calc_object *in, arena *memory, text *to, fault *why);

void calc_list(text *to); /* what --list and --explain print */
void calc_explain(const calc_row *row, text *to);

#endif
