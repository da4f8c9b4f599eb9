/* built.h - what was built, by the records, against what was planned.
 *
 * Model  records about which a correction was written do not count; the correction does, in its place. Metres, widths and
 *   depths: the newest `found` of the leak, else none. Powder, water, packs: the sum of `used`. Hours: `hours` where told, else
 *   people (1 where not told) times finish less start of a step. Weather: least and most of what records carry.
 * Deviation  planned and actual differ by more than BUILT_TOLERANCE of the planned value, or a step was done that is not on the card,
 *   or left out. Its reason is the text of a `deviation` of that leak and step (or without step); none: said so.
 * Invoice  quantities measured (actual where recorded, else none billed and listed as "not recorded"), rates those of the offer's
 *   lines per unit: accept never invents a rate.
 * Units  SI.   Threads  no shared state. */
#ifndef STANCH_ACCEPT_BUILT_H
#define STANCH_ACCEPT_BUILT_H

#include "plan/plan.h"
#include "record/record.h"

#define BUILT_TOLERANCE 0.10 /* our default */

typedef struct {
    const char *mark, *label; /* mark "": the job */
    const char *step;         /* code; NULL */
    units_quantity q;
    const char *unit; /* of UNITS_PLAIN: "h", "packs" */
    maybe planned, actual;
    bool deviates;
    const char *reason;    /* NULL: none given */
    const long long *seqs; /* records behind it */
    size_t n_seqs;
} built_line;

typedef struct {
    const char *code, *title, *started, *finished, *by; /* times as recorded, UTC; NULL: not */
    double people, hours;                               /* 0: not recorded */
    bool planned, ticked;                               /* ticked: a hold point with its name */
    long long seq;
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
    const record **notes; /* notes, deviations, texts found */
    size_t n_notes;
    double hours_planned, hours;
    maybe wetter; /* dry at the survey, found wet when cut: 1; found dry: 0 */
} built_leak;

typedef struct {
    const char *material; /* id */
    double planned_kg, used_kg, planned_m3, used_m3, packs;
    maybe net_kg; /* what the volumes as built would take without waste */
} built_material;

typedef struct {
    const char *label, *unit, *basis;
    maybe quantity;               /* not known: not recorded, not billed */
    double rate, amount, offered; /* money; offered: quantity in the offer */
} built_bill;

typedef struct {
    built_leak *leaks; /* in the order of the survey */
    size_t n_leaks;
    built_line *totals;
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

status built_make(const plan *p, const record *records, size_t n, arena *memory, built_job *out, fault *why);

#endif
