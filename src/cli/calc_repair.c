#include "cli/calc_rows.h"
#include "hydraulics/water.h"
#include "repair/plug.h"
#include "takeoff/mix.h"

#include <math.h>

static const char *const plug_sources[] = {
    "perimeter shear: force balance, computed by us; the rule of Garrett and Campbell Pitt for mine plugs is "
    "the same "
    "with half the allowable compressive strength",
    "pressure: water density by Tanaka et al. 2001 (value from memory), standard gravity",
};

static const char *const shapes[] = {"slot", "rectangle", "circle"};
static const char *const face_words[] = {"sawn", "chipped"};

#define SIZE(field, need, about)                                                                             \
    {                                                                                                        \
        .name = (field), .required = (need), .quantity = UNITS_SIZE,                                         \
        .range = CALC_FROM(PLUG_SMALLEST_M * 1e3, PLUG_LARGEST_M * 1e3), .text = (about)                     \
    }

static const calc_field plug_fields[] = {
    {.name = "head_m",
     .required = true,
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(0, PLUG_HIGHEST_M),
     .text = "Full static head with everything shut."},
    {.name = "shape",
     .kind = CALC_WORD,
     .words = shapes,
     .words_count = CALC_COUNT(shapes),
     .origin = "the long slot of the trade",
     .fallback = PLUG_SLOT,
     .text = "Of the plug's face."},
    SIZE("slot_width_mm", false, "Of a slot; required with it."),
    SIZE("width_mm", false, "Of a rectangle; required with it."),
    SIZE("length_mm", false, "Of a rectangle; required with it."),
    SIZE("diameter_mm", false, "Of a circle; required with it."),
    SIZE("plug_depth_mm", true, "Of the plug along the pressure."),
    {.name = "bond_mpa",
     .quantity = UNITS_STRESS,
     .range = CALC_ABOVE(0, 100),
     .text = "Design shear on the perimeter. Give this or faces; with neither the faces count as sawn."},
    {.name = "faces",
     .kind = CALC_WORD,
     .words = face_words,
     .words_count = CALC_COUNT(face_words),
     .text = "sawn: 0.05 MPa; chipped: 0.15 MPa, material factors in it (both our defaults)."},
    {.name = "safety_factor",
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(1, 100),
     .origin = "our default",
     .fallback = PLUG_SAFETY,
     .text = "Wanted, bond over shear."},
    {.name = "temperature_c",
     .quantity = UNITS_TEMPERATURE,
     .range = CALC_FROM(WATER_COLDEST_C, WATER_WARMEST_C),
     .origin = "our default",
     .fallback = 10,
     .text = "Temperature of the water."},
};

/* The fields that each shape wants. */
static const char *const shape_fields[][2] = {
    {"slot_width_mm", NULL}, {"width_mm", "length_mm"}, {"diameter_mm", NULL}};

static status take_shape(calc_run *r, plug_input *in) {
    in->shape = (plug_shape)calc_get(r->in, "shape")->word;
    for (size_t shape = 0; shape < CALC_COUNT(shape_fields); shape++) {
        for (size_t i = 0; i < 2; i++) {
            const char *name = shape_fields[shape][i];
            if (!name) continue;
            bool mine = shape == (size_t)in->shape;
            if (mine && !calc_given(r->in, name))
                return calc_refuse(r, name, "is missing; shape %s wants it", shapes[in->shape]);
            if (!mine && calc_given(r->in, name))
                return calc_refuse(r, name, "is given, but shape %s does not use it", shapes[in->shape]);
        }
    }
    in->width_m = calc_number(r->in, shape_fields[in->shape][0]);
    if (in->shape == PLUG_RECTANGLE) in->length_m = calc_number(r->in, "length_mm");
    return OK;
}

static status take_bond(calc_run *r, plug_input *in) {
    static const char *const faces[] = {"faces"};
    if (calc_given(r->in, "bond_mpa")) {
        in->bond_pa = calc_number(r->in, "bond_mpa");
        calc_base(r, "bond: as given");
        return calc_none_of(r, faces, 1, "bond_mpa already says the bond");
    }
    in->bond_pa = plug_bond_pa((plug_faces)calc_get(r->in, "faces")->word);
    calc_base(r, "bond of sawn faces 0.05 MPa, of chipped faces 0.15 MPa: our default");
    if (!calc_given(r->in, "faces"))
        calc_warn(r, "neither bond_mpa nor faces is given: the faces count as sawn, 0.05 MPa, until they are "
                     "roughened");
    return OK;
}

static status run_plug(calc_run *r) {
    plug_input in = {.depth_m = calc_number(r->in, "plug_depth_mm"),
                     .safety_factor = calc_number(r->in, "safety_factor"),
                     .head_m = calc_number(r->in, "head_m"),
                     .temperature_c = calc_number(r->in, "temperature_c")};
    plug_result out;
    status code = take_shape(r, &in);
    if (code == OK) code = take_bond(r, &in);
    if (code == OK) code = plug_compute(&in, &out, r->why);
    if (code != OK) return code;
    calc_put(r, "pressure_kpa", UNITS_PRESSURE, out.pressure_pa);
    calc_put(r, "shear_mpa", UNITS_STRESS, out.shear_pa);
    if (out.pressure_pa > 0) {
        calc_put(r, "safety_factor_found", UNITS_PLAIN, out.safety_found);
    } else {
        json_out_null(r->out, "safety_factor_found");
        calc_warn(r, "there is no pressure: there is no safety factor");
    }
    calc_put(r, "depth_needed_mm", UNITS_SIZE, out.depth_needed_m);
    json_out_bool(r->out, "holds", out.holds);
    if (!out.holds)
        calc_warn(r, "the plug is too shallow: %.1f mm where %.1f mm are needed", in.depth_m * 1e3,
                  out.depth_needed_m * 1e3);
    calc_warn(r,
              "a water seal, not a structural repair; no bond counts before the final set has been observed");
    return OK;
}

