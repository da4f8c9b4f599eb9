/* objects.h - one object of the survey JSON at a time, in and out: shared by the JSON, GeoJSON and CSV files.
 *
 * Readers list every fault through `in` and go on; the object is fit for use only when the list did not grow.
 * `parts` false leaves the geometry of a defect or the outline of a face to the caller (GeoJSON).
 * Writers write members into an object that the caller has opened. Threads  no shared state. */
#ifndef STANCH_SURVEY_OBJECTS_H
#define STANCH_SURVEY_OBJECTS_H

#include "core/json_out.h"
#include "survey/survey.h"

/* objects_read_site: a member that is absent leaves *into as it is; objects_read_whole_site: it is not given. */
void objects_read_site(json_in *in, const json_path *at, json_t *object, survey_site *into);
void objects_read_whole_site(json_in *in, const json_path *at, json_t *object, survey_site *out);
void objects_read_face(json_in *in, const json_path *at, json_t *object, bool parts, survey_face *out);
void objects_read_fold(json_in *in, const json_path *at, json_t *object, survey_fold *out);
void objects_read_defect(json_in *in, const json_path *at, json_t *object, bool parts, survey_defect *out);
void objects_read_material(json_in *in, const json_path *at, json_t *object, survey_material *out);
void objects_read_rate(json_in *in, const json_path *at, json_t *object, survey_rate *out);
void objects_read_price(json_in *in, const json_path *at, json_t *object, survey_price *out);
void objects_read_tank(json_in *in, const json_path *at, json_t *object, survey_tank *out);
void objects_read_answer(json_in *in, const json_path *at, json_t *object, survey_answer *out);

/* A list of [u, v] in the units of the document (GeoJSON: `metres`, a third number must be 0). At least
 * `least` points. */
void objects_read_points(json_in *in, const json_path *at, json_t *list, size_t least, bool metres,
                         survey_point **points, size_t *n_points);

/* A set of words as a list of texts; bit k of the set is word k. The member is left alone when it is not given. */
typedef struct {
    const char *const *words;
    size_t n;
    const char *called; /* "sign" */
} objects_words;
extern const objects_words objects_signs,
    objects_methods, /* SIGN_BIT; METHOD_BIT of those that may be excluded */
    objects_days;    /* bit 0 Monday */
void objects_read_words(json_in *in, const json_path *at, json_t *list, const objects_words *of,
                        unsigned *out);
void objects_read_words_member(json_in *in, const json_path *at, json_t *object, const char *field,
                               const objects_words *of, unsigned *out);
void objects_write_words(json_out *o, const char *name, const objects_words *of, unsigned bits);

/* Members of the site and of a defect that files of their own read and write; `keep` as in objects_read_site. */
void objects_read_weather(json_in *in, const json_path *at, json_t *object, bool keep, survey_site *into);
void objects_write_weather(json_out *o, const survey_site *site);
const char *objects_typical_name(units_system system); /* "typical_year_c", "typical_year_f" */
void objects_read_work(json_in *in, const json_path *at, json_t *object, bool keep, survey_work *out);
void objects_write_work(json_out *o, const survey_work *work);
void objects_read_forecast(json_in *in, const json_path *at, json_t *object, bool keep, survey_forecast *out);
void objects_write_forecast(json_out *o, const survey_forecast *forecast);

/* The typical year hour by hour, a member of the whole document; absent: *into stays. No member of the site, which is edited and
 * hashed as one object. */
void objects_read_year(json_in *in, json_t *root, survey_site *into);
void objects_write_year(json_out *o, const survey_site *site);
void objects_read_overrule(json_in *in, const json_path *at, json_t *object, survey_overrule *out);
void objects_write_overrule(json_out *o, const survey_overrule *overrule);

void objects_write_site(json_out *o, const survey_site *site);
void objects_write_face(json_out *o, const survey_face *face, bool parts);
void objects_write_fold(json_out *o, const survey_fold *fold);
void objects_write_defect(json_out *o, const survey_defect *d, bool parts);
void objects_write_material(json_out *o, const survey_material *m);
void objects_write_rate(json_out *o, const survey_rate *rate);
void objects_write_price(json_out *o, const survey_price *price);
void objects_write_tank(json_out *o, const survey_tank *tank);
void objects_write_answer(json_out *o, const survey_answer *answer);

#endif
