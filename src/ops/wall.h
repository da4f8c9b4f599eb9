/* wall.h - the verbs at the wall: what was done, used and found is kept; what a phone needs for a day is given out.
 *
 * Records are only ever added (record/record.h); they never change the survey and are no line of the job's log, so
 * its revision stays. Each record of a call has a result of its own: one that breaks a rule does not hold up the
 * others; all that are kept, are kept in one transaction.
 * Errors  as ops.h. Threads  as ops.h. */
#ifndef STANCH_OPS_WALL_H
#define STANCH_OPS_WALL_H

#include "ops/ops.h"
#include "record/record.h"

enum { OPS_RECORDS_MOST = 1000, OPS_RECORDS_PAGE = 10000 };

typedef enum { OPS_RECORD_KEPT, OPS_RECORD_ALREADY, OPS_RECORD_REFUSED, OPS_RECORD_STATES } ops_record_state;
extern const char *const ops_record_state_words[OPS_RECORD_STATES];

typedef struct {
    const char *id; /* as it was sent; NULL when it had none */
    ops_record_state state;
    long long seq;     /* kept, already */
    const char *fault; /* refused: one sentence */
} ops_record_result;

typedef struct {
    ops_record_result *items; /* in the order of the request */
    size_t n;
    long long last; /* seq of the job's last record afterwards */
} ops_record_results;

/* Keep the records of {"records": [...]} in the units of the job, at most OPS_RECORDS_MOST. actor->at is the clock
 * that the times of the records are held against. A mark is that of a leak of the job, or "site"; a record that
 * another is about is there, at the same mark; a reading is of a tank of the job; the stretch of a proof lies on the
 * leak. E_INPUT when the request as a whole is none. */
status ops_record(const char *path, const char *json, const ops_actor *actor, arena *memory,
                  ops_record_results *out, fault *why);

/* {"records": [{..., "seq"}], "conflicts": [...], "last": N} of docs/page.md, appended to *out: at most
 * OPS_RECORDS_PAGE records after `after`; last is the seq of the last one given, or of the job's last when there
 * are no more. */
status ops_records_json(const char *path, long long after, text *out, fault *why);

/* The records of a job in order of seq, and its units. All is in `memory`. */
typedef struct {
    record *items;
    const char **bodies; /* as stored */
    size_t n;
    units_system system;
} ops_records;
status ops_records_load(const char *path, arena *memory, ops_records *out, fault *why);

/* Put the leaks of a day in order, instead of those that it had; none takes the list away. E_INPUT: no date, a
 * mark that is not in the job or stands twice. *revision is that of the job afterwards. */
typedef struct {
    const char *date; /* YYYY-MM-DD */
    const char *const *marks;
    size_t n;
} ops_day_list;
status ops_day_set(const char *path, const ops_day_list *list, const ops_actor *actor, long long *revision,
                   fault *why);

/* What the day of a job is made from, beside its plan. */
typedef struct {
    const char *date, *job, *address, *made; /* made: YYYY-MM-DDTHH:MM:SSZ */
    long long revision;
    const char **marks; /* the day's list; NULL: all leaks with a design that are not done */
    size_t n_marks;
    const char **done; /* leaks that have been proved dry */
    size_t n_done;
} ops_day;

/* Fill revision, marks and done for the date in *day from the job file. E_INPUT when it is no date. */
status ops_day_load(const char *path, arena *memory, ops_day *day, fault *why);

/* The day of docs/page.md as one line of JSON, appended to *out, in the units of the job. Marks of the list that
 * the plan does not have are left out. */
status ops_day_json(const plan *p, const ops_day *day, text *out, fault *why);

#endif
