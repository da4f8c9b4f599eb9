/* view_works.h - the works of a finished plan as the page shows them: the whole, one day of them; docs/page.md, "works" and "day".
 *
 * Texts in the units of the job, made of works.h by the words of the document (works_words.h, day_sheet.h), so that page, terminal
 * and PDF say the same. On a fault *out may hold a piece of it.
 * Threads  a plan is only read: several may view one plan at once, each into a text of its own. */
#ifndef STANCH_OPS_VIEW_WORKS_H
#define STANCH_OPS_VIEW_WORKS_H

#include "ops/view.h"

/* One object appended to *out. A plan that has no works says why; one made without them, too. */
status ops_works_view_json(const plan *p, const ops_view *view, text *out, fault *why);

/* The day that `word` means: "3", the third, or a date. E_INPUT: neither; E_STATE: nobody works then, or there are no works. */
status ops_day_view_json(const plan *p, const char *word, const ops_view *view, text *out, fault *why);

#endif
