#include "plan/show.h"

#include <math.h>

static bool is_us(const plan *p) {
    return p->survey->site.system == UNITS_US;
}

static const char *show(const plan *p, units_quantity q, double si, int decimals) {
    char into[UNITS_SHOWN];
    const char *copy = arena_copy(p->memory, units_show(q, p->survey->site.system, si, decimals, into));
    return copy ? copy : "";
}

/* Half millimetres are shown: the two halves of a 37 mm slot are 18.5 mm each. */
const char *show_size(const plan *p, double m) {
    bool whole = fabs(m * 1000 - round(m * 1000)) < 0.05;
    return show(p, UNITS_SIZE, m, is_us(p) ? 2 : whole ? 0 : 1);
}

const char *show_width(const plan *p, double m) {
    return show(p, UNITS_SIZE, m, is_us(p) ? 4 : 3);
}

const char *show_length(const plan *p, double m) {
    return show(p, UNITS_LENGTH, m, 2);
}

const char *show_area(const plan *p, double m2) {
    return show(p, UNITS_AREA, m2, 2);
}

const char *show_volume(const plan *p, double m3) {
    return show(p, UNITS_VOLUME, m3, m3 < 1e-3 ? 3 : 2);
}

const char *show_mass(const plan *p, double kg) {
    return show(p, UNITS_MASS, kg, kg < 1 ? 2 : 1);
}

/* Three figures whatever the size, down to 0.00001. */
static int figures(double shown) {
    if (!(shown >= 0.000005)) return 0; /* nothing to speak of: "0" */
    int places = 2 - (int)floor(log10(shown));
    return places < 0 ? 0 : places > 5 ? 5 : places;
}

const char *show_flow(const plan *p, double m3_s) {
    return show(p, UNITS_FLOW, m3_s, figures(units_from_si(UNITS_FLOW, p->survey->site.system, m3_s)));
}

const char *show_flow_length(const plan *p, double m2_s) {
    return show(p, UNITS_FLOW_LENGTH, m2_s,
                figures(units_from_si(UNITS_FLOW_LENGTH, p->survey->site.system, m2_s)));
}

const char *show_flow_metre(const plan *p, double m2_s) {
    const char *flow = show_flow(p, is_us(p) ? m2_s * 0.3048 : m2_s);
    const char *copy = arena_print(p->memory, "%s a %s", flow, is_us(p) ? "foot" : "metre");
    return copy ? copy : "";
}

const char *show_density(const plan *p, double kg_m3) {
    return show(p, UNITS_DENSITY, kg_m3, 0);
}

const char *show_pressure(const plan *p, double pa) {
    return show(p, UNITS_PRESSURE, pa, 1);
}

const char *show_stress(const plan *p, double pa) {
    return show(p, UNITS_STRESS, pa, is_us(p) ? 1 : 3);
}

const char *show_temperature(const plan *p, double c) {
    return show(p, UNITS_TEMPERATURE, c, 0);
}

const char *show_minutes(const plan *p, double s) {
    return show(p, UNITS_MINUTES, s, s < 600 ? 1 : 0);
}

const char *show_plain(const plan *p, double value, int decimals) {
    return show(p, UNITS_PLAIN, value, decimals);
}
