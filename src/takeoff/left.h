/* left.h - what is left of a slot to fill, and in how many batches.
 *
 * Model  a slot length x width x depth; the plug fills its lower part, the pack the rest to flush:
 *            plug: l w p        pack: l w (d - p)
 *        A coat is taken as its part of the planned coat, by length. Batches: the least whole number of which
 *        none is larger than the crew can place in the usable time. Source geometry; the takeoff uses the same.
 * Shared  by the takeoff and by the page's calculator at the wall, which is this file built for the browser.
 * Units  SI.   Limits  E_INPUT names the value out of range.   Threads  no shared state. */
#ifndef STANCH_TAKEOFF_LEFT_H
#define STANCH_TAKEOFF_LEFT_H

#include "core/fault.h"

typedef enum { LEFT_PLUG, LEFT_PACK, LEFT_COAT } left_part;

typedef struct {
    double length_m, width_m; /* still open; width not read for a coat */
    double depth_m, plug_m;   /* as cut; of plug in it, at most depth_m; not read for a coat */
    double whole_m, coat_m3;  /* a coat only: length and mixed volume as planned */
} left_slot;

#define LEFT_LONGEST_M 1000.0 /* no slot of a job is longer, our default; it catches a slipped comma */
#define LEFT_WIDEST_M 1.0     /* as LEFT_LONGEST_M, for width and depth */

/* Volume to fill. *volume_m3 is 0 on error. */
status left_volume(const left_slot *slot, left_part part, double *volume_m3, fault *why);

/* Batches of at most `limit_m3` for `volume_m3`, 1 to a million; 1 where no limit (0) is known. */
int left_batches(double volume_m3, double limit_m3);

#endif
