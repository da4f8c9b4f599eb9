/* object.h - the objects of a survey one by one, whatever their kind: what a person edits and two people may both edit.
 *
 * An object has a kind, a key within it (the mark of a defect, the id of the others) and a hash: SHA-256 of its JSON
 * as objects_write_* writes it, in the job's units, on one line. Two readers who see the same hash see the same
 * object. The site is one object, without the hours of its typical year, which stay as they are; so is the whole list of folds, which have no names; both have the key "".
 * Threads  no shared state. */
#ifndef STANCH_SURVEY_OBJECT_H
#define STANCH_SURVEY_OBJECT_H

#include "core/hash.h"
#include "core/json_out.h"
#include "survey/survey.h"

typedef enum {
    OBJECT_SITE,
    OBJECT_FOLDS, /* an object of this kind is an object_folds */
    OBJECT_FACE,
    OBJECT_DEFECT,
    OBJECT_TANK,
    OBJECT_MATERIAL,
    OBJECT_RATE,
    OBJECT_PRICE,
    OBJECT_KINDS
} object_kind;

extern const char *const object_words[OBJECT_KINDS];   /* "site", "folds", "face", ... */
extern const char *const object_members[OBJECT_KINDS]; /* of the survey JSON: "site", "folds", "faces", ... */

typedef struct {
    survey_fold *list;
    size_t n;
} object_folds;

/* Any object of a survey; the member of its kind is used. */
typedef union {
    survey_site site;
    object_folds folds;
    survey_face face;
    survey_defect defect;
    survey_tank tank;
    survey_material material;
    survey_rate rate;
    survey_price price;
} object_any;

bool object_is_listed(object_kind kind); /* faces and so on; not the site, nor the folds */

/* How many there are (1 for site and folds); a copy of one, whose texts and lists stay the survey's; its key. */
size_t object_count(const survey *s, object_kind kind);
object_any object_get(const survey *s, object_kind kind, size_t at);
const char *object_key(object_kind kind, const object_any *object);

/* Change the lists of a survey: put in place of another, append (false without memory), and take out all of `kind`
 * whose key is NULL. */
void object_put(survey *s, object_kind kind, size_t at, const object_any *object);
bool object_append(survey *s, object_kind kind, const object_any *object);
void object_close_up(survey *s, object_kind kind);

/* Read a whole object: what it does not have is not given. `value` is a JSON object, or a list for the folds; faults
 * go to in->faults. */
void object_read(json_in *in, object_kind kind, json_t *value, object_any *out);

/* Append its JSON on one line. */
void object_write(object_kind kind, units_system system, const object_any *object, text *to);

/* Returns `into`, or NULL without memory. */
char *object_hash(object_kind kind, units_system system, const object_any *object, char into[HASH_TEXT]);

#endif
