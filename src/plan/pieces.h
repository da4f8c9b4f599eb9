/* pieces.h - pieces of a leak as words and JSON, the same wherever the page shows them.
 *
 * Texts are allocated in p->memory. Who shares one plan between threads copies the struct and gives the copy an arena of
 * its own: nothing else of a plan is written here. Without memory o->to->failed is set.
 * Units  numbers of JSON in those of the writer, texts in those of the job.   Threads  as said. */
#ifndef STANCH_PLAN_PIECES_H
#define STANCH_PLAN_PIECES_H

#include "core/json_out.h"
#include "plan/plan.h"

/* "North wall, at 2.40 m, 0.10 m": face and first point of leak i. NULL without memory. */
const char *plan_place(const plan *p, size_t leak);

/* Member "card" {"steps", "cautions"}; `barred`: no steps. */
void plan_card_json(json_out *o, const plan_card *card, bool barred);

/* Members of one mix, into an object that the caller has opened: step (a code), material, amounts and batches as texts,
 * times in s. */
void plan_mix_json(json_out *o, const plan *p, size_t leak, takeoff_step step);

/* The same with what a calculator needs: recipe, volume and batch_volume. */
void plan_mix_recipe_json(json_out *o, const takeoff_mix *mix);

/* Member "stations" [{"at", "cover", "bar"}] as texts; cover null where it is not known. */
void plan_stations_json(json_out *o, const plan *p, size_t leak);

#endif
