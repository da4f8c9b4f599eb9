/* section_parts.h - what the sections share: a cut laid on paper, names with leaders, dimensions. Only for src/report.
 * The dry face lies at the top, the wall below it. Units  mm of paper, y up; sizes in m.   Threads  as sheet.h. */
#ifndef STANCH_REPORT_SECTION_PARTS_H
#define STANCH_REPORT_SECTION_PARTS_H

#include "report/say.h"
#include "report/sheet.h"

#define CUT_WIDTH 78.0
#define CUT_SIDE 3.0
#define CUT_RIGHT 47.0 /* where the concrete ends; names stand beyond it */
#define CUT_NAMES 52.0
#define CUT_BELOW 9.0 /* room of the note */
#define CUT_TEXT 2.2

typedef struct {
    const leak_water *leak;
    const repair_design *design;
    say *words;
    sheet *sheet;
    double scale, mm;     /* 1:scale; mm of paper in a metre */
    double surface, foot; /* y of the dry face and of the lower edge of what is drawn */
    double middle;        /* x of the crack */
    double next_name;     /* y where the next name may stand */
} cut;

/* The scale at which `across_m` and `deep_m` take no more than the room, of those on a scale rule. */
double cut_scale(double across_m, double across_mm, double deep_m, double deep_mm);

/* Lay the sheet out: `body_mm` of concrete under the face, `above_mm` over it; draws the concrete. */
void cut_begin(cut *c, double scale, double body_mm, double above_mm);

/* A name at the right with a leader to the thing: put them down from the top. */
void cut_name(cut *c, sheet_point thing, const char *words);

/* Dimensions: across between two x, its words above the line; down between two y, its words beside it, reading up. */
void cut_across(cut *c, double left, double right, double y, const char *words);
void cut_down(cut *c, double x, double from, double to, const char *words);

/* "Section 1:5." and what else is to be known, under the drawing: two lines at most. */
void cut_note(cut *c, const char *more);

const char *cut_size(cut *c, double size_m); /* "37 mm" */

/* The ways drawn in files of their own. */
void section_of_slot(cut *c); /* slot, hole, cut back, coat */
void section_of_ring(cut *c);
void section_of_injection(cut *c);
void section_of_flexible(cut *c);
void section_of_drain(cut *c);

#endif
