#include "cli/calc_rows.h"
#include "repair/injection.h"

static const char *const injection_sources[] = {
    "ports no farther apart than the crack is deep: TxDOT concrete repair manual ch. 3; 150 mm: UFC "
    "4-150-07; count, hole "
    "geometry and volume computed by us, void factor and waste our defaults",
};

static const calc_field injection_fields[] = {
    {.name = "length_m",
     .required = true,
     .quantity = UNITS_LENGTH,
     .range = CALC_ABOVE(0, 10000),
     .text = "Of the crack."},
    {.name = "width_mm",
     .required = true,
     .quantity = UNITS_SIZE,
     .range = CALC_ABOVE(0, 50),
     .text = "Mean over its depth."},
    {.name = "thickness_mm",
     .required = true,
     .quantity = UNITS_SIZE,
     .range = CALC_ABOVE(0, 50000),
     .text = "Of the wall that it goes through."},
    {.name = "spacing_mm",
     .required = true,
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(1, 10000),
     .text = "Of the ports; the smallest that applies: the thickness, 150 mm, the maker's."},
    {.name = "angle_deg",
     .quantity = UNITS_PLAIN,
     .unit = "deg",
     .range = CALC_FROM(10, 90),
     .origin = "value from memory",
     .fallback = INJECTION_ANGLE_DEG,
     .text = "Of the hole to the face."},
    {.name = "void_factor",
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(1, 10),
     .origin = "our default",
     .fallback = INJECTION_VOID,
     .text = "What runs off into branches and pores."},
    {.name = "waste_percent",
     .quantity = UNITS_PLAIN,
     .unit = "%",
     .range = CALC_FROM(0, 1000),
     .origin = "our default",
     .fallback = INJECTION_WASTE * 100,
     .text = "Left in pails, hoses and packers."},
};

static status run_injection(calc_run *r) {
    injection_input in = {.length_m = calc_number(r->in, "length_m"),
                          .width_m = calc_number(r->in, "width_mm"),
                          .thickness_m = calc_number(r->in, "thickness_mm"),
                          .spacing_m = calc_number(r->in, "spacing_mm"),
                          .angle_deg = calc_number(r->in, "angle_deg"),
                          .void_factor = calc_number(r->in, "void_factor"),
                          .waste_fraction = calc_number(r->in, "waste_percent") / 100};
    injection_result out;
    status code = injection_size(&in, &out, r->why);
    if (code != OK) return code;
    json_out_whole(r->out, "ports", out.ports);
    calc_put(r, "offset_mm", UNITS_SIZE, out.offset_m);
    calc_put(r, "hole_length_mm", UNITS_SIZE, out.hole_length_m);
    calc_put(r, "net_l", UNITS_VOLUME, out.net_m3);
    calc_put(r, "order_l", UNITS_VOLUME, out.order_m3);
    if (in.spacing_m > in.thickness_m)
        calc_warn(r, "the ports are farther apart than the wall is thick: resin may leave the crack before "
                     "it reaches the next");
    calc_warn(r, "holes go deeper than the cover: scan, and place them between the bars; never cut a bar");
    return OK;
}

const calc_row calc_row_injection = {
    .name = "injection",
    .summary = "ports, holes and volume to fill a crack",
    .model = "Ports along the crack, holes drilled from beside it to meet it at half the thickness, the "
             "crack's volume with what runs off and is left.",
    .equation = "ports = ceil(L/s) + 1; offset = (t/2)/tan a; hole = (t/2)/sin a; net = L w t; order = net x "
                "void factor x (1 + waste)",
    .sources = injection_sources,
    .sources_count = CALC_COUNT(injection_sources),
    .fields = injection_fields,
    .fields_count = CALC_COUNT(injection_fields),
    .example = "{\"length_m\": 3.0, \"width_mm\": 0.4, \"thickness_mm\": 250, \"spacing_mm\": 150}\n",
    .run = run_injection,
};
