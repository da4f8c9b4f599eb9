/* write_geojson.h - faces, folds and defects of a job as GeoJSON; the shape is in read_geojson.h.
 *
 * Rings follow the right-hand rule of RFC 7946 section 3.1.6; a ring that was drawn the other way round is
 * named in the property "reversed", so that reading it back gives the same points in the same order.
 * Threads  no shared state. */
#ifndef STANCH_SURVEY_WRITE_GEOJSON_H
#define STANCH_SURVEY_WRITE_GEOJSON_H

#include "core/text.h"
#include "survey/survey.h"

/* Appends to `to`; without memory to->failed is set. */
void survey_write_geojson(const survey *s, text *to);

#endif
