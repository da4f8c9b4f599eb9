/* csv_columns.h - the columns of the CSV form, in the order in which they are written.
 * Threads  constant data. */
#ifndef STANCH_SURVEY_CSV_COLUMNS_H
#define STANCH_SURVEY_CSV_COLUMNS_H

#include "survey/fields.h"

typedef enum {
    GROUP_HEAD,     /* of the defect: mark, kind, diameter, slot_faces, waterstop, cutoff, tried ... */
    GROUP_SIGNS,    /* of the defect, words parted by spaces */
    GROUP_EXCLUDE,  /* of the defect, words parted by spaces */
    GROUP_OVERRULE, /* of the defect */
    GROUP_FACE,     /* of the point */
    GROUP_POINT,    /* u, v */
    GROUP_STATION,
    GROUP_FLOW,
    GROUP_OPEN,
    GROUP_NOTE,
    GROUP_PHOTO
} csv_group;

typedef struct {
    csv_group group;
    const char *prefix;        /* before the member's name, or the whole name when `field` is NULL */
    const survey_field *field; /* NULL: face, signs, exclude, note */
} csv_column;

enum { CSV_COLUMNS_MOST = 40 };

/* Fill `into`; returns how many. */
size_t csv_columns(csv_column into[CSV_COLUMNS_MOST]);

/* The heading of a column in one system of units. Returns `into`. */
char *csv_column_name(const csv_column *column, units_system system, char into[FIELD_NAME_SIZE]);

#endif
