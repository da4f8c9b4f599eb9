#include "cli/calc_rows.h"
#include "diagnose/healing.h"

static const char *const healing_sources[] = {
    "the published rules are design widths: a crack within its limit may still leak, and steel may rust",
};

static const calc_field healing_fields[] = {
    {.name = "width_mm",
     .required = true,
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(0, 50),
     .text = "Of the crack."},
    {.name = "head_m",
     .required = true,
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(0, 1000),
     .text = "Of water on it."},
    {.name = "thickness_m",
     .required = true,
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(0.001, 50),
     .text = "Of the wall."},
    {.name = "rule",
     .kind = CALC_WORD,
     .required = true,
     .words = survey_healing_words,
     .words_count = HEALING_RULES,
     .text = "en1992_3: EN 1992-3:2006 7.3.1; dafstb: DAfStb 2003 Table 2; fib2020, fib2020_healing: Model "
             "Code 2020; "
             "aci224r: Table 4.1, water-retaining; as3735: AS 3735-2001; bs8007 and aci350 with their "
             "stricter rows "
             "(values from memory); hs2: Chiltern cross-passages, heads up to 40 m."},
    {.name = "upper_gradient",
     .quantity = UNITS_PLAIN,
     .range = CALC_ABOVE(HEALING_LOWER_GRADIENT, 1000),
     .origin = "EN 1992-3:2006; another national code seems to end at 25",
     .fallback = HEALING_UPPER_GRADIENT,
     .text = "Where the limit of en1992_3 reaches 0.05 mm; other rules do not use it."},
};

static void warn_healing(calc_run *r, const healing_input *in, const healing_result *out) {
    if (in->rule == HEALING_EN1992_3)
        calc_warn(
            r,
            "healing may be assumed only where the strain range is below about 150e-6 (value from memory)");
    if (in->rule == HEALING_DAFSTB)
        calc_warn(r, "no healing counts where the water has more than 40 mg/l of lime-dissolving CO2 and a "
                     "pH below 5.5");
    if (in->rule != HEALING_EN1992_3 && in->rule != HEALING_DAFSTB && in->rule != HEALING_FIB2020_HEALING)
        calc_warn(r, "this rule permits a width and says nothing of healing");
    if (!(out->limit_m > 0) && in->rule == HEALING_DAFSTB)
        calc_warn(r, "the gradient of %.3g is above 25, where the table ends: nothing counts as healing",
                  out->gradient);
    if (!(out->limit_m > 0) && in->rule == HEALING_HS2)
        calc_warn(r, "the head of %.3g m is above %g m, where the rule ends: nothing is permitted",
                  in->head_m, HEALING_HS2_HEAD_M);
}

static status run_healing(calc_run *r) {
    healing_input in = {.width_m = calc_number(r->in, "width_mm"),
                        .head_m = calc_number(r->in, "head_m"),
                        .thickness_m = calc_number(r->in, "thickness_m"),
                        .rule = (healing_rule)calc_get(r->in, "rule")->word,
                        .upper_gradient = calc_number(r->in, "upper_gradient")};
    static const char *const gradient[] = {"upper_gradient"};
    healing_result out;
    status code = OK;
    if (in.rule != HEALING_EN1992_3) code = calc_none_of(r, gradient, 1, "only rule en1992_3 uses it");
    if (code == OK) code = healing_compute(&in, &out, r->why);
    if (code != OK) return code;
    calc_put(r, "limit_mm", UNITS_SIZE, out.limit_m);
    calc_put(r, "gradient", UNITS_PLAIN, out.gradient);
    json_out_bool(r->out, "heals", out.heals);
    calc_base(r, "%s", healing_rule_source(in.rule));
    warn_healing(r, &in, &out);
    return OK;
}

const calc_row calc_row_healing = {
    .name = "healing",
    .summary = "may this crack be expected to heal, by a published rule",
    .model = "The width against the limit of the named rule, which may fall with the gradient of head over "
             "thickness.",
    .equation = "en1992_3: 0.20 mm for r <= 5, 0.05 mm for r >= 35, linear between; dafstb: 0.20 to r 10, "
                "0.15 to 15, "
                "0.10 to 25; the others: one width; r = head/thickness; heals: width <= limit",
    .sources = healing_sources,
    .sources_count = CALC_COUNT(healing_sources),
    .fields = healing_fields,
    .fields_count = CALC_COUNT(healing_fields),
    .example = "{\"width_mm\": 0.15, \"head_m\": 3, \"thickness_m\": 0.25, \"rule\": \"en1992_3\"}\n",
    .run = run_healing,
};
