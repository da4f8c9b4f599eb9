#include "core/units.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* shown = si * divide / multiply + offset; both factors are exact decimals, so one rounding each way is all
 * there is. */
typedef struct {
    const char *suffix, *symbol;
    double multiply, divide, offset; /* si = (shown - offset) * multiply / divide */
} unit;

static const unit units[UNITS_QUANTITIES][2] = {
    [UNITS_LENGTH] = {{"m", "m", 1, 1, 0}, {"ft", "ft", 3048, 10000, 0}},
    [UNITS_SIZE] = {{"mm", "mm", 1, 1000, 0}, {"in", "in", 254, 10000, 0}},
    [UNITS_AREA] = {{"m2", "m²", 1, 1, 0}, {"ft2", "ft²", 9290304, 100000000, 0}},
    [UNITS_VOLUME] = {{"l", "l", 1, 1000, 0}, {"gal", "gal", 3785411784, 1e12, 0}},
    [UNITS_FLOW] = {{"l_min", "l/min", 1, 60000, 0}, {"gal_min", "gal/min", 3785411784, 60e12, 0}},
    /* 1 gal/(h ft) = 3.785411784e-3 m3 / (3600 s * 0.3048 m) */
    [UNITS_FLOW_LENGTH] = {{"l_h_m", "l/(h m)", 1, 3600000, 0},
                           {"gal_h_ft", "gal/(h ft)", 3785411784, 3600 * 3048e8, 0}},
    [UNITS_MASS] = {{"kg", "kg", 1, 1, 0}, {"lb", "lb", 45359237, 100000000, 0}},
    /* 1 lb/ft3 = 0.45359237 kg / 0.028316846592 m3 */
    [UNITS_DENSITY] = {{"kg_m3", "kg/m³", 1, 1, 0}, {"lb_ft3", "lb/ft³", 453592370000, 28316846592, 0}},
    [UNITS_COVERAGE] = {{"kg_m2", "kg/m²", 1, 1, 0}, {"lb_ft2", "lb/ft²", 45359237, 9290304, 0}},
    /* 1 psi = 4.4482216152605 N / 0.00064516 m2 */
    [UNITS_PRESSURE] = {{"kpa", "kPa", 1000, 1, 0}, {"psi", "psi", 44482216152.605, 6451600, 0}},
    [UNITS_STRESS] = {{"mpa", "MPa", 1000000, 1, 0}, {"psi", "psi", 44482216152.605, 6451600, 0}},
    [UNITS_TEMPERATURE] = {{"c", "°C", 1, 1, 0}, {"f", "°F", 5, 9, 32}},
    [UNITS_SPEED] = {{"km_h", "km/h", 1, 3.6, 0}, {"mph", "mph", 44704, 100000, 0}},
    [UNITS_WIND] = {{"km_h", "km/h", 1, 1, 0}, {"mph", "mph", 1609344, 1000000, 0}},
    [UNITS_MINUTES] = {{"min", "min", 60, 1, 0}, {"min", "min", 60, 1, 0}},
    [UNITS_SECONDS] = {{"s", "s", 1, 1, 0}, {"s", "s", 1, 1, 0}},
    [UNITS_HOURS] = {{"h", "h", 3600, 1, 0}, {"h", "h", 3600, 1, 0}},
    [UNITS_PLAIN] = {{"", "", 1, 1, 0}, {"", "", 1, 1, 0}},
};

static const unit *find(units_quantity q, units_system s) {
    assert(q < UNITS_QUANTITIES);
    return &units[q][s == UNITS_US];
}

const char *units_suffix(units_quantity q, units_system s) {
    return find(q, s)->suffix;
}

const char *units_symbol(units_quantity q, units_system s) {
    return find(q, s)->symbol;
}

double units_to_si(units_quantity q, units_system s, double shown) {
    const unit *u = find(q, s);
    return (shown - u->offset) * u->multiply / u->divide;
}

double units_from_si(units_quantity q, units_system s, double si) {
    const unit *u = find(q, s);
    return si * u->divide / u->multiply + u->offset;
}

/* The shortest decimal near `shown` that converts to exactly `si`; false when there is none. */
static bool find_decimal(units_quantity q, units_system s, double si, double shown, char into[TEXT_NUMBER]) {
    for (int digits = 12; digits <= 17; digits++) {
        snprintf(into, TEXT_NUMBER, "%.*g", digits, shown);
        double back = strtod(into, NULL);
        if (units_to_si(q, s, back) != si) continue;
        text_number(back, into);
        return true;
    }
    /* units_from_si may have rounded past it. */
    const double beside[] = {nextafter(shown, -HUGE_VAL), nextafter(shown, HUGE_VAL)};
    for (int i = 0; i < 2; i++) {
        if (units_to_si(q, s, beside[i]) != si) continue;
        text_number(beside[i], into);
        return true;
    }
    return false;
}

char *units_text(units_quantity q, units_system s, double si, char into[TEXT_NUMBER]) {
    double shown = units_from_si(q, s, si);
    if (find_decimal(q, s, si, shown, into)) return into;
    /* This value was not typed in this unit and no double gives it. Write its neighbour that can be typed, in
     * the form in which it would be written again once read. */
    double near = units_to_si(q, s, shown);
    if (find_decimal(q, s, near, units_from_si(q, s, near), into)) return into;
    return text_number(shown, into);
}

char *units_show(units_quantity q, units_system s, double si, int decimals, char into[UNITS_SHOWN]) {
    double shown = units_from_si(q, s, si);
    char number[TEXT_NUMBER + 16];
    snprintf(number, sizeof number, "%.*f", decimals, shown);
    const char *from = number;
    if (*from == '-' && strtod(number, NULL) == 0) from++; /* no "-0.0" */
    const char *symbol = find(q, s)->symbol;
    snprintf(into, UNITS_SHOWN, "%s%s%s", from, *symbol ? " " : "", symbol);
    return into;
}
