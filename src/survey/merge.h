/* merge.h - objects read from files go into a survey: replaced by name, or appended.
 *
 * A name that stands twice in one source is a fault; one that the job has already is replaced whole, in its
 * place. Origins are made here ("walls.json: faces[2]"). Threads  a merger belongs to one thread. */
#ifndef STANCH_SURVEY_MERGE_H
#define STANCH_SURVEY_MERGE_H

#include "survey/names.h"
#include "survey/survey.h"

enum { MERGE_FACES, MERGE_DEFECTS, MERGE_MATERIALS, MERGE_RATES, MERGE_PRICES, MERGE_TANKS, MERGE_LISTS };

typedef struct {
    survey *into;
    json_in *in;
    names *before[MERGE_LISTS]; /* what the survey holds */
    names *here[MERGE_LISTS];   /* what this source has brought */
} merger;

/* False, with the loss noted in in->faults, without memory; merge_end is due either way. */
bool merge_begin(merger *m, survey *into, json_in *in);
void merge_end(merger *m);

/* Each copies *object (texts and lists stay in the arena). Faults go to in->faults. */
void merge_face(merger *m, const json_path *at, survey_face *object);
void merge_defect(merger *m, const json_path *at, survey_defect *object);
void merge_material(merger *m, const json_path *at, survey_material *object);
void merge_rate(merger *m, const json_path *at, survey_rate *object);
void merge_price(merger *m, const json_path *at, survey_price *object);
void merge_tank(merger *m, const json_path *at, survey_tank *object);

/* Appended unless an equal one is there. */
void merge_fold(merger *m, const json_path *at, survey_fold *object);
void merge_answer(merger *m, survey_answer *object);

/* "source: path" in the arena; NULL after noting the loss of memory. */
const char *merge_origin(json_in *in, const json_path *at);

#endif
