#include "cli/calc_rows.h"
#include "hydraulics/crackflow.h"
#include "hydraulics/leakgrade.h"
#include "hydraulics/relief.h"
#include "hydraulics/water.h"

#include <stdio.h>

#define OUR_DEFAULT "our default"

/* The temperature of the water, of all three. */
#define TEMPERATURE(need, from)                                                                              \
    {                                                                                                        \
        .name = "temperature_c", .required = (need), .quantity = UNITS_TEMPERATURE,                          \
        .range = CALC_FROM(WATER_COLDEST_C, WATER_WARMEST_C), .origin = (from), .fallback = 10,              \
        .text = "Temperature of the water."                                                                  \
    }

static const char *const water_sources[] = {
    "viscosity: IAPWS SR6-08 eq. 7, through a page that quotes it",
    "density: Tanaka et al. 2001, value from memory, checked against IAPWS SR6-08",
    "vapour pressure: Buck 1996, value from memory, checked against IAPWS-IF97",
};

static const calc_field water_fields[] = {TEMPERATURE(true, NULL)};

static status run_water(calc_run *r) {
    water_properties water;
    status code = water_at(calc_number(r->in, "temperature_c"), &water, r->why);
    if (code != OK) return code;
    calc_put(r, "density_kg_m3", UNITS_DENSITY, water.density_kg_m3);
    calc_put(r, "viscosity_pa_s", UNITS_PLAIN, water.viscosity_pa_s);
    calc_put(r, "kinematic_viscosity_m2_s", UNITS_PLAIN, water.kinematic_viscosity_m2_s);
    calc_put(r, "vapour_pressure_pa", UNITS_PLAIN, water.vapour_pressure_pa);
    if (calc_number(r->in, "temperature_c") > 40)
        calc_warn(r,
                  "above 40 C density and vapour pressure are less well checked: within 0.01 %% and 0.1 %%");
    return OK;
}

const calc_row calc_row_water = {
    .name = "water",
    .summary = "density, viscosity and vapour pressure of water",
    .model = "Liquid water at 0.1 MPa, 0 to 60 C.",
    .equation =
        "mu = 280.68 Tr^-1.9 + 511.45 Tr^-7.7 + 61.131 Tr^-19.6 + 0.45903 Tr^-40 uPa s, Tr = T/300 K; "
        "rho = 999.97495 [1 - (t - 3.983035)^2 (t + 301.797)/(522528.9 (t + 69.34881))] kg/m3; "
        "p = 611.21 exp[(18.678 - t/234.5) t/(257.14 + t)] Pa; nu = mu/rho",
    .sources = water_sources,
    .sources_count = CALC_COUNT(water_sources),
    .fields = water_fields,
    .fields_count = CALC_COUNT(water_fields),
    .example = "{\"temperature_c\": 10}\n",
    .run = run_water,
};

static const char *const crackflow_sources[] = {
    "cubic law: Arabian Journal of Geosciences 2015, s12517-015-2036-8; ARMA 05-867",
    "taper: computed by us, exact for lubrication flow",
    "entry and exit loss: quadratic in the velocity, computed by us",
    "limits of the regimes: 20 after Geofluids 2021, 6612378; 2300 value from memory",
    "water: IAPWS SR6-08 eq. 7; Tanaka et al. 2001 (value from memory)",
};

#define WIDTH(field, about)                                                                                  \
    {                                                                                                        \
        .name = (field), .quantity = UNITS_SIZE, .range = CALC_FROM(0, CRACKFLOW_WIDEST_M * 1e3),            \
        .text = (about)                                                                                      \
    }

