/* read_geojson.h - faces and defects drawn as GeoJSON (RFC 7946), read and merged into a job.
 *
 * A FeatureCollection. Coordinates are METRES ON THE FACE (u, v), not the longitude and latitude that RFC
 * 7946 section 4 expects; survey_write_geojson says so in the foreign member
 * "coordinate_system". Polygon,
 * properties {"object": "face", "id", "lie", ...}    outline and openings of a face null geometry, {"object":
 * "fold", "a", "b"}                 a fold LineString {"mark", "kind", "face"}                         crack
 * or joint on one face MultiLineString {"mark", "kind", "faces": [...]}            one that crosses folds, a
 * part a face Point {"mark", "kind", "face"}                              tie hole, penetration Polygon
 * {"mark", "kind": "honeycomb", "face"}               area The other properties are the members of the survey
 * JSON, in the units of the foreign member "units" (metric when absent), so a plain drawing needs mark, kind
 * and face only. "object" defaults to "defect". Left out  site, water at the site, materials, rates, prices,
 * answers. Threads  no shared state. */
#ifndef STANCH_SURVEY_READ_GEOJSON_H
#define STANCH_SURVEY_READ_GEOJSON_H

#include "survey/survey.h"

/* Merges as survey_read_json does; faults likewise. True when this file added none. */
bool survey_read_geojson(survey *into, const char *source, const char *bytes, size_t length,
                         fault_list *faults);

#endif
