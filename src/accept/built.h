/* built.h - what was built, by the records, against what was planned.
 *
 * Model  what a correction gives goes before what stood there, member by member, in order of seq; time, name, leak and step stay
 *   those of the record that it is about. One that gives no value takes a start, finish, hold, found or used back, told as a
 *   note. Records are distinct acts: the same `used` told by two people counts twice, an open conflict is told as a note.
 *   Sizes: the newest found (or told with a finish) at the cut (not of scan, measure or what follows the cure); widths below BUILT_CRACK_M
 *   are those of the crack. Powder, water: the sum of `used`; packs alone count by their size where a material has but one;
 *   without a material it is that of the step, or the only one of the leak. Hours: of a step the labour-hours told, else people
 *   (1 where not told) times finish less start, the first start holding where there are two; a start on one day and a finish on a
 *   later one count the shift's hours of the days worked between, told as a note. Records of "site" and of marks that the survey
 *   does not have stand in `site`.
 * Deviation  planned and actual differ by more than BUILT_TOLERANCE of the planned: sizes at once, hours and materials when more,
 *   and when less once the leak is finished, water by what the powder used wants; a step recorded that is not on the card; a hold
 *   point that nobody ticked, or finished by name, when a later step was recorded; a step that a `deviation` names and nothing else tells of. Its reason: the last `deviation` of that leak and step,
 *   else one without step; none: said so. A step of which nothing was recorded is no deviation: it may have been done.
 * Invoice  quantities as recorded, rates those of the offer's lines per unit: accept never invents a rate. What the
 *   offer has and was not recorded is not billed (quantity not known); what was recorded and the offer has no rate for has rate 0.
 * Units  SI.   Threads  no shared state.   Limits  days are those of UTC and utc_offset_min; O(n log n) of the records. */
#ifndef STANCH_ACCEPT_BUILT_H
#define STANCH_ACCEPT_BUILT_H

#include "plan/plan.h"
#include "record/record.h"

#define BUILT_TOLERANCE 0.10 /* our default */
#define BUILT_CRACK_M 0.005  /* our default: no slot is narrower, cracks hardly wider */

typedef struct {
    const char *mark, *label; /* mark "": the job */
    const char *step;         /* code; NULL */
    units_quantity q;
    const char *unit; /* of UNITS_PLAIN: "h", "packs"; "step": 1 on the card, done; 0 not so */
    maybe planned, actual;
    bool deviates;
    const char *reason;    /* NULL: none given */
    const long long *seqs; /* records behind it */
    size_t n_seqs;
    bool in_part; /* of a sum: planned at leaks too where it was not recorded */
} built_line;

typedef struct {
    const char *code, *title;            /* code "": what was recorded without a step */
    const char *started, *finished, *by; /* times as recorded, UTC; NULL: not, or begun again since */
    double people, hours;                /* people: the most told; 0: not recorded */
    bool planned, ticked;                /* ticked: a hold point with its name */
    const long long *seqs;               /* records that its times and hours come from, rising */
    size_t n_seqs;
    long long seq; /* that which ended it, else its last; 0: none */
} built_step;

typedef struct {
    const char *mark, *file, *caption, *at, *by;
    long long seq;
} built_photo;

typedef struct {
    const char *mark;
    built_line *lines;
    size_t n_lines;
    built_step *steps;
    size_t n_steps;
    const record **notes; /* notes, deviations, texts with what was found, used, done; ours have no `by` */
    size_t n_notes;
    double hours_planned, hours;
    maybe wetter;  /* dry or damp at the survey; found, up to the plug, seeping or more: 1, else 0 */
    bool finished; /* a finish without step, or its last step of work, or its proof */
} built_leak;

typedef struct {
    const char *material; /* id */
    double planned_kg, used_kg, planned_m3, used_m3, packs;
    /* What the volumes as built (length x slot as found x mix; coats by length) would take without waste, and what was used on just
     * those leaks: waste = measured_kg/net_kg - 1. Leaks without a length found, or without powder told, are in neither. */
    maybe net_kg;
    double measured_kg;
} built_material;

typedef struct {
    const char *label, *unit, *basis;
    maybe quantity;               /* not known: not recorded, not billed */
    double rate, amount, offered; /* money; offered: quantity in the offer */
} built_bill;

typedef struct {
    built_leak *leaks; /* in the order of the survey */
    size_t n_leaks;
    built_leak site;    /* mark "site" */
    built_line *totals; /* sums of the lines of leaks and site that can be summed; never a deviation */
    size_t n_totals;
    built_material *materials;
    size_t n_materials;
    built_photo *photos;
    size_t n_photos;
    const char **people; /* names */
    size_t n_people;
    maybe air_low_c, air_high_c, wall_low_c, wall_high_c, humidity_low, humidity_high;
    const char *first, *last; /* dates of work; NULL: none */
    built_bill *bills;
    size_t n_bills;
    double bill_subtotal, bill_total; /* whole cents, with the additions of the offer */
    size_t n_deviations, n_unreasoned;
} built_job;

typedef struct {
    const plan *p;
    const record *records; /* in order of seq */
    size_t n;
    const plan *offered; /* that of the last kept offer, whose rates hold; NULL: p */
    int utc_offset_min;  /* of the site */
} built_input;

/* All in `memory`. E_MEMORY. */
status built_make_of(const built_input *in, arena *memory, built_job *out, fault *why);
/* The same by the plan's own prices and UTC. */
status built_make(const plan *p, const record *records, size_t n, arena *memory, built_job *out, fault *why);

/* A line as a person reads it, in p->memory: "3.60 m", "29.74 m, in part" of a sum, "12.5 kg", "4.2 h", "not ticked"; "" where not known. */
const char *built_show_planned(const plan *p, const built_line *line);
const char *built_show_actual(const plan *p, const built_line *line);
/* Its reason, or "no reason given"; "" where it does not deviate. */
const char *built_show_reason(const built_line *line);
/* Quantity and rate of a line of the bill, with enough figures that they come to its amount (price/figures.h): "32.7333 h", "52",
 * "15 %"; the quantity "" where not known. */
const char *built_show_quantity(const plan *p, const built_bill *bill);
const char *built_show_rate(const plan *p, const built_bill *bill);

#endif
