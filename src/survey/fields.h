/* fields.h - the plain members of a survey's objects, described once, for JSON, CSV and the job file.
 *
 * A table names each member, its place in the struct, its quantity, range and words. What is not plain
 * (lists, outlines, levels, signs, methods excluded) is read and written by objects.h. A member added to survey.h is added here
 * and to the schema of store/; a test holds the two together.
 *
 * Ranges are plausibility limits, our default: wide enough for any real wall, narrow enough to catch a wrong
 * unit. Units  SI inside. Threads  constant data. */
#ifndef STANCH_SURVEY_FIELDS_H
#define STANCH_SURVEY_FIELDS_H

#include "core/json_out.h"
#include "survey/survey.h"

typedef enum {
    FIELD_NAME,     /* const char *: an id or mark; no blank ends, no control characters, not "# ..." */
    FIELD_TEXT,     /* const char *: no control characters but tab and line end; "" counts as not given */
    FIELD_DATE,     /* const char *: YYYY-MM-DD */
    FIELD_HOUR,     /* const char *: YYYY-MM-DDTHH:00 */
    FIELD_PATH,     /* const char *: below the folder of the job file */
    FIELD_CURRENCY, /* char[4] */
    FIELD_WORD,     /* an enum, by its words */
    FIELD_BOOL,     /* bool */
    FIELD_NUMBER,   /* double; optional: 0 is "not given" */
    FIELD_MAYBE     /* maybe */
} survey_field_kind;

typedef struct {
    const char *name; /* without the unit */
    survey_field_kind kind;
    bool required;
    size_t offset;
    units_quantity q;
    json_range range;
    const char *const *words;
    size_t n_words;
    size_t limit; /* bytes of a text */
} survey_field;

typedef struct {
    const survey_field *fields;
    size_t n;
} survey_fields;

enum { FIELD_NAME_SIZE = 48, FIELDS_MOST = 48, SURVEY_NOTE_BYTES = 4000, SURVEY_NAME_BYTES = 40 };

extern const survey_fields survey_site_fields, survey_level_fields, survey_face_fields, survey_defect_fields,
    survey_point_fields, survey_station_fields, survey_flow_fields, survey_open_fields, survey_photo_fields,
    survey_material_fields, survey_pack_fields, survey_rate_fields, survey_price_fields, survey_answer_fields,
    survey_reading_fields, survey_overrule_fields, survey_air_fields, survey_work_fields, survey_plant_fields,
    survey_worker_fields, survey_weather_fields, survey_forecast_fields, survey_tank_fields;

#define SURVEY_COLDEST_C (-50.0) /* our default: of air and concrete */
#define SURVEY_WARMEST_C 60.0
#define SURVEY_WINDIEST_KM_H 200.0       /* our default: what the evaporation of a coat is known to */
#define SURVEY_COORDINATE_MOST_M 10000.0 /* our default: a face or a level beyond 10 km is a wrong unit */

/* The member's name in files ("width_mm", "width_in") and its column in the job file ("width_m"). Return
 * `into`. */
char *survey_field_name(const survey_field *f, units_system system, char into[FIELD_NAME_SIZE]);
char *survey_field_column(const survey_field *f, char into[FIELD_NAME_SIZE]);

/* Read all plain members of `object` into the struct at `into`; members in `others` are allowed beside them,
 * any further is a fault. `keep`: a member that is absent leaves the struct as it is (and none is required).
 */
void survey_fields_read(json_in *in, const json_path *at, json_t *object, survey_fields table,
                        const char *const others[], size_t n_others, bool keep, void *into);

/* Write the members that are given. `all`: booleans and words are written even at their defaults. */
void survey_fields_write(json_out *o, survey_fields table, bool all, const void *from);

/* One member as text for a CSV cell ("" when not given), appended to `to`. */
void survey_field_text(const survey_field *f, units_system system, const void *from, text *to);

/* Equal in every plain member; doubles bit for bit but for the sign of 0. */
bool survey_fields_equal(survey_fields table, const void *a, const void *b);

/* Why `t` may not stand as a text (it holds a control character, it is too long), or NULL. */
const char *survey_text_objection(const char *t);

/* The same for a name (an id, a mark, a gauge): at most 40 bytes of UTF-8. */
const char *survey_name_objection(const char *t);

bool survey_text_equal(const char *a, const char *b); /* NULL equals NULL only */

#endif
