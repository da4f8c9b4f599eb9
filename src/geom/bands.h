/* bands.h - slots and coat bands on faces as real geometry: what a leak takes and what overlaps save.
 *
 * Each item (line, hole, ring, patch) is cut as a slot and coated over it and `band_m` beyond its edge (rules
 * of the trade: flat ends, round bends of 16 segments a quarter: our default). Bands on a face are united, so
 * that overlaps count once; clipped to the face, openings out; carried round folds on to the next face.
 * Model, for each item, clipped:   A mouth of the slot, L length of line, d depth, w width, u undercut, f
 * fill slot volume   A d + L d^2 tan u           = L d (w + d tan u) for a straight slot (common practice)
 *   band          area of the union: mouth and band beside it, what the last coat covers
 *   wash          band + L (2 d / cos u + 2 d tan u): band, sides and base (the base replaces the mouth)
 *   first coat    the same above a plug that fills the lower f of the slot: d - f for d
 *   Check (common practice): slot 25 x 37 mm, band 150: 0.399, half filled 0.362, last coat 0.325 m2 per m.
 *   Holes, patches: one side round, edge length P for 2 L. A ring is undercut on its outer side only; its
 *   inner side is the pipe; its length is the mean circumference. Ends of slots count for nothing.
 * Sums  Slots that cross are added up (millilitres); bands are united. What an overlap saves is shared, by
 *   band area, among the items of a face whose bands hang together (share.h); one that meets none saves 0.
 * Folds  The two segments lie on the outlines. The next face is unfolded into the plane so that both lie on
 *   opposite sides (if need be mirrored). A line that crosses a fold or ends on it (extension > 0) goes
 *   straight on there, over as many folds as its length reaches. Of a band, the piece that hangs together
 *   with the fold is carried, from fold to fold, never back on to a face it has left. A face may be folded
 *   on to itself (a round tank laid flat). Free edges and openings only clip.
 * Units  SI, degrees for the undercut.   Limits  BANDS_MAX_* below; folded faces wider than 2 FACE_FIT_M.
 * Threads  no shared state. */
#ifndef STANCH_GEOM_BANDS_H
#define STANCH_GEOM_BANDS_H

#include "geom/face.h"

enum { BANDS_MAX_FOLDS = 256 }; /* folds that one line, and that one band, may cross (our default) */
#define BANDS_MAX_M 100.0       /* largest width, depth, band, extension (our default) */
#define BANDS_MAX_UNDERCUT_DEG 60.0

typedef struct {
    double width_m, depth_m;
    double undercut_deg; /* of each side from the square, >= 0 */
    double filled_m;     /* lower part filled by the plug before the first coat, 0 to depth_m */
    double band_m;       /* from the edge of the slot */
} bands_slot;

typedef enum {
    BANDS_LINE, /* run, extend_*: a slot along it; a line that ends where it began has no ends */
    BANDS_HOLE, /* centre, diameter_m: a tie hole; width_m is not used */
    BANDS_RING, /* centre, diameter_m of the pipe: a slot of width_m round it; no band on the pipe */
    BANDS_PATCH /* run: ring of a honeycombed area taken out depth_m deep; width_m is not used */
} bands_kind;

typedef struct {
    const char *tag; /* names the item in sentences ("lines[2]", "leak C4"); NULL: "item N" from 0 */
    bands_kind kind;
    size_t face; /* index into faces */
    face_run run;
    double extend_start_m, extend_end_m; /* straight on past its first and last point */
    face_point centre;
    double diameter_m;
    bands_slot slot;
} bands_item;

/* side_a[0] meets side_b[0], side_a[1] meets side_b[1]; lengths agree within FACE_FIT_M. */
typedef struct {
    const char *tag; /* as above; NULL: "fold N" */
    size_t face_a, face_b;
    face_point side_a[2], side_b[2];
} bands_fold;

typedef struct {
    const face_shape *faces;
    size_t faces_n;
    const bands_fold *folds;
    size_t folds_n;
    const bands_item *items;
    size_t items_n;
} bands_input;

typedef struct {
    double line_length_m, slot_area_m2, slot_volume_m3;
    double band_area_m2;                     /* last coat */
    double first_coat_area_m2, wash_area_m2; /* on the united band; of an item: on its own */
    double overlap_saved_m2;                 /* bands one by one less their union; of an item: its share */
} bands_amount; /* so band - saved, summed over items, is the union of the face */

/* One item on one face. */
typedef struct {
    size_t item, face;
    bands_amount amount;
    const face_polygon *slots; /* mouth of the slot, for drawing */
    size_t slots_n;
} bands_part;

typedef struct {
    bands_amount amount;
    const face_polygon *bands; /* the union, for drawing */
    size_t bands_n;
} bands_face;

typedef struct {
    bands_part *parts; /* by face, then item; faces on which an item leaves nothing are not among them */
    size_t parts_n;
    bands_amount *items; /* [items_n] each over all faces, as if it were alone, but for overlap_saved_m2 */
    bands_face *faces;   /* [faces_n] */
    bands_amount total;
    const char *const *warnings; /* sentences: points off their face */
    size_t warnings_n;
} bands_result;

/* All of it; the result lives in `memory`. E_INPUT: a face, fold or item that cannot be (named, with value
 * and limit; an item wholly outside its outline is one), or a fault of the geometry library; *out is zeroed.
 */
status bands_compute(const bands_input *in, arena *memory, bands_result *out, fault *why);

#endif