const calc_row calc_row_plug = {
    .name = "plug",
    .summary = "depth of a plug that the water cannot push out",
    .model = "The pressure on the face of the plug is carried by bond on its perimeter; the pressure acts on "
             "the whole "
             "width of the slot.",
    .equation = "tau = p A/(P d); depth needed = SF p (A/P)/bond; A/P: slot b/2, rectangle a b/(2 (a + b)), "
                "circle D/4",
    .sources = plug_sources,
    .sources_count = CALC_COUNT(plug_sources),
    .fields = plug_fields,
    .fields_count = CALC_COUNT(plug_fields),
    .example = "{\"head_m\": 3, \"shape\": \"slot\", \"slot_width_mm\": 25, \"plug_depth_mm\": 37, "
               "\"faces\": \"sawn\"}\n",
    .run = run_plug,
};

static const char *const mix_sources[] = {
    "absolute volume: NAVEDTRA 14071 p. 17-7; water at 1 kg/l: common practice",
    "parts and densities: as given, from the maker's data sheet or a weighed tub",
};

#define PARTS(field, about)                                                                                  \
    {                                                                                                        \
        .name = (field), .required = true, .quantity = UNITS_PLAIN, .range = CALC_FROM(1e-3, 1e3),           \
        .text = (about)                                                                                      \
    }
#define NEED(field, of, about)                                                                               \
    { .name = (field), .quantity = (of), .range = CALC_FROM(0, 1e9), .text = (about) }
#define PERCENT(field, top, from, about)                                                                     \
    {                                                                                                        \
        .name = (field), .quantity = UNITS_PLAIN, .unit = "%", .range = CALC_FROM(0, top), .origin = (from), \
        .text = (about)                                                                                      \
    }

static const calc_field mix_fields[] = {
    PARTS("parts_powder", "Parts of loose powder by volume."),
    PARTS("parts_water", "Parts of water by volume."),
    {.name = "bulk_kg_m3",
     .required = true,
     .quantity = UNITS_DENSITY,
     .range = CALC_FROM(100, 10000),
     .text = "Bulk density of the loose powder as measured out."},
    {.name = "particle_kg_m3",
     .required = true,
     .quantity = UNITS_DENSITY,
     .range = CALC_FROM(100, 10000),
     .text = "Density of its grains; above bulk_kg_m3."},
    NEED("volume_l", UNITS_VOLUME, "Mixed volume wanted. Give one of the three."),
    NEED("powder_kg", UNITS_MASS, "Powder to be mixed."),
    NEED("water_l", UNITS_VOLUME, "Water to be mixed."),
    PERCENT("waste_percent", 1000, "no waste",
            "The need, whichever of the three is given, is taken times 1 + waste/100."),
    PERCENT("air_percent", 50, "no air", "Air in the mixed volume."),
};

static status run_mix(calc_run *r) {
    static const char *const needs[] = {"volume_l", "powder_kg", "water_l"};
    size_t which = 0;
    mix_recipe recipe = {.parts_powder = calc_number(r->in, "parts_powder"),
                         .parts_water = calc_number(r->in, "parts_water"),
                         .bulk_kg_m3 = calc_number(r->in, "bulk_kg_m3"),
                         .particle_kg_m3 = calc_number(r->in, "particle_kg_m3"),
                         .air_fraction = calc_number(r->in, "air_percent") / 100};
    if (!(recipe.particle_kg_m3 > recipe.bulk_kg_m3))
        return calc_refuse(r, "particle_kg_m3", "is %g; it must be above bulk_kg_m3, %g",
                           recipe.particle_kg_m3, recipe.bulk_kg_m3);
    mix_result out;
    status code = calc_one_of(r, needs, CALC_COUNT(needs), &which);
    if (code == OK)
        code = mix_batch(&recipe, (mix_given)which, calc_number(r->in, needs[which]),
                         calc_number(r->in, "waste_percent") / 100, &out, r->why);
    if (code != OK) return code;
    calc_put(r, "powder_kg", UNITS_MASS, out.powder_kg);
    calc_put(r, "water_l", UNITS_VOLUME, out.water_m3);
    calc_put(r, "yield_l", UNITS_VOLUME, out.yield_m3);
    calc_put(r, "density_kg_l", UNITS_PLAIN, out.density_kg_m3 / 1000);
    calc_put(r, "water_powder_ratio", UNITS_PLAIN, out.water_powder_ratio);
    if (!(recipe.air_fraction > 0) && out.water_powder_ratio < 0.2)
        calc_warn(r, "so dry a mix holds air when rammed: the volume without air_percent is a lower bound");
    return OK;
}

const calc_row calc_row_mix = {
    .name = "mix",
    .summary = "kilograms and litres of a mix given in parts by volume",
    .model = "Parts of loose powder and water by volume become masses by the bulk density; the mixed volume "
             "is the sum of "
             "the absolute volumes, enlarged by the air.",
    .equation = "a : b parts give a rb kg powder and b kg water a litre of part; V = (a rb/rp + b)/(1 - "
                "air); density = "
                "(a rb + b)/V; water/powder = b/(a rb), rb and rp in kg/l",
    .sources = mix_sources,
    .sources_count = CALC_COUNT(mix_sources),
    .fields = mix_fields,
    .fields_count = CALC_COUNT(mix_fields),
    .example = "{\"parts_powder\": 5, \"parts_water\": 2, \"bulk_kg_m3\": 1200, \"particle_kg_m3\": 3000, "
               "\"volume_l\": 10, "
               "\"waste_percent\": 5}\n",
    .run = run_mix,
};
