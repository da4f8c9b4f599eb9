/* edit_parts.h - what the files of ops_edit share; only for src/ops. Everything lies in the arena of the survey. */
#ifndef STANCH_OPS_EDIT_PARTS_H
#define STANCH_OPS_EDIT_PARTS_H

#include "ops/edit.h"
#include "survey/names.h"
#include "survey/object.h"

typedef struct {
    object_kind kind;
    const char *key, *before; /* before: the hash that was seen, or NULL */
    const char *called;       /* "defect E3", "folds", for sentences */
    bool removes;             /* after is null; the site and the folds are never removed */
    object_any after;
    bool sound;   /* `after` was read without a fault */
    bool already; /* the job is as the change wants it */
    size_t at;    /* its place in the list of its kind; NAMES_NONE: not there */
} edit_change;

typedef struct {
    survey *s;
    units_system system; /* of the job before the edit: what was seen and written in */
    edit_change *changes;
    size_t n;
    names *places[OBJECT_KINDS]; /* of the listed kinds, by key; the places before the edit */
    fault_list *faults;
} editing;

/* For the survey e->s: its system and places. edit_end is due in every case; it does not free the survey. */
status edit_begin(editing *e, fault *why);
void edit_end(editing *e);

/* Read the request; faults go to e->faults. */
void edit_read(editing *e, const ops_edit_request *request);

/* Compare what was seen with what is there. E_STATE: *which is the first change that does not fit. */
status edit_compare(editing *e, const edit_change **which, fault *why);

/* Change the survey in memory. False without memory, with the loss noted. */
bool edit_apply(editing *e);

/* May the job stay like this? Faults go to e->faults; any other status than OK is not the survey's. */
status edit_check(editing *e, fault *why);

/* What was changed, as a line of the log. */
void edit_tell(const editing *e, text *to);

#endif
