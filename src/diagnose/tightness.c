#include "diagnose/tightness.h"

#include <assert.h>

static const double GB_POINT_M3_S = 2.5e-3 / 86400; /* GB 50108-2008 grade 3: 2.5 l a day at a leak point */

/* What a word seen at the leak means for a class. BY_FLOW: a measured flow decides, up to 2.5 l a day. */
typedef enum { K, B, N, BY_FLOW } word_rule; /* kept, broken, not seen */

typedef struct {
    const char *name, *asks, *source;
    word_rule by[WET_COUNT]; /* dry damp seep drip run jet */
} tightness_row;

#define ZTV                                                                                                  \
    "ZTV-ING, Table 5-14 of the text read, through a page that quotes it; the order of decision is our "     \
    "default"
#define BS_A "BS 8102:2022 Table 2, through a page that quotes it"
#define BS_B "BS 8102:2022 Table 2, through a page that quotes it; its second reading: value from memory"
#define EN "EN 1992-3:2006 7.3.1, through Bhatt et al."
#define GB "GB 50108-2008, through three reproductions that agree"
#define GB_4                                                                                                 \
    "GB 50108-2008, through three reproductions that agree; no line flow and no mud: value from memory"

static const tightness_row rows[TIGHT_COUNT] = {
    [TIGHT_NOT_AGREED] = {"no class agreed", "Nothing is agreed.", "-", {N, N, N, N, N, N}},
    [TIGHT_ZTV_1] = {"ZTV-ING class 1, completely dry",
                     "No damp patch can be detected.",
                     ZTV,
                     {K, B, B, B, B, B}},
    [TIGHT_ZTV_2] = {"ZTV-ING class 2, largely dry",
                     "Isolated slight damp: the hand stays dry, blotting paper does not discolour.",
                     ZTV,
                     {K, K, B, B, B, B}},
    [TIGHT_ZTV_3] = {"ZTV-ING class 3, capillary damp",
                     "Isolated patches wet to the touch, blotting paper discolours; nothing drips.",
                     ZTV,
                     {K, K, K, B, B, B}},
    [TIGHT_BS8102_1A] = {"BS 8102 grade 1a",
                         "Seepage is allowed, as in a car park; nothing drips or runs.",
                         BS_A,
                         {K, K, K, B, B, B}},
    [TIGHT_BS8102_1B] = {"BS 8102 grade 1b", "Damp is allowed, seepage is not.", BS_B, {K, K, B, B, B, B}},
    [TIGHT_BS8102_2] =
        {"BS 8102 grade 2",
         "No water comes in; one reading allows vapour only, another damp too: check the standard.",
         BS_A,
         {K, N, B, B, B, B}},
    [TIGHT_BS8102_3] = {"BS 8102 grade 3", "Dry, as in rooms that people live in.", BS_A, {K, B, B, B, B, B}},
    [TIGHT_EN1992_3_0] = {"EN 1992-3 class 0",
                          "Some leakage is acceptable or irrelevant.",
                          EN,
                          {K, K, K, K, K, K}},
    [TIGHT_EN1992_3_1] = {"EN 1992-3 class 1",
                          "Small leakage only; some staining or damp patches are acceptable.",
                          EN,
                          {K, K, K, B, B, B}},
    [TIGHT_EN1992_3_2] = {"EN 1992-3 class 2",
                          "Minimal leakage; stains do not spoil the appearance.",
                          EN,
                          {K, N, B, B, B, B}},
    [TIGHT_EN1992_3_3] = {"EN 1992-3 class 3", "No leakage is permitted.", EN, {K, B, B, B, B, B}},
    [TIGHT_GB50108_1] = {"GB 50108 grade 1", "No seepage and no wet stain.", GB, {K, B, B, B, B, B}},
    [TIGHT_GB50108_2] = {"GB 50108 grade 2",
                         "No leak; few wet stains, in buildings at most 0.1 % of the area and 0.1 m2 each.",
                         GB,
                         {K, N, B, B, B, B}},
    [TIGHT_GB50108_3] =
        {"GB 50108 grade 3",
         "Few leak points, no line flow, no mud; at most 2.5 l a day at a point, stains of 0.3 m2 each.",
         GB,
         {K, N, BY_FLOW, BY_FLOW, B, B}},
    [TIGHT_GB50108_4] =
        {"GB 50108 grade 4",
         "Leak points but no line flow and no mud; on average at most 2 l a day on a square metre.",
         GB_4,
         {K, N, N, N, B, B}},
};

const char *tightness_name(survey_tightness t) {
    assert(t < TIGHT_COUNT);
    return rows[t].name;
}

const char *tightness_asks(survey_tightness t) {
    assert(t < TIGHT_COUNT);
    return rows[t].asks;
}

const char *tightness_source(survey_tightness t) {
    assert(t < TIGHT_COUNT);
    return rows[t].source;
}

/* The word that a flow stands for. */
static survey_wetness word_of(leakgrade grade) {
    static const survey_wetness words[] = {
        [LEAKGRADE_DRY] = WET_DRY,   [LEAKGRADE_DAMP] = WET_DAMP,     [LEAKGRADE_SEEP] = WET_SEEP,
        [LEAKGRADE_DRIP] = WET_DRIP, [LEAKGRADE_RUN_SMALL] = WET_RUN, [LEAKGRADE_RUN_LARGE] = WET_RUN,
        [LEAKGRADE_JET] = WET_JET,
    };
    return words[grade];
}

static bool mud_breaks(survey_tightness t) {
    return t == TIGHT_GB50108_3 || t == TIGHT_GB50108_4;
}

tightness_verdict tightness_of_leak(survey_tightness t, const leak_water *leak) {
    assert(t < TIGHT_COUNT);
    const survey_defect *d = leak->defect;
    bool measured = leak->flow_measured_m3_s.known, counted = leak->drips_per_min.known;
    if (t == TIGHT_NOT_AGREED || (d->n_stations == 0 && !measured && !counted)) return TIGHT_NOT_SEEN;
    survey_wetness worst = leak->worst;
    if (measured) {
        survey_wetness word = word_of(leakgrade_of(leak->flow_measured_m3_s.v));
        if (word > worst) worst = word;
    }
    if (counted && leak->drips_per_min.v > 0 && worst < WET_DRIP) worst = WET_DRIP;
    if (mud_breaks(t) && (d->signs & SIGN_BIT(SIGN_SOIL))) return TIGHT_BROKEN;
    switch (rows[t].by[worst]) {
    case K: return TIGHT_KEPT;
    case B: return TIGHT_BROKEN;
    case N: return TIGHT_NOT_SEEN;
    case BY_FLOW: break;
    }
    if (!measured) return TIGHT_NOT_SEEN;
    return leak->flow_measured_m3_s.v <= GB_POINT_M3_S * (1 + 1e-9) ? TIGHT_KEPT : TIGHT_BROKEN;
}
