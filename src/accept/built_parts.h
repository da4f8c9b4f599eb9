/* built_parts.h - the pieces of built_make; only for src/accept.
 *
 * built_live.c which records count, filed by leak and time; built_steps.c steps and hours; built_leak.c sizes and deviations of a
 * leak; built_stuff.c its materials; built_job.c sums, people, weather; built_measure.c and built_bill.c what would be billed; built_say.c words.
 * Threads  no shared state. */
#ifndef STANCH_ACCEPT_BUILT_PARTS_H
#define STANCH_ACCEPT_BUILT_PARTS_H

#include "accept/built.h"
#include "survey/names.h"

#include <stdint.h>

enum { BUILT_NO_STEP = RECORD_STEPS, BUILT_STEPS };
#define BUILT_ALL_STEPS UINT64_MAX

typedef struct {
    size_t leak; /* index; n_leaks: the site */
    long long seconds;
    const record *r;
} built_filed;

/* One step of one leak while it is counted. */
typedef struct {
    bool seen, begun, done, ticked,
        told; /* told: its hours; seen: any record of it save notes and deviations */
    double hours, told_h, people;
    bool open;
    long long open_s, last_s;   /* of the session that is open; of the last that was closed */
    double open_people, last_h; /* last_h: what the last session gave */
    const char *started, *finished, *by;
    long long seq, end_seq; /* its last record; that which ended it, 0: none */
    long long *seqs;        /* of its times and hours, rising */
    size_t n_seqs;
} built_tally;

/* What later pieces want of a leak. */
typedef struct {
    built_tally steps[BUILT_STEPS];
    uint64_t on_card, holds;          /* bits of steps */
    int last_work;                    /* step that ends the work on the card; -1: none */
    maybe length_m, width_m, depth_m; /* planned cut */
    maybe found_length_m, found_width_m, found_depth_m;
    const record *found_length, *found_width, *found_depth;
    const char *length_label, *cut_step;
    double longer, larger; /* as built to planned: length; volume of the cut; 1 where not found */
    int wettest;           /* -1: nothing told */
} built_work;

typedef struct {
    bool planned, used, powder_told; /* powder_told: kg or m3 known of every `used` */
    double planned_kg, planned_m3, planned_water_m3, kg, m3, water_m3, packs;
    bool kg_known, water_known, packs_known;
    uint64_t steps;
    const long long *seqs, *water_seqs, *pack_seqs;
    size_t n_seqs, n_water, n_packs;
} built_stuff;

typedef struct {
    const built_input *in;
    const plan *p;
    arena *memory;
    built_job *out;
    fault *why;
    names *marks, *materials;
    built_filed *filed; /* by leak, time, seq */
    size_t n_filed;
    built_work *work;             /* n_leaks + 1 */
    built_stuff *stuff;           /* of the leak in hand: n_materials + 1, the last of no known material */
    built_stuff *all;             /* of the job, likewise */
    double *net_kg, *measured_kg; /* n_materials */
    bool *net_known;
    long long *days, *proof_days; /* on which work was recorded, tests were made: rising, each once */
    size_t n_days, n_proof_days;
    long long shut_day; /* the last on which a leak was being closed */
    bool shut;
} building;

/* Index in record_step_words; BUILT_NO_STEP: none told. */
int built_step_of(const char *step);
#define BUILT_BIT(step) (UINT64_C(1) << (step))
/* Days since 1970 by the site's clock. */
long long built_day(const building *b, long long seconds);

status built_live(building *b);

/* A note of ours about record `about`. */
status built_note(building *b, built_leak *leak, const record *about, const char *sentence);
status built_keep_note(building *b, built_leak *leak, const record *r);

/* Hours of work between two moments; *night: not all of them. -1: more than a year apart, not counted. */
double built_hours_between(const building *b, long long from_s, long long to_s, bool *night);

typedef struct {
    size_t leak;
    built_leak *out;
    built_work *work;
    const built_filed *from;
    size_t n;
} built_slice;

status built_steps_of(building *b, const built_slice *s);
status built_materials_of(building *b, const built_slice *s); /* built_stuff.c */
status built_leak_of(building *b, const built_slice *s);
status built_sum(building *b);

/* A quantity for the invoice, SI; hours: labour that the line has billed (built_measure.c). */
typedef struct {
    maybe si;
    units_quantity q;
    const char *basis;
    double hours;
} built_measure;
/* Of a line of the offer; false: nothing that is recorded tells it. */
bool built_measure_line(const building *b, const estimate_line *line, built_measure *out);
built_measure built_measure_material(const building *b, size_t at); /* of the survey's materials */
/* Row by row what may be billed without being offered: its label, "" where that is not asked; NULL: no more rows. */
const char *built_measure_extra(size_t row, const char **code);
built_measure built_measure_row(const building *b, size_t row);
status built_bill_of(building *b);

status built_push_seq(building *b, const long long **list, size_t *n, long long seq);
/* Sets whether it deviates and why. `steps`: whose reasons count. */
typedef struct {
    built_line line;
    uint64_t steps;
    bool deviates;
} built_said;
status built_add_line(building *b, const built_slice *s, const built_said *said);

#endif
