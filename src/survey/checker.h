/* checker.h - what the files of survey_check share. Threads  one checker, one thread. */
#ifndef STANCH_SURVEY_CHECKER_H
#define STANCH_SURVEY_CHECKER_H

#include "survey/names.h"
#include "survey/survey.h"

typedef struct {
    const survey *s;
    fault_list *faults;
    arena *scratch;
    names *faces;
    face_shape *shapes; /* of each face, for geom */
    bool *sound;        /* shapes that passed face_check */
} checker;

/* One fault: "origin: sentence". A NULL origin is left out. */
void checker_tell(checker *c, const char *origin, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Index of a face by id, or NAMES_NONE after a fault naming `what` refers to it. */
size_t checker_face(checker *c, const char *origin, const char *what, const char *id);

/* Distance from a point to the nearest edge of a ring; HUGE_VAL for an empty one. */
double checker_ring_distance_m(face_run ring, survey_point p);

/* A length for a sentence, in the job's units (metres or feet; mm or in). Return `into`. */
char *checker_length(const checker *c, double m, char into[UNITS_SHOWN]);
char *checker_size(const checker *c, double m, char into[UNITS_SHOWN]);

void checker_defect(checker *c, const survey_defect *d);

/* Readings, methods and sizes of a defect; weather of the site (check_gauges.c). */
void checker_gauges(checker *c, const survey_defect *d);
void checker_methods(checker *c, const survey_defect *d);
void checker_weather(checker *c);

/* Hours, plant, people and hourly weather of the site (check_work.c). */
void checker_work(checker *c);

/* A leak sent here by a repair elsewhere; tanks; what rates and prices may come out as (check_proof.c). */
void checker_moved(checker *c, const survey_defect *d);
void checker_tanks(checker *c);
void checker_ranges(checker *c);

#endif
