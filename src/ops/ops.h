/* ops.h - the verbs of the tool: load, call the stages, save. Both faces, terminal and page, call these and
 * nothing else.
 *
 * A change is one transaction of the job file: all or nothing. The clock is an input (`today`).
 * Errors  as store.h, and E_INPUT / E_STATE of the stages. Where many faults are told at once they go to a
 * list. Threads  one call a job file and thread. */
#ifndef STANCH_OPS_OPS_H
#define STANCH_OPS_OPS_H

#include "plan/plan.h"

/* What a plan has other than the one before it: texts in the job's units, none of them empty. */
typedef struct {
    const char *mark; /* of the leak; "": the job */
    const char *label, *before, *after;
} ops_change;

/* A job in memory with its plan. */
typedef struct {
    survey *survey;
    plan *plan;
    ops_change *changes; /* by ops_plan: since the last plan that the job keeps */
    size_t n_changes;
} ops_job;
void ops_job_free(ops_job *job); /* {0} is fine */

/* Who makes a change, for the job's log: a person's name, the moment (YYYY-MM-DDTHH:MM:SSZ) and the face of the
 * tool it came through, "command" or "page". The line goes into the job in the transaction of the change. */
typedef struct {
    const char *by, *at, *through;
} ops_actor;

typedef struct {
    const char *name; /* of the site; NULL: the file's name */
    units_system system;
    const char *currency; /* ISO 4217, three capitals; NULL: EUR */
    bool letter_paper;
} ops_new_request;

/* A new job file with the shipped catalogue in it. E_STATE when the path is taken. */
status ops_new(const char *path, const ops_new_request *request, const ops_actor *actor, fault *why);

typedef struct {
    const char *const *files; /* paths */
    const char *const *names; /* for sentences and the log; their endings tell the kind; NULL: the paths */
    const char *const *texts; /* NULL, or what would stand in the files, which are not read then */
    size_t n;
} ops_import_request;

typedef struct {
    size_t faces, defects, stations, flows, readings, tanks; /* in the job afterwards */
    size_t rates, prices, materials;                         /* new ones and changed ones */
} ops_import_result;

/* Merge files (survey JSON, GeoJSON, CSV of stations, gauges or air, EPW) into the job. Any fault: nothing changes,
 * `faults` has them all, E_INPUT. */
status ops_import(const char *path, const ops_import_request *request, const ops_actor *actor,
                  fault_list *faults, ops_import_result *out, fault *why);

typedef enum {
    EXPORT_JSON,
    EXPORT_CSV,
    EXPORT_GEOJSON,
    EXPORT_DXF,
    EXPORT_GAUGES,
    EXPORT_COUNT
} ops_export_format;
extern const char *const ops_export_words[EXPORT_COUNT];
/* The job in one format, appended to *out. */
status ops_export(const char *path, ops_export_format format, text *out, fault *why);

/* Stored crack planes are taken where their inputs are the same. */
typedef struct {
    plan_planes planes;
    int threads; /* for the planes */
    bool works;  /* who does what when, too */
    /* The site's clock, YYYY-MM-DDTHH:MM, and how far it runs before UTC: where something was recorded as begun the works are
     * planned again from now. NULL: as if nothing had been begun. */
    const char *now;
    int utc_offset_min;
    const atomic_bool *stop; /* as in plan_options: E_STATE "stopped", and nothing is kept */
    void (*progress)(void *to, double part, const char *saying);
    void *progress_to;
} ops_plan_request;

/* Plan the job and keep each stage's result with its inputs' hash, and what changed since the last plan (stage "changes":
 * {"marks": [...], "changes": [{"mark", "label", "before", "after"}]}; a plan of the same inputs leaves that as it is). */
status ops_plan(const char *path, const ops_plan_request *request, ops_job *out, fault *why);

/* Plan the job without writing to it: what `leak` and `report` show. */
status ops_look(const char *path, const ops_plan_request *request, ops_job *out, fault *why);

/* Keep a named person's answer to a finding of `mark` ("site" for the site). E_STATE: no such finding there.
 */
typedef struct {
    const char *mark, *finding, *by, *what, *on;
} ops_answer_request;
status ops_answer(const char *path, const ops_answer_request *request, const ops_actor *actor, fault *why);

typedef struct {
    const char *folder; /* made when it is not there */
    const char *today;  /* YYYY-MM-DD, on the cover */
    const char *link;   /* as report_options */
    arena *memory;      /* for the names of the files; the plan is only read */
    const char *path; /* of the job file: its name tells the events of a calendar from those of other jobs */
} ops_report_request;

typedef struct {
    const char **files; /* written, in the arena of the job's plan */
    size_t n;
} ops_report_result;

/* PDF, one SVG a face with leaks, a crack plane and a gauge, those of the works and their calendar, DXF and XLSX into a folder. */
status ops_report(const ops_job *job, const ops_report_request *request, ops_report_result *out, fault *why);

/* Where the page shows a job, "https://192.0.2.7:8466/#/job/cellar/": from the address of a server and the path of a job file. */
const char *ops_link(arena *memory, const char *address, const char *job_path);

/* A hash of all that a plan reads: the same as long as nobody changed the survey, whatever else went into the log. */
status ops_survey_hash(const survey *s, char into[HASH_TEXT], fault *why);
status ops_survey_hash_now(const char *path, char into[HASH_TEXT], fault *why);

/* What a stage of the last plan left in the job, as JSON in `memory`; NULL: nothing. mark "": the job. */
status ops_stored(const char *path, const char *stage, const char *mark, arena *memory, const char **body,
                  fault *why);

/* The whole plan as JSON in the job's units (docs: "the plan as JSON"). */
status ops_plan_json(const plan *p, text *out, fault *why);

#endif
