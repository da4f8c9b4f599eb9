/* The decision table. Read from the top: the first row that fits, and whose method nothing forbids (method_limits.c), decides.
 * The text under "when" is made from the conditions themselves (method_when.c), so the two cannot differ. */
#include "diagnose/method_parts.h"

#define LINE .kinds = KINDS_LINE
#define ONLY(kind) .kinds = 1u << (kind)
#define WET(low, high) .from = WET_##low, .to = WET_##high
#define ANY_WET WET(DRY, JET)
#define TAKE(first, second) .method = METHOD_##first, .runner_up = METHOD_##second

/* clang-format off */
const method_rule method_table[] = {
    /* Who must look first */
    {ANY_WET, .asks = ASKS_STOP, TAKE(ENGINEER, WATCH),
     .reason = "a STOP is open: a named person answers first",
     .basis = "trade rule 14: our default"},
    {ANY_WET, .moves = MOVES_GROWS, TAKE(ENGINEER, WATCH),
     .reason = "it still grows: no repair lasts before its cause has stopped",
     .basis = "text following ACI 224.1R (quoted)"},
    {ANY_WET, .asks = ASKS_STRENGTH, TAKE(ENGINEER, INJECT_EPOXY),
     .reason = "it must carry force again: an engineer decides how",
     .basis = "our default; asked by EM 1110-2-2002 (from memory)"},
    {WET(DRY, DRY), .asks = ASKS_ABOVE, TAKE(WATCH, COAT),
     .reason = "dry, and the design level stands below it", .basis = "common practice"},

    /* Places and areas */
    {ONLY(KIND_HONEYCOMB), ANY_WET, TAKE(CUT_BACK, INJECT_CEMENT),
     .reason = "it lets water through all over: back to sound concrete",
     .basis = "common practice"},
    {ONLY(KIND_HONEYCOMB), ANY_WET, TAKE(INJECT_CEMENT, INJECT_POLYURETHANE),
     .reason = "what cannot be cut out is filled with grout", .basis = "common practice"},
    {ONLY(KIND_TIE_HOLE), ANY_WET, TAKE(HOLE, INJECT_POLYURETHANE),
     .reason = "a hole right through: drill clean, plug, pack", .basis = "common practice"},
    {ONLY(KIND_PENETRATION), ANY_WET, .moves = MOVES_NOT, TAKE(RING, FLEXIBLE),
     .reason = "water follows the pipe: a slot all round it", .basis = "common practice"},

    /* What moves */
    {WET(RUN, JET), .moves = MOVES_YES, TAKE(INJECT_POLYURETHANE, DRAIN),
     .reason = "it moves, and no seal holds in a wet groove: first a resin that gives",
     .basis = "EN 1504-5 D (from memory); dry groove: UFC 3-270-03"},
    {WET(DRY, DRIP), .moves = MOVES_YES, TAKE(FLEXIBLE, INJECT_POLYURETHANE),
     .reason = "it moves: a rigid plug would tear open again, so it is made a joint",
     .basis = "active cracks are joints: text following ACI 224.1R (quoted)"},

    /* Still, and no water to stop */
    {LINE, WET(DAMP, DAMP), .moves = MOVES_STILL, .asks = ASKS_HEALS, TAKE(WATCH, COAT),
     .reason = "only damp, still, and within the site's rule of healing",
     .basis = "EN 1992-3 7.3.1 or the rule chosen; small strain (from memory)"},
    {LINE, WET(DRY, DAMP), .moves = MOVES_NOT, .width_to_m = METHOD_FINE_M, TAKE(COAT, SLOT_PACK),
     .reason = "fine, and no water runs: a coat closes it",
     .basis = "0.2 mm: EN 1992-3 7.3.1 (quoted); coat: common practice"},
    {LINE, WET(DRY, DAMP), .moves = MOVES_NOT, TAKE(SLOT_PACK, INJECT_EPOXY),
     .reason = "no water runs, so no plug",
     .basis = "UFGS 03931 3.8.2; common practice"},

    /* Still, and leaking */
    {LINE, WET(SEEP, DRIP), .moves = MOVES_NOT, .width_from_m = METHOD_WIDE_M, .thick_from_m = METHOD_THICK_M,
     TAKE(INJECT_CEMENT, SLOT_PLUG),
     .reason = "wide, in a thick wall: grout fills it through, a slot only its mouth",
     .basis = "REMR CS-MR-3.7; UFGS 03931 3.8.5; 1 m: our default; 0.8 mm: from memory"},
    {LINE, WET(SEEP, JET), .moves = MOVES_NOT, TAKE(SLOT_PLUG, INJECT_POLYURETHANE),
     .reason = "still, leaking, reachable from the dry side",
     .basis = "common practice"},

    /* Where the rows above are forbidden */
    {LINE, WET(SEEP, JET), .moves = MOVES_NOT, .asks = ASKS_WET_SIDE, TAKE(COAT, INJECT_POLYURETHANE),
     .reason = "no slot here; on the wet side the water holds a coat on",
     .basis = "dry-side coats are for where that cannot be reached: Construction Waterproofing Handbook"},
    {LINE, WET(DRY, DAMP), .moves = MOVES_STILL, TAKE(INJECT_EPOXY, INJECT_POLYURETHANE),
     .reason = "no slot here; still, and no water runs: a rigid resin",
     .basis = "only where static: UFC 4-150-07; EN 1504-5 F (from memory)"},
    {ANY_WET, TAKE(INJECT_POLYURETHANE, INJECT_ACRYLATE),
     .reason = "no cut here: a resin that takes water and gives a little",
     .basis = "in moisture, down to 0.05 mm: REMR CS-MR-3.7; EN 1504-5 D (from memory)"},
    {WET(DRY, DRIP), .moves = MOVES_NOT, TAKE(INJECT_CEMENT, INJECT_ACRYLATE),
     .reason = "no cut here; still, and wide enough for grout",
     .basis = "fine cement for finer cracks: UFGS 03931 3.8.5; 0.2 mm: from memory"},
    {WET(SEEP, JET), TAKE(INJECT_ACRYLATE, DRAIN), .reason = "always wet: a gel that swells in the crack",
     .basis = "EN 1504-5 S (from memory)"},
    {WET(DRY, SEEP), .moves = MOVES_NOT, TAKE(COAT, WATCH),
     .reason = "nothing better is allowed: coated, and looked at again",
     .basis = "common practice"},
    {WET(SEEP, JET), TAKE(DRAIN, ENGINEER),
     .reason = "nothing that is allowed stops the water: it is led away",
     .basis = "common practice"},
    {ANY_WET, TAKE(ENGINEER, WATCH), .reason = "nothing else of this table may be used here",
     .basis = "our default"},
};
/* clang-format on */
const size_t method_table_rows = sizeof method_table / sizeof *method_table;
