/* layout.h - the repairs of a job as items of geom/bands.h, and back: which item belongs to which leak.
 * Threads  no shared state. */
#ifndef STANCH_TAKEOFF_LAYOUT_H
#define STANCH_TAKEOFF_LAYOUT_H

#include "geom/bands.h"
#include "repair/design.h"

typedef struct {
    size_t leak;           /* index of the defect */
    double plug_m, pack_m; /* depth of plug and pack in this item */
} layout_owner;

typedef struct {
    bands_input input;
    layout_owner *owners; /* one for each item */
} layout;

/* All in `memory`. E_MEMORY. */
status layout_items(const survey *s, const repair_design *designs, arena *memory, layout *out, fault *why);

#endif