static const calc_field crackflow_fields[] = {
    WIDTH("width_mm", "Width of an even crack. Give this, or the two below."),
    WIDTH("width_dry_face_mm", "Width at the dry face; linear through the wall."),
    WIDTH("width_wet_face_mm", "Width at the wet face."),
    {.name = "thickness_m",
     .required = true,
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(CRACKFLOW_THINNEST_M, CRACKFLOW_THICKEST_M),
     .text = "Of the wall along the flow."},
    {.name = "head_m",
     .required = true,
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(0, CRACKFLOW_HIGHEST_M),
     .text = "Water level above the dry face."},
    TEMPERATURE(false, OUR_DEFAULT),
    {.name = "flow_factor",
     .quantity = UNITS_PLAIN,
     .range = CALC_ABOVE(0, 1),
     .origin = OUR_DEFAULT ", in the band 0.17-0.25 of Akhavan et al. 2012 (abstract)",
     .fallback = CRACKFLOW_FACTOR,
     .text =
         "Share of the smooth law that a rough crack passes: 0.25 best, 0.10 low, 1 for the size of a pump."},
    {.name = "loss_coefficient",
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(0, CRACKFLOW_MOST_LOSS),
     .origin = OUR_DEFAULT,
     .fallback = CRACKFLOW_LOSS,
     .text = "Entry and exit together, on V^2/(2 g)."},
};

static status take_widths(calc_run *r, crackflow_input *in) {
    static const char *const faces[] = {"width_dry_face_mm", "width_wet_face_mm"};
    bool taper = calc_given(r->in, faces[0]) || calc_given(r->in, faces[1]);
    if (calc_given(r->in, "width_mm")) {
        in->width_dry_m = in->width_wet_m = calc_number(r->in, "width_mm");
        return calc_none_of(r, faces, 2, "width_mm already says how wide the crack is");
    }
    if (!taper)
        return calc_refuse(r, "width_mm", "is missing; give it, or width_dry_face_mm and width_wet_face_mm");
    for (size_t i = 0; i < 2; i++)
        if (!calc_given(r->in, faces[i]))
            return calc_refuse(r, faces[i], "is missing beside %s", faces[1 - i]);
    in->width_dry_m = calc_number(r->in, faces[0]);
    in->width_wet_m = calc_number(r->in, faces[1]);
    return OK;
}

static void warn_crackflow(calc_run *r, const crackflow_result *out) {
    if (!(out->hydraulic_width_m > 0)) calc_warn(r, "the crack is closed at a face: nothing flows");
    if (out->regime == CRACKFLOW_INERTIAL)
        calc_warn(r,
                  "the Reynolds number %.0f is above %g: inertia in a rough crack may lower the flow further",
                  out->reynolds, CRACKFLOW_INERTIA_RE);
    if (out->regime == CRACKFLOW_TURBULENT)
        calc_warn(r,
                  "the Reynolds number %.0f is above %g: the flow is turbulent and the result an upper bound",
                  out->reynolds, CRACKFLOW_TURBULENT_RE);
    if (calc_number(r->in, "head_m") < 3 * calc_number(r->in, "thickness_m"))
        calc_warn(
            r, "the head is less than 3 times the thickness: a free surface in the crack, left out here, may "
               "lower the flow of a vertical crack by some per cent (21 %% at equal head and thickness)");
}

static status run_crackflow(calc_run *r) {
    crackflow_input in = {.thickness_m = calc_number(r->in, "thickness_m"),
                          .head_m = calc_number(r->in, "head_m"),
                          .temperature_c = calc_number(r->in, "temperature_c"),
                          .flow_factor = calc_number(r->in, "flow_factor"),
                          .loss_coefficient = calc_number(r->in, "loss_coefficient")};
    crackflow_result out;
    status code = take_widths(r, &in);
    if (code == OK) code = crackflow_compute(&in, &out, r->why);
    if (code != OK) return code;
    calc_put(r, "hydraulic_width_mm", UNITS_SIZE, out.hydraulic_width_m);
    calc_put(r, "flow_l_h_m", UNITS_FLOW_LENGTH, out.flow_m2_s);
    calc_put(r, "flow_cubic_l_h_m", UNITS_FLOW_LENGTH, out.flow_cubic_m2_s);
    calc_put(r, "reynolds", UNITS_PLAIN, out.reynolds);
    json_out_text(r->out, "regime", crackflow_regime_name(out.regime));
    warn_crackflow(r, &out);
    return OK;
}

