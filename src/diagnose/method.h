/* method.h - the choice of method, by a table that a person can read on one page (method_table.c).
 *
 * The table is walked from the top. A row fits by what was seen; its method is taken where nothing forbids it
 * (method_limits.c: excluded by the user, too cold, too thin, not approved ...), else it is passed over, with the reason
 * kept, and the next row is asked. Runner-up: the row's own where it is allowed, else the method of the next row that fits.
 * What would tip it: each input is changed alone, as listed in method_tips.c, and the table asked again.
 * A person may overrule (survey_overrule): the table's answer is kept beside it. A STOP is not overruled here.
 * Sources  trade page diagnosis.md 4, 6, 7 in the words of EM 1110-2-2002 ch. 4 (sequence), EN 1504-5 (categories) and
 *   common practice; each row says which.   Threads  no shared state. */
#ifndef STANCH_DIAGNOSE_METHOD_H
#define STANCH_DIAGNOSE_METHOD_H

#include "diagnose/diagnosis.h"
#include "diagnose/finding.h"

extern const char *const method_words[METHOD_COUNT]; /* as printed: "slot and plug", "inject epoxy", ... */
extern const char *const method_about[METHOD_COUNT]; /* what is done, in one line */

/* What the table looks at: one leak, all that bears on the choice. */
typedef struct {
    survey_kind kind;
    survey_wetness worst;
    bool stopped;              /* a STOP is open */
    movement_verdict movement; /* MOVEMENT_UNDECIDED: not known */
    diagnosis_basis moves;
    bool settled; /* told: its cause is known and has ended */
    maybe movement_m;
    maybe width_m;   /* widest measured */
    maybe flow_m3_s; /* measured, else expected */
    maybe flow_m2_s; /* a metre of wet length */
    double head_m;   /* design; 0: the design level stands below */
    bool level_known;
    bool always_wet; /* it leaks, and today's level, not merely assumed, stands above it */
    double thickness_m;
    maybe
        slot_allowed_m; /* deepest slot that the steel leaves along most of the leak; not known: not scanned */
    maybe plug_need_m;  /* depth that a plug wants at the slot's width and faces */
    bool sawn;          /* faces of the slot; chipped ones hold with a third of that depth */
    maybe honeycomb_m;  /* depth found */
    bool heals;         /* by the site's rule */
    survey_far_side far_side;
    bool drinking_water, hazardous_liquid, approved, strength_wanted;
    unsigned approved_here; /* METHOD_BIT set: whose material a named person approved for this leak */
    maybe wall_c;
    double lowest_c[METHOD_COUNT]; /* placing limit of the job's material for each method; -HUGE_VAL: none */
    unsigned excluded,
        excluded_job;    /* METHOD_BIT set: for this leak; the part of it that the whole job excludes */
    units_system system; /* of the sentences */
} method_facts;

typedef struct {
    survey_method method;
    const char *why; /* "excluded for this leak", "the wall at 3 C is below the 8 C of the resin" */
} method_passed;

typedef struct {
    const char *change; /* "gauge readings show more than 0.1 mm of movement" */
    survey_method to;
} method_tip;

typedef struct {
    survey_method name, runner_up; /* name: a person's where overruled */
    int row;                       /* of the table, from 1 */
    const char *reason;            /* of the row, and what was taken as given */
    const char *basis;             /* source of the row */
    const char *tip;               /* the tips in one sentence */
    const method_tip *tips;        /* each a single change that leads elsewhere */
    size_t n_tips;
    const method_passed *passed; /* rows that fitted and were passed over */
    size_t n_passed;
    survey_method by_table;           /* what the table says; = name where not overruled */
    const survey_overrule *overruled; /* NULL: the table decided */
    const char *objection;            /* overruled: why the table would not take that method, or NULL */
} method_choice;

/* Gather the facts of one leak. `steel`: what repair/steel.h found, by the caller (slot_allowed_m, plug_need_m). */
void method_facts_of(const survey *s, const leak_water *leak, const diagnosis *why_leaks,
                     const finding_list *findings, method_facts *out);

/* *out and its lists in `memory`. E_MEMORY. */
status method_choose(const method_facts *facts, const survey_overrule *overrule, arena *memory,
                     method_choice *out, fault *why);

/* The table for printing. `when` is made from the conditions of the row; its words: line, crack or joint; still, not known
 * to move; known still, by its gauges. */
enum { METHOD_WHEN = 160 };
typedef struct {
    survey_method method, runner_up;
    char when[METHOD_WHEN];
    const char *reason, *basis;
} method_row;
size_t method_rows(void);
method_row method_row_at(size_t at); /* from 0 */

/* True when the plan sizes the method; not watch and engineer. */
bool method_is_designed(survey_method name);
bool method_is_injection(survey_method name);
bool method_has_slot(
    survey_method name); /* slot, hole, ring, cut back: cut, filled with plug or pack, coated */

#endif
