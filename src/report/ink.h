/* ink.h - what the lines, fills and texts of a drawing look like, one ink for each meaning.
 * Colours are our own choice after the set of Okabe and Ito (distinct to colour-blind eyes, from memory);
 * each wetness also has its own dashes and width, so that a grey copy reads as well. Units  mm of paper.
 * Threads  read only. */
#ifndef STANCH_REPORT_INK_H
#define STANCH_REPORT_INK_H

#include <stdint.h>

typedef enum {
    INK_FACE,  /* concrete as seen */
    INK_BLANK, /* paper, under a dashed edge */
    INK_OPENING,
    INK_COAT,
    INK_SLOT,
    INK_FOLD,
    INK_DIMENSION,
    INK_LEADER,
    INK_LABEL,
    INK_LABEL_STOP, /* mark of a leak under an open STOP */
    INK_RELIEF,
    INK_TODAY, /* water levels */
    INK_DESIGN,
    INK_TEXT,
    INK_TEXT_SOFT,
    INK_SCALE_DARK,
    INK_SCALE_LIGHT,
    INK_CONCRETE, /* cut through, in a section */
    INK_PLUG,
    INK_PACK,
    INK_FIRST_COAT,
    INK_LAST_COAT,
    INK_CRACK,
    INK_HERE,  /* the one leak of a key plan */
    INK_PATCH, /* paper under a text */
    INK_PLANE, /* the plane of a crack, and what is drawn in it */
    INK_OUTLINE,
    INK_WATER_FACE,
    INK_HEAD_LINE,
    INK_HEAD,
    INK_PLUGGED,
    INK_HATCH,
    INK_ORDER_EARLY,
    INK_ORDER_MIDDLE,
    INK_ORDER_LATE,
    INK_ORDER_LAST,
    INK_NOW, /* the segment closed just now */
    INK_ARROW,
    INK_GRID,
    INK_FLOW_FIRST,
    INK_FLOW_HALF,
    INK_FLOW_LAST,
    INK_WASHOUT,
    INK_READING, /* of a gauge, and what was fitted */
    INK_ASIDE,
    INK_FIT,
    INK_BAND,
    INK_DRIFT,
    INK_YEAR,
    INK_EXPECTED,
    INK_BAR_PREPARE, /* the works, by kind */
    INK_BAR_CUT,
    INK_BAR_PLUG,
    INK_BAR_COAT,
    INK_BAR_PACK,
    INK_BAR_FILL,
    INK_PROVE,
    INK_CURE,
    INK_VISIT,
    INK_OPEN,
    INK_STAPLE,
    INK_DONE,
    INK_OUT,
    INK_DEADLINE,
    INK_OFF_WORK,
    INK_BUILT_KEPT, /* the verdicts of accept/proof.h in their order, of a trace and round its mark */
    INK_BUILT_BROKEN,
    INK_BUILT_NOT_PROVEN,
    INK_BUILT_OPEN,
    INK_LABEL_KEPT,
    INK_LABEL_BROKEN,
    INK_LABEL_NOT_PROVEN,
    INK_LABEL_OPEN,
    INK_DRY, /* the six wetness words follow in the survey's order */
    INK_DAMP,
    INK_SEEP,
    INK_DRIP,
    INK_RUN,
    INK_JET,
    INK_COUNT
} sheet_ink;

typedef struct {
    const char *name;  /* class in SVG */
    const char *layer; /* in DXF */
    int dxf_colour;
    int32_t stroke, fill; /* 0xRRGGBB, or -1 for none */
    double width_mm;
    double dash_mm[4]; /* pairs of on and off; 0 ends */
} sheet_style;
extern const sheet_style sheet_inks[INK_COUNT];

#endif