const calc_row calc_row_crackflow = {
    .name = "crackflow",
    .summary = "water through a metre of crack from width, wall and head",
    .model = "Two plane walls, steady flow straight through the wall, the flow factor on the smooth law, and "
             "the losses "
             "of entry and exit. Up to about 0.3 mm the losses do not matter; above 0.5 to 1 mm the result "
             "is an upper "
             "bound.",
    .equation = "H = [12 nu t/(xi g w^2)] V + K V^2/(2 g), q = V w; without losses q = xi g w^3 (H/t)/(12 "
                "nu); taper w1 "
                "to w2: w^3 = 2 w1^2 w2^2/(w1 + w2); Re = 2 q/nu; laminar below 20, inertial to 2300, "
                "turbulent above",
    .sources = crackflow_sources,
    .sources_count = CALC_COUNT(crackflow_sources),
    .fields = crackflow_fields,
    .fields_count = CALC_COUNT(crackflow_fields),
    .example = "{\"width_mm\": 0.3, \"thickness_m\": 0.25, \"head_m\": 3, \"temperature_c\": 10, "
               "\"flow_factor\": 0.25}\n",
    .run = run_crackflow,
};

static const char *const relief_sources[] = {
    "head lost: Darcy-Weisbach (Katz, Automotive Aerodynamics, ex. 9.8); 64/Re: value from memory",
    "Colebrook-White: Clamond 2009; linear blend between Re 2000 and 4000: our default",
    "losses: projecting inlet 0.8-1.0, exit 1.0 (engineering data sheet; Idelchik p. 349)",
    "water: IAPWS SR6-08 eq. 7; Tanaka et al. 2001 (value from memory)",
};

static const calc_field relief_fields[] = {
    {.name = "bore_mm",
     .required = true,
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(RELIEF_NARROWEST_M * 1e3, RELIEF_WIDEST_M * 1e3),
     .text = "Inner diameter of the tube."},
    {.name = "length_m",
     .required = true,
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(RELIEF_SHORTEST_M, RELIEF_LONGEST_M),
     .text = "Of the tube."},
    {.name = "roughness_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(0, 25),
     .origin = "common practice, smooth plastic",
     .fallback = 0.0015,
     .text = "Of the inner wall; at most 0.05 of the bore."},
    {.name = "entry_loss",
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(0, RELIEF_MOST_LOSS),
     .origin = OUR_DEFAULT ", within the 0.8-1.0 of a projecting inlet",
     .fallback = 0.8,
     .text = "On V^2/(2 g)."},
    {.name = "exit_loss",
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(0, RELIEF_MOST_LOSS),
     .origin = "Idelchik p. 349, through a page that quotes it",
     .fallback = 1.0,
     .text = "On V^2/(2 g)."},
    TEMPERATURE(false, OUR_DEFAULT),
    {.name = "suction_kpa",
     .quantity = UNITS_PRESSURE,
     .range = CALC_FROM(0, RELIEF_MOST_SUCTION_PA / 1e3),
     .origin = "no suction",
     .fallback = 0,
     .text = "Below atmospheric, at the outlet."},
    {.name = "head_m",
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(0, RELIEF_HIGHEST_M),
     .text = "Head at the tube: the tube alone. Give this, or the two below."},
    {.name = "crack_head_m",
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(0, RELIEF_HIGHEST_M),
     .text = "Head on the crack that feeds the tube."},
    {.name = "crack_conductance_m2_s",
     .quantity = UNITS_PLAIN,
     .unit = "m2/s",
     .range = CALC_ABOVE(0, RELIEF_MOST_CONDUCTANCE),
     .text = "Flow of that crack a metre of head used in it, xi g w^3 L/(12 nu t)."},
};

