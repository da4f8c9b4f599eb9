/* pieces.h - pieces of a leak as words and JSON, the same wherever the page shows them.
 *
 * Texts are allocated in p->memory. Who shares one plan between threads copies the struct and gives the copy an arena of
 * its own: nothing else of a plan is written here. Without memory o->to->failed is set.
 * Units  numbers of JSON in those of the writer, texts in those of the job.   Threads  as said. */
#ifndef STANCH_PLAN_PIECES_H
#define STANCH_PLAN_PIECES_H

#include "core/json_out.h"
#include "plan/plan.h"

/* "North wall, at 2.40 m along, 0.10 m up": face and first point of leak i; of a floor or soffit "at u 2.40 m, v 0.10 m".
 * NULL without memory. */
const char *plan_place(const plan *p, size_t leak);

/* Member "card" {"steps", "cautions"}; `barred`: no steps. */
void plan_card_json(json_out *o, const plan_card *card, bool barred);

/* Members of one mix, into an object that the caller has opened: step (a code), material, amounts and batches as texts,
 * times in s. */
void plan_mix_json(json_out *o, const plan *p, size_t leak, takeoff_step step);

/* The same with what a calculator needs: recipe, volume and batch_volume. */
void plan_mix_recipe_json(json_out *o, const takeoff_mix *mix);

/* Members of leak i in the list of leaks: mark, kind, face, seen, flow, flow_basis, head, method, slot, depth, holds,
 * scan_first. Flow as on the job sheet, small ones with more digits; a text is "" where there is no such figure; holds is
 * true where nothing has to. */
void plan_leak_line_json(json_out *o, const plan *p, size_t leak);

/* Member "findings": those of the mark and of the site, or all when mark is NULL. */
void plan_findings_json(json_out *o, const plan *p, const char *mark);

/* Member "quantities" [{"label", "value"}] of the job. */
void plan_quantities_json(json_out *o, const plan *p);

/* Member "orders": what to buy. packs and left are "" where there is a problem, problem is "" where there is none. */
void plan_orders_json(json_out *o, const plan *p);

/* Members "fill" (null, or material, volume and batches of resin or sealant) and "parts" [{"label", "value"}]: packers, holes,
 * rod and channel of leak i. */
void plan_ways_json(json_out *o, const plan *p, size_t leak);

/* Member "plane" of leak i: null where no plane was asked for or the leak is no leaking line; orders and steps are empty
 * where there is a problem (why_not), or where only the steady plane was asked for. */
void plan_plane_json(json_out *o, const plan *p, size_t leak);

/* Member "stations" [{"at", "cover", "bar"}] as texts; cover null where it is not known. */
void plan_stations_json(json_out *o, const plan *p, size_t leak);

#endif
