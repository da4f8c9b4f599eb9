/* section.h - the cut through one repair, to scale, as its method makes it: slot, hole or ring with plug, dry-pack, coats and
 * the relief hole behind; an injection's hole with its packer; a routed groove with backer and sealant; a drain channel.
 * Shows the sizes of the design; coats are drawn as lines, not to thickness. Where stretches differ it is the deepest, and
 * the note says so. Units  mm of paper.   Threads  none shared. */
#ifndef STANCH_REPORT_SECTION_H
#define STANCH_REPORT_SECTION_H

#include "report/say.h"
#include "report/sheet.h"

/* True when the method has a section to draw: what has sizes. */
bool section_has(const repair_design *design);

/* Compose into a box about 78 mm wide; out is filled from {0} with its memory set. */
void section_draw(const leak_water *leak, const repair_design *design, say *words, sheet *out);

#endif