static status relief_solve(calc_run *r, const relief_tube *tube, relief_result *out) {
    static const char *const coupled[] = {"crack_head_m", "crack_conductance_m2_s"};
    if (calc_given(r->in, "head_m")) {
        status code = calc_none_of(r, coupled, 2, "head_m already says that the tube stands alone");
        return code == OK ? relief_flow(tube, calc_number(r->in, "head_m"), out, r->why) : code;
    }
    if (!calc_given(r->in, coupled[0]) && !calc_given(r->in, coupled[1]))
        return calc_refuse(r, "head_m", "is missing; give it, or crack_head_m and crack_conductance_m2_s");
    for (size_t i = 0; i < 2; i++)
        if (!calc_given(r->in, coupled[i]))
            return calc_refuse(r, coupled[i], "is missing beside %s", coupled[1 - i]);
    return relief_balance(tube, calc_number(r->in, coupled[1]), calc_number(r->in, coupled[0]), out, r->why);
}

static status run_relief(calc_run *r) {
    relief_tube tube = {.bore_m = calc_number(r->in, "bore_mm"),
                        .length_m = calc_number(r->in, "length_m"),
                        .roughness_m = calc_number(r->in, "roughness_mm"),
                        .entry_loss = calc_number(r->in, "entry_loss"),
                        .exit_loss = calc_number(r->in, "exit_loss"),
                        .suction_pa = calc_number(r->in, "suction_kpa"),
                        .temperature_c = calc_number(r->in, "temperature_c")};
    relief_result out = {0};
    if (!(tube.roughness_m <= 0.05 * tube.bore_m))
        return calc_refuse(r, "roughness_mm", "is %g; it must be at most 0.05 of the bore, %g",
                           tube.roughness_m * 1e3, 0.05 * tube.bore_m * 1e3);
    status code = relief_solve(r, &tube, &out);
    if (code != OK) return code;
    calc_put(r, "flow_l_min", UNITS_FLOW, out.flow_m3_s);
    calc_put(r, "back_head_m", UNITS_LENGTH, out.back_head_m);
    calc_put(r, "velocity_m_s", UNITS_PLAIN, out.velocity_m_s);
    calc_put(r, "reynolds", UNITS_PLAIN, out.reynolds);
    if (out.reynolds > 0) {
        calc_put(r, "friction_factor", UNITS_PLAIN, out.friction_factor);
    } else {
        json_out_null(r->out, "friction_factor");
        calc_warn(r, "nothing flows: there is no friction factor");
    }
    if (out.back_head_m < 0)
        calc_warn(
            r, "the suction leaves %.3g m behind the plug: less than the air outside, so air may be drawn in",
            out.back_head_m);
    if (tube.suction_pa > 22400)
        calc_warn(r,
                  "a suction of %g kPa is more than wet and dry machines draw at no flow (12.5 to 22.4 kPa, "
                  "value from "
                  "memory); count on half",
                  tube.suction_pa / 1e3);
    return OK;
}

const calc_row calc_row_relief = {
    .name = "relief",
    .summary = "flow of a relief tube and the head it leaves behind the plug",
    .model = "A full tube in steady flow, alone under a head or fed by a crack of known conductance. "
             "Friction: laminar "
             "below Re 2000, Colebrook-White above 4000, the factor linear between.",
    .equation = "h + s/(rho g) = [K_in + K_out + f L/D] V^2/(2 g), Q = V pi D^2/4; coupled: Q = C (H - h); f "
                "= 64/Re or "
                "1/sqrt f = -2 log10[(e/D)/3.7 + 2.51/(Re sqrt f)]",
    .sources = relief_sources,
    .sources_count = CALC_COUNT(relief_sources),
    .fields = relief_fields,
    .fields_count = CALC_COUNT(relief_fields),
    .example = "{\"bore_mm\": 20, \"length_m\": 0.5, \"crack_head_m\": 3, \"crack_conductance_m2_s\": "
               "1.563999e-4}\n",
    .run = run_relief,
};
