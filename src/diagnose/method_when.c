/* Does a row of the table fit, and the same conditions in words. */
#include "diagnose/method_parts.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

bool method_is_moving(const method_facts *f) {
    bool moves =
        f->movement == MOVEMENT_CYCLIC || f->movement == MOVEMENT_CLOSING || f->movement == MOVEMENT_GROWING;
    return moves && (KINDS_MOVING & (1u << f->kind)) != 0;
}

static bool moves_fit(method_moves asked, const method_facts *f) {
    switch (asked) {
    case MOVES_ANY: return true;
    case MOVES_NOT: return !method_is_moving(f);
    case MOVES_STILL: return f->movement == MOVEMENT_STILL;
    case MOVES_YES: return method_is_moving(f) && f->movement != MOVEMENT_GROWING;
    case MOVES_GROWS: return f->movement == MOVEMENT_GROWING;
    }
    return false;
}

bool method_fits(const method_rule *row, const method_facts *f) {
    unsigned seen = (f->stopped ? ASKS_STOP : 0u) | (f->strength_wanted ? ASKS_STRENGTH : 0u) |
                    (f->level_known && f->head_m <= 0 ? ASKS_ABOVE : 0u) | (f->heals ? ASKS_HEALS : 0u) |
                    (f->far_side == FAR_OPEN ? ASKS_WET_SIDE : 0u);
    double width_m = f->width_m.known ? f->width_m.v : 0;
    if (row->kinds && !(row->kinds & (1u << f->kind))) return false;
    if (f->worst < row->from || f->worst > row->to) return false;
    if (row->width_from_m > 0 && !(width_m >= row->width_from_m)) return false;
    if (row->width_to_m > 0 && !(width_m <= row->width_to_m)) return false;
    if (row->thick_from_m > 0 && !(f->thickness_m >= row->thick_from_m)) return false;
    return (row->asks & ~seen) == 0 && moves_fit(row->moves, f);
}

/* Append to `into`, with a comma before all but the first. */
static void say(char into[METHOD_WHEN], const char *format, ...) __attribute__((format(printf, 2, 3)));
static void say(char into[METHOD_WHEN], const char *format, ...) {
    size_t at = strlen(into);
    va_list args;
    if (at > 0) at += (size_t)snprintf(into + at, METHOD_WHEN - at, ", ");
    if (at >= METHOD_WHEN) return;
    va_start(args, format);
    vsnprintf(into + at, METHOD_WHEN - at, format, args);
    va_end(args);
}

static void say_kinds(unsigned kinds, char into[METHOD_WHEN]) {
    static const char *const words[KIND_COUNT] = {"", "", "tie hole", "pipe", "honeycomb"};
    if (kinds == KINDS_LINE) say(into, "line");
    for (size_t i = KIND_TIE_HOLE; i < KIND_COUNT; i++)
        if (kinds == 1u << i) say(into, "%s", words[i]);
}

static void say_wet(const method_rule *row, char into[METHOD_WHEN]) {
    if (row->from == WET_DRY && row->to == WET_JET) return;
    if (row->from == row->to)
        say(into, "%s", survey_wetness_words[row->from]);
    else
        say(into, "%s to %s", survey_wetness_words[row->from], survey_wetness_words[row->to]);
}

/* "0.2 mm (0.008 in)": the table is one for both systems. */
static char *both(units_quantity q, double m, char into[METHOD_WHEN]) {
    char metric[UNITS_SHOWN], us[UNITS_SHOWN];
    units_show(q, UNITS_METRIC, m, q == UNITS_SIZE ? 1 : 0, metric);
    units_show(q, UNITS_US, m, q == UNITS_SIZE ? 3 : 0, us);
    snprintf(into, METHOD_WHEN, "%s (%s)", metric, us);
    return into;
}

static void say_conditions(const method_rule *row, char into[METHOD_WHEN]) {
    static const char *const moves[] = {[MOVES_ANY] = "",
                                        [MOVES_NOT] = "still",
                                        [MOVES_STILL] = "known still",
                                        [MOVES_YES] = "moves",
                                        [MOVES_GROWS] = "grows"};
    static const char *const asks[] = {"STOP open", "strength wanted", "above the design level", "heals",
                                       "wet side in reach"};
    char size[METHOD_WHEN];
    into[0] = '\0';
    say_kinds(row->kinds, into);
    if (row->moves != MOVES_ANY) say(into, "%s", moves[row->moves]);
    say_wet(row, into);
    for (size_t i = 0; i < sizeof asks / sizeof *asks; i++)
        if (row->asks & (1u << i)) say(into, "%s", asks[i]);
    if (row->width_from_m > 0) say(into, "from %s wide", both(UNITS_SIZE, row->width_from_m, size));
    if (row->width_to_m > 0) say(into, "to %s or not measured", both(UNITS_SIZE, row->width_to_m, size));
    if (row->thick_from_m > 0) say(into, "from %s thick", both(UNITS_LENGTH, row->thick_from_m, size));
    if (!*into) say(into, "anything");
}

size_t method_rows(void) {
    return method_table_rows;
}

method_row method_row_at(size_t at) {
    const method_rule *row = &method_table[at];
    method_row shown = {
        .method = row->method, .runner_up = row->runner_up, .reason = row->reason, .basis = row->basis};
    say_conditions(row, shown.when);
    return shown;
}
