/* Lines as a person reads them. */
#include "accept/built.h"

#include "plan/show.h"
#include "price/figures.h"

#include <string.h>

static const char *show(const plan *p, const built_line *line, maybe value) {
    if (!value.known) return "";
    if (line->q == UNITS_LENGTH) return show_length(p, value.v);
    if (line->q == UNITS_SIZE) return show_size(p, value.v);
    if (line->q == UNITS_MASS) return show_mass(p, value.v);
    if (line->q == UNITS_VOLUME) return show_volume(p, value.v);
    const char *said =
        arena_print(p->memory, "%.1f%s%s", value.v, line->unit ? " " : "", line->unit ? line->unit : "");
    return said ? said : "";
}

static bool is_step(const built_line *line) {
    return line->unit && strcmp(line->unit, "step") == 0;
}

const char *built_show_planned(const plan *p, const built_line *line) {
    if (is_step(line)) return line->planned.v > 0 ? "on the card" : "not on the card";
    return show(p, line, line->planned);
}

const char *built_show_actual(const plan *p, const built_line *line) {
    if (is_step(line)) return line->actual.v > 0 ? "done" : line->n_seqs ? "not ticked" : "not recorded";
    const char *actual = show(p, line, line->actual);
    if (!line->in_part || !*actual) return actual;
    const char *said = arena_print(p->memory, "%s, in part", actual);
    return said ? said : "";
}

const char *built_show_reason(const built_line *line) {
    if (!line->deviates) return "";
    return line->reason ? line->reason : "no reason given";
}

static bool is_share(const built_bill *b) {
    return strcmp(b->unit, "x") == 0; /* of other lines */
}

static figures_decimals decimals(const built_bill *b) {
    return figures_of(b->quantity.v, b->rate, b->amount);
}

const char *built_show_quantity(const plan *p, const built_bill *b) {
    if (!b->quantity.known) return "";
    if (is_share(b)) return show_plain(p, b->quantity.v, 2);
    const char *said = arena_print(p->memory, "%s%s%s", show_plain(p, b->quantity.v, decimals(b).quantity),
                                   *b->unit ? " " : "", b->unit);
    return said ? said : "";
}

const char *built_show_rate(const plan *p, const built_bill *b) {
    if (!is_share(b)) return show_plain(p, b->rate, b->quantity.known ? decimals(b).rate : 2);
    const char *said = arena_print(p->memory, "%.4g %%", b->rate * 100);
    return said ? said : "";
}
