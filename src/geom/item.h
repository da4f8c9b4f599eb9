/* item.h - one item of a plan of bands: is it sound, what shape has it, how much wall has its slot. For bands
 * only. Formulas in bands.h.
 * Threads  no shared state. */
#ifndef STANCH_GEOM_ITEM_H
#define STANCH_GEOM_ITEM_H

#include "geom/bands.h"
#include "geom/wall.h"

typedef struct {
    char text[120];
} item_label;

/* "leak C4" from the tag, or "item 3". */
item_label item_name(const bands_input *in, size_t item);

/* Ranges, points, lengths. E_INPUT names the item, the value and the limit. */
status item_check(const bands_input *in, size_t item, fault *why);

/* Shapes in the plane of a face, unclipped: the mouth of the slot, and mouth and band (less the pipe). */
typedef struct {
    const shape *slot, *band;
    double slot_m2; /* of the whole mouth */
} item_shape;

/* Of one stretch of a line item (`run` on its face), or of any other item (`run` NULL). False on failure. */
bool item_draw(wall *w, const bands_item *item, const face_run *run, item_shape *out);

/* Quantities of the piece of an item that has this length of line, mouth and band on a face; `part` of the
 * item's mouth lies there (holes, rings, patches take their edges by it; 0 to 1). overlap_saved_m2 is 0. */
bands_amount item_amount(const bands_item *item, double line_m, double slot_m2, double band_m2, double part);

#endif
